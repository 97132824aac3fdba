#include <fmt/core.h>

#include "cli/commands.hpp"
#include "steelyard/app/access.hpp"
#include "steelyard/app/record.hpp"
#include "steelyard/app/today.hpp"
#include "steelyard/base/text.hpp"

namespace steelyard::cli {
namespace {

/// "60:0.62" becomes a row of bar speed of that lift, or of the day's main one.
Result<void> keep_speed(Run& run, app::Context& context, const Athlete& athlete, Day day, std::string_view typed) {
  const auto colon = typed.find(':');
  if (colon == std::string_view::npos)
    return fail(Errc::usage, "say percent of the training max and m/s, such as 60:0.62", "--speed");
  std::string lift = run.text("lift").value_or("");
  if (lift.empty()) {
    STEELYARD_TRY_ASSIGN(const DayCall call, app::today(context, athlete, day));
    if (call.calls.empty()) return fail(Errc::no_input, "no lift is planned today; name one with --lift", "--speed");
    lift = call.calls.front().lift;
  }
  const app::ColumnText columns[] = {{"athlete", athlete.athlete},
                                     {"date", format_day(day)},
                                     {"lift", lift},
                                     {"percent", std::string(typed.substr(0, colon))},
                                     {"speed", std::string(typed.substr(colon + 1))}};
  STEELYARD_TRY_ASSIGN(const Record row, app::row_of(context, RecordKind::bar, columns));
  STEELYARD_TRY(app::store_rows(context, "today --speed", std::span(&row, 1)));
  return {};
}

RunResult decide_again(Run& run, app::Context& context, const Athlete& athlete, Day day, std::string_view typed) {
  const auto rpe = parse_number(typed);
  if (!rpe || *rpe < 1 || *rpe > 10)
    return fail(Errc::usage, "say how hard the last warm-up set was: a number from 1 to 10", "--warmup-rpe");
  STEELYARD_TRY_ASSIGN(const auto decision,
                       app::after_warmup(context, athlete, day, run.text("lift"), *rpe, run.globals.units));
  STEELYARD_TRY(run.terminal.out((run.globals.json ? report::bar_json(decision) : decision.say) + '\n'));
  return 0;
}

RunResult run_today(Run& run) {
  STEELYARD_TRY(run.expect_words(0, 0, "today"));
  STEELYARD_TRY_ASSIGN(app::Context context, run.context());
  STEELYARD_TRY_ASSIGN(const Athlete athlete, run.athlete(context));
  STEELYARD_TRY_ASSIGN(const Day day, run.day(context, athlete));
  if (const auto speed = run.text("speed")) STEELYARD_TRY(keep_speed(run, context, athlete, day, *speed));
  if (const auto rpe = run.text("warmup-rpe")) return decide_again(run, context, athlete, day, *rpe);
  STEELYARD_TRY_ASSIGN(const DayCall call, app::today(context, athlete, day, run.globals.units));
  STEELYARD_TRY(run.terminal.out(run.globals.json
                                     ? report::today_json(call) + '\n'
                                     : report::today_text(call, run.look(&athlete), app::kind_bands(context.models))));
  return 0;
}

RunResult run_compare(Run& run) {
  STEELYARD_TRY(run.expect_words(0, 0, "compare"));
  STEELYARD_TRY_ASSIGN(app::Context context, run.context());
  STEELYARD_TRY_ASSIGN(const Athlete athlete, run.athlete(context));
  STEELYARD_TRY_ASSIGN(const Day day, run.day(context, athlete));
  STEELYARD_TRY_ASSIGN(const Comparison comparison, app::compare(context, athlete, day, run.text("lift")));
  STEELYARD_TRY(run.terminal.out(run.globals.json ? report::compare_json(comparison) + '\n'
                                                  : report::compare_text(comparison, run.look(&athlete))));
  return 0;
}

RunResult run_week(Run& run) {
  STEELYARD_TRY(run.expect_words(0, 0, "week"));
  app::WeekOptions options{.week = std::nullopt, .group = run.text("group"), .today = run.globals.date};
  if (const auto typed = run.text("week")) {
    auto week = parse_iso_week(*typed);
    if (!week) return fail(Errc::usage, week.error().what, "--week");
    options.week = *week;
  }
  STEELYARD_TRY_ASSIGN(app::Context context, run.context());
  for (const char* decision : {"accept", "change", "ignore"}) {
    if (!run.has(decision)) continue;
    if (!options.week) return fail(Errc::usage, "say of which week: --week YYYY-Www", std::string("--") + decision);
    STEELYARD_TRY(app::decide_week(context, *options.week, *run.text(decision), decision, run.text("note").value_or(""),
                                   app::by_words({})));
    run.terminal.note(
        "note: kept beside the line; the plan is as it was ('steelyard plan' changes it), and each\n"
        "morning's call heeds the same signs by itself");
  }
  STEELYARD_TRY_ASSIGN(const WeekReview review, app::week(context, options));
  STEELYARD_TRY(
      run.terminal.out(run.globals.json ? report::week_json(review) + '\n' : report::week_text(review, run.look())));
  return 0;
}

RunResult run_why(Run& run) {
  STEELYARD_TRY(run.expect_words(0, 0, "why"));
  STEELYARD_TRY_ASSIGN(app::Context context, run.context());
  STEELYARD_TRY_ASSIGN(const Athlete athlete, run.athlete(context));
  STEELYARD_TRY_ASSIGN(const Day day, run.day(context, athlete));
  const std::string of = run.text("of").value_or("today");
  if (of != "today" && of != "compare") {
    return fail(Errc::usage, fmt::format("--of is 'today' or 'compare', not {}", in_quotes(of)));
  }
  STEELYARD_TRY_ASSIGN(const auto call, app::why(context, athlete, day, of));
  STEELYARD_TRY(run.terminal.out(run.globals.json ? call.json + '\n' : call.text));
  return 0;
}

}  // namespace

const Command k_today{.name = "today",
                      .job = "the call for each lift planned today, with its reasons",
                      .usage = "",
                      .more = "",
                      .example = "today --athlete hc01 --date 2026-11-23",
                      .add_options =
                          [](po::options_description_easy_init add) {
                            add("speed", po::value<std::string>()->value_name("%:M/S"),
                                "enter the first warm-up's speed, such as 60:0.62, and call again");
                            add("warmup-rpe", po::value<std::string>()->value_name("RPE"),
                                "how hard the last warm-up set was: the decision at the bar");
                            add("lift", po::value<std::string>()->value_name("LIFT"),
                                "with these, another lift than the main one");
                          },
                      .run = run_today};

const Command k_compare{.name = "compare",
                        .job = "today's options beside each other over the coming days",
                        .usage = "",
                        .more = "",
                        .example = "compare --athlete hc05 --date 2026-11-23",
                        .add_options =
                            [](po::options_description_easy_init add) {
                              add("lift", po::value<std::string>()->value_name("LIFT"),
                                  "another lift than the main one");
                            },
                        .run = run_compare};

const Command k_week{
    .name = "week",
    .job = "the coach's review of a week",
    .usage = "",
    .more =
        "--accept, --change and --ignore keep what was decided on an athlete's line; the list shows it\n"
        "from then on. The plan stays as it is.",
    .example = "week --week 2026-W47 --group club",
    .add_options =
        [](po::options_description_easy_init add) {
          add("week", po::value<std::string>()->value_name("YYYY-Www"), "the last full week if not given");
          add("group", po::value<std::string>()->value_name("NAME"), "everybody if not given");
          for (const char* decision : {"accept", "change", "ignore"}) {
            add(decision, po::value<std::string>()->value_name("CODE"), "keep that decision on a line");
          }
          add("note", po::value<std::string>()->value_name("TEXT"), "what instead, or why; a change needs it");
        },
    .run = run_week};

const Command k_why{.name = "why",
                    .job = "every figure behind a call, as it was made",
                    .usage = "",
                    .more = "Repeats what 'today' or 'compare' kept on that day; nothing is computed again.",
                    .example = "why --athlete hc01 --date 2026-11-23",
                    .add_options =
                        [](po::options_description_easy_init add) {
                          add("of", po::value<std::string>()->value_name("COMMAND"), "today (as it is) or compare");
                        },
                    .run = run_why};

}  // namespace steelyard::cli
