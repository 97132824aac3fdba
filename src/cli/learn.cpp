#include "steelyard/app/learn.hpp"

#include <fmt/core.h>

#include "cli/commands.hpp"

namespace steelyard::cli {
namespace {

constexpr std::size_t k_chunk = std::size_t{1} << 16;

RunResult run_strength(Run& run) {
  STEELYARD_TRY(run.expect_words(0, 0, "strength"));
  STEELYARD_TRY_ASSIGN(app::Context context, run.context());
  STEELYARD_TRY_ASSIGN(const Athlete athlete, run.athlete(context));
  STEELYARD_TRY_ASSIGN(const Day day, run.day(context, athlete));
  STEELYARD_TRY_ASSIGN(const StrengthReport report, app::strength(context, athlete, day));
  STEELYARD_TRY(run.terminal.out(run.globals.json ? report::strength_json(report) + '\n'
                                                  : report::strength_text(report, run.look(&athlete))));
  return 0;
}

Result<void> print_lines(Run& run, const std::vector<ForecastLine>& lines) {
  std::string text(report::marks_csv_header());
  for (const ForecastLine& line : lines) {
    report::append_marks_csv(text, line);
    if (text.size() < k_chunk) continue;
    STEELYARD_TRY(run.terminal.out(text));
    text.clear();
    if (run.terminal.is_closed()) return {};
  }
  return run.terminal.out(text);
}

RunResult run_marks(Run& run) {
  STEELYARD_TRY(run.expect_words(0, 0, "marks"));
  STEELYARD_TRY_ASSIGN(app::Context context, run.context());
  app::MarkedForecasts marked;
  report::Look look = run.look();
  if (run.flag("all")) {
    STEELYARD_TRY_ASSIGN(const auto athletes, context.store.athletes());
    STEELYARD_TRY_ASSIGN(marked, app::marks_of_squad(context, athletes, run.globals.date));
  } else {
    STEELYARD_TRY_ASSIGN(const Athlete athlete, run.athlete(context));
    STEELYARD_TRY_ASSIGN(const Day day, run.day(context, athlete));
    STEELYARD_TRY_ASSIGN(marked, app::marks(context, athlete, day));
    look = run.look(&athlete);
  }
  if (run.flag("csv")) {
    STEELYARD_TRY(print_lines(run, marked.lines));
    return 0;
  }
  STEELYARD_TRY(run.terminal.out(run.globals.json ? report::marks_json(marked.marks) + '\n'
                                                  : report::marks_text(marked.marks, look)));
  return 0;
}

RunResult run_learn(Run& run) {
  STEELYARD_TRY(run.expect_words(0, 0, "learn"));
  STEELYARD_TRY_ASSIGN(app::Context context, run.context());
  LearnReport report;
  if (run.flag("squad") || run.flag("all")) {
    STEELYARD_TRY_ASSIGN(const auto athletes, context.store.athletes());
    if (run.flag("squad")) {
      STEELYARD_TRY_ASSIGN(report, app::learn_squad(context, athletes, run.globals.date));
    }
    if (run.flag("all")) {
      STEELYARD_TRY_ASSIGN(const std::size_t n, app::learn_all(context, athletes, run.globals.date));
      report.say.push_back(fmt::format("{} athletes learned afresh.", n));
    }
  } else {
    STEELYARD_TRY_ASSIGN(const Athlete athlete, run.athlete(context));
    STEELYARD_TRY_ASSIGN(const Day day, run.day(context, athlete));
    STEELYARD_TRY_ASSIGN(report, app::learned_state(context, athlete, day));
  }
  STEELYARD_TRY(
      run.terminal.out(run.globals.json ? report::learn_json(report) + '\n' : report::learn_text(report, run.look())));
  return 0;
}

}  // namespace

const Command k_strength{.name = "strength",
                         .job = "estimated and expected strength, and what each morning item is worth to this lifter",
                         .usage = "",
                         .more = "Nothing is said about an item before there is evidence for it.",
                         .example = "strength --athlete hc05 --date 2026-11-23",
                         .add_options = nullptr,
                         .run = run_strength};

const Command k_marks{.name = "marks",
                      .job = "how good past forecasts were, beside three plain ones",
                      .usage = "",
                      .more =
                          "--csv lists every forecast: strength in kg, made on the morning of the session; items of "
                          "the\nmorning check on their own scale, made on the evening before.",
                      .example = "marks --athlete hc05 --date 2026-11-23",
                      .add_options =
                          [](po::options_description_easy_init add) {
                            add("all", po::bool_switch(), "every athlete together");
                            add("csv", po::bool_switch(), "every forecast, as CSV");
                          },
                      .run = run_marks};

const Command k_learn{.name = "learn",
                      .job = "the state of the learner; what is usual in a squad",
                      .usage = "",
                      .more = "--squad estimates anew from what lifters start, where there are enough of them.",
                      .example = "learn --athlete hc05 --date 2026-11-23",
                      .add_options =
                          [](po::options_description_easy_init add) {
                            add("squad", po::bool_switch(), "estimate the squad's usual effects");
                            add("all", po::bool_switch(), "walk every athlete's history afresh");
                          },
                      .run = run_learn};

}  // namespace steelyard::cli
