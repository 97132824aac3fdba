// source  RFC 5545: 3.1 content lines, 3.3.11 text, 3.6.1 events
#include "steelyard/report/calendar.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "report/examples.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/report/html.hpp"

namespace steelyard::report {
namespace {

using testing::HasSubstr;
using testing::Not;

const Look k_look = html_look(Unit::kg);
constexpr Instant k_now{std::chrono::seconds{1771315445}};  // 2026-02-17 08:04:05 UTC (date -u -d @1771315445)

WallSheet sheet() {
  const AheadLift squat{.lift = "squat", .work = {DayKind::heavy, 3, 4, 82.5}, .weight_kg = 125};
  const AheadLift bench{.lift = "close-grip-bench", .work = {DayKind::volume, 5, 10, 65}, .weight_kg = 67.5};
  return {
      .from = examples::day(3, 2),
      .lifters = {{.athlete = "a1",
                   .days = {{.date = examples::day(3, 2), .lifts = {squat, bench}}, {.date = examples::day(3, 3)}}}}};
}

TEST(Calendar, HoldsOneEventATrainingDay) {
  const std::string text = calendar(sheet(), k_look, k_now);
  EXPECT_THAT(text, HasSubstr("BEGIN:VEVENT\r\n"));
  EXPECT_EQ(text.find("BEGIN:VEVENT"), text.rfind("BEGIN:VEVENT"));
  EXPECT_THAT(text, HasSubstr("DTSTAMP:20260217T080405Z\r\n"));
  EXPECT_THAT(text, HasSubstr("DTSTART;VALUE=DATE:20260302\r\nDTEND;VALUE=DATE:20260303\r\n"));
  EXPECT_THAT(text, HasSubstr("SUMMARY:Heavy: squat and close grip bench\r\n"));
}

TEST(Calendar, FoldsLinesAt75Octets) {
  const std::string text = calendar(sheet(), k_look, k_now);
  bool folded = false;
  for (const auto line : split(text, '\n')) {
    EXPECT_LE(line.size(), 76U) << line;  // 75 octets and CR
    EXPECT_TRUE(line.empty() || line.ends_with('\r')) << line;
    folded = folded || line.starts_with(' ');
  }
  EXPECT_TRUE(folded);
}

TEST(Calendar, KeepsItsUidWhenTheWorkChanges) {
  const auto uid = [](const std::string& text) {
    const auto at = text.find("UID:");
    return text.substr(at, text.find('\r', at) - at);
  };
  WallSheet changed = sheet();
  changed.lifters[0].days[0].lifts[0].work.kind = DayKind::light;
  EXPECT_EQ(uid(calendar(sheet(), k_look, k_now)), uid(calendar(changed, k_look, k_now + std::chrono::hours{9})));
  WallSheet other = sheet();
  other.lifters[0].athlete = "a2";
  EXPECT_NE(uid(calendar(sheet(), k_look, k_now)), uid(calendar(other, k_look, k_now)));
}

TEST(Calendar, EscapesTextAndKeepsItOnItsLine) {
  WallSheet evil = sheet();
  evil.lifters[0].days[0].lifts[0].lift = "a,b;c\\d\r\nEND:VEVENT";
  const std::string text = calendar(evil, k_look, k_now);
  EXPECT_THAT(text, HasSubstr("a\\,b\\;c\\\\d"));
  EXPECT_EQ(text.find("\r\nEND:VEVENT"), text.rfind("\r\nEND:VEVENT"));
}

TEST(Calendar, IsEmptyWithoutTraining) {
  EXPECT_EQ(calendar({.from = examples::day(3, 2), .lifters = {{.athlete = "a1"}}}, k_look, k_now), "");
}

TEST(Calendar, LeavesOutWhoMustNotTrain) {
  WallSheet stopped = sheet();
  stopped.lifters[0].stopped = true;
  EXPECT_EQ(calendar(stopped, k_look, k_now), "");
}

}  // namespace
}  // namespace steelyard::report
