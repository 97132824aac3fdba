#pragma once
/// The answers: today's call, today's options, the coach's week, and what was answered before.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/app/context.hpp"
#include "steelyard/domain/call.hpp"
#include "steelyard/domain/week.hpp"
#include "steelyard/report/chart.hpp"

namespace steelyard::app {

/// Makes the call of that day and keeps it, with everything behind it, for `why`. shown: unit of weights in its
/// sentences for this answer; what is kept speaks in the lifter's own
[[nodiscard]] Result<DayCall> today(Context& context, const Athlete& athlete, Day day,
                                    std::optional<Unit> shown = std::nullopt);

/// Today's options of one lift, else of the main lift.   errors  no_input (the lift is not planned that day)
[[nodiscard]] Result<Comparison> compare(Context& context, const Athlete& athlete, Day day,
                                         const std::optional<std::string>& lift);

/// What the rule at the bar says after a last warm-up set of that RPE (1-10). lift: none = the main one
/// errors  no_input (the lift has no working weight that day)
[[nodiscard]] Result<BarDecision> after_warmup(Context& context, const Athlete& athlete, Day day,
                                               const std::optional<std::string>& lift, double rpe,
                                               std::optional<Unit> shown = std::nullopt);

/// The call of that day as it was made: its JSON and its words.   errors  no_input (none was made)
[[nodiscard]] Result<store::StoredCall> why(Context& context, const Athlete& athlete, Day day,
                                            std::string_view command = "today");

struct WeekOptions {
  std::optional<IsoWeek> week;       ///< none = the last full one
  std::optional<std::string> group;  ///< none = everybody
  std::optional<Day> today;          ///< none = where the first athlete lives
};
/// errors  no_input (no athletes, no such group), usage (the week has not begun)
[[nodiscard]] Result<WeekReview> week(Context& context, const WeekOptions& options);

[[nodiscard]] WeekVerdict verdict_of(const store::WeekDecision& decision);

/// Keeps what a coach decided on an athlete's line of a week; week() shows it from then on. The plan stays as it is: a
/// next step is a sentence, and each morning's call heeds the same signs.
/// `by`: who decides, in words that follow the decision: "by the coach of club".
/// errors  bad_data (not a decision; a change without a note), no_input (no such athlete)
[[nodiscard]] Result<WeekVerdict> decide_week(Context& context, IsoWeek week, const std::string& athlete,
                                              const std::string& decision, const std::string& note,
                                              const std::string& by);

/// Percent ranges of the day kinds, for the drawn level.
[[nodiscard]] std::vector<report::KindBand> kind_bands(const Models& models);

}  // namespace steelyard::app
