#include "ingest/csv.hpp"

#include <algorithm>
#include <cstring>

#include "steelyard/base/text.hpp"

namespace steelyard::ingest {
namespace {

constexpr std::string_view k_lone_return =
    "a carriage return stands alone; allowed: line ends LF or CRLF; save the file with one of them";
constexpr std::string_view k_stray_quote =
    "a quote stands inside a cell without quotes around it; allowed: \"5\"\" plate\" for 5\" plate";
constexpr std::string_view k_text_behind =
    "text follows a closing quote; allowed: a comma or the end of the row; double the quotes inside the cell";
constexpr std::string_view k_never_closed = "the quote that opens this cell is never closed; close it with \"";

/// The line without its end.
std::string_view without_end(std::string_view line) {
  if (line.ends_with('\n')) line.remove_suffix(1);
  if (line.ends_with('\r')) line.remove_suffix(1);
  return line;
}

bool contains(std::string_view text, char c) {
  return !text.empty() && std::memchr(text.data(), c, text.size()) != nullptr;
}

void split_plain(std::string_view text, std::vector<std::string_view>& cells) {
  std::size_t begin = 0;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == ',') {
      cells.push_back(text.substr(begin, i - begin));
      begin = i + 1;
    }
  }
  cells.push_back(text.substr(begin));
}

bool is_blank_row(const CsvRow& row) {
  return !row.fault &&
         std::all_of(row.cells.begin(), row.cells.end(), [](std::string_view c) { return trim(c).empty(); });
}

void note_bad_bytes(CsvRow& row) {
  if (row.fault) return;
  const auto bad =
      std::find_if(row.cells.begin(), row.cells.end(), [](std::string_view c) { return !is_plain_utf8(c); });
  row.fault = CsvRow::Fault{static_cast<std::size_t>(bad - row.cells.begin()),
                            "the text is not UTF-8; allowed: UTF-8 without NUL; save the file as UTF-8"};
}

}  // namespace

void CsvReader::close_cell(std::size_t end) {
  if (state_ != State::closed) cell_.end = end;
  spans_.push_back(cell_);
}

void CsvReader::break_row(CsvRow& row, std::string_view what) {
  row.fault = CsvRow::Fault{spans_.size(), std::string(what)};
  state_ = State::broken;
}

/// Goes on with the row behind at_ to the end of the text, which is the end of a physical line.
void CsvReader::scan(CsvRow& row, std::string_view text) {
  for (; at_ < text.size(); ++at_) {
    const char c = text[at_];
    if (state_ == State::quoted) {
      if (c != '"') continue;
      if (at_ + 1 < text.size() && text[at_ + 1] == '"') {
        cell_.has_doubled_quotes = true;
        ++at_;
      } else {
        cell_.end = at_;
        state_ = State::closed;
      }
    } else if (state_ == State::broken) {
      continue;
    } else if (c == ',') {
      close_cell(at_);
      state_ = State::start;
      cell_ = {.begin = at_ + 1, .end = at_ + 1};
    } else if (c == '\n' || (c == '\r' && at_ + 1 < text.size() && text[at_ + 1] == '\n')) {
      close_cell(at_);
      at_ = text.size();
      state_ = State::start;
      return;
    } else if (c == '\r' && at_ + 1 < text.size()) {
      break_row(row, k_lone_return);
    } else if (state_ == State::start && c == '"') {
      state_ = State::quoted;
      cell_.begin = at_ + 1;
    } else if (c == '"') {
      break_row(row, k_stray_quote);
    } else if (state_ == State::closed) {
      if (c != '\r') break_row(row, k_text_behind);
    } else {
      state_ = State::bare;
    }
  }
  if (state_ == State::quoted || state_ == State::broken) return;
  close_cell(text.ends_with('\r') ? text.size() - 1 : text.size());  // the last line of a file without a line end
}

/// Splits a row with quotes, taking further lines while a quoted cell is open. Gives the row's end.
Result<std::size_t> CsvReader::split_quoted(CsvRow& row, std::size_t end) {
  state_ = State::start;
  at_ = 0;
  cell_ = {};
  spans_.clear();
  scan(row, lines_.text(end));
  while (state_ == State::quoted) {
    STEELYARD_TRY_ASSIGN(const std::size_t next_end, lines_.line_end(end));
    if (next_end == end) {
      break_row(row, k_never_closed);
      break;
    }
    ++line_;
    end = next_end;
    scan(row, lines_.text(end));
  }
  const bool is_utf8 = is_plain_utf8(lines_.text(end));
  char* data = lines_.data();
  for (const Span& span : spans_) {
    char* last = data + span.end;
    if (span.has_doubled_quotes) {  // every second quote goes, in place
      const char* from = data + span.begin;
      char* to = data + span.begin;
      while (from != data + span.end) {
        if (*from == '"') ++from;
        *to++ = *from++;
      }
      last = to;
    }
    row.cells.emplace_back(data + span.begin, static_cast<std::size_t>(last - (data + span.begin)));
  }
  if (!is_utf8) note_bad_bytes(row);
  return end;
}

Result<std::string_view> CsvReader::peek() {
  lines_.drop(consumed_);
  consumed_ = 0;
  STEELYARD_TRY(lines_.line_end(0));
  const std::string_view unread = lines_.unread();
  return unread.substr(0, unread.rfind('\n') + 1);  // nothing, if there is none
}

Result<bool> CsvReader::next(CsvRow& row) {
  for (;;) {
    row.cells.clear();
    row.fault.reset();
    lines_.drop(consumed_);
    consumed_ = 0;
    row.line = line_ + 1;
    STEELYARD_TRY_ASSIGN(std::size_t end, lines_.line_end(0));
    if (end == 0) return false;
    ++line_;
    const std::string_view text = without_end(lines_.text(end));
    if (contains(text, '"')) {
      STEELYARD_TRY_ASSIGN(end, split_quoted(row, end));
    } else {
      split_plain(text, row.cells);
      if (contains(text, '\r')) {
        const auto before = text.substr(0, text.find('\r'));
        row.fault = CsvRow::Fault{static_cast<std::size_t>(std::count(before.begin(), before.end(), ',')),
                                  std::string(k_lone_return)};
      }
      if (!is_plain_utf8(text)) note_bad_bytes(row);
    }
    consumed_ = end;
    if (!is_blank_row(row)) return true;
  }
}

namespace {

class TextSource final : public ByteSource {
 public:
  explicit TextSource(std::string_view text) : rest_(text) {}
  Result<std::size_t> read(std::span<char> buffer) override {
    const std::size_t count = rest_.copy(buffer.data(), buffer.size());
    rest_.remove_prefix(count);
    return count;
  }

 private:
  std::string_view rest_;
};

}  // namespace

std::optional<std::vector<std::string>> split_csv_line(std::string_view line) {
  TextSource source(line);
  Lines lines(source, {});
  CsvReader reader(lines);
  CsvRow row;
  const auto found = reader.next(row);
  if (!found || !*found || row.fault) return std::nullopt;
  return std::vector<std::string>(row.cells.begin(), row.cells.end());
}

std::string csv_cell(std::string_view text) {
  if (text.find_first_of(",\"\r\n") == std::string_view::npos) return std::string(text);
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"') out += '"';
    out += c;
  }
  return out + '"';
}

}  // namespace steelyard::ingest
