#pragma once
/// What reports hold: one lifter, the squad, the wall sheet.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/app/context.hpp"
#include "steelyard/domain/report.hpp"

namespace steelyard::app {

/// Everything about one lifter on one day; the call of the day is made and kept.
[[nodiscard]] Result<LifterReport> lifter_report(Context& context, const Athlete& athlete, Day day);

/// The last full week and the load of the last weeks of each. group: none = everybody; day: none = where the first
/// lives.   errors  no_input (no athletes, no such group)
[[nodiscard]] Result<SquadReport> squad_report(Context& context, const std::optional<std::string>& group,
                                               std::optional<Day> day);

/// The load of the last weeks of each. day: none = where each lives
[[nodiscard]] Result<SquadReport> squad_loads(Context& context, const std::vector<Athlete>& athletes,
                                              std::optional<Day> day);

/// The coming `days` days (1-14) of each, as `ahead` gives them. day: none = where each lives
[[nodiscard]] Result<WallSheet> wall_sheet(Context& context, const std::vector<Athlete>& athletes,
                                           std::optional<Day> day, int days);

/// Eight weeks, so that the page and the report show the same.
inline constexpr int k_item_days = 56;

/// Values of the morning items over the `days` up to `day`, each against the own usual before it.
[[nodiscard]] std::vector<ItemTrend> item_trends(const AthleteLog& log, Day day, int days, const Models& models);

}  // namespace steelyard::app
