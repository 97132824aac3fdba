#pragma once
/// CSV text to rows of cells.
/// source  RFC 4180, section 2: commas, CRLF (or LF), quoted cells with doubled quotes and line breaks inside.
///         Empty lines, and rows whose cells are all empty, are no rows.

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "ingest/lines.hpp"
#include "steelyard/base/result.hpp"

namespace steelyard::ingest {

struct CsvRow {
  std::size_t line = 0;                 ///< of the row's first line, from 1; also when next() gives an error
  std::vector<std::string_view> cells;  ///< into the window of Lines; void after the next row
  /// What is wrong with the row's form, and in which cell.
  struct Fault {
    std::size_t cell = 0;
    std::string what;
  };
  std::optional<Fault> fault;
};

class CsvReader {
 public:
  explicit CsvReader(Lines& lines, std::size_t lines_before = 0) : lines_(lines), line_(lines_before) {}

  /// Physical lines with their ends, which are not taken yet: one at least, unless the source has ended or its last
  /// line has no end. Some bytes behind them may be read, too (Lines::k_slack).   errors  those of Lines
  [[nodiscard]] Result<std::string_view> peek();
  /// Takes the first `count` lines that peek() gave, which have so many bytes.
  void take(std::size_t count, std::size_t bytes) {
    line_ += count;
    consumed_ = bytes;
  }
  /// false = the source has ended.   errors  those of Lines
  [[nodiscard]] Result<bool> next(CsvRow& row);

 private:
  enum class State { start, bare, quoted, closed, broken };
  struct Span {
    std::size_t begin = 0;
    std::size_t end = 0;
    bool has_doubled_quotes = false;
  };

  [[nodiscard]] Result<std::size_t> split_quoted(CsvRow& row, std::size_t end);
  void scan(CsvRow& row, std::string_view text);
  void close_cell(std::size_t end);
  void break_row(CsvRow& row, std::string_view what);

  Lines& lines_;
  std::size_t line_ = 0;      ///< physical lines taken
  std::size_t consumed_ = 0;  ///< bytes of the row handed out last
  // The cell being scanned; offsets from the start of the row, since the window may move while a row is read.
  State state_ = State::start;
  std::size_t at_ = 0;
  Span cell_;
  std::vector<Span> spans_;
};

/// The cells of one line, for a look at a header; none = quotes that are out of place.
[[nodiscard]] std::optional<std::vector<std::string>> split_csv_line(std::string_view line);

/// The cell as CSV writes it: quoted where RFC 4180 asks for it.
[[nodiscard]] std::string csv_cell(std::string_view text);

}  // namespace steelyard::ingest
