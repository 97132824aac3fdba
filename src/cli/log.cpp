#include <fmt/core.h>

#include "cli/commands.hpp"
#include "cli/spaced.hpp"
#include "steelyard/app/record.hpp"
#include "steelyard/base/text.hpp"

namespace steelyard::cli {
namespace {

RunResult run_log(Run& run) {
  STEELYARD_TRY(run.expect_words(1, 1000, "log \"TEXT\""));
  std::string text;
  for (const std::string& word : run.words) text += (text.empty() ? "" : " ") + word;
  STEELYARD_TRY_ASSIGN(const auto part, run.whole_number("part"));
  if (part && (*part < 1 || *part > 20)) return fail(Errc::usage, "allowed: 1 to 20", "--part");
  STEELYARD_TRY_ASSIGN(app::Context context, run.context());
  STEELYARD_TRY_ASSIGN(const Athlete athlete, run.athlete(context));
  STEELYARD_TRY_ASSIGN(const Day day, run.day(context, athlete));
  STEELYARD_TRY_ASSIGN(auto parsed, app::understand(context, athlete, day, text, run.globals.units));
  std::string understood = fmt::format("{}, {}:\n", athlete.athlete, spaced(report::long_day(day)));
  for (const std::string& line : ingest::echo(parsed, run.look(&athlete).units)) understood += "  " + line + '\n';
  STEELYARD_TRY(run.terminal.out(understood));
  for (const auto& lift : parsed.new_lifts) {
    run.terminal.note(
        fmt::format("note: the lift '{}' is not in the models: its load counts, it has no regions", lift));
  }
  if (run.terminal.asks() && !run.flag("yes")) {
    const auto key = run.terminal.key("Store it? Enter = yes, any other key = no ");
    if (!key || (*key != '\n' && *key != 'y')) return fail(Errc::failed, "nothing was stored");
  }
  STEELYARD_TRY_ASSIGN(const auto logged, app::log_session(context, std::move(parsed), part));
  STEELYARD_TRY(run.terminal.out(logged.replaced ? "Stored in place of what was there.\n" : "Stored.\n"));
  if (logged.questions > 0) run.terminal.note("note: 'steelyard questions' shows what is held aside");
  return 0;
}

/// The grammar without its example: the help has one of its own.
std::string_view grammar() {
  const std::string_view text = ingest::grammar_text();
  return trim(text.substr(0, text.find("Example:")));
}

}  // namespace

const Command k_log{.name = "log",
                    .job = "a session in gym shorthand",
                    .usage = "\"TEXT\"",
                    .more = grammar(),
                    .example = "log \"squat 140 3x5 @8, bench 100x5x3, 75 min, rpe 7\"",
                    .add_options =
                        [](po::options_description_easy_init add) {
                          add("part", po::value<std::string>()->value_name("N"), "which session of the day");
                          add("yes", po::bool_switch(), "do not ask before storing");
                        },
                    .run = run_log};

}  // namespace steelyard::cli
