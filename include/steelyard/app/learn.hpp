#pragma once
/// What was learned about a lifter, and how good its forecasts were.
/// definition  States of the learner are kept at the end of days: of the last 15, of each seventh day of the last 26
///             weeks, of each 91st before. The newest valid one not after the day in question is taken and the days
///             after it are walked; a state is valid while models and squad priors are the same and no earlier row has
///             changed (the store drops it then). Without any the whole history is walked once.

#include <optional>
#include <string>
#include <vector>

#include "steelyard/app/context.hpp"
#include "steelyard/domain/learned.hpp"
#include "steelyard/learn/learner.hpp"

namespace steelyard::app {

/// Learned forecasts of the lifts planned that day, kept before the fact.
[[nodiscard]] Result<learn::Today> learned_today(Context& context, const AthleteLog& log, Day day);

[[nodiscard]] Result<StrengthReport> strength(Context& context, const Athlete& athlete, Day day);

struct MarkedForecasts {
  Marks marks;
  std::vector<ForecastLine> lines;  ///< ascending by athlete, date and target
};
/// Every forecast up to that day against what came. A forecast that was kept before the fact stands as it was made.
[[nodiscard]] Result<MarkedForecasts> marks(Context& context, const Athlete& athlete, Day day);
/// The same over several athletes. `day`: none = today where each lives.
[[nodiscard]] Result<MarkedForecasts> marks_of_squad(Context& context, const std::vector<Athlete>& athletes,
                                                     std::optional<Day> day);

/// The state of the learner at the end of the day before.
[[nodiscard]] Result<LearnReport> learned_state(Context& context, const Athlete& athlete, Day day);
/// Walks every athlete's history afresh, on all processors, and keeps the states.   returns  number of athletes
[[nodiscard]] Result<std::size_t> learn_all(Context& context, const std::vector<Athlete>& athletes,
                                            std::optional<Day> day);
/// Estimates what is usual in a squad and keeps it as everybody's prior. Too few lifters: the report says so and
/// nothing changes.
[[nodiscard]] Result<LearnReport> learn_squad(Context& context, const std::vector<Athlete>& athletes,
                                              std::optional<Day> day);

}  // namespace steelyard::app
