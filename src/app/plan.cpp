#include "steelyard/app/plan.hpp"

#include <fmt/core.h>

#include <algorithm>

#include "app/entry_writer.hpp"
#include "app/read_log.hpp"
#include "app/span.hpp"
#include "steelyard/app/record.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/decide/block.hpp"
#include "steelyard/domain/cells.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "steelyard/report/json.hpp"
#include "steelyard/series/lift_codes.hpp"

namespace steelyard::app {
namespace {

std::vector<PlanRow> rows_on(const AthleteLog& log, Day day, const std::optional<std::string>& lift,
                             const LiftsModel& lifts) {
  std::vector<PlanRow> rows;
  for (const PlanRow& row : log.plan) {
    if (row.date == day && (!lift || series::code_of(lifts, row.lift) == series::code_of(lifts, *lift)))
      rows.push_back(row);
  }
  return rows;
}

/// "3x4@82.5" to the three cells.
Result<void> add_work(std::vector<ColumnText>& columns, std::string_view work) {
  if (work.empty()) return {};
  const auto refuse = [&] {
    return fail(Errc::bad_data,
                fmt::format("{} is not a prescription; allowed: SETSxREPS or SETSxREPS@PERCENT, such as 3x4@82.5",
                            in_quotes(work)));
  };
  const auto at = split(work, '@');
  const auto sets_reps = split(at[0], 'x');
  const auto is_empty = [](std::string_view part) { return part.empty(); };
  if (at.size() > 2 || sets_reps.size() != 2 || std::any_of(at.begin(), at.end(), is_empty) ||
      std::any_of(sets_reps.begin(), sets_reps.end(), is_empty)) {
    return refuse();
  }
  columns.emplace_back("sets", sets_reps[0]);
  columns.emplace_back("reps", sets_reps[1]);
  if (at.size() == 2) columns.emplace_back("percent", at[1].ends_with('%') ? at[1].substr(0, at[1].size() - 1) : at[1]);
  return {};
}

Result<void> put_at(store::Entry& entry, std::vector<PlanRow>& rows, Day date, const LiftsModel& lifts) {
  for (PlanRow& row : rows) {
    row.date = date;
    row.lift = series::code_of(lifts, row.lift);
    row.position = 0;
    STEELYARD_TRY(entry.put(row));
  }
  return {};
}

Result<void> remove_all(store::Entry& entry, const std::vector<PlanRow>& rows) {
  for (const PlanRow& row : rows) STEELYARD_TRY(entry.remove(row));
  return {};
}

}  // namespace

PlanSpan usual_plan_span(Day today) {
  const Day monday = today - Days{weekday_index(today)};
  return {.from = monday, .to = monday + Days{13}};
}

std::string plan_json(const PlanView& view) {
  std::string json;
  report::JsonWriter writer(json);
  writer.begin_object().field("schema", 1).field("athlete", view.athlete).key("plan").begin_array();
  for (const PlanRow& row : view.rows) writer.raw(print_json_line(row));
  writer.end_array().key("days_off").begin_array();
  for (const DaysOff& off : view.days_off) writer.raw(print_json_line(off));
  writer.end_array().end_object();
  return json;
}

Result<PlanView> show_plan(Context& context, const Athlete& athlete, Day from, Day to) {
  STEELYARD_TRY(check_span(from, to));
  STEELYARD_TRY_ASSIGN(AthleteLog log, read_log(context, athlete.athlete, from, to));
  PlanView view{.athlete = athlete.athlete, .from = from, .to = to, .rows = std::move(log.plan), .days_off = {}};
  for (DaysOff& off : log.days_off) {
    if (off.from <= to && off.to >= from) view.days_off.push_back(std::move(off));
  }
  return view;
}

Result<PlanRow> set_plan(Context& context, const Athlete& athlete, const PlanItem& item) {
  std::vector<ColumnText> columns{{"athlete", athlete.athlete}, {"date", format_day(item.date)}, {"lift", item.lift},
                                  {"kind", item.kind},          {"minutes", item.minutes},       {"note", item.note}};
  STEELYARD_TRY(add_work(columns, item.work));
  STEELYARD_TRY_ASSIGN(const Record row, row_of(context, RecordKind::plan, columns));
  STEELYARD_TRY(store_rows(context, "plan set", std::span(&row, 1)));
  return std::get<PlanRow>(row);
}

Result<std::vector<PlanRow>> move_plan(Context& context, const Athlete& athlete, Day from, Day to,
                                       const std::optional<std::string>& said, bool swap) {
  if (from == to) return fail(Errc::usage, "the two days are the same");
  STEELYARD_TRY_ASSIGN(auto writer, EntryWriter::begin(context, "plan move"));
  STEELYARD_TRY_ASSIGN(const AthleteLog log,
                       writer.entry().log(athlete.athlete, std::min(from, to), std::max(from, to)));
  const LiftsModel& lifts = context.models.lifts;
  const auto lift = said ? std::optional(lift_of(context.models, *said)) : std::nullopt;
  auto moved = rows_on(log, from, lift, lifts);
  if (moved.empty()) {
    return fail(Errc::no_input, fmt::format("nothing is planned on {}{}", format_day(from),
                                            lift ? fmt::format(" for {}", *lift) : std::string{}));
  }
  auto back = rows_on(log, to, lift, lifts);
  if (!swap) {
    for (const PlanRow& row : moved) {
      const auto clash = std::find_if(back.begin(), back.end(), [&](const PlanRow& b) {
        return series::code_of(lifts, b.lift) == series::code_of(lifts, row.lift);
      });
      if (clash != back.end()) {
        return fail(Errc::usage, fmt::format("{} has {} on the plan already; --swap exchanges the two days",
                                             format_day(to), spoken_lift(row.lift)));
      }
    }
    back.clear();
  }
  STEELYARD_TRY(remove_all(writer.entry(), moved));
  STEELYARD_TRY(remove_all(writer.entry(), back));
  STEELYARD_TRY(put_at(writer.entry(), moved, to, lifts));
  STEELYARD_TRY(put_at(writer.entry(), back, from, lifts));
  STEELYARD_TRY(writer.commit());
  moved.insert(moved.end(), back.begin(), back.end());
  return moved;
}

Result<std::vector<PlanRow>> copy_week(Context& context, const Athlete& athlete, IsoWeek from, IsoWeek to,
                                       bool replace) {
  if (from == to) return fail(Errc::usage, "the two weeks are the same");
  const Day source = monday_of(from);
  const Day target = monday_of(to);
  STEELYARD_TRY_ASSIGN(auto writer, EntryWriter::begin(context, "plan copy-week"));
  STEELYARD_TRY_ASSIGN(AthleteLog week, writer.entry().log(athlete.athlete, source, source + Days{6}));
  STEELYARD_TRY_ASSIGN(const AthleteLog there, writer.entry().log(athlete.athlete, target, target + Days{6}));
  if (week.plan.empty()) return fail(Errc::no_input, fmt::format("nothing is planned in {}", format_iso_week(from)));
  if (!there.plan.empty() && !replace) {
    return fail(Errc::usage,
                fmt::format("{} has a plan already; --replace puts the copy in its place", format_iso_week(to)));
  }
  STEELYARD_TRY(remove_all(writer.entry(), there.plan));
  for (PlanRow& row : week.plan) {
    row.date = target + (row.date - source);
    row.lift = series::code_of(context.models.lifts, row.lift);
    row.position = 0;
    STEELYARD_TRY(writer.entry().put(row));
  }
  STEELYARD_TRY(writer.commit());
  return std::move(week.plan);
}

Result<BlockPlan> plan_block(Context& context, const Athlete& athlete, IsoWeek first, bool replace) {
  const Day monday = monday_of(first);
  STEELYARD_TRY_ASSIGN(auto writer, EntryWriter::begin(context, "plan block"));
  STEELYARD_TRY_ASSIGN(AthleteLog week, writer.entry().log(athlete.athlete, monday, monday + Days{6}));
  if (week.plan.empty()) {
    return fail(Errc::no_input,
                fmt::format("nothing is planned in {}: a block is made from its first week", format_iso_week(first)));
  }
  const Day last = monday + Days{7 * context.models.day_kinds.block.weeks - 1};
  STEELYARD_TRY_ASSIGN(const AthleteLog there, writer.entry().log(athlete.athlete, monday + Days{7}, last));
  if (!there.plan.empty() && !replace) {
    return fail(Errc::usage, fmt::format("there is a plan between {} and {} already; --replace puts the block in its "
                                         "place",
                                         format_day(monday + Days{7}), format_day(last)));
  }
  STEELYARD_TRY(remove_all(writer.entry(), there.plan));
  for (PlanRow& row : week.plan) row.lift = series::code_of(context.models.lifts, row.lift);
  BlockPlan block = decide::block_weeks(week.plan, context.models);
  for (const PlanRow& row : block.rows) STEELYARD_TRY(writer.entry().put(row));
  STEELYARD_TRY(writer.commit());
  return block;
}

}  // namespace steelyard::app
