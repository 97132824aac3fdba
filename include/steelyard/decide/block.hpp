#pragma once
/// A block of weeks made from its first one.

#include <vector>

#include "steelyard/domain/call.hpp"
#include "steelyard/domain/log.hpp"
#include "steelyard/params/models.hpp"

namespace steelyard::decide {

/// The weeks after the first; the first stays as it is written.
/// definition  models/day-kinds.toml [block]: each kind of day goes up by its step a week, not above the upper edge of
///             its range (a first week that is above stays where it is), and not beyond what its repetitions allow on
///             the rep-max curve. In the easy week the sets are cut and the percent of the week before is changed as
///             said there, the minutes with the sets; the week after it goes on from the last full week. Blanks of a
///             row stay blank
/// domain      first_week: plan rows of one ISO week, Monday to Sunday
[[nodiscard]] BlockPlan block_weeks(const std::vector<PlanRow>& first_week, const Models& models);

}  // namespace steelyard::decide
