#include "steelyard/app/plan.hpp"

#include <fmt/core.h>

#include "cli/commands.hpp"
#include "cli/plan_lines.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/cells.hpp"
#include "steelyard/domain/vocabulary.hpp"

namespace steelyard::cli {
namespace {

constexpr std::string_view k_usage =
    "show | set DATE LIFT KIND [SETSxREPS@PERCENT] | move FROM TO [LIFT] | copy-week FROM TO |\n    block FIRST-WEEK";

Result<Day> day_word(std::string_view word) {
  auto day = parse_day(word);
  if (!day) return fail(Errc::usage, day.error().what);
  return *day;
}

RunResult show(Run& run, app::Context& context, const Athlete& athlete) {
  STEELYARD_TRY(run.expect_words(1, 1, "plan show"));
  STEELYARD_TRY_ASSIGN(const Day today, run.day(context, athlete));
  app::PlanSpan span = app::usual_plan_span(today);
  if (const auto typed = run.text("week")) {
    auto week = parse_iso_week(*typed);
    if (!week) return fail(Errc::usage, week.error().what, "--week");
    span = {.from = monday_of(*week), .to = monday_of(*week) + Days{6}};
  }
  STEELYARD_TRY_ASSIGN(const auto typed_from, run.date("from"));
  STEELYARD_TRY_ASSIGN(const auto typed_to, run.date("to"));
  STEELYARD_TRY_ASSIGN(const auto view,
                       app::show_plan(context, athlete, typed_from.value_or(span.from), typed_to.value_or(span.to)));
  if (run.globals.json) {
    STEELYARD_TRY(run.terminal.out(app::plan_json(view) + '\n'));
    return 0;
  }
  std::string text =
      fmt::format("Plan of {}, {} to {}:\n", athlete.athlete, format_day(view.from), format_day(view.to));
  text += view.rows.empty() ? "  nothing is planned\n" : plan_lines(view.rows);
  for (const DaysOff& off : view.days_off) {
    text += fmt::format("  off {} to {}: {}\n", format_day(off.from), format_day(off.to), word(off.reason));
  }
  STEELYARD_TRY(run.terminal.out(text));
  return 0;
}

RunResult set(Run& run, app::Context& context, const Athlete& athlete) {
  STEELYARD_TRY(run.expect_words(4, 5, "plan set DATE LIFT KIND [SETSxREPS@PERCENT]"));
  STEELYARD_TRY_ASSIGN(const Day date, day_word(run.words[1]));
  STEELYARD_TRY_ASSIGN(const PlanRow row, app::set_plan(context, athlete,
                                                        {.date = date,
                                                         .lift = run.words[2],
                                                         .kind = run.words[3],
                                                         .work = run.words.size() > 4 ? run.words[4] : std::string{},
                                                         .minutes = run.text("minutes").value_or(""),
                                                         .note = run.text("note").value_or("")}));
  STEELYARD_TRY(run.terminal.out("Now planned:\n" + plan_lines(std::span(&row, 1))));
  return 0;
}

RunResult move(Run& run, app::Context& context, const Athlete& athlete) {
  STEELYARD_TRY(run.expect_words(3, 4, "plan move FROM TO [LIFT]"));
  STEELYARD_TRY_ASSIGN(const Day from, day_word(run.words[1]));
  STEELYARD_TRY_ASSIGN(const Day to, day_word(run.words[2]));
  const auto lift = run.words.size() > 3 ? std::optional(run.words[3]) : std::nullopt;
  STEELYARD_TRY_ASSIGN(const auto rows, app::move_plan(context, athlete, from, to, lift, run.flag("swap")));
  STEELYARD_TRY(run.terminal.out("Now planned:\n" + plan_lines(rows)));
  return 0;
}

RunResult copy(Run& run, app::Context& context, const Athlete& athlete) {
  STEELYARD_TRY(run.expect_words(3, 3, "plan copy-week FROM TO"));
  const auto week_word = [](std::string_view word) -> Result<IsoWeek> {
    auto week = parse_iso_week(word);
    if (!week) return fail(Errc::usage, week.error().what);
    return *week;
  };
  STEELYARD_TRY_ASSIGN(const IsoWeek from, week_word(run.words[1]));
  STEELYARD_TRY_ASSIGN(const IsoWeek to, week_word(run.words[2]));
  STEELYARD_TRY_ASSIGN(const auto rows, app::copy_week(context, athlete, from, to, run.flag("replace")));
  STEELYARD_TRY(run.terminal.out("Now planned:\n" + plan_lines(rows)));
  return 0;
}

RunResult block(Run& run, app::Context& context, const Athlete& athlete) {
  STEELYARD_TRY(run.expect_words(2, 2, "plan block FIRST-WEEK"));
  auto week = parse_iso_week(run.words[1]);
  if (!week) return fail(Errc::usage, week.error().what);
  STEELYARD_TRY_ASSIGN(const auto made, app::plan_block(context, athlete, *week, run.flag("replace")));
  std::string text = "Now planned:\n" + plan_lines(made.rows);
  for (const std::string& sentence : made.say) text += sentence + '\n';
  STEELYARD_TRY(run.terminal.out(text));
  return 0;
}

RunResult run_plan(Run& run) {
  if (run.words.empty())
    return fail(Errc::usage, fmt::format("something is missing; usage: steelyard plan {}", k_usage));
  using namespace std::string_view_literals;
  struct Action {
    std::string_view name;
    RunResult (*run)(Run&, app::Context&, const Athlete&);
  };
  constexpr std::array<Action, 5> actions{
      {{"show", show}, {"set", set}, {"move", move}, {"copy-week", copy}, {"block", block}}};
  for (const Action& action : actions) {
    if (action.name != run.words[0]) continue;
    STEELYARD_TRY_ASSIGN(app::Context context, run.context());
    STEELYARD_TRY_ASSIGN(const Athlete athlete, run.athlete(context));
    return action.run(run, context, athlete);
  }
  constexpr std::array names{"show"sv, "set"sv, "move"sv, "copy-week"sv, "block"sv};
  return fail(Errc::usage, not_a_word(run.words[0], "what plan does", names));
}

}  // namespace

const Command k_plan{
    .name = "plan",
    .job = "show, set, move and copy what is planned",
    .usage = k_usage,
    .more =
        "show: this week and the next, if not told otherwise. KIND: heavy, volume, speed, light or rest.\n"
        "block: the weeks after FIRST-WEEK (YYYY-Www), with the steps and the easy week of models/day-kinds.toml.",
    .example = "plan set 2026-11-27 squat heavy 3x4@82.5 --minutes 75",
    .add_options =
        [](po::options_description_easy_init add) {
          const auto text = [](const char* name) { return po::value<std::string>()->value_name(name); };
          add("week", text("YYYY-Www"), "show: this week only");
          add("from", text("YYYY-MM-DD"), "show: first day");
          add("to", text("YYYY-MM-DD"), "show: last day");
          add("minutes", text("MIN"), "set: length of the whole session");
          add("note", text("TEXT"), "set: a note");
          add("swap", po::bool_switch(), "move: exchange the two days");
          add("replace", po::bool_switch(), "copy-week, block: take the place of a plan that is there");
        },
    .run = run_plan};

}  // namespace steelyard::cli
