/// Load of a session that lacks its minutes or its RPE. The rules are the project's own; the cases are computed by
/// hand.
#include <gtest/gtest.h>

#include "params/shipped_models.hpp"
#include "series/rows.hpp"
#include "steelyard/series/day_series.hpp"

namespace steelyard::series {
namespace {

using namespace steelyard::testing;

constexpr Day k_day = k_monday + Days{70};

/// The day of the session that is judged; it stands last in the log.
SeriesDay judged(const AthleteLog& log) {
  return *day_series(log, k_monday, k_day, std::nullopt, shipped_models().load).at(k_day);
}

AthleteLog with(std::vector<Session> sessions) {
  AthleteLog log;
  log.sessions = std::move(sessions);
  return log;
}

Session lacks_rpe(double minutes, DayKind kind) {
  Session s = session(k_day, minutes, 0, kind);
  s.rpe = std::nullopt;
  return s;
}

Session lacks_minutes(double rpe, DayKind kind) {
  Session s = session(k_day, 1, rpe, kind);
  s.minutes = std::nullopt;
  return s;
}

TEST(Estimate, AMissingRpeIsTheMedianOfOwnSessionsOfTheSameKind) {
  const auto log =
      with({session(k_day - Days{21}, 60, 9, DayKind::heavy), session(k_day - Days{14}, 60, 6, DayKind::heavy),
            session(k_day - Days{8}, 60, 2, DayKind::volume), session(k_day - Days{7}, 60, 7, DayKind::heavy),
            lacks_rpe(50, DayKind::heavy)});
  EXPECT_EQ(judged(log).load_au, 350);
  EXPECT_TRUE(judged(log).estimated);
  EXPECT_TRUE(judged(log).parts.at(0).estimated);
}

TEST(Estimate, MissingMinutesAreTheMedianOfOwnSessionsOfTheSameKind) {
  const auto log =
      with({session(k_day - Days{9}, 500, 7, DayKind::sport), session(k_day - Days{8}, 40, 6, DayKind::heavy),
            session(k_day - Days{2}, 80, 7, DayKind::heavy), lacks_minutes(7, DayKind::heavy)});
  EXPECT_EQ(judged(log).load_au, 420) << "of two values the mean";
  EXPECT_TRUE(judged(log).estimated);
}

// Sets say that somebody trained, with or without a row about the session.
TEST(Estimate, OfADayWithSetsAloneIsTakenFromThem) {
  const auto& model = shipped_models().load.series;
  AthleteLog log;
  log.checks = {check(k_day)};
  log.sets = {set_of(k_day, "squat", 3, 5, 130), set_of(k_day, "bench", 5, 5, 90)};
  const SeriesDay day = judged(log);
  EXPECT_EQ(day.status, DayStatus::trained);
  EXPECT_EQ(day.load_au, 8 * model.minutes_per_set * model.rpe_unknown);
  EXPECT_TRUE(day.estimated);
  log.sets.back().part = 2;
  EXPECT_EQ(judged(log).parts.size(), 2U);
  EXPECT_EQ(judged(log).load_au, 8 * model.minutes_per_set * model.rpe_unknown);
  log.sessions = {session(k_day, 60, 7)};
  EXPECT_EQ(judged(log).load_au, 420) << "sets of a day with a session are part of what was entered";
}

TEST(Estimate, OnlyTheEightWeeksBeforeCount) {
  const auto log = with({session(k_day - Days{57}, 60, 10, DayKind::heavy),
                         session(k_day - Days{56}, 60, 5, DayKind::heavy), lacks_rpe(50, DayKind::heavy)});
  EXPECT_EQ(judged(log).load_au, 250);
}

TEST(Estimate, ALaterSessionAndTheSameDaysOtherSessionDoNotCount) {
  auto log = with({session(k_day - Days{7}, 60, 5, DayKind::heavy), session(k_day, 60, 10, DayKind::heavy),
                   lacks_rpe(50, DayKind::heavy), session(k_day + Days{1}, 60, 10, DayKind::heavy)});
  log.sessions[2].part = 2;
  EXPECT_EQ(judged(log).load_au, 600 + 250);
}

TEST(Estimate, WithoutSuchSessionsMinutesComeFromTheSets) {
  // Five sets of 4 minutes at the RPE entered; models/load.toml [series].
  auto log = with({session(k_monday, 60, 7, DayKind::volume), lacks_minutes(8, DayKind::heavy)});
  log.sets = {set_of(k_day, "squat", 3, 5, 100), set_of(k_day, "bench", 2, 5, 60)};
  EXPECT_EQ(judged(log).load_au, 5 * 4 * 8);
  EXPECT_TRUE(judged(log).estimated);
}

TEST(Estimate, TheSetsOfAnotherPartOfTheDayDoNotCount) {
  auto log = with({session(k_monday, 60, 7, DayKind::volume), lacks_minutes(8, DayKind::heavy)});
  log.sets = {set_of(k_day, "squat", 3, 5, 100), set_of(k_day, "bench", 2, 5, 60)};
  log.sets[1].part = 2;
  EXPECT_EQ(judged(log).load_au, 3 * 4 * 8);
}

TEST(Estimate, ASessionKnownOnlyByItsSetsTakesTheRpeOfTheModel) {
  auto log = with({session(k_monday, 60, 7, DayKind::volume), lacks_minutes(8, DayKind::heavy)});
  log.sessions.back().rpe = std::nullopt;
  log.sets = {set_of(k_day, "squat", 5, 5, 100)};
  EXPECT_EQ(judged(log).load_au, 5 * 4 * 6);
}

TEST(Estimate, OwnMedianComesBeforeTheSets) {
  auto log = with({session(k_day - Days{7}, 60, 7, DayKind::heavy), lacks_minutes(8, DayKind::heavy)});
  log.sets = {set_of(k_day, "squat", 5, 5, 100)};
  EXPECT_EQ(judged(log).load_au, 60 * 8);
}

TEST(Estimate, WithNothingToGoByTheDayIsTrainedAndItsLoadUnknown) {
  const auto log = with({session(k_monday, 60, 7, DayKind::volume), lacks_minutes(8, DayKind::heavy)});
  EXPECT_EQ(judged(log).status, DayStatus::trained);
  EXPECT_FALSE(judged(log).load_au);
  EXPECT_TRUE(judged(log).unknown_part);
}

TEST(Estimate, ADayOfTwoSessionsIsUnknownIfOneOfThemIs) {
  auto log = with({session(k_monday, 60, 7, DayKind::volume), session(k_day, 60, 7, DayKind::volume),
                   lacks_minutes(8, DayKind::heavy)});
  log.sessions.back().part = 2;
  EXPECT_EQ(judged(log).status, DayStatus::trained);
  EXPECT_FALSE(judged(log).load_au) << "half of a day is not the day";
}

TEST(Estimate, NothingIsEstimatedWhereBothWereEntered) {
  const auto log = with({session(k_day - Days{7}, 60, 5, DayKind::heavy), session(k_day, 72, 3.5, DayKind::heavy)});
  EXPECT_EQ(judged(log).load_au, 252);
  EXPECT_FALSE(judged(log).estimated);
}

}  // namespace
}  // namespace steelyard::series
