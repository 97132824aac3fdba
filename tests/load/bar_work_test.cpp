/// Barbell work of a day. Volume load: published worked numbers, BMJ Military Health, Table 1. Hard sets and dose: the
/// project's own definitions, computed by hand.
#include "steelyard/load/bar_work.hpp"

#include <gtest/gtest.h>

#include "load/support.hpp"

namespace steelyard::load {
namespace {

using testing::k_monday;
using testing::set_of;

const Models& models() {
  return testing::shipped_models();
}

AthleteLog log_with(std::vector<SetRow> sets, double squat_max = 100) {
  AthleteLog log;
  log.maxes = {{.athlete = "ada", .lift = "squat", .from = k_monday - Days{30}, .training_max_kg = squat_max}};
  log.sets = std::move(sets);
  return log;
}

TEST(Tonnage, IsSetsTimesRepsTimesKilos) {
  // 3 x 8 x 65 kg = 1560 kg (published).
  EXPECT_EQ(tonnage(std::vector{set_of(k_monday, "squat", 3, 8, 65)}), 1560);
}

TEST(Tonnage, OfAPyramidWithItsMeanIntensity) {
  // 10 x 55, 8 x 65, 6 x 75 kg = 1520 kg in 24 repetitions, 63.33 kg each, 57.58 % of 110 kg (published; the table
  // rounds to 63 kg and prints 57 %).
  const std::vector sets{set_of(k_monday, "squat", 1, 10, 55), set_of(k_monday, "squat", 1, 8, 65),
                         set_of(k_monday, "squat", 1, 6, 75)};
  EXPECT_EQ(tonnage(sets), 1520);
  const auto days = lift_days(log_with(sets, 110), models());
  ASSERT_EQ(days.size(), 1U);
  EXPECT_EQ(days[0].tonnage_kg, 1520);
  EXPECT_EQ(days[0].lifts, 24);
  EXPECT_NEAR(*days[0].mean_percent, 57.57575757575758, 1e-9);
  EXPECT_NEAR(*days[0].top_percent, 100 * 75.0 / 110, 1e-9);
}

TEST(Tonnage, LeavesMissedRepetitionsAndSetsWithoutAWeightOut) {
  SetRow missed = set_of(k_monday, "squat", 1, 5, 100, 10);
  missed.missed = 2;
  EXPECT_EQ(tonnage(std::vector{missed}), 300);
  EXPECT_EQ(tonnage(std::vector{missed, set_of(k_monday, "pull-up", 3, 8, std::nullopt)}), 300);
}

TEST(EffortFactor, IsLinearBetweenThePointsOfTheModelAndOneWithoutAnRpe) {
  // Points 5..10: 0.7 0.8 0.9 1 1.15 1.35; outside them the end value.
  const LoadModel model = shipped();
  EXPECT_DOUBLE_EQ(effort_factor(std::nullopt, model), 1);
  EXPECT_DOUBLE_EQ(effort_factor(8, model), 1);
  EXPECT_DOUBLE_EQ(effort_factor(6.5, model), 0.85);
  EXPECT_DOUBLE_EQ(effort_factor(9.5, model), 1.25);
  EXPECT_DOUBLE_EQ(effort_factor(10, model), 1.35);
  EXPECT_DOUBLE_EQ(effort_factor(5, model), 0.7);
  EXPECT_DOUBLE_EQ(effort_factor(3, model), 0.7);
  double before = 0;
  for (double rpe = 1; rpe <= 10; rpe += 0.25) {
    EXPECT_GE(effort_factor(rpe, model), before) << rpe;
    before = effort_factor(rpe, model);
  }
}

TEST(IsHard, AtRpeSevenOrWithoutAnRpeAtThreeQuartersOfTheMax) {
  const LoadModel model = shipped();
  const auto hard = [&](std::optional<double> rpe, std::optional<double> percent) {
    return is_hard(set_of(k_monday, "squat", 1, 5, 100, rpe), percent, model);
  };
  EXPECT_TRUE(hard(7, 50));
  EXPECT_FALSE(hard(6.5, 95)) << "the RPE was entered, so it decides";
  EXPECT_TRUE(hard(std::nullopt, 75));
  EXPECT_FALSE(hard(std::nullopt, 74.9));
  EXPECT_FALSE(hard(std::nullopt, std::nullopt)) << "nothing is known of it";
}

TEST(LiftDays, DoseIsRepetitionsTimesSquaredShareTimesEffort) {
  // 3 x 5 at 80 % RPE 8: 15 x 0.64 x 1 = 9.6; 1 x 5 at 80 % RPE 9 with two missed: 3 x 0.64 x 1.15 = 2.208.
  SetRow missed = set_of(k_monday, "squat", 1, 5, 80, 9);
  missed.missed = 2;
  const auto days = lift_days(log_with({set_of(k_monday, "squat", 3, 5, 80, 8), missed}), models());
  ASSERT_EQ(days.size(), 1U);
  EXPECT_NEAR(days[0].dose, 9.6 + 2.208, 1e-9);
  EXPECT_EQ(days[0].lifts, 18);
  EXPECT_EQ(days[0].hard_sets, 4);
}

TEST(LiftDays, ASetWithoutWeightOrMaxAddsRepetitionsButNoDose) {
  const auto days = lift_days(
      log_with({set_of(k_monday, "bench", 3, 8, 60, 8), set_of(k_monday, "squat", 3, 8, std::nullopt, 8)}), models());
  ASSERT_EQ(days.size(), 2U);
  for (const LiftDay& day : days) {
    EXPECT_EQ(day.lifts, 24) << day.lift;
    EXPECT_EQ(day.dose, 0) << day.lift;
    EXPECT_EQ(day.hard_sets, 3) << "its RPE was entered";
    EXPECT_FALSE(day.mean_percent || day.top_percent) << day.lift;
  }
}

TEST(LiftDays, AscendByDateThenLift) {
  const auto days =
      lift_days(log_with({set_of(k_monday, "squat", 1, 5, 80), set_of(k_monday, "bench", 1, 5, 60),
                          set_of(k_monday + Days{2}, "bench", 1, 5, 60), set_of(k_monday, "squat", 1, 5, 90)}),
                models());
  ASSERT_EQ(days.size(), 3U);
  EXPECT_EQ(days[0].lift, "bench");
  EXPECT_EQ(days[1].lift, "squat");
  EXPECT_EQ(days[1].lifts, 10);
  EXPECT_EQ(days[2].date, k_monday + Days{2});
}

TEST(HardSets, CountALiftWithItsVariantsBetweenTwoDays) {
  const auto days = lift_days(
      log_with({set_of(k_monday, "squat", 3, 5, 80, 8), set_of(k_monday + Days{1}, "front-squat", 2, 5, 60, 8),
                set_of(k_monday + Days{2}, "deadlift", 4, 5, 100, 8),
                set_of(k_monday + Days{7}, "squat", 5, 5, 80, 8)}),
      models());
  EXPECT_EQ(hard_sets(days, "squat", k_monday, k_monday + Days{6}, models().lifts), 5);
  EXPECT_EQ(hard_sets(days, "front-squat", k_monday, k_monday + Days{6}, models().lifts), 5);
  EXPECT_EQ(hard_sets(days, "squat", k_monday + Days{1}, k_monday + Days{7}, models().lifts), 7);
}

TEST(DoseFelt, IsOwnDoseWholeAndThatOfOthersByTheirOverlap) {
  // Overlap = cosine of the region vectors, movers 1 and support 0.5 (models/lifts.toml); squat: quads, glutes;
  // hamstrings, low back and upper back support. A lift nobody described overlaps with nothing.
  auto log = log_with({set_of(k_monday, "deadlift", 3, 5, 100, 8), set_of(k_monday, "sandbag", 3, 5, 50, 8),
                       set_of(k_monday, "squat", 3, 5, 80, 8)});
  log.maxes.push_back({.athlete = "ada", .lift = "deadlift", .from = k_monday, .training_max_kg = 125});
  log.maxes.push_back({.athlete = "ada", .lift = "sandbag", .from = k_monday, .training_max_kg = 100});
  const auto days = lift_days(log, models());
  const double overlap = models().lifts.overlap("deadlift", "squat");
  ASSERT_GT(overlap, 0.1);
  ASSERT_LT(overlap, 1);
  EXPECT_NEAR(dose_felt(days, "squat", models().lifts).at(k_monday), 9.6 + overlap * 9.6, 1e-9);
  EXPECT_NEAR(dose_felt(days, "sandbag", models().lifts).at(k_monday), 15 * 0.25, 1e-9);
}

}  // namespace
}  // namespace steelyard::load
