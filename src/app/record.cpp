#include "steelyard/app/record.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>

#include "app/entry_writer.hpp"
#include "app/text_source.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/cells.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "steelyard/report/csv.hpp"
#include "steelyard/series/lift_codes.hpp"

namespace steelyard::app {
namespace {

/// The athlete's unit, in which bare weights of the row stand.
std::optional<Unit> units_of(Context& context, std::string_view code) {
  const auto athlete = context.store.athlete(code);
  return athlete && *athlete ? (*athlete)->units : std::nullopt;
}

std::string code_in(const Record& record) {
  return std::visit([](const auto& row) { return row.athlete; }, record);
}

template <std::size_t... i>
Record blank_row(RecordKind kind, std::index_sequence<i...>) {
  std::array<Record, sizeof...(i)> blanks{Record(std::in_place_index<i>)...};
  return std::move(blanks.at(static_cast<std::size_t>(kind)));
}

/// Cells of a blank row of that kind, or of the row as it was.
std::vector<Cell> cells_before(Context& context, RecordKind kind, const std::optional<Record>& before) {
  if (before) return cells_of(*before, units_of(context, code_in(*before)));
  auto cells = cells_of(blank_row(kind, std::make_index_sequence<k_record_kinds>{}), std::nullopt);
  for (Cell& cell : cells) cell.text.clear();
  return cells;
}

}  // namespace

Result<Record> row_of(Context& context, RecordKind kind, std::span<const ColumnText> typed,
                      const std::optional<Record>& before) {
  auto cells = cells_before(context, kind, before);
  for (const auto& [column, text] : typed) {
    const auto cell = std::find_if(cells.begin(), cells.end(), [&](const Cell& c) { return c.column == column; });
    if (cell == cells.end()) {
      std::vector<std::string_view> names;
      for (const Cell& c : cells) names.push_back(c.column);
      return fail(Errc::usage, not_a_word(column, fmt::format("a column of {}", word(kind)), names));
    }
    cell->text = text;
  }
  std::string csv = ingest::write_csv_header(kind);
  std::string row;
  for (const Cell& cell : cells) {
    if (&cell != &cells.front()) row += ',';
    report::append_csv_text(row, cell.text);
  }
  csv += row + '\n';
  TextSource source(csv);
  std::optional<Record> read;
  const auto lookup = [&](std::string_view code) -> std::optional<ingest::KnownAthlete> {
    const auto athlete = context.store.athlete(code);
    if (!athlete || !*athlete) return std::nullopt;
    return ingest::KnownAthlete{(*athlete)->units};
  };
  const auto sink = [&](Record&& record, std::size_t) -> Result<void> {
    read = std::move(record);
    return {};
  };
  STEELYARD_TRY_ASSIGN(const auto report, ingest::read_log(source, "row", lookup, sink));
  if (read) {
    series::use_lift_codes(*read, context.models.lifts);
    return *std::move(read);
  }
  if (report.errors.empty()) return fail(Errc::usage, "nothing was given");
  Error error = report.errors.front();
  const auto colon = error.where.rfind(':');  // "row:2:column": only the column means something here
  error.where = colon == std::string::npos ? std::string{} : error.where.substr(colon + 1);
  return tl::make_unexpected(std::move(error));
}

std::vector<std::string_view> columns_of(RecordKind kind) {
  std::vector<std::string_view> columns;
  for (const Cell& cell : cells_of(blank_row(kind, std::make_index_sequence<k_record_kinds>{}), std::nullopt)) {
    columns.push_back(cell.column);
  }
  return columns;
}

Result<std::size_t> store_rows(Context& context, std::string_view source, std::span<const Record> rows) {
  Postponed together{.one_session = true};
  STEELYARD_TRY_ASSIGN(EntryWriter writer, EntryWriter::begin(context, source, &together));
  for (const Record& row : rows) STEELYARD_TRY(writer.put(row));
  STEELYARD_TRY(writer.ask_doubts());
  STEELYARD_TRY(writer.commit());
  return writer.asked();
}

Result<Athlete> add_athlete(Context& context, const std::string& code, std::span<const ColumnText> typed) {
  STEELYARD_TRY_ASSIGN(const auto there, context.store.athlete(code));
  if (there) {
    return fail(Errc::usage,
                fmt::format("{} is there already; 'steelyard athlete set {}' changes what is stored", code, code));
  }
  std::vector<ColumnText> columns{{"athlete", code}};
  columns.insert(columns.end(), typed.begin(), typed.end());
  STEELYARD_TRY_ASSIGN(const Record row, row_of(context, RecordKind::athletes, columns));
  STEELYARD_TRY(store_rows(context, "athlete add", std::span(&row, 1)));
  return std::get<Athlete>(row);
}

Result<Athlete> set_athlete(Context& context, const std::string& code, std::span<const ColumnText> typed) {
  STEELYARD_TRY_ASSIGN(const Athlete athlete, find_athlete(context, code, std::nullopt));
  STEELYARD_TRY_ASSIGN(const Record row, row_of(context, RecordKind::athletes, typed, Record(athlete)));
  STEELYARD_TRY(store_rows(context, "athlete set", std::span(&row, 1)));
  return std::get<Athlete>(row);
}

Result<TrainingMax> set_max(Context& context, const Athlete& athlete, std::string_view lift, std::string_view weight,
                            std::optional<Unit> unit, Day from) {
  const std::vector<ColumnText> columns{{"athlete", athlete.athlete},
                                        {"lift", std::string(lift)},
                                        {"from", format_day(from)},
                                        {"training_max", std::string(weight)},
                                        {"unit", unit ? std::string(word(*unit)) : std::string{}}};
  STEELYARD_TRY_ASSIGN(const Record row, row_of(context, RecordKind::maxes, columns));
  STEELYARD_TRY(store_rows(context, "max set", std::span(&row, 1)));
  return std::get<TrainingMax>(row);
}

Result<DaysOff> set_days_off(Context& context, const Athlete& athlete, Day from, Day to, std::string_view reason) {
  const std::vector<ColumnText> columns{{"athlete", athlete.athlete},
                                        {"from", format_day(from)},
                                        {"to", format_day(to)},
                                        {"reason", std::string(reason)}};
  STEELYARD_TRY_ASSIGN(const Record row, row_of(context, RecordKind::days_off, columns));
  STEELYARD_TRY(store_rows(context, "off", std::span(&row, 1)));
  return std::get<DaysOff>(row);
}

Result<std::optional<store::UndoneEntry>> undo(Context& context, const std::optional<std::string>& only_of) {
  if (only_of) STEELYARD_TRY(find_athlete(context, only_of, std::nullopt));
  return context.store.undo_last(only_of);
}

Result<ingest::ParsedLog> understand(const Context& context, const Athlete& athlete, Day day, std::string_view text,
                                     std::optional<Unit> units) {
  std::vector<std::string_view> lifts;
  for (const LiftModel& lift : context.models.lifts.lifts) {
    lifts.emplace_back(lift.lift);
    lifts.insert(lifts.end(), lift.aliases.begin(), lift.aliases.end());
  }
  STEELYARD_TRY_ASSIGN(auto parsed,
                       ingest::parse_shorthand(text, {.athlete = athlete.athlete,
                                                      .date = day,
                                                      .units = units ? *units : athlete.units.value_or(Unit::kg),
                                                      .lifts = lifts}));
  for (SetRow& set : parsed.sets) set.lift = series::code_of(context.models.lifts, set.lift);  // as it will be stored
  return parsed;
}

Result<Logged> log_session(Context& context, ingest::ParsedLog parsed, std::optional<int> part) {
  Logged logged;
  STEELYARD_TRY_ASSIGN(EntryWriter writer, EntryWriter::begin(context, "log"));
  const std::string& athlete = parsed.session.athlete;
  const Day day = parsed.session.date;
  STEELYARD_TRY_ASSIGN(const AthleteLog log, writer.entry().log(athlete, day, day));
  for (const Session& stored : log.sessions) {
    if (stored.date != day || (part && stored.part.value_or(1) != *part)) continue;
    if (!part) {
      Session same = stored;
      same.part = parsed.session.part;
      if (same == parsed.session) break;
      return fail(Errc::usage, fmt::format("{} has a session already: --part 2 stores a second one, --part {} corrects "
                                           "the one that is there",
                                           format_day(day), stored.part.value_or(1)));
    }
    logged.replaced = true;
  }
  parsed.session.part = part;
  STEELYARD_TRY(writer.put(parsed.session));
  for (SetRow& set : parsed.sets) {
    set.part = part;
    STEELYARD_TRY(writer.put(std::move(set)));
  }
  STEELYARD_TRY(writer.ask_doubts());
  STEELYARD_TRY(writer.commit());
  logged.questions = writer.asked();
  return logged;
}

}  // namespace steelyard::app
