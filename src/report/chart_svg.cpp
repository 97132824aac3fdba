#include <algorithm>
#include <cmath>

#include "report/plot.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "steelyard/report/svg.hpp"

namespace steelyard::report {
namespace {

const UsualLoad* usual_of(std::span<const UsualLoad> usual, Day day) {
  const auto found = std::find_if(usual.begin(), usual.end(), [&](const UsualLoad& u) { return u.date == day; });
  return found == usual.end() ? nullptr : &*found;
}

PlotRange load_range(std::span<const DayFigures> days, std::span<const UsualLoad> usual) {
  PlotRange range{.from = days.front().date, .to = days.back().date, .low = 0, .high = 0};
  for (const DayFigures& day : days) {
    range.high = std::max(range.high, day.load_au.value_or(0));
    if (const UsualLoad* u = usual_of(usual, day.date)) range.high = std::max(range.high, u->high_au);
  }
  if (range.high <= 0) range.high = 1;
  return rounded(range);
}

void draw_unlogged(Plot& plot, Day day, const UsualLoad* usual, double radius) {
  const double x = plot.x(day);
  if (usual == nullptr) {
    plot.svg().dot(x, plot.base() - radius - 1, radius, false);
    return;
  }
  const double y = plot.y(usual->usual_au);
  plot.svg().line(x, plot.y(usual->low_au), x, std::min(plot.base(), y + radius));
  plot.svg().line(x, y - radius, x, std::min(plot.y(usual->high_au), y - radius));
  plot.svg().dot(x, y, radius, false);
}

void draw_loads(Plot& plot, std::span<const DayFigures> days, std::span<const UsualLoad> usual, double radius) {
  for (const DayFigures& day : days) {
    const double x = plot.x(day.date);
    if (day.load_au && *day.load_au > 0) {
      const double y = plot.y(*day.load_au);
      plot.svg().line(x, plot.base(), x, y, {.width = 1.2, .opacity = 1, .dashed = day.estimated});
      plot.svg().dot(x, y, radius);
    } else if (day.status == DayStatus::open) {
      plot.svg().square(x, plot.base() - radius - 1, radius * 2, false);
    } else if (!day.load_au) {
      draw_unlogged(plot, day.date, usual_of(usual, day.date), radius);
    } else {
      plot.svg().line(x, plot.base(), x, plot.base() + 4, {.width = 1.4});
    }
  }
}

std::string load_summary(std::span<const DayFigures> days) {
  const auto count = [&](DayStatus status) {
    return static_cast<std::size_t>(
        std::count_if(days.begin(), days.end(), [&](const DayFigures& d) { return d.status == status; }));
  };
  double greatest = 0;
  for (const DayFigures& day : days) greatest = std::max(greatest, day.load_au.value_or(0));
  return fmt::format(
      "{} to {}: {}, {}, {} not logged; the greatest load of a day is {} AU.", format_day(days.front().date),
      format_day(days.back().date), counted(count(DayStatus::trained), "training day", "training days"),
      counted(count(DayStatus::rest), "rest day", "rest days"), count(DayStatus::unlogged), whole_text(greatest));
}

/// Least and greatest of what `add` is told; [0, 1] when it is told nothing.
struct Limits {
  std::optional<double> low;
  std::optional<double> high;
  void add(const std::optional<double>& value) {
    if (!value) return;
    low = std::min(low.value_or(*value), *value);
    high = std::max(high.value_or(*value), *value);
  }
};

}  // namespace

std::string spoken_item(std::string_view item) {
  std::string text(item);
  std::replace(text.begin(), text.end(), '_', ' ');
  return text;
}

std::string load_svg(std::span<const DayFigures> days, std::span<const UsualLoad> usual, std::string_view id) {
  if (days.empty()) return {};
  Plot plot(load_range(days, usual), {}, id, "Load of each day, AU", load_summary(days));
  draw_loads(plot, days, usual, 3);
  return plot.take();
}

std::string small_load_svg(std::string_view athlete, std::span<const DayFigures> days, std::span<const UsualLoad> usual,
                           std::string_view id) {
  if (days.empty()) return {};
  Plot plot(load_range(days, usual), {.width = 170, .height = 64, .numbers = false}, id,
            fmt::format("Load of each day of {}", athlete), load_summary(days));
  draw_loads(plot, days, usual, 2);
  return plot.take();
}

std::string sums_svg(std::span<const DayFigures> days, std::string_view id) {
  if (days.empty()) return {};
  Limits limits;
  for (const DayFigures& day : days) {
    limits.add(day.acute7_au);
    limits.add(day.chronic28_au);
  }
  const PlotRange range = rounded(
      {.from = days.front().date, .to = days.back().date, .low = 0, .high = std::max(1.0, limits.high.value_or(1))});
  const auto last =
      std::find_if(days.rbegin(), days.rend(), [](const DayFigures& d) { return d.acute7_au.has_value(); });
  std::string summary = "No 7-day sum is known.";
  if (last != days.rend()) {
    summary = fmt::format("On {} the 7-day sum is {} AU{}.", format_day(last->date), whole_text(*last->acute7_au),
                          last->chronic28_au
                              ? fmt::format(", the weekly mean of 28 days {} AU", whole_text(*last->chronic28_au))
                              : std::string{});
  }
  Plot plot(range, {}, id, "7-day sum and weekly mean of 28 days, AU", summary);
  Trace sum(plot);
  Trace mean(plot);
  for (const DayFigures& day : days) {
    sum.add(day.date, day.acute7_au);
    mean.add(day.date, day.chronic28_au);
  }
  plot.svg().path(sum.commands(), {.width = 2});
  plot.svg().path(mean.commands(), {.width = 2, .opacity = 1, .dashed = true});
  return plot.take();
}

std::string ratio_svg(std::span<const DayFigures> days, std::string_view id) {
  Limits limits;
  for (const DayFigures& day : days) {
    limits.add(day.ratio_coupled);
    limits.add(day.ratio_low);
    limits.add(day.ratio_high);
  }
  if (!limits.low) return {};
  const auto last =
      std::find_if(days.rbegin(), days.rend(), [](const DayFigures& d) { return d.ratio_low.has_value(); });
  const std::string summary = last == days.rend()
                                  ? std::string("No reading.")
                                  : fmt::format("On {} it reads between {:.2f} and {:.2f}.", format_day(last->date),
                                                *last->ratio_low, last->ratio_high.value_or(*last->ratio_low));
  Plot plot(rounded({.from = days.front().date, .to = days.back().date, .low = 0, .high = *limits.high}), {}, id,
            "Ratio of the 7-day sum to the weekly mean of 28 days", summary);
  for (const DayFigures& day : days) {
    const double x = plot.x(day.date);
    if (day.ratio_low && day.ratio_high) plot.svg().line(x, plot.y(*day.ratio_low), x, plot.y(*day.ratio_high));
    if (day.ratio_coupled) plot.svg().dot(x, plot.y(*day.ratio_coupled), 1.6);
  }
  return plot.take();
}

std::string strength_svg(const LiftStrength& lift, const Look& look, std::string_view id) {
  if (lift.days.empty()) return {};
  Limits limits;
  for (const StrengthDay& day : lift.days) {
    limits.add(in_unit(day.low80_kg, look));
    limits.add(in_unit(day.high80_kg, look));
    limits.add(in_unit(day.estimated_kg, look));
  }
  const StrengthDay& last = lift.days.back();
  Plot plot(rounded({.from = lift.days.front().date, .to = last.date, .low = *limits.low, .high = *limits.high}), {},
            id, fmt::format("Estimated one-repetition maximum of the {}, {}", spoken_lift(lift.lift), unit_name(look)),
            fmt::format("{} sessions. On {} between {} was expected and {} came.", lift.days.size(),
                        format_day(last.date), range_text(in_unit(last.low80_kg, look), in_unit(last.high80_kg, look)),
                        whole_text(in_unit(last.estimated_kg, look))));
  for (const StrengthDay& day : lift.days) {
    const double x = plot.x(day.date);
    plot.svg().line(x, plot.y(in_unit(day.low80_kg, look)), x, plot.y(in_unit(day.high80_kg, look)),
                    {.width = 1.2, .opacity = 0.7});
    const double y = plot.y(in_unit(day.expected_kg, look));
    plot.svg().line(x - 3, y, x + 3, y, {.width = 1.2, .opacity = 0.7});
    plot.svg().dot(x, plot.y(in_unit(day.estimated_kg, look)), 2.6);
  }
  return plot.take();
}

std::string item_svg(const ItemTrend& trend, std::string_view id) {
  if (trend.days.empty()) return {};
  Limits limits;
  std::size_t known = 0;
  for (const ItemDay& day : trend.days) {
    limits.add(day.value);
    if (day.usual) limits.add(*day.usual - day.usual_sd.value_or(0));
    if (day.usual) limits.add(*day.usual + day.usual_sd.value_or(0));
    known += day.value ? 1U : 0U;
  }
  if (!limits.low) return {};
  std::string summary = fmt::format("{} of {} mornings.", known, trend.days.size());
  if (trend.days.back().usual) summary += fmt::format(" Usually {}.", format_number(*trend.days.back().usual, 1));
  if (trend.days.back().value) summary += fmt::format(" Last value {}.", format_number(*trend.days.back().value, 1));
  Plot plot(
      rounded(
          {.from = trend.days.front().date, .to = trend.days.back().date, .low = *limits.low, .high = *limits.high}),
      {.width = 360, .height = 130, .numbers = true}, id, capitalized(spoken_item(trend.item)), summary);
  Trace usual(plot);
  Trace low(plot);
  Trace high(plot);
  for (const ItemDay& day : trend.days) {
    usual.add(day.date, day.usual);
    const bool spread = day.usual && day.usual_sd;
    low.add(day.date, spread ? std::optional(*day.usual - *day.usual_sd) : std::nullopt);
    high.add(day.date, spread ? std::optional(*day.usual + *day.usual_sd) : std::nullopt);
    if (day.value) plot.svg().dot(plot.x(day.date), plot.y(*day.value), 2.4);
  }
  plot.svg().path(usual.commands(), {.width = 1.6});
  plot.svg().path(low.commands(), {.width = 1, .opacity = 0.6, .dashed = true});
  plot.svg().path(high.commands(), {.width = 1, .opacity = 0.6, .dashed = true});
  return plot.take();
}

}  // namespace steelyard::report
