#include "steelyard/base/zone.hpp"

#include <boost/date_time/local_time/local_date_time.hpp>
#include <boost/date_time/local_time/posix_time_zone.hpp>
#include <boost/date_time/posix_time/conversion.hpp>
#include <boost/shared_ptr.hpp>
#include <cctype>
#include <fmt/core.h>

namespace steelyard {
namespace {

/// Boost reads letters-only abbreviations and counts offsets east of Greenwich; POSIX has <-03> and counts west.
std::string boost_rule(std::string_view posix) {
  std::string out;
  std::size_t i = 0;
  const auto abbreviation = [&] {
    if (i < posix.size() && posix[i] == '<') {
      i = posix.find('>', i) + 1;
      out += "LOC";
    } else {
      while (i < posix.size() && std::isalpha(static_cast<unsigned char>(posix[i])) != 0) out += posix[i++];
    }
  };
  const auto offset = [&] {
    const bool west = i < posix.size() && posix[i] != '-';
    if (i < posix.size() && (posix[i] == '-' || posix[i] == '+')) ++i;
    out += west ? '-' : '+';
    while (i < posix.size() && (std::isdigit(static_cast<unsigned char>(posix[i])) != 0 || posix[i] == ':')) out += posix[i++];
  };
  abbreviation();
  offset();
  if (i < posix.size() && posix[i] != ',') {
    abbreviation();
    if (i < posix.size() && posix[i] != ',') {  // summer offset given: Boost wants the shift from standard time
      while (i < posix.size() && posix[i] != ',') ++i;
    }
    out += "+1";
  }
  out += posix.substr(i);
  return out;
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

Result<std::chrono::seconds> zone_offset(std::string_view rule, Instant at) {
  if (rule.empty()) return std::chrono::seconds{0};
  try {
    const boost::shared_ptr<boost::date_time::time_zone_base<boost::posix_time::ptime, char>> tz(
        new boost::local_time::posix_time_zone(boost_rule(rule)));
    const auto utc = boost::posix_time::from_time_t(static_cast<std::time_t>(at.time_since_epoch().count()));
    const boost::local_time::local_date_time local(utc, tz);
    return std::chrono::seconds{(local.local_time() - utc).total_seconds()};
  } catch (const std::exception& error) {
    return fail(Errc::bad_data, fmt::format("'{}' is not a time-zone rule: {}", rule, error.what()));
  }
}

Result<std::chrono::local_seconds> clock_in_zone(std::string_view rule, Instant at) {
  STEELYARD_TRY_ASSIGN(const std::chrono::seconds offset, zone_offset(rule, at));
  return std::chrono::local_seconds{at.time_since_epoch() + offset};
}

Result<Day> day_in_zone(std::string_view rule, Instant at) {
  STEELYARD_TRY_ASSIGN(const std::chrono::local_seconds clock, clock_in_zone(rule, at));
  return std::chrono::floor<Days>(clock);
}

}  // namespace steelyard
