#include "learn/day_table.hpp"

#include <gtest/gtest.h>

#include "params/shipped_models.hpp"

namespace steelyard::learn {
namespace {

using testing::shipped_models;

Day day(int n) {
  return day_from_number(20000 + n);
}

AthleteLog log_with(std::initializer_list<int> checks, std::initializer_list<int> sessions) {
  AthleteLog log;
  for (const int n : checks) log.checks.push_back({.athlete = "a", .date = day(n)});
  for (const int n : sessions) {
    log.sessions.push_back(
        {.athlete = "a", .date = day(n), .part = 1, .kind = DayKind::heavy, .minutes = 60, .rpe = 5});
  }
  return log;
}

TEST(DayTable, KnowsAShortGapOnlyFromTheNextEntry) {
  const AthleteLog log = log_with({4}, {0});
  DayTable table(log, day(-10), day(8), shipped_models());
  EXPECT_EQ(table.first(), day(0));
  EXPECT_EQ(table.load(day(0)).amount, 300);
  EXPECT_EQ(table.load(day(0)).needs, day(0));
  for (const int n : {1, 2, 3}) {
    EXPECT_EQ(table.load(day(n)).amount, 0);
    EXPECT_EQ(table.load(day(n)).needs, day(4));
    EXPECT_TRUE(table.load(day(n)).gap);
  }
  EXPECT_EQ(table.load(day(4)).amount, 0);  // a check and no session
  EXPECT_EQ(table.load(day(4)).needs, day(4));
  EXPECT_EQ(table.load(day(5)).amount, std::nullopt);
  EXPECT_TRUE(table.load(day(5)).gap);
}

TEST(DayTable, TakesADoseFromSetsAndNoneWhereBarbellWorkIsUnsaid) {
  AthleteLog log = log_with({3}, {0, 1});
  log.maxes.push_back({.athlete = "a", .lift = "squat", .from = day(0), .training_max_kg = 100});
  log.sets.push_back(
      {.athlete = "a", .date = day(0), .part = 1, .lift = "squat", .sets = 2, .reps = 5, .weight_kg = 80});
  log.sessions.push_back({.athlete = "a", .date = day(2), .part = 1, .kind = DayKind::sport, .minutes = 90, .rpe = 7});
  DayTable table(log, day(0), day(4), shipped_models());
  EXPECT_NEAR(table.dose(day(0), "squat").amount.value(), 10 * 0.64, 1e-12);
  EXPECT_EQ(table.dose(day(1), "squat").amount, std::nullopt);  // a heavy session without sets
  EXPECT_EQ(table.dose(day(2), "squat").amount, 0);             // sport
  EXPECT_EQ(table.dose(day(3), "squat").amount, 0);             // rest
  // a deadlift feels squats by the overlap of their regions
  EXPECT_NEAR(table.dose(day(0), "deadlift").amount.value(), 6.4 * shipped_models().lifts.overlap("squat", "deadlift"),
              1e-12);
}

TEST(DayTable, IsEmptyWithoutEntries) {
  const AthleteLog log;
  EXPECT_TRUE(DayTable(log, day(0), day(9), shipped_models()).empty());
}

}  // namespace
}  // namespace steelyard::learn
