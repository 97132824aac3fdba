#pragma once
/// The program's one type for a calendar day, with ISO 8601 text and week dates.
/// definition  Day counts calendar days without a time zone: a day with a clock change is one day
/// source      ISO 8601-1:2019, 5.2.2 calendar date and 5.2.4 week date. Boost.Date_Time does the calendar arithmetic
///             behind calendar.cpp; nothing else in the program sees its types.

#include <chrono>
#include <optional>
#include <string>
#include <string_view>

#include "steelyard/base/result.hpp"

namespace steelyard {

using Day = std::chrono::local_days;
using Days = std::chrono::days;

/// A span in whole days as a plain number.
[[nodiscard]] constexpr int days_between(Day from, Day to) {
  return static_cast<int>((to - from).count());
}

/// unit  days since 1970-01-01; the form in which stores keep a day
[[nodiscard]] constexpr int day_number(Day day) {
  return static_cast<int>(day.time_since_epoch().count());
}
[[nodiscard]] constexpr Day day_from_number(int number) {
  return Day{Days{number}};
}

/// domain  "YYYY-MM-DD", years 1900-2199, real dates only     errors  bad_data, with what is allowed
[[nodiscard]] Result<Day> parse_day(std::string_view text);

/// The same test without an error text, for inner loops. cost  no allocation
[[nodiscard]] std::optional<Day> try_parse_day(std::string_view text);

/// "YYYY-MM-DD"
[[nodiscard]] std::string format_day(Day day);

/// domain  "YYYY-MM"; the first day of that month     errors  bad_data
[[nodiscard]] Result<Day> parse_month(std::string_view text);
[[nodiscard]] std::string format_month(Day day);

/// 0 = Monday .. 6 = Sunday
[[nodiscard]] constexpr int weekday_index(Day day) {
  return static_cast<int>(std::chrono::weekday{day}.iso_encoding()) - 1;
}
/// "mon" .. "sun" as files write it; "Monday" .. "Sunday" as people read it
[[nodiscard]] std::string_view weekday_code(int index);
[[nodiscard]] std::string_view weekday_name(Day day);
[[nodiscard]] std::optional<int> parse_weekday(std::string_view code);

struct IsoWeek {
  int year = 0;
  int week = 0;  ///< 1..53
  friend auto operator<=>(const IsoWeek&, const IsoWeek&) = default;
};
[[nodiscard]] IsoWeek iso_week(Day day);
[[nodiscard]] Day monday_of(IsoWeek week);
/// domain  "YYYY-Www", a week that exists in that year     errors  bad_data
[[nodiscard]] Result<IsoWeek> parse_iso_week(std::string_view text);
[[nodiscard]] std::string format_iso_week(IsoWeek week);

/// Whole years from one day to another (29 February counts as reached on 1 March).
[[nodiscard]] int years_between(Day from, Day to);

}  // namespace steelyard
