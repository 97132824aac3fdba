#include <fmt/core.h>

#include <array>
#include <boost/date_time/gregorian/gregorian_types.hpp>

#include "steelyard/base/day.hpp"
#include "steelyard/base/text.hpp"

namespace steelyard {
namespace {

namespace greg = boost::gregorian;

constexpr std::array<std::string_view, 7> k_codes{"mon", "tue", "wed", "thu", "fri", "sat", "sun"};
constexpr std::array<std::string_view, 7> k_names{"Monday", "Tuesday",  "Wednesday", "Thursday",
                                                  "Friday", "Saturday", "Sunday"};
const greg::date k_epoch{1970, 1, 1};

greg::date to_boost(Day day) {
  return k_epoch + greg::days(day_number(day));
}
Day from_boost(const greg::date& date) {
  return day_from_number(static_cast<int>((date - k_epoch).days()));
}

/// Digits only, so that " 1" and "+1" are not dates.
std::optional<int> digits(std::string_view text) {
  int value = 0;
  for (const char c : text) {
    if (c < '0' || c > '9') return std::nullopt;
    value = value * 10 + (c - '0');
  }
  return value;
}

}  // namespace

std::optional<Day> try_parse_day(std::string_view text) {
  if (text.size() != 10 || text[4] != '-' || text[7] != '-') return std::nullopt;
  const auto year = digits(text.substr(0, 4));
  const auto month = digits(text.substr(5, 2));
  const auto day = digits(text.substr(8, 2));
  if (!year || !month || !day || *year < 1900 || *year > 2199) return std::nullopt;
  const std::chrono::year_month_day ymd{std::chrono::year{*year}, std::chrono::month{static_cast<unsigned>(*month)},
                                        std::chrono::day{static_cast<unsigned>(*day)}};
  if (!ymd.ok()) return std::nullopt;
  return Day{ymd};
}

Result<Day> parse_day(std::string_view text) {
  if (const auto day = try_parse_day(text)) return *day;
  return fail(Errc::bad_data,
              fmt::format("'{}' is not a date; allowed: YYYY-MM-DD, a day that exists, such as 2026-11-23", text));
}

std::string format_day(Day day) {
  const std::chrono::year_month_day ymd{day};
  return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(ymd.year()), static_cast<unsigned>(ymd.month()),
                     static_cast<unsigned>(ymd.day()));
}

Result<Day> parse_month(std::string_view text) {
  if (const auto day = try_parse_day(std::string(text) + "-01")) return *day;
  return fail(Errc::bad_data, fmt::format("'{}' is not a month; allowed: YYYY-MM, such as 2021-09", text));
}

std::string format_month(Day day) {
  return format_day(day).substr(0, 7);
}

std::string_view weekday_code(int index) {
  return k_codes.at(static_cast<std::size_t>(index));
}
std::string_view weekday_name(Day day) {
  return k_names.at(static_cast<std::size_t>(weekday_index(day)));
}

std::optional<int> parse_weekday(std::string_view code) {
  for (std::size_t i = 0; i < k_codes.size(); ++i) {
    if (k_codes[i] == code) return static_cast<int>(i);
  }
  return std::nullopt;
}

IsoWeek iso_week(Day day) {
  const greg::date date = to_boost(day);
  const int week = date.week_number();
  int year = date.year();
  // The last days of December may belong to week 1 of the next year, the first of January to the last week before.
  if (week == 1 && date.month() == 12) ++year;
  if (week >= 52 && date.month() == 1) --year;
  return {year, week};
}

Day monday_of(IsoWeek week) {
  const Day fourth = from_boost(greg::date(static_cast<unsigned short>(week.year), 1, 4));  // always in week 1
  return fourth - Days{weekday_index(fourth)} + Days{7 * (week.week - 1)};
}

Result<IsoWeek> parse_iso_week(std::string_view text) {
  if (text.size() == 8 && text[4] == '-' && text[5] == 'W') {
    const auto year = digits(text.substr(0, 4));
    const auto week = digits(text.substr(6, 2));
    if (year && week && *year >= 1900 && *year <= 2199 && *week >= 1) {
      const IsoWeek result{*year, *week};
      if (iso_week(monday_of(result)) == result) return result;
    }
  }
  return fail(Errc::bad_data, fmt::format("'{}' is not a week; allowed: YYYY-Www, such as 2026-W47", text));
}

std::string format_iso_week(IsoWeek week) {
  return fmt::format("{:04}-W{:02}", week.year, week.week);
}

int years_between(Day from, Day to) {
  const std::chrono::year_month_day a{from};
  const std::chrono::year_month_day b{to};
  const int years = static_cast<int>(b.year()) - static_cast<int>(a.year());
  const bool reached = std::pair{b.month(), b.day()} >= std::pair{a.month(), a.day()};
  return reached ? years : years - 1;
}

}  // namespace steelyard
