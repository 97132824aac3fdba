#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "report/canvas.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "steelyard/report/chart.hpp"

namespace steelyard::report {
namespace {

constexpr std::size_t k_indent = 4;
constexpr std::size_t k_tail = 5;  // room right of the arm for the last number and the sign of percent

struct Marks {
  std::string_view arm, notch, hang, left, line, right, point;
};
constexpr Marks k_ascii{"-", "+", "v", "|", "-", "|", "o"};
constexpr Marks k_unicode{"\u2500", "\u252C", "\u25BC", "\u251C", "\u2500", "\u2524", "\u25CF"};

class Arm {
 public:
  Arm(const Level& level, const Look& look)
      : marks_(look.unicode ? k_unicode : k_ascii),
        span_(usable_width(look) - k_indent - k_tail),
        axis_(percent_axis(level)) {}

  [[nodiscard]] std::size_t column(double percent) const {
    return k_indent + static_cast<std::size_t>(std::round(axis_.share(percent) * static_cast<double>(span_ - 1)));
  }
  [[nodiscard]] Canvas empty_row() const { return {k_indent + span_ + k_tail, 1}; }
  [[nodiscard]] const Marks& marks() const { return marks_; }

  void draw(std::vector<std::string>& out) const {
    Canvas arm = empty_row();
    Canvas numbers = empty_row();
    for (std::size_t i = 0; i < span_; ++i) arm.put(0, k_indent + i, marks_.arm);
    const auto [low, high] = axis_;
    const double step = (high - low) / 10 * 5 > static_cast<double>(span_) ? 20 : 10;
    for (double p = low; p <= high + 1e-9; p += step) {
      const std::string text = format_number(p, 0) + (p + step > high + 1e-9 ? " %" : "");
      arm.put(0, column(p), marks_.notch);
      numbers.write(0, column(p) - (p >= 100 ? 1 : 0), text);
    }
    out.push_back(arm.row(0));
    out.push_back(numbers.row(0));
  }

  /// |--- text ---|, or |---| text where it is too short.
  void draw_segment(Canvas& row, double low, double high, const std::string& text) const {
    const std::size_t a = column(low);
    const std::size_t b = column(high);
    for (std::size_t i = a; i <= b; ++i) row.put(0, i, marks_.line);
    row.put(0, a, marks_.left);
    row.put(0, b, marks_.right);
    if (text.empty()) return;
    const std::size_t inside = b - a + 1;
    if (inside >= text.size() + 6)
      row.write(0, a + (inside - text.size() - 2) / 2, " " + text + " ");
    else if (b + 2 + text.size() <= row.width())
      row.write(0, b + 2, text);
    else
      row.write(0, a - std::min(a, text.size() + 1), text);
  }

 private:
  const Marks& marks_;
  std::size_t span_;
  PercentAxis axis_;
};

/// A mark with its name right of it, or left of it where the right is taken.
bool hang(Canvas& row, std::size_t column, const std::string& name, std::string_view mark, bool left_first) {
  for (const bool left : {left_first, !left_first}) {
    const std::size_t length = name.size() + 2;
    if (left && column + 1 < length) continue;
    const std::size_t from = left ? column + 1 - length : column;
    if (!row.is_free(0, from, length)) continue;
    row.put(0, column, mark);
    row.write(0, left ? from : column + 2, name);
    return true;
  }
  return false;
}

void hang_weights(const Level& level, const Arm& arm, std::vector<std::string>& out) {
  struct Weight {
    double percent;
    std::string name;
  };
  const auto named = [](std::string_view what, double p) { return fmt::format("{} {} %", what, format_number(p, 1)); };
  std::vector<Weight> weights;
  if (level.plan && level.call && *level.plan == *level.call) {
    weights.push_back({*level.call, named("plan and call", *level.call)});
  } else {
    if (level.call) weights.push_back({*level.call, named("call", *level.call)});
    if (level.plan) weights.push_back({*level.plan, named("plan", *level.plan)});
  }
  std::stable_sort(weights.begin(), weights.end(),
                   [](const Weight& a, const Weight& b) { return a.percent < b.percent; });
  Canvas row = arm.empty_row();
  for (std::size_t i = 0; i < weights.size(); ++i) {
    const bool left_first = weights.size() == 2 && i == 0;
    if (hang(row, arm.column(weights[i].percent), weights[i].name, arm.marks().hang, left_first)) continue;
    out.push_back(row.row(0));  // both fall on one column: the second hangs one row lower
    row = arm.empty_row();
    hang(row, arm.column(weights[i].percent), weights[i].name, arm.marks().hang, false);
  }
  if (!weights.empty()) out.push_back(row.row(0));
}

struct NamedBand {
  double low;
  double high;
  std::string name;
};

/// Bands with the same range share a segment; a segment goes into the first row where it is free.
void draw_bands(const Level& level, const Arm& arm, std::vector<std::string>& out) {
  std::vector<NamedBand> named;
  for (const KindBand& band : level.bands) {
    const auto same = std::find_if(named.begin(), named.end(),
                                   [&](const NamedBand& n) { return n.low == band.low && n.high == band.high; });
    if (same == named.end())
      named.push_back({band.low, band.high, std::string(word(band.kind))});
    else
      same->name += ", " + std::string(word(band.kind));
  }
  std::vector<Canvas> rows;
  for (const NamedBand& band : named) {
    const std::size_t a = arm.column(band.low);
    const std::size_t b = arm.column(band.high);
    const bool inside = b - a + 1 >= band.name.size() + 6;
    const std::size_t length = inside ? b - a + 1 : b - a + 2 + band.name.size();
    auto row = std::find_if(rows.begin(), rows.end(), [&](const Canvas& r) {
      return r.is_free(0, a - 1, std::min(length + 2, r.width() - a + 1));
    });
    if (row == rows.end()) row = rows.insert(rows.end(), arm.empty_row());
    arm.draw_segment(*row, band.low, band.high, band.name);
  }
  for (const Canvas& row : rows) out.push_back(row.row(0));
}

void draw_expected(const Level& level, const Arm& arm, std::vector<std::string>& out) {
  if (!level.expected) return;
  Canvas row = arm.empty_row();
  arm.draw_segment(row, level.low80, level.high80, "");
  row.put(0, arm.column(*level.expected), arm.marks().point);
  const std::string text = "expected";
  const std::size_t after = arm.column(level.high80) + 2;
  const std::size_t before = arm.column(level.low80);
  if (after + text.size() <= row.width())
    row.write(0, after, text);
  else if (before > text.size())
    row.write(0, before - text.size() - 1, text);
  out.push_back(row.row(0));
}

}  // namespace

double PercentAxis::share(double percent) const {
  return std::clamp((percent - low) / (high - low), 0.0, 1.0);
}

PercentAxis percent_axis(const Level& level) {
  PercentAxis axis;
  const auto include = [&](double low, double high) {
    axis.low = std::max(0.0, std::min(axis.low, std::floor(low / 10) * 10));
    axis.high = std::min(200.0, std::max(axis.high, std::ceil(high / 10) * 10));
  };
  for (const auto& x : {level.plan, level.call, level.expected}) {
    if (x) include(*x, *x);
  }
  if (level.expected) include(level.low80, level.high80);
  for (const KindBand& band : level.bands) include(band.low, band.high);
  return axis;
}

std::vector<std::string> level_rows(const Level& level, const Look& look) {
  std::vector<std::string> out;
  const Arm arm(level, look);
  hang_weights(level, arm, out);
  arm.draw(out);
  draw_bands(level, arm, out);
  draw_expected(level, arm, out);
  return out;
}

}  // namespace steelyard::report
