#include "steelyard/app/ahead.hpp"

#include "cli/commands.hpp"

namespace steelyard::cli {
namespace {

RunResult run_ahead(Run& run) {
  STEELYARD_TRY(run.expect_words(0, 0, "ahead"));
  STEELYARD_TRY_ASSIGN(app::Context context, run.context());
  STEELYARD_TRY_ASSIGN(const Athlete athlete, run.athlete(context));
  STEELYARD_TRY_ASSIGN(const Day day, run.day(context, athlete));
  STEELYARD_TRY_ASSIGN(const Ahead ahead, app::ahead(context, athlete, day));
  STEELYARD_TRY(run.terminal.out(run.globals.json ? report::ahead_json(ahead) + '\n'
                                                  : report::ahead_text(ahead, run.look(&athlete))));
  return 0;
}

}  // namespace

const Command k_ahead{.name = "ahead",
                      .job = "the next 14 days: what on which day, and what cannot be had",
                      .usage = "",
                      .more =
                          "Heavy days keep their distance, the heavy work is kept before the volume, and a meet date "
                          "lays the taper. Nothing is written into the plan.",
                      .example = "ahead --athlete hc04 --date 2026-11-23",
                      .add_options = nullptr,
                      .run = run_ahead};

}  // namespace steelyard::cli
