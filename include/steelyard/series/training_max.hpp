#pragma once
/// Which training max holds for a lift on a day.

#include <optional>
#include <string_view>

#include "steelyard/domain/log.hpp"
#include "steelyard/params/models.hpp"

namespace steelyard::series {

/// unit        kg
/// definition  the newest written training max of the lift from that day or before; a variant without one takes its
///             share of the parent's. none = nobody has written one
[[nodiscard]] std::optional<double> training_max(const AthleteLog& log, std::string_view lift, Day day,
                                                 const LiftsModel& lifts);

/// Percent of the training max of a set: as written, else from its weight; none = neither is known.
[[nodiscard]] std::optional<double> percent_of(const AthleteLog& log, const SetRow& set, const LiftsModel& lifts);

}  // namespace steelyard::series
