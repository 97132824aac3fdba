#pragma once
/// The best order of kinds for the next 14 days over the days available.
/// definition  Today is as called. For the days after it an exact search over all orders, lifts of one spacing group
///             together, takes the first of these that differs: fewer limits broken; fewer wanted kinds missing (heavy
///             counts most, then volume, then speed); hard days further apart; fewer changes to the written plan.
///             Wanted in a calendar week: the written kinds, else those of the last written week, less what was done
///             already. Before a meet nothing heavy is placed after the lift's last heavy day, and the volume comes
///             down over the taper.
/// errors      none
/// cost        under 300 ms for three lifts (tests/bench)

#include "steelyard/domain/ahead.hpp"
#include "steelyard/domain/log.hpp"
#include "steelyard/params/models.hpp"

namespace steelyard::decide {

/// `call` = today's call, as call_for gave it.
[[nodiscard]] Ahead look_ahead(const AthleteLog& log, Day today, const DayCall& call, const Models& models);

}  // namespace steelyard::decide
