// JSON lines. Whole text against small pieces; a row that was read, printed and read again is the same row.
#include "fuzz/fuzz.hpp"
#include "ingest/reading.hpp"
#include "steelyard/domain/cells.hpp"

namespace steelyard::fuzz {
namespace {

std::optional<ingest::KnownAthlete> anybody(std::string_view) {
  return ingest::KnownAthlete{Unit::kg};
}

std::string outcome(std::string_view text, std::size_t piece, std::vector<Record>& rows) {
  ingest::TextSource source{std::string(text), piece};
  std::string all;
  const auto report =
      ingest::read_log(source, "f.jsonl", anybody, [&](Record&& record, std::size_t line) -> Result<void> {
        all += std::to_string(line) + ' ' + print_json_line(record) + '\n';
        rows.push_back(std::move(record));
        return {};
      });
  if (!report) return all + report.error().text();
  for (const Error& error : report->errors) all += error.text() + '\n';
  return all + std::to_string(report->rows) + ' ' + std::to_string(report->error_count);
}

}  // namespace
}  // namespace steelyard::fuzz

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace steelyard;
  using namespace steelyard::fuzz;
  std::string text(text_of(data, size));
  if (!text.starts_with('{')) text.insert(0, "{");
  std::vector<Record> rows;
  std::vector<Record> again;
  expect(outcome(text, 1U << 20, rows) == outcome(text, 1 + size % 13, again),
         "the size of the pieces changes nothing");
  for (const Record& row : rows) {
    const std::string printed = print_json_line(row);
    const auto read = ingest::parse_json_line(printed, anybody);
    expect(read.has_value(), "what was printed can be read");
    expect(print_json_line(*read) == printed, "and is the same row");
  }
  return 0;
}
