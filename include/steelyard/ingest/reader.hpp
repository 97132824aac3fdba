#pragma once
/// Bytes of a log file to records, as a stream: memory does not grow with the file.
/// definition  CSV by RFC 4180 (UTF-8, header row, CRLF or LF, byte order mark allowed) or JSON lines, one object a
///             line with "entry": athlete | max | plan | period | day-off | session | set | check | bar | clearance.
///             The kind of a CSV file is told by its header, not by its name. Blank = not recorded, never zero.
///             The order of columns and of rows is free; sets of one part keep the order of their rows.
/// errors      collected, not thrown: each with where = "file:line:column-name", the value, what is allowed and a
///             remedy
/// cost        one pass; a fixed buffer and the longest row

#include <cstddef>
#include <functional>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/base/result.hpp"
#include "steelyard/domain/records.hpp"

namespace steelyard::ingest {

/// Where bytes come from. app opens files; tests give text.
class ByteSource {
 public:
  virtual ~ByteSource() = default;
  /// Fills up to buffer.size() bytes; 0 = end.   errors  io
  [[nodiscard]] virtual Result<std::size_t> read(std::span<char> buffer) = 0;
};

/// What reading needs to know about people: whether a code exists and the unit of bare weights.
struct KnownAthlete {
  std::optional<Unit> units;
};
using AthleteLookup = std::function<std::optional<KnownAthlete>(std::string_view code)>;

/// Called once a good row, in file order. A returned error is a row error unless it is_of_the_store, which ends
/// the reading.
using RowSink = std::function<Result<void>(Record&& record, std::size_t line)>;

/// A session as most files write it. Its texts are void after the call.
struct PlainSession {
  std::string_view athlete;
  Day date{};
  std::optional<double> minutes;
  std::optional<double> rpe;
  std::optional<double> tonnage_kg;
};

struct ReadOptions {
  bool any_athlete = false;                         ///< accept codes that `lookup` does not know (loads --logs)
  std::size_t most_errors = 20;                     ///< kept with their text; all are counted
  std::function<void(std::size_t bytes)> progress;  ///< now and then, with the bytes read so far
  /// Takes most rows of sessions in the place of the sink, several times as fast; those that need a second look still
  /// go to the sink.   domain  any_athlete
  std::function<void(const PlainSession&)> plain_sessions;
};

struct ReadReport {
  std::set<RecordKind> kinds;
  std::size_t rows = 0;  ///< good rows given to the sink
  std::size_t error_count = 0;
  std::vector<Error> errors;  ///< the first of them, in file order
};

/// `name` is the file's name in messages. Tells CSV from JSON lines by the first character that is not blank ('{').
/// errors  bad_data (empty file, header of no kind or of two kinds, not UTF-8), io, and those of the sink that end it
[[nodiscard]] Result<ReadReport> read_log(ByteSource& source, std::string_view name, const AthleteLookup& lookup,
                                          const RowSink& sink, const ReadOptions& options = {});

/// The kind of a CSV file from its first bytes, to order the files of a folder; none = JSON lines or unknown.
[[nodiscard]] std::optional<RecordKind> kind_of_header(std::string_view first_line);

/// Rows as a CSV file of their kind (LF line ends, header first; RFC 4180 quotes), which read_log takes back unchanged.
/// A weight without a unit is written in the athlete's unit, as it is read; one that no number of pounds gives exactly
/// (it was typed in kg) gets its unit written, so that the weight stays exact.
/// Text that a spreadsheet would run as a formula (it begins with = + - @, a tab or a carriage return) is kept as it
/// is; only `for_spreadsheets` puts an apostrophe in front, and such a file is not for reading back. domain  all rows
/// of one kind
[[nodiscard]] std::string write_csv_header(RecordKind kind);
[[nodiscard]] std::string write_csv_row(const Record& record, std::optional<Unit> athlete_units,
                                        bool for_spreadsheets = false);

/// One record from the form of print_json_line; the inverse of it, except that a weight printed without a unit of its
/// own comes back with the unit kg.
/// errors  bad_data, where = name of the field, or the column (from 1) at which the syntax breaks
[[nodiscard]] Result<Record> parse_json_line(std::string_view line, const AthleteLookup& lookup);

}  // namespace steelyard::ingest
