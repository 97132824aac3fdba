#include <algorithm>

#include "report/svg_writer.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "steelyard/report/svg.hpp"

namespace steelyard::report {
namespace {

constexpr double k_width = 320;
constexpr double k_left = 18;
constexpr double k_right = 300;
constexpr double k_letter = 7.7;  // width of a letter of 14 units, on the wide side
constexpr double k_size = 14;     // of letters; numbers along the beam are a little smaller
constexpr double k_number = 12.5;
constexpr double k_plan_row = 14;
constexpr double k_call_row = 32;
constexpr double k_beam = 48;
constexpr double k_weight = 98;  // top of the hanging weight
constexpr double k_band_height = 15;

struct Scale : PercentAxis {
  [[nodiscard]] double x(double percent) const { return k_left + share(percent) * (k_right - k_left); }
};

/// Words near x that stay inside the picture.
void words_at(SvgWriter& svg, double x, double y, std::string_view words) {
  const double half = k_letter * static_cast<double>(columns(words)) / 2;
  svg.text(std::clamp(x, half + 2, k_width - half - 2), y, words, Anchor::middle, k_size);
}

std::string percent_text(double p) {
  return format_number(p, 1) + " %";
}

void draw_beam(SvgWriter& svg, const Scale& scale, const Level& level, const Look& look) {
  svg.line(k_left, k_beam, k_right, k_beam, {.width = 3});
  const double step = scale.high - scale.low > 90 ? 20 : 10;
  for (double p = scale.low; p <= scale.high + 1e-9; p += step) {
    svg.line(scale.x(p), k_beam, scale.x(p), k_beam + 6);
    const bool last = p + step > scale.high + 1e-9;
    svg.text(scale.x(p), k_beam + 20, format_number(p, 0) + (last ? " %" : ""), Anchor::middle, k_number);
    if (!level.training_max_kg) continue;
    const double kg = *level.training_max_kg * p / 100;
    svg.text(scale.x(p), k_beam + 35, whole_text(in_unit(kg, look)) + (last ? fmt::format(" {}", unit_name(look)) : ""),
             Anchor::middle, k_number);
  }
}

void draw_marks(SvgWriter& svg, const Scale& scale, const Level& level) {
  const auto mark = [&](double p, double row, const std::string& name, bool filled) {
    svg.line(scale.x(p), row + 4, scale.x(p), k_beam - 5);
    svg.square(scale.x(p), k_beam, 9, filled);
    words_at(svg, scale.x(p), row, name + " " + percent_text(p));
  };
  if (level.plan && level.call && *level.plan == *level.call) {
    mark(*level.call, k_call_row, "plan and call", true);
    return;
  }
  if (level.plan) mark(*level.plan, k_plan_row, "plan", false);
  if (level.call) mark(*level.call, k_call_row, "call", true);
}

/// Returns where the next row begins.
double draw_expected(SvgWriter& svg, const Scale& scale, const Level& level) {
  const double below_numbers = k_beam + (level.training_max_kg ? 39 : 24);
  if (!level.expected) return below_numbers + 8;
  const double x = scale.x(*level.expected);
  const double top = std::max(k_weight, below_numbers + 8);
  svg.line(x, k_beam, x, k_beam + 8);
  svg.line(x, below_numbers, x, top);  // the thread passes behind the numbers
  svg.square(x, top + 8, 16, true);
  const double line = top + 24;
  svg.line(scale.x(level.low80), line, scale.x(level.high80), line, {.width = 2});
  for (const double end : {level.low80, level.high80})
    svg.line(scale.x(end), line - 4, scale.x(end), line + 4, {.width = 2});
  words_at(svg, x, line + 17,
           "expected " + whole_text(*level.expected) + " %, " + range_text(level.low80, level.high80));
  return line + 26;
}

void draw_bands(SvgWriter& svg, const Scale& scale, const Level& level, double y) {
  for (const KindBand& band : level.bands) {
    const double a = scale.x(band.low);
    const double b = scale.x(band.high);
    svg.hatched(a, y, b - a, k_band_height, static_cast<std::size_t>(band.kind));
    const std::string name(word(band.kind));
    const bool right = b + 6 + k_letter * static_cast<double>(name.size()) < k_width;
    svg.text(right ? b + 6 : a - 6, y + 12.5, name, right ? Anchor::start : Anchor::end, k_size);
    y += k_band_height + 4;
  }
}

std::string summary_of(const Level& level) {
  std::string text;
  const auto add = [&](const std::string& part) { text += (text.empty() ? "" : "; ") + part; };
  if (level.plan) add("plan " + percent_text(*level.plan));
  if (level.call) add("call " + percent_text(*level.call));
  if (level.expected) {
    add("expected strength " + whole_text(*level.expected) + " %, " + range_text(level.low80, level.high80));
  }
  for (const KindBand& band : level.bands)
    add(std::string(word(band.kind)) + " " + range_text(band.low, band.high) + " %");
  return text + ".";
}

}  // namespace

std::string level_svg(const Level& level, const Look& look, std::string_view id) {
  const Scale scale = Scale{percent_axis(level)};
  std::vector<KindBand> bands = level.bands;
  const double below = k_beam + (level.training_max_kg ? 39 : 24);
  const double bands_from = level.expected ? std::max(k_weight, below + 8) + 50 : below + 8;
  const double height = bands_from + static_cast<double>(bands.size()) * (k_band_height + 4) + 4;
  SvgWriter svg(k_width, height, id, "Percent of the training max: plan, call and expected strength",
                summary_of(level));
  draw_beam(svg, scale, level, look);
  draw_marks(svg, scale, level);
  draw_bands(svg, scale, level, draw_expected(svg, scale, level));
  return svg.take();
}

}  // namespace steelyard::report
