// CSV logs. Differential: the streaming reader against one that looks at a character at a time (RFC 4180), whole text
// against small pieces, and the short way for sessions against the way that every row can go.
#include <map>

#include "fuzz/fuzz.hpp"
#include "ingest/csv.hpp"
#include "ingest/reading.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/cells.hpp"

namespace steelyard::fuzz {
namespace {

using ingest::TextSource;

/// Rows of cells up to the first one whose form is broken; none of them empty.
std::vector<std::vector<std::string>> simple_rows(std::string_view text) {
  std::vector<std::vector<std::string>> rows;
  std::vector<std::string> row(1);
  enum class State { start, bare, quoted, closed } state = State::start;
  const auto end_row = [&] {
    if (std::any_of(row.begin(), row.end(), [](const std::string& cell) { return !trim(cell).empty(); }))
      rows.push_back(row);
    row.assign(1, "");
    state = State::start;
  };
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    const bool line_end = c == '\n' || (c == '\r' && (i + 1 == text.size() || text[i + 1] == '\n'));
    if (state == State::quoted) {
      if (c != '"') {
        row.back() += c;
      } else if (i + 1 < text.size() && text[i + 1] == '"') {
        row.back() += '"';
        ++i;
      } else {
        state = State::closed;
      }
    } else if (line_end) {
      if (c == '\r') ++i;
      end_row();
    } else if (c == ',') {
      row.emplace_back();
      state = State::start;
    } else if (c == '"' && state == State::start) {
      state = State::quoted;
    } else if (c == '"' || c == '\r' || state == State::closed) {
      return rows;
    } else {
      row.back() += c;
      state = State::bare;
    }
  }
  if (state != State::quoted) end_row();
  return rows;
}

std::vector<std::vector<std::string>> streamed_rows(std::string_view text, std::size_t piece) {
  TextSource source{std::string(text), piece};
  ingest::Lines lines(source, {});
  ingest::CsvReader reader(lines);
  ingest::CsvRow row;
  std::vector<std::vector<std::string>> rows;
  for (;;) {
    const auto more = reader.next(row);
    if (!more || !*more || row.fault) return rows;
    rows.emplace_back(row.cells.begin(), row.cells.end());
  }
}

std::optional<ingest::KnownAthlete> anybody(std::string_view code) {
  if (code == "lb") return ingest::KnownAthlete{Unit::lb};
  return ingest::KnownAthlete{};
}

/// Everything that reading a text gives, as one text.
std::string outcome(std::string_view text, std::size_t piece) {
  TextSource source{std::string(text), piece};
  std::string all;
  const auto report =
      ingest::read_log(source, "f.csv", anybody, [&](Record&& record, std::size_t line) -> Result<void> {
        all += std::to_string(line) + ' ' + print_json_line(record) + '\n';
        return {};
      });
  if (!report) return all + report.error().text();
  for (const Error& error : report->errors) all += error.text() + '\n';
  return all + std::to_string(report->rows) + ' ' + std::to_string(report->error_count);
}

std::string session_line(std::string_view athlete, Day date, std::optional<double> minutes, std::optional<double> rpe,
                         std::optional<double> tonnage) {
  Session session{.athlete = std::string(athlete), .date = date, .minutes = minutes, .rpe = rpe, .tonnage_kg = tonnage};
  return print_json_line(session) + '\n';
}

/// Sessions as a load needs them, sorted: the short way may give them in another order than the errors of others.
std::string sessions(std::string_view text, bool short_way) {
  TextSource source{std::string(text), 1000};
  std::vector<std::string> lines;
  ingest::ReadOptions options{.any_athlete = true};
  if (short_way) {
    options.plain_sessions = [&](const ingest::PlainSession& s) {
      lines.push_back(session_line(s.athlete, s.date, s.minutes, s.rpe, s.tonnage_kg));
    };
  }
  const auto report = ingest::read_log(
      source, "f.csv", [](std::string_view) { return std::optional<ingest::KnownAthlete>(); },
      [&](Record&& record, std::size_t) -> Result<void> {
        if (const auto* s = std::get_if<Session>(&record)) {
          lines.push_back(session_line(s->athlete, s->date, s->minutes, s->rpe, s->tonnage_kg));
        }
        return {};
      },
      options);
  std::sort(lines.begin(), lines.end());
  std::string all;
  for (const std::string& line : lines) all += line;
  if (!report) return all + report.error().text();
  for (const Error& error : report->errors) all += error.text() + '\n';
  return all + std::to_string(report->error_count);
}

}  // namespace
}  // namespace steelyard::fuzz

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace steelyard::fuzz;
  const auto text = text_of(data, size);
  const std::size_t piece = 1 + size % 13;
  const auto simple = steelyard::is_plain_utf8(text) ? simple_rows(text) : streamed_rows(text, 1U << 20);
  expect(streamed_rows(text, 1U << 20) == simple, "the streaming reader gives the rows of the simple one");
  expect(streamed_rows(text, piece) == simple, "also from small pieces");
  const bool is_csv = text.find_first_not_of(" \t\r\n\xEF\xBB\xBF") == std::string_view::npos ||
                      text[text.find_first_not_of(" \t\r\n\xEF\xBB\xBF")] != '{';
  if (!is_csv) return 0;
  expect(outcome(text, 1U << 20) == outcome(text, piece), "the size of the pieces changes nothing");
  expect(sessions(text, true) == sessions(text, false), "the short way for sessions gives the same sessions");
  return 0;
}
