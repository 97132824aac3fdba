#include "steelyard/app/report.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "app/one_day.hpp"
#include "steelyard/app/check.hpp"
#include "steelyard/app/learn.hpp"
#include "steelyard/app/loads.hpp"
#include "steelyard/app/today.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/decide/ahead.hpp"
#include "steelyard/series/usual.hpp"

namespace steelyard::app {
namespace {

std::optional<int> days_since_entry(const LoadReport& report, const AthleteLog& log, Day day) {
  std::optional<Day> last;
  const auto later = [&](Day d) {
    if (d <= day) last = std::max(last.value_or(d), d);
  };
  for (const DayFigures& d : report.days) {
    if (d.status == DayStatus::trained) later(d.date);
  }
  for (const Session& s : log.sessions) later(s.date);
  for (const Check& c : log.checks) later(c.date);
  return last ? std::optional(days_between(*last, day)) : std::nullopt;
}

}  // namespace

std::vector<ItemTrend> item_trends(const AthleteLog& log, Day day, int days, const Models& models) {
  std::vector<ItemTrend> trends;
  for (const auto name : k_check_items) {
    std::vector<series::Dated> values;
    for (const Check& check : log.checks) {
      if (const auto value = check_item(check, name)) values.push_back({check.date, *value});
    }
    ItemTrend trend{.item = std::string(name), .days = {}};
    for (Day d = day - Days{days - 1}; d <= day; d += Days{1}) {
      ItemDay shown{.date = d};
      const auto at = std::find_if(values.begin(), values.end(), [&](const series::Dated& v) { return v.date == d; });
      if (at != values.end()) shown.value = at->value;
      const auto usual = series::usual(values, d, models.limits.signals.usual_days);
      if (usual && usual->n >= models.limits.signals.least_checks) {
        shown.usual = usual->mean;
        shown.usual_sd = usual->sd;
      }
      trend.days.push_back(shown);
    }
    trends.push_back(std::move(trend));
  }
  return trends;
}

Result<LifterReport> lifter_report(Context& context, const Athlete& athlete, Day day) {
  LifterReport report{.athlete = athlete.athlete, .name = athlete.name};
  STEELYARD_TRY_ASSIGN(const OneDay known, one_day(context, athlete, day));
  STEELYARD_TRY_ASSIGN(report.call, call_of(context, known, day));
  STEELYARD_TRY_ASSIGN(report.comparison, comparison_of(context, known, day, std::nullopt));
  report.ahead = decide::look_ahead(known.log, day, report.call, context.models);
  STEELYARD_TRY_ASSIGN(report.loads, loads(context, athlete, day, {}));
  STEELYARD_TRY_ASSIGN(report.strength, strength(context, athlete, day));
  report.items = item_trends(known.log, day, k_item_days, context.models);
  return report;
}

Result<SquadReport> squad_loads(Context& context, const std::vector<Athlete>& athletes, std::optional<Day> day) {
  SquadReport report;
  for (const Athlete& athlete : athletes) {
    STEELYARD_TRY_ASSIGN(const Day today, day_for(context, athlete, day));
    report.date = std::max(report.date, today);
    SquadLifter lifter{.athlete = athlete.athlete};
    STEELYARD_TRY_ASSIGN(lifter.loads, loads(context, athlete, today, {}));
    STEELYARD_TRY_ASSIGN(const AthleteLog log, log_around(context, athlete.athlete, today));
    lifter.days_since_entry = days_since_entry(lifter.loads, log, today);
    report.lifters.push_back(std::move(lifter));
  }
  return report;
}

Result<SquadReport> squad_report(Context& context, const std::optional<std::string>& group, std::optional<Day> day) {
  STEELYARD_TRY_ASSIGN(auto review, week(context, {.week = std::nullopt, .group = group, .today = day}));
  STEELYARD_TRY_ASSIGN(auto athletes, context.store.athletes());
  if (group) std::erase_if(athletes, [&](const Athlete& a) { return a.group != *group; });
  STEELYARD_TRY_ASSIGN(SquadReport report, squad_loads(context, athletes, day));
  report.week = std::move(review);
  return report;
}

Result<WallSheet> wall_sheet(Context& context, const std::vector<Athlete>& athletes, std::optional<Day> day, int days) {
  WallSheet sheet;
  for (const Athlete& athlete : athletes) {
    STEELYARD_TRY_ASSIGN(const Day from, day_for(context, athlete, day));
    if (sheet.lifters.empty()) sheet.from = from;
    STEELYARD_TRY_ASSIGN(const OneDay known, one_day(context, athlete, from));
    STEELYARD_TRY_ASSIGN(const DayCall call, call_of(context, known, from));
    Ahead coming = decide::look_ahead(known.log, from, call, context.models);
    if (coming.days.size() > static_cast<std::size_t>(days)) coming.days.resize(static_cast<std::size_t>(days));
    sheet.lifters.push_back({.athlete = athlete.athlete,
                             .units = athlete.units,
                             .days = std::move(coming.days),
                             .stopped = is_stopped(call)});
  }
  return sheet;
}

}  // namespace steelyard::app
