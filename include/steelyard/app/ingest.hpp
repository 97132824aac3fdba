#pragma once
/// Files into the store.
/// definition  A folder is read by kind (athletes, maxes, plan ..), its .csv and .jsonl files only; "-" is standard
///             input. Every file is one entry: it is stored whole or, with an error in it, not at all, unless the good
///             rows are to be kept. Reading the same file twice changes nothing and asks nothing.

#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "steelyard/app/context.hpp"
#include "steelyard/ingest/reader.hpp"
#include "steelyard/store/store.hpp"

namespace steelyard::app {

struct IngestProgress {
  std::string_view file;
  std::uint64_t bytes = 0;
  std::uint64_t size = 0;  ///< 0 = not known
};

struct IngestOptions {
  bool dry_run = false;    ///< everything but the storing
  bool keep_good = false;  ///< store the good rows of a file with errors
  /// Whether rows about that athlete may come in; `stored` is null for one who is not there yet. none = everybody's.
  std::function<bool(const Athlete* stored, const Record& row)> may_write;
  std::function<void(const IngestProgress&)> progress;
  /// Asked at every row; once it is true the reading ends with `busy` and nothing of the file is stored.
  std::function<bool()> is_stopped;
};

struct FileOutcome {
  std::string file;
  ingest::ReadReport report;
  store::EntrySummary summary;
  std::size_t held = 0;   ///< rows that an earlier question holds aside
  std::size_t asked = 0;  ///< new questions
  bool stored = false;
  std::optional<Error> refused;  ///< the file as a whole could not be read
  [[nodiscard]] bool has_errors() const { return refused || report.error_count > 0; }
};

struct IngestOutcome {
  std::vector<FileOutcome> files;      ///< in the order in which they were read
  std::vector<std::string> new_lifts;  ///< lifts that no model file knows
};

/// errors  no_input (a path that is not there, a folder without logs), and those of the store; what is wrong inside a
///         file is in its outcome
[[nodiscard]] Result<IngestOutcome> ingest_paths(Context& context, std::span<const std::string> paths,
                                                 const IngestOptions& options);

/// The same for one text that is at hand already.
/// `added_lifts`, if given, gets the lifts that no model file knows.
[[nodiscard]] Result<FileOutcome> ingest_text(Context& context, std::string_view name, std::string_view text,
                                              const IngestOptions& options,
                                              std::vector<std::string>* added_lifts = nullptr);

// ------------------------------------------------------------------------------------------ in words
/// "FILE: 3 rows of checks, 3 new", or what else became of it.
[[nodiscard]] std::string outcome_line(const FileOutcome& file, bool dry_run);
/// Every error that was kept, and how many more there were.
[[nodiscard]] std::vector<std::string> error_lines(const FileOutcome& file);
/// {"schema", "files": [{"file", "stored", "rows", "added", "replaced", "unchanged", "removed", "asked", "errors"}],
/// "new_lifts"}
[[nodiscard]] std::string ingest_json(const IngestOutcome& outcome);

}  // namespace steelyard::app
