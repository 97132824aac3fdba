#pragma once
/// The written plan: shown, set, moved and copied. A row that moves keeps its content.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/app/context.hpp"
#include "steelyard/domain/call.hpp"

namespace steelyard::app {

struct PlanView {
  std::string athlete;
  Day from{};
  Day to{};
  std::vector<PlanRow> rows;      ///< ascending by date, then order on the day
  std::vector<DaysOff> days_off;  ///< that touch the span
};
struct PlanSpan {
  Day from{};
  Day to{};
};
/// That week and the next.
[[nodiscard]] PlanSpan usual_plan_span(Day today);
[[nodiscard]] Result<PlanView> show_plan(Context& context, const Athlete& athlete, Day from, Day to);
/// {"schema", "athlete", "plan": [rows as JSON lines], "days_off": [rows]}
[[nodiscard]] std::string plan_json(const PlanView& view);

struct PlanItem {
  Day date{};
  std::string lift;
  std::string kind;
  std::string work;     ///< SETSxREPS, SETSxREPS@PERCENT, or empty
  std::string minutes;  ///< of the whole session
  std::string note;
};
/// Plans a lift on a day; a row of that lift on that day is replaced. errors  bad_data with where = column
[[nodiscard]] Result<PlanRow> set_plan(Context& context, const Athlete& athlete, const PlanItem& item);

/// Moves what is planned on one day (one lift, or everything) to another day; with `swap` the other day's plan comes
/// back in exchange.
/// errors  no_input (nothing is planned), usage (the other day has that lift already, and no swap)
[[nodiscard]] Result<std::vector<PlanRow>> move_plan(Context& context, const Athlete& athlete, Day from, Day to,
                                                     const std::optional<std::string>& lift, bool swap);

/// Copies a week's plan to another week, weekday by weekday. errors  no_input (nothing to copy), usage (the other week
/// has a plan already, and it is not to be replaced)
[[nodiscard]] Result<std::vector<PlanRow>> copy_week(Context& context, const Athlete& athlete, IsoWeek from, IsoWeek to,
                                                     bool replace);

/// Writes the weeks of a block after its first week (decide/block.hpp).   errors  as copy_week
[[nodiscard]] Result<BlockPlan> plan_block(Context& context, const Athlete& athlete, IsoWeek first, bool replace);

}  // namespace steelyard::app
