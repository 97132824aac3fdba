/// Lifts under other names. The names are those of models/lifts.toml; the cases are made by hand.
#include "steelyard/series/lift_codes.hpp"

#include <gtest/gtest.h>

#include "params/shipped_models.hpp"
#include "series/rows.hpp"

namespace steelyard::series {
namespace {

using namespace steelyard::testing;

const LiftsModel& lifts() {
  return shipped_models().lifts;
}

TEST(LiftCodes, TakeThePlaceOfNamesInEveryPartOfALog) {
  AthleteLog log;
  log.maxes = {{.athlete = "ada", .lift = "sq", .from = k_monday, .training_max_kg = 160}};
  log.plan = {planned(k_monday, DayKind::heavy, "back-squat"), planned(k_monday, DayKind::volume, "sandbag")};
  log.sets = {set_of(k_monday, "squats", 3, 5, 120)};
  log.bar = {{.athlete = "ada", .date = k_monday, .lift = "low-bar", .percent = 60, .speed_m_s = 0.7}};
  log.decisions = {{.athlete = "ada", .date = k_monday, .lift = "back-squats", .called = "", .reason = "", .done = ""}};
  use_lift_codes(log, lifts());
  EXPECT_EQ(log.maxes[0].lift, "squat");
  EXPECT_EQ(log.plan[0].lift, "squat");
  EXPECT_EQ(log.plan[1].lift, "sandbag") << "nobody described it";
  EXPECT_EQ(log.sets[0].lift, "squat");
  EXPECT_EQ(log.bar[0].lift, "squat");
  EXPECT_EQ(log.decisions[0].lift, "squat");
}

TEST(LiftCodes, AnOlderRowGivesWayToTheOneUnderTheCode) {
  AthleteLog log;
  log.maxes = {{.athlete = "ada", .lift = "squat", .from = k_monday, .training_max_kg = 165},
               {.athlete = "ada", .lift = "squats", .from = k_monday, .training_max_kg = 160}};
  log.plan = {planned(k_monday, DayKind::heavy, "back-squat"), planned(k_monday, DayKind::speed, "squat"),
              planned(k_monday + Days{2}, DayKind::volume, "back-squat")};
  use_lift_codes(log, lifts());
  ASSERT_EQ(log.maxes.size(), 1U);
  EXPECT_EQ(log.maxes[0].training_max_kg, 165);
  ASSERT_EQ(log.plan.size(), 2U);
  EXPECT_EQ(log.plan[0].kind, DayKind::speed);
  EXPECT_EQ(log.plan[1].kind, DayKind::volume) << "another day";
}

TEST(LiftCodes, TwoRowsUnderTheCodeStayTwo) {
  AthleteLog log;
  log.plan = {planned(k_monday, DayKind::heavy), planned(k_monday, DayKind::volume)};
  use_lift_codes(log, lifts());
  EXPECT_EQ(log.plan.size(), 2U);
}

}  // namespace
}  // namespace steelyard::series
