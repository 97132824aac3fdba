#pragma once
/// The sentences of a call. One place for what a person reads beside the cautions.

#include <string>
#include <vector>

#include "bounds.hpp"
#include "morning.hpp"
#include "signs.hpp"

namespace steelyard::decide {

/// "132.5 kg", or in pounds to the half.
[[nodiscard]] std::string spoken_weight(double kg, Unit unit);

/// "3 x 4 at 82.5 %, 132.5 kg" (weight if known); "3 x 12" of work without a percentage
[[nodiscard]] std::string spoken_work(const Prescription& work, std::optional<double> weight_kg, Unit unit);

/// "squats", or the lift's code with blanks.
[[nodiscard]] std::string spoken_plural(const Morning& morning, std::string_view lift);

/// The sentence of the day for the main lift.
[[nodiscard]] std::string headline(const Morning& morning, const LiftCall& call);

/// Which warm-up, which speed or RPE, and what to do then.
[[nodiscard]] std::string at_the_bar(const Morning& morning, const LiftFacts& lift, const LiftCall& call);

/// Reasons, most important first: broken limits, single signs, what the load and the calendar say.
[[nodiscard]] std::vector<std::string> reasons(const Morning& morning, const Signs& signs, const LiftFacts& lift,
                                               const LiftCall& call, const std::vector<Bound>& bounds,
                                               const std::vector<Signal>& signals, bool all_as_planned);

/// What happens to the other lifts and to the accessories of today.
[[nodiscard]] std::string other_lifts(const Morning& morning, const std::vector<LiftCall>& calls);

/// What is not known and what would be needed: gaps, a short history, questions.
[[nodiscard]] std::vector<std::string> about_data(const Morning& morning);

/// The written training max beside what the sessions show, on the lift's first heavy day of a week; overrides that keep
/// going one way. Both name what could be changed and change nothing.
[[nodiscard]] std::vector<std::string> about_habits(const Morning& morning);

/// Missed heavy days of lifts that are not heavy today, and where they could go.
[[nodiscard]] std::vector<std::string> missed_days(const Morning& morning, const Signs& signs,
                                                   const std::vector<LiftCall>& calls);

/// "Thursday"; "Monday 2026-11-30" when a week or more away
[[nodiscard]] std::string spoken_day(Day day, Day today);

}  // namespace steelyard::decide
