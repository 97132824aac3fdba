#include "steelyard/ingest/reader.hpp"

#include <fmt/core.h>

#include "ingest/csv.hpp"
#include "ingest/json_lines.hpp"
#include "ingest/kinds.hpp"
#include "ingest/lines.hpp"
#include "ingest/plain_sessions.hpp"
#include "ingest/row_parser.hpp"
#include "steelyard/base/text.hpp"

namespace steelyard::ingest {
namespace {

constexpr std::string_view k_byte_order_mark = "\xEF\xBB\xBF";

/// One reading: where errors and rows go.
class Reading {
 public:
  Reading(std::string_view name, const AthleteLookup& lookup, const RowSink& sink, const ReadOptions& options)
      : name_(name), sink_(sink), options_(options), parser_(lookup, options.any_athlete) {}

  [[nodiscard]] Result<ReadReport> csv(Lines& lines, std::size_t lines_before);
  [[nodiscard]] Result<ReadReport> json(Lines& lines, std::size_t lines_before);

  /// "file:line" or "file:line:column-name"
  [[nodiscard]] std::string place(std::size_t line, std::string_view column = {}) const {
    return column.empty() ? fmt::format("{}:{}", name_, line) : fmt::format("{}:{}:{}", name_, line, column);
  }

 private:
  [[nodiscard]] Result<RecordKind> header(CsvReader& reader, CsvRow& row);
  void take_plain(CsvReader& reader, PlainSessions& plain);
  [[nodiscard]] Result<void> deliver(Record&& record, std::size_t line);

  void note(std::size_t line, const Error& error) {
    ++report_.error_count;
    if (report_.errors.size() < options_.most_errors) {
      report_.errors.push_back({error.code, error.what, place(line, error.where)});
    }
  }
  void note(std::size_t line, std::string_view column, std::string what) {
    note(line, Error{Errc::bad_data, std::move(what), std::string(column)});
  }

