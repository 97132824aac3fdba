#include "ingest/csv.hpp"
#include "ingest/kinds.hpp"
#include "steelyard/domain/cells.hpp"
#include "steelyard/ingest/reader.hpp"

namespace steelyard::ingest {

std::string write_csv_header(RecordKind kind) {
  std::string out;
  for (const auto& known : columns_of(kind)) {
    if (!out.empty()) out += ',';
    out += known.column.name;
  }
  return out + '\n';
}

std::string write_csv_row(const Record& record, std::optional<Unit> athlete_units, bool for_spreadsheets) {
  std::string out;
  bool first = true;
  for (const auto& cell : cells_of(record, athlete_units.value_or(Unit::kg))) {
    if (!first) out += ',';
    first = false;
    const bool looks_like_formula = !cell.is_number && cell.text.find_first_of("=+-@\t\r") == 0;
    out += csv_cell(for_spreadsheets && looks_like_formula ? '\'' + cell.text : cell.text);
  }
  return out + '\n';
}

}  // namespace steelyard::ingest
