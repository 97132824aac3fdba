#include "steelyard/app/move.hpp"

#include <fmt/core.h>

#include "cli/commands.hpp"

namespace steelyard::cli {
namespace {

RunResult run_move(Run& run) {
  STEELYARD_TRY(run.expect_words(0, 0, "move --from FILE|URL --to FILE|URL"));
  const auto from = run.text("from");
  const auto to = run.text("to");
  if (!from || !to) return fail(Errc::usage, "say both --from FILE|URL and --to FILE|URL");
  STEELYARD_TRY_ASSIGN(const auto moved, app::move(*from, *to));
  STEELYARD_TRY(run.terminal.out(run.globals.json ? app::move_json(moved) + '\n'
                                                  : report::clean(app::move_line(moved), run.look()) + '\n'));
  return 0;
}

}  // namespace

const Command k_move{
    .name = "move",
    .job = "copy a whole store to an empty place: file to server, back, or file to file",
    .usage = "--from FILE|URL --to FILE|URL",
    .more =
        "Everything goes along: entries, history, questions, calls, states, tokens. The copy is read back table by\n"
        "table; if one differs, nothing of it stays. The source is left as it is: stop the service first, and name\n"
        "the new place with --data or in the settings.",
    .example = "move --from steelyard.db --to postgresql://club@db.example/club",
    .add_options =
        [](po::options_description_easy_init add) {
          add("from", po::value<std::string>()->value_name("FILE|URL"), "the store that is there");
          add("to", po::value<std::string>()->value_name("FILE|URL"), "an empty or a new one");
        },
    .run = run_move};

}  // namespace steelyard::cli
