#include "steelyard/base/zone.hpp"

#include <fmt/core.h>

#include <boost/date_time/gregorian/gregorian_types.hpp>
#include <optional>

namespace steelyard {
namespace {

namespace greg = boost::gregorian;
using Seconds = std::chrono::seconds;

/// One end of the summer time: a day of the year and a wall-clock time, which may lie outside 0-24 h.
struct Change {
  enum class Form { weekday_of_month, day_without_leap, day } form = Form::weekday_of_month;
  int month = 1;
  int week = 1;  ///< 5 = last
  int weekday = 0;
  int number = 0;
  Seconds time{7200};
};

struct Rule {
  Seconds standard{0};  ///< east of Greenwich
  std::optional<Seconds> summer;
  Change start;
  Change end;
};

/// Reads a rule from left to right; every step says whether its text was there.
class RuleReader {
 public:
  explicit RuleReader(std::string_view text) : rest_(text) {}

  std::optional<Rule> read() {
    Rule rule;
    const auto west = name() ? clock(24) : std::nullopt;
    if (!west) return std::nullopt;
    rule.standard = -*west;
    if (rest_.empty()) return rule;
    if (!name()) return std::nullopt;
    rule.summer = rule.standard + std::chrono::hours{1};
    if (!rest_.empty() && rest_.front() != ',') {
      const auto summer_west = clock(24);
      if (!summer_west) return std::nullopt;
      rule.summer = -*summer_west;
    }
    const auto start = change();
    const auto end = start ? change() : std::nullopt;
    if (!end || !rest_.empty()) return std::nullopt;
    rule.start = *start;
    rule.end = *end;
    return rule;
  }

 private:
  bool take(char c) {
    if (rest_.empty() || rest_.front() != c) return false;
    rest_.remove_prefix(1);
    return true;
  }

