#pragma once
/// What several answers about one lifter and one day begin with, read and learned once.

#include "steelyard/app/context.hpp"
#include "steelyard/domain/call.hpp"
#include "steelyard/learn/learner.hpp"

namespace steelyard::app {

struct OneDay {
  AthleteLog log;  ///< log_around() the day
  learn::Today learned;
};
[[nodiscard]] Result<OneDay> one_day(Context& context, const Athlete& athlete, Day day);

/// Makes the call and keeps it.
[[nodiscard]] Result<DayCall> call_of(Context& context, const OneDay& known, Day day);

/// lift: its code; none = the main one of the day
/// errors  no_input (the lift is not planned that day)
[[nodiscard]] Result<Comparison> comparison_of(Context& context, const OneDay& known, Day day,
                                               const std::optional<std::string>& lift);

}  // namespace steelyard::app
