#include "steelyard/app/care.hpp"

#include <fmt/core.h>

#include "cli/commands.hpp"
#include "steelyard/app/settings.hpp"

namespace steelyard::cli {
namespace {

RunResult run_backup(Run& run) {
  STEELYARD_TRY(run.expect_words(1, 1, "backup FILE"));
  STEELYARD_TRY_ASSIGN(const std::string file, app::store_file(run.globals.data));
  STEELYARD_TRY_ASSIGN(const auto copy, store::back_up_file(file, run.words[0], run.flag("overwrite")));
  std::string json;
  report::JsonWriter writer(json);
  writer.begin_object().field("schema", 1).field("file", run.words[0]).field("athletes", copy.athletes);
  writer.field("rows", copy.rows).field("bytes", copy.bytes).field("digest", copy.digest).end_object();
  const std::string text =
      fmt::format("{}: {} athletes, {} rows, {} bytes; read back and equal, digest {}\n",
                  report::clean(run.words[0], run.look()), copy.athletes, copy.rows, copy.bytes, copy.digest);
  STEELYARD_TRY(run.terminal.out(run.globals.json ? json + '\n' : text));
  return 0;
}

std::string soundness_text(const app::Soundness& sound, const report::Look& look) {
  std::string text;
  for (const std::string& fault : sound.findings.faults) text += "FAULT " + report::clean(fault, look) + '\n';
  for (const std::string& remark : sound.findings.remarks) text += "note  " + report::clean(remark, look) + '\n';
  if (!sound.digest.empty()) {
    text += fmt::format("Entries of {} athletes, digest {}.\n", sound.athletes, sound.digest);
    text += fmt::format("{} of {} calls have the inputs that they were made from", sound.repeated, sound.calls);
    text += sound.changed > 0 ? fmt::format("; those of {} were changed since.\n", sound.changed) : std::string(".\n");
  }
  return text + (sound.findings.faults.empty()
                     ? "The store is sound.\n"
                     : "The store is not sound. Keep this file, put a backup in its place, and remove FILE-wal and\n"
                       "FILE-shm beside it.\n");
}

RunResult run_verify(Run& run) {
  STEELYARD_TRY(run.expect_words(0, 0, "verify"));
  STEELYARD_TRY_ASSIGN(const std::string file, app::store_file(run.globals.data));
  STEELYARD_TRY_ASSIGN(const Models* models, run.models());
  STEELYARD_TRY_ASSIGN(const auto sound, app::verify(file, *models));
  STEELYARD_TRY(
      run.terminal.out(run.globals.json ? app::soundness_json(sound) + '\n' : soundness_text(sound, run.look())));
  return sound.findings.faults.empty() ? 0 : exit_status(Errc::failed);
}

}  // namespace

const Command k_backup{
    .name = "backup",
    .job = "copy the store to a file, also while the service writes",
    .usage = "FILE",
    .more =
        "The copy is the store of one moment, readable for its owner only. It gets its name once it was read back\n"
        "and found equal. To go back to it, stop the service and name it with --data, or put it in the store's place\n"
        "and remove FILE-wal and FILE-shm beside that.",
    .example = "backup steelyard-monday.db",
    .add_options =
        [](po::options_description_easy_init add) {
          add("overwrite", po::bool_switch(), "replace a file of that name");
        },
    .run = run_backup};

const Command k_verify{
    .name = "verify",
    .job = "check that the store is sound",
    .usage = "",
    .more =
        "Looks at the file's rights, its pages, its tables and what their rows refer to, reads every row, and makes\n"
        "the digest of the entries behind every call that was kept once more. Exit status 1 if anything is wrong.\n"
        "A store of an older version is brought forward first, with a copy beside it.",
    .example = "verify",
    .add_options = nullptr,
    .run = run_verify};

}  // namespace steelyard::cli
