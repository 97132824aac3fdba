#pragma once
/// Phrases in free text, and texts with values filled in.

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "steelyard/params/models.hpp"

namespace steelyard::decide {

struct Phrase {
  bool found = false;
  int times = 0;  ///< occurrences
  /// Every occurrence has a negation within the three words before it in the same part of the sentence, or follows a
  /// denied sign in a list ("no chest pain, dizziness or fever").
  bool negated = false;
};

/// Whole words only, in lower case; an occurrence inside a harmless phrase does not count ("hay fever").
[[nodiscard]] Phrase find_phrase(std::string_view note, std::string_view phrase, const CautionsModel& model);

/// The note holds words of distress that nothing in it denies.
[[nodiscard]] bool speaks_of_distress(std::string_view note, const CautionsModel& model);

/// "squats", or the lift's code with blanks.
[[nodiscard]] std::string spoken_plural(const LiftsModel& lifts, std::string_view lift);

/// "low back is", "quads are": a region of a site as it is spoken.
[[nodiscard]] std::string_view is_or_are(std::string_view spoken);

/// "1 day", "3 days"
[[nodiscard]] std::string spoken_days(int days);

/// "{name}" in a text replaced by values; unknown names stay.
[[nodiscard]] std::string fill(std::string_view text,
                               const std::vector<std::pair<std::string_view, std::string>>& values);

/// A sentence of the cautions by its name, {emergency} filled.
[[nodiscard]] std::string caution_text(const Models& models, const std::string& name,
                                       std::vector<std::pair<std::string_view, std::string>> values = {});

}  // namespace steelyard::decide