  /// "CET" or "<+0330>"
  bool name() {
    const bool bracketed = take('<');
    const auto is_part = [&](char c) {
      const bool letter = (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z');
      return letter || (bracketed && ((c >= '0' && c <= '9') || c == '+' || c == '-'));
    };
    std::size_t size = 0;
    while (size < rest_.size() && is_part(rest_[size])) ++size;
    rest_.remove_prefix(size);
    return size >= 3 && (!bracketed || take('>'));
  }

  std::optional<int> number(int low, int high) {
    int value = 0;
    std::size_t size = 0;
    while (size < rest_.size() && size < 3 && rest_[size] >= '0' && rest_[size] <= '9') {
      value = value * 10 + (rest_[size++] - '0');
    }
    rest_.remove_prefix(size);
    return size > 0 && value >= low && value <= high ? std::optional(value) : std::nullopt;
  }

  /// [+-]h[:m[:s]]
  std::optional<Seconds> clock(int most_hours) {
    const bool negative = take('-');
    if (!negative) take('+');
    const auto hours = number(0, most_hours);
    const auto minutes = hours && take(':') ? number(0, 59) : std::optional(0);
    const auto seconds = minutes && take(':') ? number(0, 59) : std::optional(0);
    if (!hours || !minutes || !seconds) return std::nullopt;
    const Seconds sum = std::chrono::hours{*hours} + std::chrono::minutes{*minutes} + Seconds{*seconds};
    return negative ? -sum : sum;
  }

  /// ",M3.5.0/2", ",J60" or ",59"
  std::optional<Change> change() {
    if (!take(',')) return std::nullopt;
    Change result;
    if (take('M')) {
      const auto month = number(1, 12);
      const auto week = month && take('.') ? number(1, 5) : std::nullopt;
      const auto weekday = week && take('.') ? number(0, 6) : std::nullopt;
      if (!weekday) return std::nullopt;
      result.month = *month;
      result.week = *week;
      result.weekday = *weekday;
    } else {
      const bool without_leap = take('J');
      const auto day = without_leap ? number(1, 365) : number(0, 365);
      if (!day) return std::nullopt;
      result.form = without_leap ? Change::Form::day_without_leap : Change::Form::day;
      result.number = *day;
    }
    if (take('/')) {
      const auto time = clock(167);
      if (!time) return std::nullopt;
      result.time = *time;
    }
    return result;
  }

  std::string_view rest_;
};

greg::date day_of_change(const Change& change, int year) {
  const auto boost_year = static_cast<greg::greg_year::value_type>(year);
  if (change.form == Change::Form::weekday_of_month) {
    const auto weekday = static_cast<unsigned short>(change.weekday);
    const auto month = static_cast<unsigned short>(change.month);
    using Nth = greg::nth_day_of_the_week_in_month;  // its fifth is the last, as in the rule
    return Nth(static_cast<Nth::week_num>(change.week), weekday, month).get_date(boost_year);
  }
  int days_on = change.number;
  if (change.form == Change::Form::day_without_leap) {
    const bool after_february = change.number >= 60;
    days_on += (after_february && greg::gregorian_calendar::is_leap_year(boost_year) ? 1 : 0) - 1;
  }
  return greg::date(boost_year, 1, 1) + greg::days(days_on);
}

Instant instant_of_change(const Change& change, int year, Seconds offset_before) {
  const auto days = (day_of_change(change, year) - greg::date(1970, 1, 1)).days();
  return Instant{std::chrono::days{days} + change.time - offset_before};
}

/// The offset that the latest change before `at` has left.
Seconds offset_at(const Rule& rule, Instant at) {
  if (!rule.summer) return rule.standard;
  const std::chrono::year_month_day date{std::chrono::floor<std::chrono::days>(at)};
  Instant latest = Instant::min();
  Seconds offset = rule.standard;
  const auto consider = [&](Instant change, Seconds after) {
    if (change <= at && change >= latest) {
      latest = change;
      offset = after;
    }
  };
  for (int year = static_cast<int>(date.year()) - 2; year <= static_cast<int>(date.year()) + 1; ++year) {
    // An end that falls on the start of the next summer time is none: the start is looked at second.
    consider(instant_of_change(rule.end, year - 1, *rule.summer), rule.standard);
    consider(instant_of_change(rule.start, year, rule.standard), *rule.summer);
  }
  return offset;
}

}  // namespace

Result<std::string> zone_rule(std::string_view tzif) {
  if (tzif.starts_with("TZif") && tzif.size() > 5 && tzif[4] >= '2' && tzif.back() == '\n') {
    tzif.remove_suffix(1);
    const auto line = tzif.rfind('\n');
    if (line != std::string_view::npos) return std::string(tzif.substr(line + 1));
  }
  return fail(Errc::bad_data, "not a file of the time-zone database (TZif, version 2 or later)");
}

Result<Seconds> zone_offset(std::string_view rule, Instant at) {
  if (rule.empty()) return Seconds{0};
  const auto parsed = RuleReader(rule).read();
  if (!parsed) {
    return fail(Errc::bad_data,
                fmt::format("'{}' is not a time-zone rule; allowed: such as CET-1CEST,M3.5.0,M10.5.0/3", rule));
  }
  // Boost's calendar ends in 1400 and 9999; the years beside those asked about must lie inside.
  const std::chrono::year_month_day date{std::chrono::floor<std::chrono::days>(at)};
  if (static_cast<int>(date.year()) < 1900 || static_cast<int>(date.year()) > 2199) {
    return fail(Errc::bad_data, fmt::format("the year {} is outside 1900-2199", static_cast<int>(date.year())));
  }
  return offset_at(*parsed, at);
}

Result<std::chrono::local_seconds> clock_in_zone(std::string_view rule, Instant at) {
  STEELYARD_TRY_ASSIGN(const Seconds offset, zone_offset(rule, at));
  return std::chrono::local_seconds{at.time_since_epoch() + offset};
}

Result<Day> day_in_zone(std::string_view rule, Instant at) {
  STEELYARD_TRY_ASSIGN(const std::chrono::local_seconds clock, clock_in_zone(rule, at));
  return std::chrono::floor<Days>(clock);
}

}  // namespace steelyard
