#include "steelyard/app/check.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "app/entry_writer.hpp"
#include "app/read_log.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/fields.hpp"
#include "steelyard/series/usual.hpp"

namespace steelyard::app {
namespace {

constexpr int k_days_asked = 7;  // further back nobody remembers

UsualCheck usual_of(const AthleteLog& log, Day day, const Models& models) {
  UsualCheck usual;
  for (const auto name : k_check_items) {
    std::vector<series::Dated> values;
    for (const Check& check : log.checks) {
      if (const auto value = check_item(check, name)) values.push_back({check.date, *value});
    }
    const auto found = series::usual(values, day, models.limits.signals.usual_days);
    if (!found) continue;
    const double steps = name == "sleep_hours" ? 2 : 1;  // half hours, whole points
    usual.emplace(name, std::round(found->mean * steps) / steps);
  }
  return usual;
}

bool is_entered(const AthleteLog& log, Day day) {
  return std::any_of(log.sessions.begin(), log.sessions.end(), [&](const Session& s) { return s.date == day; }) ||
         std::any_of(log.sets.begin(), log.sets.end(), [&](const SetRow& s) { return s.date == day; }) ||
         std::any_of(log.days_off.begin(), log.days_off.end(),
                     [&](const DaysOff& off) { return off.from <= day && day <= off.to; });
}

/// Plan of a day without rest rows, the main lift (the row with minutes) first.
std::vector<PlanRow> plan_of(const AthleteLog& log, Day day) {
  std::vector<PlanRow> rows;
  for (const PlanRow& row : log.plan) {
    if (row.date == day && row.kind != DayKind::rest) rows.push_back(row);
  }
  std::stable_partition(rows.begin(), rows.end(), [](const PlanRow& row) { return row.minutes.has_value(); });
  return rows;
}

Result<void> refuse_later(Day day, Day today) {
  if (day <= today) return {};
  return fail(Errc::usage,
              fmt::format("{} has not come yet; allowed: a day up to {}", format_day(day), format_day(today)));
}

Result<std::vector<PlanRow>> unentered_plan(const AthleteLog& log, Day day) {
  auto plan = plan_of(log, day);
  if (plan.empty()) return fail(Errc::no_input, fmt::format("nothing is planned on {}", format_day(day)));
  if (is_entered(log, day)) return fail(Errc::no_input, fmt::format("{} has an entry already", format_day(day)));
  return plan;
}

}  // namespace

std::optional<double> check_item(const Check& check, std::string_view name) {
  std::optional<double> value;
  visit_fields(
      [&]<class T>(const Column& column, const T& member) {
        if constexpr (std::is_same_v<T, std::optional<double>>) {
          if (column.name == name) value = member;
        }
      },
      check);
  return value;
}

Result<Morning> morning_of(Context& context, const Athlete& athlete, Day day) {
  STEELYARD_TRY_ASSIGN(const AthleteLog log, log_around(context, athlete.athlete, day));
  Morning morning{.usual = usual_of(log, day, context.models), .unentered = {}, .check = std::nullopt};
  for (Day past = day - Days{k_days_asked}; past < day; past += Days{1}) {
    auto plan = unentered_plan(log, past);
    if (plan) morning.unentered.push_back({.date = past, .plan = *std::move(plan)});
  }
  const auto check = std::find_if(log.checks.begin(), log.checks.end(), [&](const Check& c) { return c.date == day; });
  if (check != log.checks.end()) morning.check = *check;
  return morning;
}

Result<void> mark_done(Context& context, const Athlete& athlete, Day day, Day today) {
  STEELYARD_TRY(refuse_later(day, today));
  STEELYARD_TRY_ASSIGN(const AthleteLog log, read_log(context, athlete.athlete, day, day));
  STEELYARD_TRY_ASSIGN(const auto plan, unentered_plan(log, day));
  std::vector<Record> rows;
  rows.emplace_back(Session{
      .athlete = athlete.athlete, .date = day, .part = 1, .kind = plan.front().kind, .minutes = plan.front().minutes});
  for (const PlanRow& row : plan) {
    if (!row.sets || !row.reps) continue;
    rows.emplace_back(SetRow{.athlete = athlete.athlete,
                             .date = day,
                             .part = 1,
                             .lift = row.lift,
                             .sets = *row.sets,
                             .reps = *row.reps,
                             .percent = row.percent});
  }
  STEELYARD_TRY(store_rows(context, "check --done", rows));
  return {};
}

Result<void> mark_missed(Context& context, const Athlete& athlete, Day day, Day today) {
  STEELYARD_TRY(refuse_later(day, today));
  STEELYARD_TRY_ASSIGN(const AthleteLog log, read_log(context, athlete.athlete, day, day));
  STEELYARD_TRY(unentered_plan(log, day));
  const Record row = DaysOff{.athlete = athlete.athlete, .from = day, .to = day, .reason = OffReason::missed};
  STEELYARD_TRY(store_rows(context, "check --missed", std::span(&row, 1)));
  return {};
}

Result<std::size_t> store_check(Context& context, const Athlete& athlete, Day day, std::span<const ColumnText> typed,
                                bool as_usual) {
  STEELYARD_TRY_ASSIGN(const Morning morning, morning_of(context, athlete, day));
  std::vector<ColumnText> columns{{"athlete", athlete.athlete}, {"date", format_day(day)}};
  columns.insert(columns.end(), typed.begin(), typed.end());
  // A night without sleep has no usual quality; filled in, it would make the night look like a slip.
  const auto hours =
      std::find_if(typed.begin(), typed.end(), [](const ColumnText& c) { return c.first == "sleep_hours"; });
  const auto slept = hours != typed.end() ? parse_number(hours->second)
                     : morning.check      ? check_item(*morning.check, "sleep_hours")
                                          : std::nullopt;
  const bool sleepless = slept && *slept <= context.models.limits.sleepless.sleepless_hours;
  if (as_usual) {
    for (const auto& [name, value] : morning.usual) {
      const bool named = std::any_of(typed.begin(), typed.end(), [&](const ColumnText& c) { return c.first == name; });
      const bool entered = morning.check && check_item(*morning.check, name);
      if (sleepless && name == "sleep_quality") continue;
      if (!named && !entered) columns.emplace_back(name, format_number(value));
    }
  }
  if (columns.size() == 2) {
    return fail(Errc::usage, as_usual && morning.usual.empty()
                                 ? "nothing is known of your usual mornings yet: give values, such as --sleep 7.5"
                                 : "nothing to store: give values, such as --sleep 7.5, or --usual");
  }
  std::optional<Record> before;
  if (morning.check) before = *morning.check;
  STEELYARD_TRY_ASSIGN(const Record row, row_of(context, RecordKind::checks, columns, before));
  return store_rows(context, "check", std::span(&row, 1));
}

}  // namespace steelyard::app
