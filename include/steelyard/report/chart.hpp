#pragma once
/// Charts in rows of text: daily bars, a line, and the level on which the plan and the call hang.
/// definition  Rows have no line end and are never wider than usable_width(look). Blanks in them matter (Page::drawn).

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/domain/records.hpp"
#include "steelyard/report/look.hpp"

namespace steelyard::report {

/// domain  value >= 0; absent = nothing known
struct Bar {
  std::optional<double> value;
  bool pale = false;           ///< drawn lighter: an estimated value
  std::string_view mark = {};  ///< one column, stands on the base where there is no bar
};

/// A text below the axis, starting under the element with that index; left out where it would touch the one before.
struct AxisLabel {
  std::size_t index = 0;
  std::string text;
};

/// shape   one bar an element, oldest first; when they do not fit, the last ones are shown
/// unit    the scale starts at zero and ends at the next round number
[[nodiscard]] std::vector<std::string> bar_chart(std::span<const Bar> bars, std::span<const AxisLabel> labels,
                                                 const Look& look, int height = 6);

/// shape   one value an element, evenly spaced; an absent one is a gap. When there are more values than columns, each
///         column shows the mean of the known values that fall on it.
/// unit    the scale runs from the round number below the least value to that above the greatest
[[nodiscard]] std::vector<std::string> line_chart(std::span<const std::optional<double>> values,
                                                  std::span<const AxisLabel> labels, const Look& look, int height = 8);

/// Percent of the training max that belongs to a kind of day.
struct KindBand {
  DayKind kind = DayKind::heavy;
  double low = 0;
  double high = 0;
};

/// unit  percent of the training max
struct Level {
  std::optional<double> plan;
  std::optional<double> call;
  std::optional<double> expected;
  double low80 = 0;
  double high80 = 0;
  std::optional<double> training_max_kg;  ///< kilos beside the percent, where there is room for them
  std::vector<KindBand> bands;
};

/// The part of the arm that shows everything on it, ending at tens.
/// unit  percent of the training max, within 0 and 200
struct PercentAxis {
  double low = 40;
  double high = 110;
  /// 0 at its low end, 1 at its high one
  [[nodiscard]] double share(double percent) const;
};
[[nodiscard]] PercentAxis percent_axis(const Level& level);

/// One horizontal arm of percent: above it plan and call, below it the kinds of day and the expected strength.
[[nodiscard]] std::vector<std::string> level_rows(const Level& level, const Look& look);

}  // namespace steelyard::report
