#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "steelyard/base/text.hpp"
#include "steelyard/report/sheet.hpp"

namespace steelyard::report {
namespace {

struct Marks {
  std::string_view bar, pale, rest, unlogged, open;
};
constexpr Marks k_ascii{"#", ":", ".", "o", "?"};
constexpr Marks k_unicode{"\u2588", "\u2591", "\u2577", "\u25CB", "\u2026"};

std::string_view mark_of(DayStatus status, const Marks& marks) {
  switch (status) {
    case DayStatus::unlogged:
      return marks.unlogged;
    case DayStatus::open:
      return marks.open;
    case DayStatus::rest:
    case DayStatus::trained:
      return marks.rest;
  }
  return "";
}

}  // namespace

void Page::level(const Level& level) {
  blank();
  for (const std::string& row : level_rows(level, look_)) drawn(row);
}

void Page::load_chart(std::span<const DayFigures> days) {
  const Marks& m = look_.unicode ? k_unicode : k_ascii;
  std::vector<Bar> bars;
  std::vector<AxisLabel> labels;
  for (const DayFigures& day : days) {
    bars.push_back({day.load_au, day.estimated, mark_of(day.status, m)});
    if (weekday_index(day.date) == 0) labels.push_back({bars.size() - 1, weekday_month_day(day.date)});
  }
  heading("Load of each day, AU");
  for (const std::string& row : bar_chart(bars, labels, look_)) drawn(row);
  const auto any = [&](auto has) { return std::any_of(days.begin(), days.end(), has); };
  std::string legend = fmt::format("{} trained, {} rest", m.bar, m.rest);
  if (any([](const DayFigures& d) { return d.estimated; })) legend += fmt::format(", {} estimated", m.pale);
  if (any([](const DayFigures& d) { return d.status == DayStatus::unlogged; }))
    legend += fmt::format(", {} not logged", m.unlogged);
  if (any([](const DayFigures& d) { return d.status == DayStatus::open; }))
    legend += fmt::format(", {} under way", m.open);
  hanging("", legend, 2);
}

/// Estimates session by session.
void Page::strength_chart(const LiftStrength& lift) {
  constexpr std::size_t k_least = 4;
  if (lift.days.size() < k_least) return;
  std::vector<std::optional<double>> values;
  for (const StrengthDay& day : lift.days) values.emplace_back(in_unit(day.estimated_kg, look_));
  const std::vector<AxisLabel> labels{{0, format_day(lift.days.front().date)}};
  text(fmt::format("Estimated one-repetition maximum ({}), session by session:", unit_name(look_)));
  for (const std::string& row : line_chart(values, labels, look_)) drawn(row);
}

void Page::way_out(const Caution& caution, std::string_view athlete) {
  constexpr std::size_t indent = 4;
  const auto command = [&](std::string_view by) {  // as a shell takes it when it is pasted, however narrow the page
    std::string line = "steelyard decide";
    const std::string options[] = {fmt::format("--cleared {}", caution.id), fmt::format("--by {}", by),
                                   fmt::format("--athlete {}", athlete)};
    for (const std::string& option : options) {
      const std::size_t rest = &option == std::end(options) - 1 ? 0 : 2;  // for the backslash before the next
      if (indent + columns(line) + 1 + columns(option) + rest > usable_width(look_)) {
        hanging("", unbroken(line + " \\"), indent);
        line = " ";
      }
      line += " " + option;
    }
    hanging("", unbroken(line), indent);
  };
  blank();
  text(fmt::format("Open since {}. A licensed practitioner has cleared you:", long_day(caution.since)));
  command("practitioner");
  text("This was entered by mistake:");
  command("mistake");
}

}  // namespace steelyard::report
