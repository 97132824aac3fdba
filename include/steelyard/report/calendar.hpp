#pragma once
/// The coming training days as iCalendar.
/// definition  RFC 5545: one all-day event a training day, lines of at most 75 octets and CRLF, a UID that stays the
///             same for the same athlete and day. Titles say the kind of day and the lifts, nothing about health.

#include <string>

#include "steelyard/base/zone.hpp"
#include "steelyard/domain/report.hpp"
#include "steelyard/report/look.hpp"

namespace steelyard::report {

/// made_at: when the calendar was written (DTSTAMP). With several lifters the title begins with the code.
/// returns  empty when no day has training: a calendar without events is none (RFC 5545, 3.6)
[[nodiscard]] std::string calendar(const WallSheet& sheet, const Look& look, Instant made_at);

}  // namespace steelyard::report
