#include <fmt/core.h>

#include "cli/commands.hpp"
#include "steelyard/app/export.hpp"
#include "steelyard/app/ingest.hpp"
#include "steelyard/app/record.hpp"
#include "steelyard/app/settings.hpp"
#include "steelyard/base/text.hpp"

namespace steelyard::cli {
namespace {

// ------------------------------------------------------------------------------------------ ingest
void tell_errors(Terminal& terminal, const app::FileOutcome& file) {
  for (const std::string& line : app::error_lines(file)) terminal.error("steelyard: " + line);
}

RunResult run_ingest(Run& run) {
  STEELYARD_TRY(run.expect_words(1, 100000, "ingest PATH..."));
  STEELYARD_TRY_ASSIGN(app::Context context, run.context());
  app::IngestOptions options{.dry_run = run.flag("dry-run"), .keep_good = run.flag("keep-good"), .progress = {}};
  options.progress = [&](const app::IngestProgress& p) { run.terminal.progress(p.file, p.bytes, p.size); };
  STEELYARD_TRY_ASSIGN(const auto outcome, app::ingest_paths(context, run.words, options));
  run.terminal.end_progress();
  bool has_errors = false;
  std::size_t asked = 0;
  std::string text;
  for (const auto& file : outcome.files) {
    tell_errors(run.terminal, file);
    has_errors = has_errors || file.has_errors();
    asked += file.asked;
    text += report::clean(app::outcome_line(file, options.dry_run), run.look()) + '\n';
  }
  STEELYARD_TRY(run.terminal.out(run.globals.json ? app::ingest_json(outcome) + '\n' : text));
  for (const auto& lift : outcome.new_lifts) {
    run.terminal.note(
        fmt::format("note: the lift '{}' is not in the models: its load counts, it has no regions", lift));
  }
  if (asked > 0 && !options.dry_run) run.terminal.note("note: 'steelyard questions' shows what was held aside");
  return has_errors ? exit_status(Errc::bad_data) : 0;
}

// ------------------------------------------------------------------------------------------ export, erase, undo
RunResult run_export(Run& run) {
  STEELYARD_TRY(run.expect_words(1, 1, "export FOLDER"));
  STEELYARD_TRY_ASSIGN(app::Context context, run.context());
  app::ExportOptions options{
      .athlete = std::nullopt, .folder = run.words[0], .for_spreadsheets = run.flag("for-spreadsheets")};
  if (!run.flag("all")) {
    STEELYARD_TRY_ASSIGN(const Athlete athlete, run.athlete(context));
    options.athlete = athlete.athlete;
  }
  STEELYARD_TRY_ASSIGN(const auto written, app::export_logs(context, options));
  std::string text;
  for (const auto& [path, rows] : written) text += fmt::format("{}: {} rows\n", path, rows);
  STEELYARD_TRY(run.terminal.out(text));
  return 0;
}

RunResult run_erase(Run& run) {
  STEELYARD_TRY(run.expect_words(1, 1, "erase CODE"));
  STEELYARD_TRY_ASSIGN(app::Context context, run.context());
  const std::string& code = run.words[0];
  if (!run.flag("yes")) {
    if (!run.terminal.asks()) {
      return fail(Errc::usage, fmt::format("this removes everything about {} for good; --yes confirms it", code));
    }
    const auto typed =
        run.terminal.line(fmt::format("This removes everything about {} for good. Type the code to confirm: ", code));
    if (typed != code) return fail(Errc::failed, "nothing was removed");
  }
  const auto file = app::store_file(run.globals.data);  // a server has none, and no copies beside it
  STEELYARD_TRY_ASSIGN(const app::Erased erased,
                       app::erase(context, code, file ? std::optional(*file) : std::optional<std::string>()));
  std::string text = fmt::format("Everything about {} is gone from the store.\n", code);
  text += fmt::format("Receipt: {} entries and {} earlier forms of entries removed; what is left has the digest {}.\n",
                      erased.entries, erased.replaced, erased.digest);
  if (erased.files > 0) text += fmt::format("{} files of briefings are gone from the outbox.\n", erased.files);
  STEELYARD_TRY(run.terminal.out(text));
  for (const Error& error : erased.left) run.terminal.error("steelyard: " + error.text());
  run.terminal.note(
      "note: outside of the store, these may still tell of them: the files that were read (those of the service lie "
      "in\n"
      "done/ and rejected/ of its inbox), what 'export' and 'report' wrote, what --hand-to passed on, and backups");
  if (erased.unfinished) return tl::make_unexpected(*erased.unfinished);
  return erased.left.empty() ? 0 : exit_status(Errc::io);
}

RunResult run_undo(Run& run) {
  STEELYARD_TRY(run.expect_words(0, 0, "undo"));
  STEELYARD_TRY_ASSIGN(app::Context context, run.context());
  STEELYARD_TRY_ASSIGN(const auto undone, app::undo(context, run.globals.athlete));
  if (!undone) return fail(Errc::no_input, "there is nothing to take back");
  STEELYARD_TRY(run.terminal.out(
      fmt::format("Taken back: {} of {}{}.\n", report::clean(undone->source, run.look()),
                  format_day(std::chrono::floor<Days>(std::chrono::local_seconds{undone->at.time_since_epoch()})),
                  undone->athletes.empty() ? "" : ", about " + join_some_words(undone->athletes))));
  return 0;
}

}  // namespace

const Command k_ingest{
    .name = "ingest",
    .job = "read CSV and JSON-lines files or folders into the store",
    .usage = "PATH...",
    .more =
        "A folder is read by kind: its .csv and .jsonl files, whatever their names. '-' is standard input.\n"
        "A file with an error stores nothing. The same file twice changes nothing.",
    .example = "ingest sample-logs",
    .add_options =
        [](po::options_description_easy_init add) {
          add("dry-run", po::bool_switch(), "check everything, store nothing");
          add("keep-good", po::bool_switch(), "store the good rows of a file with errors");
        },
    .run = run_ingest};

const Command k_export{.name = "export",
                       .job = "write everything about an athlete as the files that ingest reads",
                       .usage = "FOLDER",
                       .more = "",
                       .example = "export hc01-files --athlete hc01",
                       .add_options =
                           [](po::options_description_easy_init add) {
                             add("all", po::bool_switch(), "every athlete");
                             add("for-spreadsheets", po::bool_switch(),
                                 "defuse text that a spreadsheet would run; not for reading back");
                           },
                       .run = run_export};

const Command k_erase{
    .name = "erase",
    .job = "remove an athlete and every trace of them for good",
    .usage = "CODE",
    .more =
        "On a terminal it asks for the code once more. 'export' first keeps a copy. Files of briefings that tell of\n"
        "the athlete go too; files that were read, exports, reports and backups are yours to remove. Copies of the "
        "store\n"
        "that the program made by itself, FILE.before-VERSION, are named if they hold the athlete (exit status 74).",
    .example = "erase hc01 --yes",
    .add_options = [](po::options_description_easy_init add) { add("yes", po::bool_switch(), "do not ask"); },
    .run = run_erase};

const Command k_undo{
    .name = "undo",
    .job = "take the last entry back",
    .usage = "",
    .more =
        "An entry is one file or one command. What it replaced comes back. With --athlete it is taken\n"
        "back only if it is about that athlete and nobody else.",
    .example = "undo --athlete hc01",
    .add_options = nullptr,
    .run = run_undo};

}  // namespace steelyard::cli
