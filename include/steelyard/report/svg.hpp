#pragma once
/// Charts as SVG, for pages, paper and mail.
/// definition  Drawn in the colour of the surrounding text, so dark, light and print need nothing else; series are told
///             apart by shape, hatching and words, never by hue; no range is drawn as good or bad. Every picture has a
///             title and a summary for screen readers.
/// domain      id: unique on the page, letters, digits and '-'

#include <span>
#include <string>
#include <string_view>

#include "steelyard/domain/report.hpp"
#include "steelyard/report/chart.hpp"

namespace steelyard::report {

/// One level scale of percent of the training max, kilos beside it; the kinds of day as hatched segments, the expected
/// strength as a weight that hangs from it with its 80 % interval as a line under it, plan and call as labelled marks.
[[nodiscard]] std::string level_svg(const Level& level, const Look& look, std::string_view id);

/// Session by session: the interval that was expected before it, its middle, and what came.
[[nodiscard]] std::string strength_svg(const LiftStrength& lift, const Look& look, std::string_view id);

/// Load of each day: a dot on a stem (dashed = estimated); a rest day is a tick under the axis, an unlogged day an open
/// mark with what that weekday usually carries, the day under way a square.
[[nodiscard]] std::string load_svg(std::span<const DayFigures> days, std::span<const UsualLoad> usual,
                                   std::string_view id);
/// The same for one of many lifters: small, without numbers on the time axis.
[[nodiscard]] std::string small_load_svg(std::string_view athlete, std::span<const DayFigures> days,
                                         std::span<const UsualLoad> usual, std::string_view id);

/// The 7-day sum (whole line) against the weekly mean of 28 days (dashed).
[[nodiscard]] std::string sums_svg(std::span<const DayFigures> days, std::string_view id);

/// The coupled ratio as a dot on the line from its low to its high reading.
[[nodiscard]] std::string ratio_svg(std::span<const DayFigures> days, std::string_view id);

/// Values of a morning item as dots, the own usual as a line, one SD around it as thin lines.
[[nodiscard]] std::string item_svg(const ItemTrend& trend, std::string_view id);

/// "sleep quality"
[[nodiscard]] std::string spoken_item(std::string_view item);

}  // namespace steelyard::report
