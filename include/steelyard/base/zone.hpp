#pragma once
/// Which calendar day and clock time it is where somebody lives.
/// definition  a zone is given by its rule: the POSIX line at the end of a file of the zone database, such as
///             "CET-1CEST,M3.5.0,M10.5.0/3"; it holds for the present and the future, not for the past
/// source      RFC 9636 (TZif), section 3.3; POSIX.1-2017, environment variable TZ; computed with Boost.Date_Time
/// thread safety  every function may be called from any thread

#include <chrono>
#include <string>
#include <string_view>

#include "steelyard/base/day.hpp"
#include "steelyard/base/result.hpp"

namespace steelyard {

using Instant = std::chrono::sys_seconds;

/// The rule in the bytes of a TZif file.   errors  bad_data (not a TZif file of version 2 or later)
[[nodiscard]] Result<std::string> zone_rule(std::string_view tzif);

/// Local time minus UTC. domain  a POSIX rule; an empty rule is UTC   errors  bad_data (a rule that cannot be read)
[[nodiscard]] Result<std::chrono::seconds> zone_offset(std::string_view rule, Instant at);

/// The calendar day and the wall clock there. errors  as zone_offset
[[nodiscard]] Result<Day> day_in_zone(std::string_view rule, Instant at);
[[nodiscard]] Result<std::chrono::local_seconds> clock_in_zone(std::string_view rule, Instant at);

}  // namespace steelyard
