#include "steelyard/report/calendar.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "report/utf8.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"

namespace steelyard::report {
namespace {

constexpr std::size_t k_line_octets = 75;  // RFC 5545, 3.1, without the line end

/// A content line, folded between letters.
void put(std::string& out, std::string_view line) {
  std::size_t used = 0;
  for (std::size_t at = 0; at < line.size();) {
    const std::size_t length = decode(line, at).length;
    if (used + length > k_line_octets) {
      out += "\r\n ";
      used = 1;
    }
    out += line.substr(at, length);
    used += length;
    at += length;
  }
  out += "\r\n";
}

/// TEXT value. source  RFC 5545, 3.3.11
std::string value(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (c == '\\' || c == ';' || c == ',') out += '\\';
    if (c == '\n')
      out += "\\n";
    else
      out += c;
  }
  return out;
}

std::string date(Day day) {
  std::string text = format_day(day);
  std::erase(text, '-');
  return text;
}

std::string time_stamp(Instant at) {
  const Day day{std::chrono::floor<Days>(at).time_since_epoch()};
  const std::chrono::hh_mm_ss clock(at - std::chrono::floor<Days>(at));
  return fmt::format("{}T{:02}{:02}{:02}Z", date(day), clock.hours().count(), clock.minutes().count(),
                     clock.seconds().count());
}

std::string shown(std::string_view text, const Look& look) {
  std::string out = clean(text, look);
  for (std::size_t at = 0; (at = out.find("\xC2\xA0", at)) != std::string::npos;) out.replace(at, 2, " ");
  return out;
}

void put_day(std::string& out, const WallLifter& lifter, const AheadDay& day, bool several, const Look& look,
             Instant made_at) {
  std::vector<std::string> lifts;
  std::string work;
  for (const AheadLift& lift : day.lifts) {
    if (lift.work.kind == DayKind::rest) continue;
    lifts.push_back(spoken_lift(lift.lift));
    work +=
        (work.empty() ? "" : "\n") + capitalized(spoken_lift(lift.lift)) + ": " + prescription_text(lift.work, look);
    if (lift.weight_kg && lift.work.sets > 0) work += " = " + weight_text(*lift.weight_kg, look);
  }
  if (lifts.empty()) return;
  std::string title = capitalized(word(day.lifts.front().work.kind)) + ": " + join_words(lifts);
  if (several) title = lifter.athlete + " " + title;
  put(out, "BEGIN:VEVENT");
  put(out, fmt::format("UID:{}-{}@steelyard.invalid", digest(lifter.athlete), date(day.date)));
  put(out, "DTSTAMP:" + time_stamp(made_at));
  put(out, "DTSTART;VALUE=DATE:" + date(day.date));
  put(out, "DTEND;VALUE=DATE:" + date(day.date + Days{1}));
  put(out, "SUMMARY:" + value(shown(title, look)));
  std::string lines;
  for (const auto line : split(work, '\n')) lines += (lines.empty() ? "" : "\n") + shown(line, look);
  put(out, "DESCRIPTION:" + value(lines));
  put(out, "TRANSP:TRANSPARENT");
  put(out, "END:VEVENT");
}

}  // namespace

std::string calendar(const WallSheet& sheet, const Look& look, Instant made_at) {
  std::string out;
  put(out, "BEGIN:VCALENDAR");
  put(out, "VERSION:2.0");
  put(out, "PRODID:-//Steelyard//Training days//EN");
  put(out, "CALSCALE:GREGORIAN");
  for (const WallLifter& lifter : sheet.lifters) {
    if (lifter.stopped) continue;
    Look own = look;
    own.units = lifter.units.value_or(look.units);
    for (const AheadDay& day : lifter.days) put_day(out, lifter, day, sheet.lifters.size() > 1, own, made_at);
  }
  if (out.find("BEGIN:VEVENT") == std::string::npos) return {};
  put(out, "END:VCALENDAR");
  return out;
}

}  // namespace steelyard::report
