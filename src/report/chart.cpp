#include "steelyard/report/chart.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "report/canvas.hpp"
#include "steelyard/base/text.hpp"

namespace steelyard::report {
namespace {

constexpr std::size_t k_indent = 2;

struct Marks {
  std::string_view upright, corner, flat, full, pale, point;
};
constexpr Marks k_ascii{"|", "+", "-", "#", ":", "o"};
constexpr Marks k_unicode{"\u2502", "\u2514", "\u2500", "\u2588", "\u2591", "\u25CF"};
constexpr std::array<std::string_view, 9> k_eighths{" ",      "\u2581", "\u2582", "\u2583", "\u2584",
                                                    "\u2585", "\u2586", "\u2587", "\u2588"};

const Marks& marks(const Look& look) {
  return look.unicode ? k_unicode : k_ascii;
}

/// The least of 1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10 times a power of ten that is not below x.
double round_up(double x) {
  if (!(x > 0)) return 1;
  const double power = std::pow(10.0, std::floor(std::log10(x)));
  for (const double digit : {1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0}) {
    if (digit * power >= x * (1 - 1e-12)) return digit * power;
  }
  return 10 * power;
}

struct Scale {
  double low = 0;
  double high = 1;
  [[nodiscard]] double share(double x) const { return std::clamp((x - low) / (high - low), 0.0, 1.0); }
};

/// The frame of a chart: `height` rows with numbers at the top, in the middle and at the base, then axis and labels.
class Frame {
 public:
  Frame(const Scale& scale, std::size_t height, const Look& look) : look_(look), height_(height) {
    numbers_ = {format_number(scale.high, 2), format_number((scale.low + scale.high) / 2, 2),
                format_number(scale.low, 2)};
    for (const auto& number : numbers_) margin_ = std::max(margin_, number.size());
    margin_ += k_indent;
  }
  [[nodiscard]] std::size_t room() const { return usable_width(look_) - margin_ - 2; }

  [[nodiscard]] std::vector<std::string> rows(const Canvas& canvas, std::span<const AxisLabel> labels,
                                              std::size_t step) const {
    std::vector<std::string> out;
    for (std::size_t r = 0; r < height_; ++r) {
      const std::string_view number = r == 0 ? numbers_[0] : r * 2 == height_ ? numbers_[1] : std::string_view{};
      out.push_back(padded(number) + ' ' + std::string(marks(look_).upright) + canvas.row(r));
    }
    std::string axis = padded(numbers_[2]) + ' ' + std::string(marks(look_).corner);
    for (std::size_t i = 0; i < canvas.width(); ++i) axis += marks(look_).flat;
    out.push_back(axis);
    if (!labels.empty()) {
      Canvas names(canvas.width(), 1);
      std::size_t free_from = 0;
      for (const AxisLabel& label : labels) {
        const std::size_t at = label.index * step;
        if (at < free_from || at + label.text.size() > names.width()) continue;
        names.write(0, at, label.text);
        free_from = at + label.text.size() + 1;
      }
      out.push_back(std::string(margin_ + 2, ' ') + names.row(0));
    }
    return out;
  }

 private:
  [[nodiscard]] std::string padded(std::string_view number) const {
    return std::string(margin_ - number.size(), ' ') + std::string(number);
  }

