#pragma once
/// Values of rows as the text of one file cell, and back. Used by files, stores and exports alike.
/// definition  print(parse(x)) is the canonical form of x; parse(print(v)) == v, to the last bit for numbers
/// errors      bad_data: the value, what is allowed, the nearest word; without a place (the caller knows it)

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/base/result.hpp"
#include "steelyard/domain/records.hpp"

namespace steelyard {

[[nodiscard]] std::string print_weekdays(WeekdaySet days);  ///< "mon wed fri"
[[nodiscard]] Result<WeekdaySet> parse_weekdays(std::string_view cell);

[[nodiscard]] std::string print_sore_regions(std::span<const SoreRegion> regions);  ///< "quads:4 upper-back:3"
/// domain  REGION:LEVEL, a region once, levels 1-7
[[nodiscard]] Result<std::vector<SoreRegion>> parse_sore_regions(std::string_view cell);

[[nodiscard]] std::string print_pain(std::span<const PainEntry> pain);  ///< "knee-right:5:sharp"
/// domain  SITE:LEVEL:KIND, a site once, levels 0-10; the kind may be missing at level 0 (gone), then it is dull
[[nodiscard]] Result<std::vector<PainEntry>> parse_pain(std::string_view cell);

[[nodiscard]] std::string print_list(std::span<const std::string> words);
/// Repeated words count once. `what` names the list in the error ("symptom").
[[nodiscard]] Result<std::vector<std::string>> parse_list(std::string_view cell,
                                                          std::span<const std::string_view> allowed,
                                                          std::string_view what);

[[nodiscard]] std::string print_numbers(std::span<const double> numbers);  ///< "25 20 15"
[[nodiscard]] Result<std::vector<double>> parse_numbers(std::string_view cell, double low, double high);

/// Shortest decimal text in `unit` that reads back to exactly `kg`. Doubles are too coarse in pounds for some kilograms
/// (see exact_unit); then the nearest.
[[nodiscard]] std::string print_weight(double kg, Unit unit);
/// definition  value in kg, or value x 0.45359237 rounded once
[[nodiscard]] double to_kg(double value, Unit unit);
/// `wanted`, or kg where no number of pounds reads back to exactly `kg`. Whatever was typed in pounds stays in pounds.
[[nodiscard]] Unit exact_unit(double kg, Unit wanted);

/// "'hevy' is not WHAT; allowed: heavy, volume; did you mean 'heavy'?"
[[nodiscard]] std::string not_a_word(std::string_view value, std::string_view what,
                                     std::span<const std::string_view> allowed);

/// One column of a row as text; an empty text = not recorded.
struct Cell {
  std::string_view column;
  std::string text;
  bool is_number = false;
};

/// The row's cells in the order of fields.hpp. A weight stands in the row's unit; without one in `bare`, or, if there
/// is no `bare` either, in kg with the unit cell filled in, so that the text means the same to every reader.
[[nodiscard]] std::vector<Cell> cells_of(const Record& record, std::optional<Unit> bare);

/// The row's kind as JSON lines name it in "entry": "athlete", "max", "plan", "period", "day-off" ..
[[nodiscard]] std::string_view entry_word(RecordKind kind);
[[nodiscard]] std::span<const std::string_view> entry_words();

/// One record as a JSON object with the file columns as keys and `"entry"` as its kind; blanks left out; lists as their
/// cell text. This is the form of JSON lines, of the history and of held rows. A weight without a unit is written in kg
/// and says so.
[[nodiscard]] std::string print_json_line(const Record& record);

}  // namespace steelyard
