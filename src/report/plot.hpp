#pragma once
/// The frame of a chart over calendar days: scales, grid lines with their numbers, days below the axis.

#include <optional>
#include <string>
#include <string_view>

#include "report/svg_writer.hpp"
#include "steelyard/base/day.hpp"

namespace steelyard::report {

struct PlotRange {
  Day from{};
  Day to{};
  double low = 0;
  double high = 1;
};

struct PlotSize {
  double width = 360;
  double height = 170;
  bool numbers = true;  ///< numbers at the axes
};

class Plot {
 public:
  Plot(const PlotRange& range, const PlotSize& size, std::string_view id, std::string_view title,
       std::string_view summary);

  [[nodiscard]] double x(Day day) const;
  [[nodiscard]] double y(double value) const;
  [[nodiscard]] double base() const { return bottom_; }
  [[nodiscard]] SvgWriter& svg() { return svg_; }
  [[nodiscard]] std::string take() { return svg_.take(); }

 private:
  void draw_values();
  void draw_days();

  PlotRange range_;
  double left_;
  double right_;
  double top_ = 10;
  double bottom_;
  SvgWriter svg_;
};

/// Limits that hold [low, high] and end on multiples of a round step; for equal ones a span of one step.
[[nodiscard]] PlotRange rounded(PlotRange range);

/// A line through values day by day, broken where one is absent.
class Trace {
 public:
  explicit Trace(const Plot& plot) : plot_(plot) {}
  void add(Day day, const std::optional<double>& value);
  [[nodiscard]] const std::string& commands() const { return commands_; }

 private:
  const Plot& plot_;
  std::string commands_;
  bool broken_ = true;
};

}  // namespace steelyard::report
