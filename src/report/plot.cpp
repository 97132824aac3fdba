#include "report/plot.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "steelyard/base/text.hpp"

namespace steelyard::report {
namespace {

/// The least of 1, 2, 5 times a power of ten that gives at most `most` steps over `span`.
double round_step(double span, int most) {
  const double least = span / most;
  const double power = std::pow(10.0, std::floor(std::log10(least)));
  for (const double digit : {1.0, 2.0, 5.0}) {
    if (digit * power >= least * (1 - 1e-12)) return digit * power;
  }
  return 10 * power;
}

constexpr int k_steps = 4;

}  // namespace

PlotRange rounded(PlotRange range) {
  const double span = range.high > range.low ? range.high - range.low : std::max(std::fabs(range.high), 1.0) / 2;
  const double step = round_step(span, k_steps);
  range.low = std::floor(range.low / step + 1e-9) * step;
  range.high = std::ceil(range.high / step - 1e-9) * step;
  if (range.high <= range.low) range.high = range.low + step;
  return range;
}

Plot::Plot(const PlotRange& range, const PlotSize& size, std::string_view id, std::string_view title,
           std::string_view summary)
    : range_(range),
      left_(size.numbers ? 42 : 4),
      right_(size.width - 8),
      bottom_(size.height - (size.numbers ? 26 : 10)),
      svg_(size.width, size.height, id, title, summary) {
  svg_.line(left_, bottom_, right_, bottom_);
  if (!size.numbers) return;
  draw_values();
  draw_days();
}

double Plot::x(Day day) const {
  const int span = std::max(1, days_between(range_.from, range_.to));
  constexpr double k_inside = 6;  // no mark stands on the edge
  return left_ + k_inside + (right_ - left_ - 2 * k_inside) * days_between(range_.from, day) / span;
}

double Plot::y(double value) const {
  const double share = std::clamp((value - range_.low) / (range_.high - range_.low), 0.0, 1.0);
  return bottom_ - share * (bottom_ - top_);
}

void Plot::draw_values() {
  const double step = round_step(range_.high - range_.low, k_steps);
  for (int i = 0; range_.low + i * step <= range_.high + step * 1e-6; ++i) {
    const double value = range_.low + i * step;
    if (i > 0) svg_.line(left_, y(value), right_, y(value), {.width = 1, .opacity = 0.25});
    svg_.text(left_ - 5, y(value) + 4, format_number(value, 2), Anchor::end);
  }
}

void Plot::draw_days() {
  constexpr double k_room = 52;  // of a label
  const int span = std::max(1, days_between(range_.from, range_.to));
  const double day_width = (right_ - left_) / span;
  int step = 7;
  while (step * day_width < k_room) step += 7;
  const int first = (7 - weekday_index(range_.from)) % 7;  // labels stand under Mondays
  for (int i = first; i <= span; i += step) {
    const Day day = range_.from + Days{i};
    svg_.line(x(day), bottom_, x(day), bottom_ + 6);
    svg_.text(std::clamp(x(day), left_ + 8, right_ - 16), bottom_ + 20, format_day(day).substr(5));
  }
}

void Trace::add(Day day, const std::optional<double>& value) {
  if (!value) {
    broken_ = true;
    return;
  }
  commands_ += fmt::format("{}{} {}", broken_ ? "M" : "L", coordinate(plot_.x(day)), coordinate(plot_.y(*value)));
  broken_ = false;
}

}  // namespace steelyard::report
