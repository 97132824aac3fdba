/// The second decision at the bar. The rule (RPE 6 and more heavier, 4 and less lighter than usual; one or two steps of
/// 2.5 points) is common practice of decreasing the load when the warm-up is harder than planned; weights by hand.
#include <gtest/gtest.h>

#include "params/shipped_models.hpp"
#include "steelyard/decide/call.hpp"

namespace steelyard::decide {
namespace {

using testing::shipped_models;

/// 3 x 4 at 82.5 % of 160 kg = 132 kg, on the bar 132.5 kg.
LiftCall heavy() {
  return {.lift = "squat",
          .planned = Prescription{DayKind::heavy, 3, 4, 82.5},
          .actions = {Action::run_as_planned},
          .call = {DayKind::heavy, 3, 4, 82.5},
          .training_max_kg = 160,
          .weight_kg = 132.5,
          .plates_per_side = {25, 25, 5, 1.25},
          .may_go_up = true};
}

BarDecision felt(const LiftCall& call, double rpe, Unit units = Unit::kg) {
  return after_warmup(call, rpe, Athlete{.athlete = "a1", .units = units}, shipped_models());
}

TEST(AfterWarmup, TakesOneOrTwoStepsOffAHardOne) {
  EXPECT_EQ(felt(heavy(), 6).weight_kg, 127.5);  // 80 % of 160 = 128, rounded down to 2.5
  EXPECT_EQ(felt(heavy(), 7).weight_kg, 122.5);  // 77.5 % = 124
  EXPECT_EQ(felt(heavy(), 7).plates_per_side, (std::vector<double>{25, 25, 1.25}));  // 20 + 2 x 51.25
  EXPECT_EQ(felt(heavy(), 7).say, "The last warm-up was RPE 7, heavier than usual: take 5 % off, 122.5 kg.");
}

TEST(AfterWarmup, KeepsTheCallBetween) {
  for (const double rpe : {4.5, 5.0, 5.5}) EXPECT_EQ(felt(heavy(), rpe).weight_kg, 132.5) << rpe;
  EXPECT_EQ(felt(heavy(), 5).say, "The last warm-up was RPE 5: 132.5 kg as called.");
}

TEST(AfterWarmup, LetsOnlyTheLastSetGoUpAndOnlyWhereTheCallAllowsIt) {
  const BarDecision light = felt(heavy(), 4);
  EXPECT_EQ(light.weight_kg, 132.5);
  EXPECT_NE(light.say.find("the last set may go up to 135 kg"), std::string::npos) << light.say;  // 85 % = 136
  LiftCall other = heavy();
  other.may_go_up = false;
  EXPECT_EQ(felt(other, 3).say.find("go up"), std::string::npos);
}

TEST(AfterWarmup, SpeaksPounds) {
  EXPECT_NE(felt(heavy(), 5, Unit::lb).say.find("292 lb"), std::string::npos);  // 132.5 / 0.45359237 = 292.1
}

}  // namespace
}  // namespace steelyard::decide
