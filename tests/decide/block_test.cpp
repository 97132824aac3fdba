/// A block made from its first week. The shape is that of the shipped models (common practice): four weeks, 2.5 points
/// a week on heavy and volume days, the fourth with half the sets.
#include "steelyard/decide/block.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "params/shipped_models.hpp"

namespace steelyard::decide {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;

const Day k_first_monday = day_from_number(20598);

PlanRow row(int weekday, DayKind kind, int sets, int reps, double percent) {
  return {.athlete = "a1",
          .date = k_first_monday + Days{weekday},
          .lift = "squat",
          .kind = kind,
          .sets = sets,
          .reps = reps,
          .percent = percent};
}

std::vector<double> percents(const std::vector<PlanRow>& rows, DayKind kind) {
  std::vector<double> all;
  for (const PlanRow& r : rows) {
    if (r.kind == kind) all.push_back(*r.percent);
  }
  return all;
}

TEST(BlockWeeks, StepUpWeekByWeekAndEndEasy) {
  const auto rows = block_weeks({row(0, DayKind::heavy, 4, 3, 80), row(2, DayKind::speed, 8, 2, 70),
                                 row(4, DayKind::volume, 4, 8, 62.5)},
                                testing::shipped_models())
                        .rows;
  ASSERT_EQ(rows.size(), 9U);
  EXPECT_EQ(percents(rows, DayKind::heavy), (std::vector<double>{82.5, 85, 85}));  // 82.5, 85, then easy at the same
  EXPECT_EQ(percents(rows, DayKind::volume), (std::vector<double>{65, 67.5, 67.5}));
  EXPECT_EQ(percents(rows, DayKind::speed), (std::vector<double>{70, 70, 70}));  // faster, not heavier
  EXPECT_EQ(rows.front().date, k_first_monday + Days{7});
  EXPECT_EQ(rows.back().date, k_first_monday + Days{25});
  EXPECT_EQ(rows[6].sets, 2);  // half of four
  EXPECT_EQ(rows[7].sets, 4);
  EXPECT_EQ(rows[3].sets, 4);
}

TEST(BlockWeeks, StayInsideTheRangeAndInsideWhatIsPossible) {
  // 85 % is the upper edge of heavy days; a first week above it is taken as it is written and goes no higher.
  EXPECT_EQ(percents(block_weeks({row(0, DayKind::heavy, 3, 3, 84)}, testing::shipped_models()).rows, DayKind::heavy),
            (std::vector<double>{84, 84, 84}));
  EXPECT_EQ(percents(block_weeks({row(0, DayKind::heavy, 3, 2, 90)}, testing::shipped_models()).rows, DayKind::heavy),
            (std::vector<double>{90, 90, 90}));
  // Epley 1985: 12 repetitions and 2 left are 1 / (1 + 14/30) = 68.2 %, so 67.5 % is the last step.
  EXPECT_EQ(
      percents(block_weeks({row(0, DayKind::volume, 4, 12, 65)}, testing::shipped_models()).rows, DayKind::volume),
      (std::vector<double>{67.5, 67.5, 67.5}));
}

TEST(BlockWeeks, GoOnAfterAnEasyWeekInTheMiddle) {
  Models models = testing::shipped_models();
  models.day_kinds.block.weeks = 5;
  models.day_kinds.block.easy_week = 3;
  models.day_kinds.block.easy_percent_change = -5;
  const auto rows = block_weeks({row(0, DayKind::volume, 3, 8, 60)}, models).rows;
  EXPECT_EQ(percents(rows, DayKind::volume), (std::vector<double>{62.5, 57.5, 65, 67.5}));
  EXPECT_EQ(rows[1].sets, 2);  // 1.5 rounds up
}

TEST(BlockWeeks, SayWhichWorkFoundNoRoomForItsSteps) {
  const auto heavy = block_weeks({row(0, DayKind::heavy, 3, 3, 84)}, testing::shipped_models());
  EXPECT_THAT(heavy.say,
              ElementsAre("Heavy squats of Monday stay at 84 % after 0 steps: 85 % is the upper edge of heavy "
                          "days."));
  const auto volume = block_weeks({row(4, DayKind::volume, 4, 12, 65)}, testing::shipped_models());
  EXPECT_THAT(volume.say,
              ElementsAre("Volume squats of Friday stay at 67.5 % after 1 step: 12 repetitions leave no room "
                          "for 70 %."));
  EXPECT_THAT(block_weeks({row(0, DayKind::volume, 4, 8, 60)}, testing::shipped_models()).say, IsEmpty());
}

// Speed days have no steps at all: nothing stalls.
TEST(BlockWeeks, DoNotSayThatWorkWithoutStepsStays) {
  EXPECT_THAT(block_weeks({row(2, DayKind::speed, 8, 2, 77.5)}, testing::shipped_models()).say, IsEmpty());
}

// 75 minutes with 12 of warm-up: half of the 63 that work takes, and the warm-up.
TEST(BlockWeeks, GiveTheEasyWeekTheMinutesOfItsSets) {
  PlanRow timed = row(0, DayKind::heavy, 4, 3, 80);
  timed.minutes = 75;
  const auto rows = block_weeks({timed}, testing::shipped_models()).rows;
  EXPECT_EQ(rows[1].minutes, 75);
  EXPECT_EQ(rows[2].minutes, 44);
}

TEST(BlockWeeks, LeaveBlanksBlank) {
  PlanRow blank = row(0, DayKind::heavy, 3, 3, 80);
  blank.sets = std::nullopt;
  blank.percent = std::nullopt;
  for (const PlanRow& r : block_weeks({blank}, testing::shipped_models()).rows) {
    EXPECT_FALSE(r.percent);
    EXPECT_FALSE(r.sets);
  }
}

}  // namespace
}  // namespace steelyard::decide
