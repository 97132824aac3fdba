/// Accessories without a percentage: near failure, no weight is called, first to go (job: 3-4 x 10-15 to 1-2 repetitions
/// in reserve; common practice). Limits that take points of percent off have nothing to take them from.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "decide/limit_case.hpp"

namespace steelyard::decide {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::Not;

/// The heavy day with accessories after squats and bench presses.
struct WithAccessory : Case {
  explicit WithAccessory(const std::string& lift, std::optional<int> sets = 3, std::optional<int> reps = 12) {
    auto& plan = log().plan;
    PlanRow row = planned(k_heavy_day, DayKind::volume, lift);
    row.sets = sets;
    row.reps = reps;
    row.position = 3;
    plan.insert(std::find_if(plan.begin(), plan.end(), [](const PlanRow& r) { return r.date > k_heavy_day; }), row);
  }
  [[nodiscard]] LiftCall accessory() const { return day().calls.at(2); }
};

TEST(Accessory, RunsAsPlannedOnAUsualMorning) {
  const WithAccessory c("row");
  expect_as_planned(c.accessory(), "agreement");
  EXPECT_EQ(c.accessory().call.percent, 0);
  EXPECT_FALSE(c.accessory().weight_kg);
}

TEST(Accessory, WhoseSupportIsSoreLosesASetWhereOthersLosePercent) {
  WithAccessory c("row");
  c.morning.sore_regions = {{"low-back", 6}};
  const LiftCall call = c.accessory();
  expect_broken(call, "soreness-support");
  EXPECT_EQ(call.actions, std::vector{Action::trim_sets});
  EXPECT_EQ(call.call.sets, 2);
  EXPECT_EQ(call.call.reps, 12);
}

TEST(Accessory, AfterTenDaysOffLosesASet) {
  WithAccessory c("row");
  c.off(10, 1, OffReason::holiday);
  EXPECT_FALSE(limit(c.accessory(), "comeback").held);
  EXPECT_EQ(c.accessory().actions, std::vector{Action::trim_sets});
  EXPECT_EQ(c.accessory().call.sets, 2);
}

TEST(Accessory, WithoutRepetitionsWrittenIsTrimmedAndNotDropped) {
  WithAccessory c("curl", 4, std::nullopt);
  c.morning.sleep_hours = 4;
  c.morning.fatigue = 7;
  const LiftCall call = c.accessory();
  EXPECT_FALSE(limit(call, "agreement").held);
  EXPECT_EQ(call.planned->reps, 13) << "the middle of 10 to 15";
  EXPECT_EQ(call.actions, std::vector{Action::trim_sets});
  EXPECT_EQ(call.call.sets, 2) << "at most 60 % of 4 x 13";
  EXPECT_EQ(call.call.reps, 13);
}

TEST(Accessory, IsNoSwapWhereItsMoversAreVerySore) {
  WithAccessory c("curl");
  c.morning.sore_regions = {{"elbows", 7}};
  for (const std::string& mover : shipped_models().lifts.find("curl")->movers) c.morning.sore_regions = {{mover, 7}};
  EXPECT_FALSE(limit(c.accessory(), "soreness-movers").held);
  EXPECT_EQ(c.accessory().actions, std::vector{Action::rest}) << "no percentages, no other kind of day";
}

TEST(Accessory, IsSpokenOfWithoutAPercentage) {
  WithAccessory c("row");
  c.morning.sore_regions = {{"low-back", 6}};
  EXPECT_THAT(c.day().say, Contains(HasSubstr("rows 2 x 12")));
  EXPECT_THAT(c.day().say, Not(Contains(HasSubstr("at 0 %"))));

  WithAccessory alone("curl");
  std::erase_if(alone.log().plan, [](const PlanRow& r) { return r.date == k_heavy_day && r.lift != "curl"; });
  EXPECT_THAT(alone.day().say.front(), HasSubstr("as planned: 3 x 12."));
}

}  // namespace
}  // namespace steelyard::decide
