#pragma once
/// Values of rows as the text of one file cell, and back. Used by files, stores and exports alike.
/// definition  print(parse(x)) is the canonical form of x; parse(print(v)) == v, to the last bit for numbers
/// errors      bad_data: the value, what is allowed, the nearest word; without a place (the caller knows it)

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
[[nodiscard]] Result<std::vector<SoreRegion>> parse_sore_regions(std::string_view cell);

[[nodiscard]] std::string print_pain(std::span<const PainEntry> pain);  ///< "knee-right:5:sharp"
[[nodiscard]] Result<std::vector<PainEntry>> parse_pain(std::string_view cell);

[[nodiscard]] std::string print_list(std::span<const std::string> words);
/// `what` names the list in the error ("symptom").
[[nodiscard]] Result<std::vector<std::string>> parse_list(std::string_view cell, std::span<const std::string_view> allowed,
                                                           std::string_view what);

[[nodiscard]] std::string print_numbers(std::span<const double> numbers);  ///< "25 20 15"
[[nodiscard]] Result<std::vector<double>> parse_numbers(std::string_view cell, double low, double high);

/// Shortest text in `unit` that reads back to exactly `kg`.
[[nodiscard]] std::string print_weight(double kg, Unit unit);
[[nodiscard]] double to_kg(double value, Unit unit);

/// One record as a JSON object with the file columns as keys and `"entry"` as its kind; blanks left out.
/// This is the form of JSON lines, of the history and of held rows.
[[nodiscard]] std::string print_json_line(const Record& record);

}  // namespace steelyard
