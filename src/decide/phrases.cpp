#include "phrases.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <initializer_list>

#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"

namespace steelyard::decide {
namespace {

/// Lower case, with the typographic apostrophe of phones as the plain one.
std::string plain(std::string_view note) {
  constexpr std::string_view curly = "\xE2\x80\x99";
  std::string text = to_lower(note);
  for (std::size_t at = 0; (at = text.find(curly, at)) != std::string::npos;) text.replace(at, curly.size(), "'");
  return text;
}

bool is_word_part(std::string_view text, std::size_t i) {
  if (i >= text.size()) return false;
  const auto c = static_cast<unsigned char>(text[i]);
  return (c >= 'a' && c <= 'z') || c == '\'' || c >= 0x80;
}

/// Start of the next occurrence at word borders from `at` on, or npos.
std::size_t next_occurrence(std::string_view text, std::string_view phrase, std::size_t at) {
  for (; (at = text.find(phrase, at)) != std::string_view::npos; ++at) {
    const bool starts = at == 0 || !is_word_part(text, at - 1);
    if (starts && !is_word_part(text, at + phrase.size())) return at;
  }
  return at;
}

bool inside_harmless(std::string_view text, std::size_t at, std::size_t size,
                     const std::vector<std::string>& harmless) {
  return std::any_of(harmless.begin(), harmless.end(), [&](const std::string& longer) {
    for (std::size_t start = 0; (start = next_occurrence(text, longer, start)) != std::string_view::npos; ++start) {
      if (start <= at && at + size <= start + longer.size()) return true;
    }
    return false;
  });
}

bool is_one_of(std::string_view word, std::initializer_list<std::string_view> words) {
  return std::find(words.begin(), words.end(), word) != words.end();
}

/// What stands before a phrase without the comma, "or" or "and" that ties it to the item before it in a list.
std::string_view without_connectors(std::string_view before) {
  for (std::string_view rest = before;; before = rest) {
    rest = trim(rest);
    if (rest.ends_with(',')) {
      rest.remove_suffix(1);
    } else if (const auto words = split_words(rest);
               !words.empty() && is_one_of(words.back(), {"or", "and", "nor", "any"})) {
      rest.remove_suffix(words.back().size());
    } else {
      return rest;
    }
  }
}

bool is_negated(std::string_view before, const CautionsModel& model);

/// "no chest pain, dizziness or fever": an item of a list is denied as the one before it is.
bool follows_denied_sign(std::string_view before, const CautionsModel& model) {
  const std::string_view item = without_connectors(before);
  if (item.size() == trim(before).size()) return false;
  for (const SignModel& sign : model.signs) {
    for (const std::string& phrase : sign.words) {
      const bool ends = item.ends_with(phrase) && !is_word_part(item, item.size() - phrase.size() - 1);
      if (ends && is_negated(item.substr(0, item.size() - phrase.size()), model)) return true;
    }
  }
  return false;
}

/// A negation within three words before, in the same part of the sentence: "no sleep, chest pain" denies no pain.
bool is_negated(std::string_view before, const CautionsModel& model) {
  if (const auto clause = before.find_last_of(".;:!?"); clause != std::string_view::npos)
    before.remove_prefix(clause + 1);
  if (follows_denied_sign(before, model)) return true;
  if (const auto comma = before.find_last_of(','); comma != std::string_view::npos) before.remove_prefix(comma + 1);
  constexpr std::size_t reach = 3;
  auto words = split_words(before);
  for (std::size_t i = words.size(); i-- > 0;) {
    const bool turns = is_one_of(words[i], {"but", "because"});
    if (!turns && words.size() - i <= reach) continue;
    words.erase(words.begin(), words.begin() + static_cast<std::ptrdiff_t>(i) + 1);
    break;
  }
  if (words.empty()) return false;
  if (is_one_of(words.back(), {"worse", "such", "like"})) return false;  // "never had worse chest pain" has it
  before.remove_prefix(static_cast<std::size_t>(words.front().data() - before.data()));
  return std::any_of(model.negations.begin(), model.negations.end(),
                     [&](const std::string& n) { return next_occurrence(before, n, 0) != std::string_view::npos; });
}

}  // namespace

Phrase find_phrase(std::string_view note, std::string_view phrase, const CautionsModel& model) {
  const std::string text = plain(note);
  Phrase result;
  for (std::size_t at = 0; (at = next_occurrence(text, phrase, at)) != std::string::npos; at += phrase.size()) {
    if (inside_harmless(text, at, phrase.size(), model.harmless)) continue;
    const bool negated = is_negated(std::string_view(text).substr(0, at), model);
    result.negated = negated && (result.negated || !result.found);
    result.found = true;
    ++result.times;
  }
  return result;
}

bool speaks_of_distress(std::string_view note, const CautionsModel& model) {
  return std::any_of(model.distress_words.begin(), model.distress_words.end(), [&](const std::string& phrase) {
    const Phrase found = find_phrase(note, phrase, model);
    return found.found && !found.negated;
  });
}

std::string spoken_plural(const LiftsModel& lifts, std::string_view lift) {
  const LiftModel* model = lifts.find(lift);
  return model != nullptr ? model->say : spoken_lift(lift);
}

std::string_view is_or_are(std::string_view spoken) {
  return spoken.ends_with('s') ? "are" : "is";
}

std::string spoken_days(int days) {
  return days == 1 ? "1 day" : fmt::format("{} days", days);
}

std::string fill(std::string_view text, const std::vector<std::pair<std::string_view, std::string>>& values) {
  std::string out(text);
  for (const auto& [name, value] : values) {
    const std::string mark = "{" + std::string(name) + "}";
    for (std::size_t at = 0; (at = out.find(mark, at)) != std::string::npos; at += value.size()) {
      out.replace(at, mark.size(), value);
      constexpr std::string_view plural = " days";
      const std::size_t after = at + value.size();
      if (value == "1" && out.compare(after, plural.size(), plural) == 0) out.erase(after + plural.size() - 1, 1);
    }
  }
  return out;
}

std::string caution_text(const Models& models, const std::string& name,
                         std::vector<std::pair<std::string_view, std::string>> values) {
  const auto found = models.cautions.texts.find(name);
  if (found == models.cautions.texts.end()) return {};
  values.emplace_back("emergency", models.cautions.emergency_number);
  return fill(found->second, values);
}

}  // namespace steelyard::decide