  std::string_view name_;
  const RowSink& sink_;
  const ReadOptions& options_;
  RowParser parser_;
  ReadReport report_;
  std::vector<std::string> header_;
  std::vector<std::size_t> column_of_cell_;
  std::vector<std::string_view> cells_;
};

Result<void> Reading::deliver(Record&& record, std::size_t line) {
  const RecordKind kind = kind_of(record);
  auto taken = sink_(std::move(record), line);
  if (kind == RecordKind::athletes) parser_.forget_athletes();
  if (!taken) {
    if (is_of_the_store(taken.error().code)) return taken;
    note(line, taken.error());
    return {};
  }
  ++report_.rows;
  return {};
}

Result<RecordKind> Reading::header(CsvReader& reader, CsvRow& row) {
  auto found = reader.next(row);
  if (!found) return fail(found.error().code, found.error().what, place(row.line));
  if (!*found)
    return fail(Errc::bad_data, "the file is empty; allowed: a header row and rows below it", std::string(name_));
  if (row.fault) return fail(Errc::bad_data, std::move(row.fault->what), place(row.line));
  std::vector<std::string_view> names;
  for (const auto cell : row.cells) names.push_back(trim(cell));
  auto kind = detect_kind(names);
  if (!kind) return fail(Errc::bad_data, kind.error().what, place(row.line, kind.error().where));
  header_.assign(names.begin(), names.end());
  for (const auto name : names) column_of_cell_.push_back(find_column(*kind, name).value_or(0));
  cells_.assign(columns_of(*kind).size(), {});
  return *kind;
}

/// Takes plain rows up to one that is not.
void Reading::take_plain(CsvReader& reader, PlainSessions& plain) {
  static_assert(PlainSessions::k_slack <= Lines::k_slack);
  PlainSession session;
  for (;;) {
    const auto lines = reader.peek();
    if (!lines || lines->empty()) return;
    const char* at = lines->data();
    const char* const end = at + lines->size();
    std::size_t count = 0;
    while (at != end) {
      if (!plain.read(at, session)) break;
      options_.plain_sessions(session);
      ++count;
    }
    report_.rows += count;
    reader.take(count, static_cast<std::size_t>(at - lines->data()));
    if (at != end) return;
  }
}

Result<ReadReport> Reading::csv(Lines& lines, std::size_t lines_before) {
  CsvReader reader(lines, lines_before);
  CsvRow row;
  STEELYARD_TRY_ASSIGN(const RecordKind kind, header(reader, row));
  report_.kinds.insert(kind);
  std::optional<PlainSessions> plain;
  if (kind == RecordKind::sessions && options_.plain_sessions) plain.emplace(column_of_cell_);
  for (;;) {
    if (plain) take_plain(reader, *plain);
    auto found = reader.next(row);
    if (!found) return fail(found.error().code, found.error().what, place(row.line));
    if (!*found) return std::move(report_);
    if (row.fault) {
      note(row.line, row.fault->cell < header_.size() ? header_[row.fault->cell] : "", std::move(row.fault->what));
      continue;
    }
    if (row.cells.size() != header_.size()) {
      note(row.line, {},
           fmt::format("the row has {} cells; allowed: {}, as many as the header has columns; put text with a comma "
                       "between quotes",
                       row.cells.size(), header_.size()));
      continue;
    }
    for (std::size_t i = 0; i < row.cells.size(); ++i) cells_[column_of_cell_[i]] = row.cells[i];
    auto record = parser_.parse(kind, cells_);
    if (!record) {
      for (const Error& error : parser_.errors()) note(row.line, error);
      continue;
    }
    STEELYARD_TRY(deliver(*std::move(record), row.line));
  }
}

Result<ReadReport> Reading::json(Lines& lines, std::size_t lines_before) {
  std::vector<Error> errors;
  for (std::size_t line = lines_before + 1;; ++line) {
    const auto end = lines.line_end(0);
    if (!end) return fail(end.error().code, end.error().what, place(line));
    if (*end == 0) return std::move(report_);
    auto text = lines.text(*end);
    while (text.ends_with('\n') || text.ends_with('\r')) text.remove_suffix(1);
    if (!is_plain_utf8(text)) {
      note(line, {}, "the text is not UTF-8; allowed: UTF-8 without NUL; save the file as UTF-8");
    } else if (!trim(text).empty()) {
      auto record = parse_json_record(text, parser_, errors);
      for (const Error& error : errors) note(line, error);
      if (record) {
        report_.kinds.insert(kind_of(*record));
        STEELYARD_TRY(deliver(*std::move(record), line));
      }
    }
    lines.drop(*end);
  }
}

}  // namespace

Result<ReadReport> read_log(ByteSource& source, std::string_view name, const AthleteLookup& lookup, const RowSink& sink,
                            const ReadOptions& options) {
  Lines lines(source, options.progress);
  Reading reading(name, lookup, sink, options);
  auto end = lines.line_end(0);
  if (end && lines.text(*end).starts_with(k_byte_order_mark)) {
    lines.drop(k_byte_order_mark.size());
    *end -= k_byte_order_mark.size();
  }
  for (std::size_t lines_before = 0;; ++lines_before) {  // blank lines may stand above the first row
    if (!end) return fail(end.error().code, end.error().what, reading.place(lines_before + 1));
    const auto text = trim(lines.text(*end));
    if (text.starts_with('{')) return reading.json(lines, lines_before);
    if (!text.empty() || *end == 0) return reading.csv(lines, lines_before);
    lines.drop(*end);
    end = lines.line_end(0);
  }
}

std::optional<RecordKind> kind_of_header(std::string_view first_line) {
  if (first_line.starts_with(k_byte_order_mark)) first_line.remove_prefix(k_byte_order_mark.size());
  const auto cells = split_csv_line(first_line);
  if (!cells) return std::nullopt;
  std::vector<std::string_view> names;
  for (const std::string& cell : *cells) names.push_back(trim(cell));
  const auto kind = detect_kind(names);
  return kind ? std::optional(*kind) : std::nullopt;
}

Result<Record> parse_json_line(std::string_view line, const AthleteLookup& lookup) {
  if (!is_plain_utf8(line)) return fail(Errc::bad_data, "the text is not UTF-8; allowed: UTF-8 without NUL");
  RowParser parser(lookup, false);
  std::vector<Error> errors;
  auto record = parse_json_record(line, parser, errors);
  if (!record) return fail(errors.front().code, errors.front().what, errors.front().where);
  return *std::move(record);
}

}  // namespace steelyard::ingest
