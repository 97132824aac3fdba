#include <gtest/gtest.h>

#include "steelyard/base/day.hpp"

namespace steelyard {
namespace {

Day day(std::string_view text) {
  return parse_day(text).value();
}

TEST(ParseDay, ReadsRealDays) {
  EXPECT_EQ(day_number(day("1970-01-01")), 0);
  EXPECT_EQ(day_number(day("2000-03-01")), 11017);  // by hand: 30 years of 365 + 7 leap days + 31 + 29
  EXPECT_EQ(day("2024-02-29") + Days{1}, day("2024-03-01"));
  EXPECT_EQ(day("1900-02-28") + Days{1}, day("1900-03-01"));  // 1900 was no leap year: divisible by 100, not by 400
}

TEST(ParseDay, RefusesWhatIsNoDay) {
  for (const auto* text : {"2024-02-30", "2023-02-29", "1900-02-29", "2024-13-01", "2024-00-10", "2024-01-00",
                           "2024-04-31", "24-01-01", "2024-1-1", "2024/01/01", "01.02.2024", "2024-01-01 ",
                           " 2024-01-01", "2024-01-1x", "2024-+1-01", "1899-12-31", "2200-01-01", "20240101", ""}) {
    EXPECT_FALSE(try_parse_day(text)) << text;
    EXPECT_FALSE(parse_day(text)) << text;
  }
  EXPECT_TRUE(try_parse_day("1900-01-01"));
  EXPECT_TRUE(try_parse_day("2199-12-31"));
}

TEST(ParseDay, SaysWhatIsAllowed) {
  const auto result = parse_day("2024-02-30");
  ASSERT_FALSE(result);
  EXPECT_EQ(result.error().code, Errc::bad_data);
  EXPECT_EQ(result.error().what,
            "'2024-02-30' is not a date; allowed: YYYY-MM-DD, a day that exists, such as 2026-11-23");
}

TEST(FormatDay, IsReadBackForEveryDayOfTwoCenturies) {
  int days = 0;
  for (Day d = day("1900-01-01"); d <= day("2199-12-31"); d += Days{1}, ++days) {
    ASSERT_EQ(try_parse_day(format_day(d)), d) << format_day(d);
  }
  EXPECT_EQ(days, 109573);  // by hand: 300 x 365 and 73 leap years (75 multiples of four without 1900 and 2100)
}

TEST(Month, IsItsFirstDay) {
  EXPECT_EQ(parse_month("2021-09").value(), day("2021-09-01"));
  EXPECT_EQ(format_month(day("2021-09-30")), "2021-09");
  EXPECT_FALSE(parse_month("2021-13"));
  EXPECT_FALSE(parse_month("2021-9"));
  EXPECT_FALSE(parse_month("2021-09-01"));
}

TEST(Weekday, FollowsTheCalendar) {
  EXPECT_EQ(weekday_index(day("1970-01-01")), 3);  // a Thursday
  EXPECT_EQ(weekday_name(day("2000-01-01")), "Saturday");
  EXPECT_EQ(weekday_name(day("2026-11-23")), "Monday");
  for (int i = 0; i < 7; ++i) EXPECT_EQ(parse_weekday(weekday_code(i)), i);
  EXPECT_FALSE(parse_weekday("Mon"));
}

// ISO 8601-1:2019, clause 5.2.4 (dates from memory).
TEST(IsoWeek, CrossesTheTurnOfTheYear) {
  const std::pair<const char*, const char*> known[] = {{"2005-01-01", "2004-W53-6"}, {"2016-01-03", "2015-W53-7"},
                                                       {"2020-12-31", "2020-W53-4"}, {"2021-01-03", "2020-W53-7"},
                                                       {"2021-01-04", "2021-W01-1"}, {"2024-12-30", "2025-W01-1"},
                                                       {"2025-01-01", "2025-W01-3"}, {"2027-01-01", "2026-W53-5"}};
  for (const auto& [date, week] : known) {
    const auto text = format_iso_week(iso_week(day(date))) + "-" + std::to_string(weekday_index(day(date)) + 1);
    EXPECT_EQ(text, week);
  }
}

TEST(IsoWeek, HoldsSevenDaysFromMonday) {
  for (Day d = day("1999-12-01"); d < day("2033-02-01"); d += Days{1}) {
    const IsoWeek week = iso_week(d);
    const Day monday = monday_of(week);
    ASSERT_EQ(weekday_index(monday), 0);
    ASSERT_GE(d, monday);
    ASSERT_LT(d, monday + Days{7});
    ASSERT_EQ(iso_week(monday), week);
    ASSERT_EQ(parse_iso_week(format_iso_week(week)).value(), week);
  }
}

TEST(ParseIsoWeek, RefusesWeeksThatDoNotExist) {
  EXPECT_TRUE(parse_iso_week("2026-W53"));
  for (const auto* text : {"2025-W53", "2026-W54", "2026-W00", "2026-47", "2026-w47", "2026W47", "2026-W7", ""}) {
    EXPECT_FALSE(parse_iso_week(text)) << text;
  }
  EXPECT_EQ(parse_iso_week("2025-W53").error().what, "'2025-W53' is not a week; allowed: YYYY-Www, such as 2026-W47");
}

TEST(YearsBetween, CountsBirthdays) {
  EXPECT_EQ(years_between(day("1990-05-10"), day("2026-05-09")), 35);
  EXPECT_EQ(years_between(day("1990-05-10"), day("2026-05-10")), 36);
  EXPECT_EQ(years_between(day("2000-02-29"), day("2001-02-28")), 0);
  EXPECT_EQ(years_between(day("2000-02-29"), day("2001-03-01")), 1);
  EXPECT_EQ(years_between(day("2000-02-29"), day("2004-02-29")), 4);
  EXPECT_EQ(years_between(day("2026-05-10"), day("2026-05-10")), 0);
}

TEST(DaysBetween, IsSigned) {
  EXPECT_EQ(days_between(day("2024-02-28"), day("2024-03-01")), 2);
  EXPECT_EQ(days_between(day("2024-03-01"), day("2024-02-28")), -2);
}

}  // namespace
}  // namespace steelyard
