#pragma once
/// Sessions of log files as loads of days, in the order of the files, read on all processors.
/// definition  A file is cut into chunks of about a megabyte. While all workers read a chunk each, the chunks that were
///             read before them go to all workers at once, each of which takes its share of the athletes. Any error
///             begins the reading anew, file after file as a whole: a cut that fell into a quoted cell makes an error,
///             and only a file read as a whole counts the lines of its errors rightly.
/// cost        memory: a few chunks a worker, whatever the size of the files

#include <cstdint>
#include <functional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "app/files.hpp"
#include "steelyard/app/loads.hpp"
#include "steelyard/ingest/reader.hpp"

namespace steelyard::app {

struct SessionLoad {
  std::uint64_t hash = 0;        ///< hash_of_code of the athlete
  double load = 0;               ///< AU; NaN = the session has no minutes or no RPE
  int day = 0;                   ///< day number
  std::uint32_t name_begin = 0;  ///< of the code, in SessionChunk::names
  std::uint32_t name_size = 0;
};

struct SessionChunk {
  std::vector<SessionLoad> rows;
  std::string names;
  double tonnage_kg = 0;

  [[nodiscard]] std::string_view name_of(const SessionLoad& row) const {
    return std::string_view(names).substr(row.name_begin, row.name_size);
  }
  void add(const ingest::PlainSession& session);
  void clear() {
    rows.clear();
    names.clear();
    tonnage_kg = 0;
  }
};

class SessionTaker {
 public:
  virtual ~SessionTaker() = default;
  /// The first row comes next; also if the reading begins anew.
  virtual void begin(std::size_t workers) = 0;
  /// Called by all workers at once with the same chunks: each takes its share.   result  false = no more is wanted
  virtual bool take(std::size_t worker, std::span<const SessionChunk> chunks) = 0;
};

/// "-" is standard input.
/// errors  no_input, io; with faults, what was taken is void
[[nodiscard]] Result<FileFaults> read_sessions(std::span<const std::string> paths, const ReadProgress& progress,
                                               SessionTaker& taker);

/// Every row of a file as a whole; what is wrong is added to the faults.
/// errors  no_input, io, those of the sink that end a reading
[[nodiscard]] Result<void> read_rows(ingest::ByteSource& source, const std::string& path, const ingest::RowSink& sink,
                                     ingest::ReadOptions options, FileFaults& faults);

}  // namespace steelyard::app
