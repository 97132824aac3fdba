/// Status and load of a calendar day. The rules are the project's own; the cases are computed by hand.
#include "steelyard/series/day_series.hpp"

#include <gtest/gtest.h>

#include "params/shipped_models.hpp"
#include "series/rows.hpp"
#include "steelyard/domain/vocabulary.hpp"

namespace steelyard::series {
namespace {

using namespace steelyard::testing;

const LoadModel& model() {
  return shipped_models().load;
}

/// Ten days from k_monday, the last of them not under way.
DaySeries ten_days(const AthleteLog& log, std::optional<Day> open = std::nullopt, Gaps gaps = Gaps::unknown) {
  return day_series(log, k_monday, k_monday + Days{9}, open, model(), gaps);
}

DayStatus status(const DaySeries& series, int day) {
  return series.at(k_monday + Days{day})->status;
}

/// A check on the first and on the tenth day, nothing between.
AthleteLog ends_only() {
  AthleteLog log;
  log.checks = {check(k_monday), check(k_monday + Days{9})};
  return log;
}

TEST(DaySeries, ADayWithASessionIsTrained) {
  AthleteLog log;
  log.sessions = {session(k_monday, 60, 7)};
  const auto series = ten_days(log);
  EXPECT_EQ(status(series, 0), DayStatus::trained);
  EXPECT_EQ(series.days[0].load_au, 420);
  EXPECT_FALSE(series.days[0].estimated);
}

TEST(DaySeries, ASessionOnAPlannedDayOrADayOffIsTrainedAllTheSame) {
  AthleteLog log;
  log.sessions = {session(k_monday, 60, 7), session(k_monday + Days{1}, 30, 5)};
  log.plan = {planned(k_monday)};
  log.days_off = {{.from = k_monday + Days{1}, .to = k_monday + Days{1}, .reason = OffReason::holiday}};
  const auto series = ten_days(log);
  EXPECT_EQ(status(series, 0), DayStatus::trained);
  EXPECT_EQ(status(series, 1), DayStatus::trained);
  EXPECT_EQ(series.days[1].load_au, 150);
}

TEST(DaySeries, TheDayUnderWayIsOpenAndHasNoLoad) {
  AthleteLog log;
  log.sessions = {session(k_monday, 60, 7), session(k_monday + Days{4}, 60, 7)};
  log.checks = {check(k_monday + Days{4})};
  const auto series = ten_days(log, k_monday + Days{4});
  EXPECT_EQ(status(series, 4), DayStatus::open);
  EXPECT_FALSE(series.days[4].load_au);
  EXPECT_TRUE(series.days[4].parts.empty());
}

TEST(DaySeries, ADeclaredDayOffIsRestWhateverItsReasonButAMatchIsNot) {
  for (const OffReason reason : {OffReason::planned, OffReason::holiday, OffReason::illness, OffReason::injury,
                                 OffReason::travel, OffReason::missed, OffReason::match}) {
    AthleteLog log = ends_only();
    log.plan = {planned(k_monday + Days{5})};
    log.days_off = {{.from = k_monday + Days{5}, .to = k_monday + Days{6}, .reason = reason}};
    const auto series = ten_days(log);
    const auto expected = reason == OffReason::match ? DayStatus::unlogged : DayStatus::rest;
    EXPECT_EQ(status(series, 5), expected) << word(reason);
    EXPECT_EQ(status(series, 6), expected) << word(reason);
    EXPECT_EQ(series.days[5].load_au, reason == OffReason::match ? std::nullopt : std::optional(0.0)) << word(reason);
    EXPECT_EQ(status(series, 7), DayStatus::unlogged) << "the day after the last day off";
  }
}

TEST(DaySeries, ADayWithoutPlanButWithACheckIsRest) {
  AthleteLog log = ends_only();
  log.checks = {check(k_monday), check(k_monday + Days{5}), check(k_monday + Days{9})};
  EXPECT_EQ(status(ten_days(log), 5), DayStatus::rest);
  EXPECT_EQ(ten_days(log).days[5].load_au, 0.0);
}

TEST(DaySeries, APlannedDayWithACheckButNoSessionIsUnloggedUntilSomebodySaysMissed) {
  AthleteLog log = ends_only();
  log.checks = {check(k_monday), check(k_monday + Days{5}), check(k_monday + Days{9})};
  log.plan = {planned(k_monday + Days{5})};
  EXPECT_EQ(status(ten_days(log), 5), DayStatus::unlogged);
  EXPECT_FALSE(ten_days(log).days[5].load_au);
  log.days_off = {{.from = k_monday + Days{5}, .to = k_monday + Days{5}, .reason = OffReason::missed}};
  EXPECT_EQ(status(ten_days(log), 5), DayStatus::rest);
}

TEST(DaySeries, APlannedRestDayIsNoPlannedSession) {
  AthleteLog log = ends_only();
  log.checks = {check(k_monday), check(k_monday + Days{5}), check(k_monday + Days{9})};
  log.plan = {planned(k_monday + Days{5}, DayKind::rest)};
  EXPECT_EQ(status(ten_days(log), 5), DayStatus::rest);
}

TEST(DaySeries, AGapOfThreeDaysBetweenTwoEntriesIsRest) {
  AthleteLog log;
  log.checks = {check(k_monday)};
  log.sessions = {session(k_monday + Days{4}, 60, 7)};
  const auto series = ten_days(log);
  for (const int day : {1, 2, 3}) EXPECT_EQ(status(series, day), DayStatus::rest) << day;
}

TEST(DaySeries, AGapOfFourDaysIsUnlogged) {
  AthleteLog log;
  log.checks = {check(k_monday)};
  log.sessions = {session(k_monday + Days{5}, 60, 7)};
  const auto series = ten_days(log);
  for (const int day : {1, 2, 3, 4}) {
    EXPECT_EQ(status(series, day), DayStatus::unlogged) << day;
    EXPECT_FALSE(series.at(k_monday + Days{day})->known()) << day;
  }
}

TEST(DaySeries, APlannedDayInAShortGapIsUnloggedAndItsNeighboursRest) {
  AthleteLog log;
  log.checks = {check(k_monday), check(k_monday + Days{4})};
  log.plan = {planned(k_monday + Days{2})};
  const auto series = ten_days(log);
  EXPECT_EQ(status(series, 1), DayStatus::rest);
  EXPECT_EQ(status(series, 2), DayStatus::unlogged);
  EXPECT_EQ(status(series, 3), DayStatus::rest);
}

TEST(DaySeries, AGapWithoutAnEntryAtItsEndIsUnlogged) {
  AthleteLog log;
  log.checks = {check(k_monday)};
  const auto series = ten_days(log);
  EXPECT_EQ(status(series, 0), DayStatus::rest);
  EXPECT_EQ(status(series, 1), DayStatus::unlogged);
}

TEST(DaySeries, AGapIsJudgedByNeighboursOutsideTheDaysAskedFor) {
  AthleteLog log;
  log.checks = {check(k_monday), check(k_monday + Days{4}), check(k_monday + Days{9})};
  const auto inner = day_series(log, k_monday + Days{3}, k_monday + Days{8}, std::nullopt, model());
  EXPECT_EQ(inner.at(k_monday + Days{3})->status, DayStatus::rest) << "its gap of three began before";
  EXPECT_EQ(inner.at(k_monday + Days{5})->status, DayStatus::unlogged) << "its gap of four ends after";
  const auto shorter = day_series(log, k_monday + Days{1}, k_monday + Days{2}, std::nullopt, model());
  EXPECT_EQ(shorter.at(k_monday + Days{2})->status, DayStatus::rest) << "the entry that ends its gap lies after";
}

TEST(DaySeries, WhatWasEnteredForLaterDaysOrTodaysSessionDoesNotCloseTheGapBeforeToday) {
  const Day today = k_monday + Days{3};
  AthleteLog log;
  log.checks = {check(k_monday)};
  EXPECT_EQ(status(ten_days(log, today), 2), DayStatus::unlogged);
  log.sessions = {session(today, 60, 7)};
  EXPECT_EQ(status(ten_days(log, today), 2), DayStatus::unlogged) << "a session of the day under way";
  log.sessions = {session(today + Days{1}, 60, 7)};
  EXPECT_EQ(day_series(log, k_monday, today, today, model()).at(k_monday + Days{2})->status, DayStatus::unlogged)
      << "a session of tomorrow";
  log.sessions = {};
  log.checks = {check(k_monday), check(today)};
  EXPECT_EQ(status(ten_days(log, today), 2), DayStatus::rest) << "this morning's check is known";
}

TEST(DaySeries, BeforeTheFirstEntryThereIsNothing) {
  AthleteLog log;
  log.sessions = {session(k_monday + Days{3}, 60, 7)};
  log.plan = {planned(k_monday)};
  const auto series = ten_days(log);
  EXPECT_EQ(series.first_entry, k_monday + Days{3});
  EXPECT_EQ(series.days.front().date, k_monday + Days{3});
  EXPECT_EQ(series.at(k_monday + Days{2}), nullptr);
  EXPECT_TRUE(ten_days(AthleteLog{}).empty());
  EXPECT_FALSE(ten_days(AthleteLog{}).first_entry);
}

TEST(DaySeries, TheFirstEntryMayLieBeforeTheRowsThatAreLoaded) {
  AthleteLog log = ends_only();
  log.first_entry = k_monday - Days{300};
  EXPECT_EQ(ten_days(log).first_entry, k_monday - Days{300});
  EXPECT_EQ(ten_days(log).days.size(), 10U);
}

TEST(DaySeries, WithGapsAsRestEveryDayWithoutASessionIsAKnownZero) {
  AthleteLog log = ends_only();
  log.plan = {planned(k_monday + Days{5})};
  log.sessions = {session(k_monday + Days{6}, 60, 7)};
  const auto series = ten_days(log, std::nullopt, Gaps::rest);
  for (const int day : {0, 1, 5, 9}) EXPECT_EQ(series.days[static_cast<std::size_t>(day)].load_au, 0.0) << day;
  EXPECT_EQ(series.days[6].load_au, 420.0);
}

TEST(UsualLoad, IsTheMedianOfTheSameWeekdayOverEightWeeks) {
  // Mondays 100, 200 .. 800 AU; the weekday nine weeks back does not count.
  AthleteLog log;
  log.sessions.push_back(session(k_monday - Days{7}, 1000, 1));
  for (int week = 0; week < 8; ++week) log.sessions.push_back(session(k_monday + Days{7 * week}, 100 * (week + 1), 1));
  const Day next = k_monday + Days{56};
  const auto series = day_series(log, k_monday - Days{7}, next, next, model());
  EXPECT_EQ(usual_load(series, next, model()), 450);
  EXPECT_FALSE(usual_load(series, next - Days{6}, model())) << "no Tuesday is known";
}

}  // namespace
}  // namespace steelyard::series
