#include "steelyard/base/zone.hpp"

#include <gtest/gtest.h>

namespace steelyard {
namespace {

using namespace std::chrono_literals;

/// "2026-03-29 01:00" as an instant.
Instant utc(std::string_view text) {
  const Day day = parse_day(text.substr(0, 10)).value();
  const int hours = std::stoi(std::string(text.substr(11, 2)));
  const int minutes = std::stoi(std::string(text.substr(14, 2)));
  return Instant{day.time_since_epoch() + std::chrono::hours{hours} + std::chrono::minutes{minutes}};
}

int offset_minutes(std::string_view rule, Instant at) {
  const auto offset = zone_offset(rule, at);
  return offset ? static_cast<int>(std::chrono::duration_cast<std::chrono::minutes>(*offset).count()) : -9999;
}

struct ChangeCase {
  const char* rule;
  const char* at;  ///< the first second of the new offset, UTC
  int before_min;
  int after_min;
};

// The rules are those of the IANA time-zone database, release 2024 and later; the days are the published days of change
// of 2026 (from memory), the instants follow by hand from rule and offset.
class ZoneChange : public testing::TestWithParam<ChangeCase> {};

TEST_P(ZoneChange, HappensAtTheVerySecond) {
  const auto& [rule, at, before, after] = GetParam();
  EXPECT_EQ(offset_minutes(rule, utc(at) - 1s), before);
  EXPECT_EQ(offset_minutes(rule, utc(at)), after);
}

constexpr const char* k_berlin = "CET-1CEST,M3.5.0,M10.5.0/3";
constexpr const char* k_new_york = "EST5EDT,M3.2.0,M11.1.0";
constexpr const char* k_lord_howe = "<+1030>-10:30<+11>-11,M10.1.0,M4.1.0";
constexpr const char* k_nuuk = "<-02>2<-01>,M3.5.0/-1,M10.5.0/0";
constexpr const char* k_dublin = "IST-1GMT0,M10.5.0,M3.5.0/1";
constexpr const char* k_jerusalem = "IST-2IDT,M3.4.4/26,M10.5.0";
constexpr const char* k_chatham = "<+1245>-12:45<+1345>,M9.5.0/2:45,M4.1.0/3:45";

INSTANTIATE_TEST_SUITE_P(
    Rules, ZoneChange,
    testing::Values(
        ChangeCase{k_berlin, "2026-03-29 01:00", 60, 120}, ChangeCase{k_berlin, "2026-10-25 01:00", 120, 60},
        ChangeCase{k_new_york, "2026-03-08 07:00", -300, -240}, ChangeCase{k_new_york, "2026-11-01 06:00", -240, -300},
        ChangeCase{k_lord_howe, "2026-04-04 15:00", 660, 630}, ChangeCase{k_lord_howe, "2026-10-03 15:30", 630, 660},
        ChangeCase{k_nuuk, "2026-03-29 01:00", -120, -60}, ChangeCase{k_nuuk, "2026-10-25 01:00", -60, -120},
        ChangeCase{k_dublin, "2026-03-29 01:00", 0, 60}, ChangeCase{k_dublin, "2026-10-25 01:00", 60, 0},
        ChangeCase{k_jerusalem, "2026-03-27 00:00", 120, 180}, ChangeCase{k_jerusalem, "2026-10-24 23:00", 180, 120},
        ChangeCase{k_chatham, "2026-04-04 14:00", 825, 765}, ChangeCase{k_chatham, "2026-09-26 14:00", 765, 825}));

TEST(ZoneOffset, KnowsZonesWithoutSummerTime) {
  EXPECT_EQ(offset_minutes("", utc("2026-07-01 00:00")), 0);
  EXPECT_EQ(offset_minutes("UTC0", utc("2026-07-01 00:00")), 0);
  EXPECT_EQ(offset_minutes("<-03>3", utc("2026-07-01 00:00")), -180);
  EXPECT_EQ(offset_minutes("IST-5:30", utc("2026-07-01 00:00")), 330);
  EXPECT_EQ(offset_minutes("<+0545>-5:45", utc("2026-01-01 00:00")), 345);
}

TEST(ZoneOffset, HoldsAcrossTheTurnOfTheYear) {
  EXPECT_EQ(offset_minutes(k_berlin, utc("2025-12-31 23:59")), 60);
  EXPECT_EQ(offset_minutes(k_berlin, utc("2026-01-01 00:00")), 60);
  EXPECT_EQ(offset_minutes(k_lord_howe, utc("2025-12-31 23:59")), 660);
  EXPECT_EQ(offset_minutes(k_lord_howe, utc("2026-01-01 00:00")), 660);
}

// RFC 9636, section 3.3.1: summer time all the year.
TEST(ZoneOffset, KnowsSummerTimeThatNeverEnds) {
  for (const auto* at :
       {"2025-12-31 23:30", "2026-01-01 03:30", "2026-01-01 04:30", "2026-01-01 05:30", "2026-07-01 00:00"}) {
    EXPECT_EQ(offset_minutes("EST5EDT,0/0,J365/25", utc(at)), -240) << at;
  }
}

// POSIX.1-2017, environment variable TZ: Jn never counts 29 February, n counts from 0 and does.
TEST(ZoneOffset, CountsDaysOfTheYearBothWays) {
  EXPECT_EQ(offset_minutes("AAA0BBB,J60/0,J300/0", utc("2024-02-29 23:59")), 0);
  EXPECT_EQ(offset_minutes("AAA0BBB,J60/0,J300/0", utc("2024-03-01 00:00")), 60);
  EXPECT_EQ(offset_minutes("AAA0BBB,J59/0,J300/0", utc("2024-02-28 00:00")), 60);
  EXPECT_EQ(offset_minutes("AAA0BBB,59/0,300/0", utc("2024-02-28 23:59")), 0);
  EXPECT_EQ(offset_minutes("AAA0BBB,59/0,300/0", utc("2024-02-29 00:00")), 60);
  EXPECT_EQ(offset_minutes("AAA0BBB,59/0,300/0", utc("2025-03-01 00:00")), 60);
}

TEST(ZoneOffset, RefusesRulesThatCannotBeRead) {
  for (const auto* rule :
       {"CET", "C-1", "CET-1CEST", "CET-1CEST,M3.5.0", "CET-1CEST,M13.5.0,M10.5.0", "CET-1CEST,M3.6.0,M10.5.0",
        "CET-1CEST,M3.5.7,M10.5.0", "CET-1CEST,M3.5.0,M10.5.0/3x", "<+03-3", "CET-25", "CET-1:60", "CET-1CEST,J0,J100",
        "CET-1CEST,J366,J100", "CET-1CEST,M3.5.0/168,M10.5.0", "Europe/Berlin", "-1"}) {
    const auto offset = zone_offset(rule, utc("2026-01-01 00:00"));
    ASSERT_FALSE(offset) << rule;
    EXPECT_EQ(offset.error().code, Errc::bad_data);
    EXPECT_EQ(offset.error().what,
              "'" + std::string(rule) + "' is not a time-zone rule; allowed: such as CET-1CEST,M3.5.0,M10.5.0/3");
  }
  EXPECT_FALSE(zone_offset(k_berlin, utc("1900-01-01 00:00") - std::chrono::days{1}));
}

TEST(DayInZone, ChangesAtLocalMidnight) {
  EXPECT_EQ(format_day(day_in_zone(k_berlin, utc("2026-07-01 21:59")).value()), "2026-07-01");
  EXPECT_EQ(format_day(day_in_zone(k_berlin, utc("2026-07-01 22:00")).value()), "2026-07-02");
  EXPECT_EQ(format_day(day_in_zone(k_new_york, utc("2026-01-01 04:59")).value()), "2025-12-31");
  EXPECT_EQ(format_day(day_in_zone("<+14>-14", utc("2026-01-01 10:00")).value()), "2026-01-02");
}

TEST(ClockInZone, AddsTheOffset) {
  const auto clock = clock_in_zone(k_lord_howe, utc("2026-06-01 00:00")).value();
  EXPECT_EQ(clock.time_since_epoch() - utc("2026-06-01 00:00").time_since_epoch(), 10h + 30min);
}

TEST(ZoneRule, IsTheLastLineOfTheFile) {
  using namespace std::string_view_literals;
  EXPECT_EQ(zone_rule("TZif2 binary \nTZif2 more\nCET-1CEST,M3.5.0,M10.5.0/3\n"sv).value(), k_berlin);
  EXPECT_EQ(zone_rule("TZif3\n\n"sv).value(), "");
  EXPECT_FALSE(zone_rule("TZif\0 version 1\n"sv));
  EXPECT_FALSE(zone_rule("not a zone\n"sv));
  EXPECT_FALSE(zone_rule(""sv));
  EXPECT_FALSE(zone_rule("TZif2"sv));
}

}  // namespace
}  // namespace steelyard
