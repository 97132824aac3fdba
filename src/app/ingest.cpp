#include "steelyard/app/ingest.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <memory>

#include "app/entry_writer.hpp"
#include "app/files.hpp"
#include "app/text_source.hpp"
#include "steelyard/base/text.hpp"

namespace steelyard::app {
namespace {

constexpr int k_kind_unknown = k_record_kinds;        // JSON lines, or a header that reading will refuse
constexpr int k_standard_input = k_record_kinds + 1;  // its first line cannot be looked at beforehand

struct File {
  std::string path;
  int order = k_kind_unknown;
};

Result<void> add_file(std::vector<File>& files, const std::string& path) {
  if (path == "-") {
    files.push_back({path, k_standard_input});
    return {};
  }
  STEELYARD_TRY_ASSIGN(const std::string line, first_line(path));
  const auto kind = ingest::kind_of_header(line);
  files.push_back({path, kind ? static_cast<int>(*kind) : k_kind_unknown});
  return {};
}

/// The files of all paths, in the order of their kinds.
Result<std::vector<File>> files_of(std::span<const std::string> paths) {
  std::vector<File> files;
  for (const std::string& path : paths) {
    if (!is_folder(path)) {
      STEELYARD_TRY(add_file(files, path));
      continue;
    }
    STEELYARD_TRY_ASSIGN(const auto inside, log_files_of(path));
    if (inside.empty()) return fail(Errc::no_input, "this folder holds no .csv or .jsonl file", path);
    for (const std::string& file : inside) STEELYARD_TRY(add_file(files, file));
  }
  std::stable_sort(files.begin(), files.end(), [](const File& a, const File& b) { return a.order < b.order; });
  return files;
}

class Reading {
 public:
  Reading(Context& context, const IngestOptions& options) : context_(context), options_(options) {}

  Result<void> begin();
  Result<FileOutcome> file(ingest::ByteSource& source, const std::string& name, std::uint64_t size);

  Postponed postponed;
  std::vector<std::string> new_lifts;

 private:
  void note_lift(const Record& record);

  Context& context_;
  const IngestOptions& options_;
  std::unique_ptr<store::Work> trial_;  ///< around everything a dry run stores; never committed
};

Result<void> Reading::begin() {
  if (!options_.dry_run) return {};
  STEELYARD_TRY_ASSIGN(trial_, context_.store.service().begin_work());
  return {};
}

void Reading::note_lift(const Record& record) {
  const std::string* lift = nullptr;
  if (const auto* set = std::get_if<SetRow>(&record)) lift = &set->lift;
  if (const auto* plan = std::get_if<PlanRow>(&record)) lift = &plan->lift;
  if (const auto* max = std::get_if<TrainingMax>(&record)) lift = &max->lift;
  if (lift == nullptr || context_.models.lifts.find(*lift) != nullptr) return;
  if (std::find(new_lifts.begin(), new_lifts.end(), *lift) == new_lifts.end()) new_lifts.push_back(*lift);
}

Result<FileOutcome> Reading::file(ingest::ByteSource& source, const std::string& name, std::uint64_t size) {
  STEELYARD_TRY_ASSIGN(EntryWriter writer, EntryWriter::begin(context_, name, &postponed));
  std::optional<Error> store_error;  // the reader takes a store's refusal for a row's; it must end the reading
  const auto lookup = [&](std::string_view code) -> std::optional<ingest::KnownAthlete> {
    auto athlete = writer.entry().athlete(code);
    if (!athlete) {
      if (!store_error) store_error = athlete.error();
      return std::nullopt;
    }
    if (!*athlete) return std::nullopt;
    return ingest::KnownAthlete{(*athlete)->units};
  };
  const auto sink = [&](Record&& record, std::size_t) -> Result<void> {
    if (options_.is_stopped && options_.is_stopped()) return fail(Errc::busy, "the reading was stopped");
    if (options_.may_write) {
      const std::string code = std::visit([](const auto& row) { return row.athlete; }, record);
      STEELYARD_TRY_ASSIGN(const auto stored, writer.entry().athlete(code));
      if (!options_.may_write(stored ? &*stored : nullptr, record)) {
        return fail(Errc::not_allowed, fmt::format("rows of {} are not yours to write", in_quotes(code)));
      }
    }
    note_lift(record);
    return writer.put(std::move(record));
  };
  ingest::ReadOptions read_options;
  if (options_.progress) {
    read_options.progress = [&](std::size_t bytes) { options_.progress({.file = name, .bytes = bytes, .size = size}); };
  }
  FileOutcome outcome{.file = name};
  auto report = ingest::read_log(source, name, lookup, sink, read_options);
  if (store_error) return tl::make_unexpected(*store_error);
  if (!report) {
    if (is_of_the_store(report.error().code)) return tl::make_unexpected(report.error());
    outcome.refused = std::move(report).error();
    return outcome;
  }
  outcome.report = *std::move(report);
  if (outcome.report.error_count > 0 && !options_.keep_good) return outcome;
  STEELYARD_TRY(writer.ask_doubts());
  outcome.held = writer.held();
  outcome.asked = writer.asked();
  STEELYARD_TRY_ASSIGN(outcome.summary, writer.commit());
  outcome.stored = !options_.dry_run;
  return outcome;
}

}  // namespace

Result<IngestOutcome> ingest_paths(Context& context, std::span<const std::string> paths, const IngestOptions& options) {
  STEELYARD_TRY_ASSIGN(const auto files, files_of(paths));
  constexpr int sets = static_cast<int>(RecordKind::sets);
  Reading reading(context, options);
  STEELYARD_TRY(reading.begin());
  IngestOutcome outcome;
  for (std::size_t i = 0; i < files.size(); ++i) {
    reading.postponed.sets_to_come =
        std::any_of(files.begin() + static_cast<std::ptrdiff_t>(i) + 1, files.end(),
                    [&](const File& later) { return later.order == sets && files[i].order < sets; });
    STEELYARD_TRY_ASSIGN(auto source, FileSource::open(files[i].path));
    const std::string name = files[i].path == "-" ? "standard input" : files[i].path;
    STEELYARD_TRY_ASSIGN(auto one, reading.file(*source, name, source->size()));
    outcome.files.push_back(std::move(one));
  }
  outcome.new_lifts = std::move(reading.new_lifts);
  return outcome;
}

Result<FileOutcome> ingest_text(Context& context, std::string_view name, std::string_view text,
                                const IngestOptions& options, std::vector<std::string>* added_lifts) {
  TextSource source(text);
  Reading reading(context, options);
  STEELYARD_TRY(reading.begin());
  STEELYARD_TRY_ASSIGN(auto outcome, reading.file(source, std::string(name), text.size()));
  if (added_lifts != nullptr) *added_lifts = std::move(reading.new_lifts);
  return outcome;
}

}  // namespace steelyard::app