  Look look_;
  std::size_t height_;
  std::size_t margin_ = 0;
  std::array<std::string, 3> numbers_;
};

void draw_bar(Canvas& canvas, std::size_t column, const Bar& bar, double share, std::size_t height, const Look& look) {
  const bool fine = look.unicode && !bar.pale;
  const double parts = fine ? 8.0 : 1.0;
  // A load that is not zero is always seen.
  const auto filled = static_cast<std::size_t>(std::max(1.0, std::round(share * static_cast<double>(height) * parts)));
  const auto per_cell = static_cast<std::size_t>(parts);
  for (std::size_t r = 0; r * per_cell < filled; ++r) {
    const std::size_t in_cell = std::min(per_cell, filled - r * per_cell);
    const std::string_view mark = fine ? k_eighths[in_cell] : bar.pale ? marks(look).pale : marks(look).full;
    canvas.put(height - 1 - r, column, mark);
  }
}

/// Labels of the elements from `first` on, counted from there.
std::vector<AxisLabel> labels_from(std::span<const AxisLabel> labels, std::size_t first) {
  std::vector<AxisLabel> kept;
  for (const AxisLabel& label : labels) {
    if (label.index >= first) kept.push_back({label.index - first, label.text});
  }
  return kept;
}

/// Each column the mean of the known values that fall on it.
std::vector<std::optional<double>> thinned(std::span<const std::optional<double>> values, std::size_t room) {
  std::vector<std::optional<double>> out(std::min(values.size(), room));
  for (std::size_t c = 0; c < out.size(); ++c) {
    double sum = 0;
    int n = 0;
    for (std::size_t i = c * values.size() / out.size(); i < (c + 1) * values.size() / out.size(); ++i) {
      if (!values[i]) continue;
      sum += *values[i];
      ++n;
    }
    if (n > 0) out[c] = sum / n;
  }
  return out;
}

Scale line_scale(std::span<const std::optional<double>> values) {
  std::optional<double> low;
  std::optional<double> high;
  for (const auto& value : values) {
    if (!value) continue;
    low = std::min(low.value_or(*value), *value);
    high = std::max(high.value_or(*value), *value);
  }
  if (!low) return {};
  const double step = round_up(std::max((*high - *low) / 4, 1e-9 + std::fabs(*high) * 1e-3));
  Scale scale{std::floor(*low / step) * step, std::ceil(*high / step) * step};
  if (scale.high <= scale.low) scale.high = scale.low + step;
  return scale;
}

}  // namespace

std::vector<std::string> bar_chart(std::span<const Bar> bars, std::span<const AxisLabel> labels, const Look& look,
                                   int height) {
  double greatest = 0;
  for (const Bar& bar : bars) greatest = std::max(greatest, bar.value.value_or(0));
  const Scale scale{0, round_up(greatest)};
  const auto rows = static_cast<std::size_t>(std::max(height, 2));
  const Frame frame(scale, rows, look);
  const std::size_t step = bars.size() * 2 <= frame.room() ? 2 : 1;
  const std::size_t shown = std::min(bars.size(), frame.room() / step);
  const std::size_t first = bars.size() - shown;
  Canvas canvas(std::max<std::size_t>(shown * step, 1), rows);
  for (std::size_t i = 0; i < shown; ++i) {
    const Bar& bar = bars[first + i];
    if (bar.value.value_or(0) > 0) {
      draw_bar(canvas, i * step, bar, scale.share(*bar.value), rows, look);
    } else if (!bar.mark.empty()) {
      canvas.put(rows - 1, i * step, bar.mark);
    }
  }
  return frame.rows(canvas, labels_from(labels, first), step);
}

std::vector<std::string> line_chart(std::span<const std::optional<double>> values, std::span<const AxisLabel> labels,
                                    const Look& look, int height) {
  const Scale scale = line_scale(values);
  const auto rows = static_cast<std::size_t>(std::max(height, 2));
  const Frame frame(scale, rows, look);
  const auto columns = thinned(values, frame.room());
  Canvas canvas(std::max<std::size_t>(columns.size(), 1), rows);
  for (std::size_t c = 0; c < columns.size(); ++c) {
    if (!columns[c]) continue;
    const double up = std::round(scale.share(*columns[c]) * static_cast<double>(rows - 1));
    canvas.put(rows - 1 - static_cast<std::size_t>(up), c, marks(look).point);
  }
  std::vector<AxisLabel> placed;
  for (const AxisLabel& label : labels) {
    if (label.index < values.size()) placed.push_back({label.index * columns.size() / values.size(), label.text});
  }
  return frame.rows(canvas, placed, 1);
}

}  // namespace steelyard::report
