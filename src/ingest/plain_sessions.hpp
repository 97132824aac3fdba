#pragma once
/// Rows of sessions in the plainest form, read without copies.
/// definition  plain is a line of ASCII without quotes and without blanks around cells, with a code, a day, numbers in
///             plain decimals inside their ranges and a kind that a session may have. Whatever is not plain is left to
///             the reader of rows, so that every error and every rarer form has one place
/// cost        some 25 ns a row; no allocation

#include <cstddef>
#include <span>
#include <string_view>
#include <vector>

#include "steelyard/ingest/reader.hpp"

namespace steelyard::ingest {

class PlainSessions {
 public:
  /// columns: of each cell, the place of its column in columns_of(RecordKind::sessions).
  explicit PlainSessions(std::span<const std::size_t> columns);

  /// Bytes that must be readable behind the line end of a row, whatever they hold.
  static constexpr std::size_t k_slack = 16;

  /// at: the start of a line, which has a line end. Afterwards the start of the next one.
  /// result  false = not plain: `at` is where it was, the session is void. Its texts lie in the line.
  [[nodiscard]] bool read(const char*& at, PlainSession& session);

 private:
  struct CellForm {
    std::size_t column = 0;
    double low = 0;
    double high = 0;
    bool low_is_open = false;
    bool is_number = false;
  };
  [[nodiscard]] bool take(const CellForm& form, const char*& at, PlainSession& session);
  [[nodiscard]] bool take_day(const char*& at, Day& day);

  std::vector<CellForm> cells_;
  char day_text_[10] = {};  ///< the date read last; most rows repeat it
  Day day_{};
};

}  // namespace steelyard::ingest
