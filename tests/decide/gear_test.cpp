/// What can be put on the bar. Discs: IPF rules and IWF equipment (found on secondary pages); cases computed by hand.
#include "steelyard/decide/gear.hpp"

#include <gtest/gtest.h>

#include <random>

#include "params/shipped_models.hpp"
#include "steelyard/base/text.hpp"

namespace steelyard::decide {
namespace {

using testing::shipped_models;
using Plates = std::vector<double>;

const LiftsModel& lifts() {
  return shipped_models().lifts;
}

const Gear k_gym{.bar_kg = 20, .plates_kg = {25, 20, 15, 10, 5, 2.5, 1.25}};

TEST(PlatesFor, OneHundredAndFortyTwoAndAHalfOnABarWithTwoCollars) {
  // Bar 20 kg and two collars of 2.5 kg: 58.75 kg a side = 25 + 25 + 5 + 2.5 + 1.25 (computed).
  EXPECT_EQ(plates_for(142.5, {.bar_kg = 25, .plates_kg = k_gym.plates_kg}), (Plates{25, 25, 5, 2.5, 1.25}));
}

TEST(PlatesFor, ALoadThatCannotBeMade) {
  // The smallest step is 2.5 kg: 100 can be made of 20 + 2 x 40, 101 cannot (computed).
  EXPECT_TRUE(plates_for(100, k_gym));
  EXPECT_FALSE(plates_for(101, k_gym));
  EXPECT_FALSE(plates_for(17.5, k_gym)) << "less than the bar";
  EXPECT_EQ(plates_for(20, k_gym), Plates{});
  EXPECT_EQ(loadable(101, k_gym, Rounding::nearest), 100);
  EXPECT_EQ(loadable(101.3, k_gym, Rounding::nearest), 102.5);
  EXPECT_EQ(loadable(102.4, k_gym, Rounding::down), 100);
}

TEST(PlatesFor, AnOddSetOfPlatesIsNotTakenGreedily) {
  // 30 a side of 20s and 15s: taking 20 first leaves 10, which nothing makes.
  const Gear odd{.bar_kg = 20, .plates_kg = {20, 15}};
  EXPECT_EQ(plates_for(80, odd), (Plates{15, 15}));
  EXPECT_FALSE(plates_for(70, odd)) << "25 a side";
  EXPECT_EQ(loadable(75, odd, Rounding::down), 60) << "20 a side; 80 would be 15 and 15";
  EXPECT_EQ(loadable(75, odd, Rounding::nearest), 80);
  EXPECT_EQ(loadable(55, {.bar_kg = 10, .plates_kg = {7, 3}}, Rounding::down), 54) << "22 a side = 7 + 3 x 5";
}

TEST(Loadable, NeverAboveWhenRoundedDownAndAlwaysMadeOfItsPlates) {
  std::mt19937 random(3);
  const std::vector<Gear> gears{k_gym,
                                {.bar_kg = 15, .plates_kg = {20, 10, 5, 2.5}},
                                {.bar_kg = 20, .plates_kg = {20, 15}},
                                {.bar_kg = 10, .plates_kg = {7, 3}},
                                {.bar_kg = 20, .plates_kg = {}}};
  for (const Gear& gear : gears) {
    for (int i = 0; i < 200; ++i) {
      const double kg = std::uniform_real_distribution<double>(5, 250)(random);
      const double down = loadable(kg, gear, Rounding::down);
      EXPECT_TRUE(down <= kg || down == gear.bar_kg) << kg;
      for (const Rounding rounding : {Rounding::down, Rounding::nearest}) {
        const double total = loadable(kg, gear, rounding);
        EXPECT_GE(total, gear.bar_kg);
        const auto side = plates_for(total, gear);
        ASSERT_TRUE(side) << total;
        double sum = gear.bar_kg;
        for (const double plate : *side) sum += 2 * plate;
        EXPECT_NEAR(sum, total, 1e-6);
      }
    }
  }
}

TEST(Loadable, IsTheNearestStepOfAFullRack) {
  for (double kg = 20; kg < 250; kg += 0.37) {
    EXPECT_LE(std::abs(loadable(kg, k_gym, Rounding::nearest) - kg), 1.25 + 1e-9) << kg;
    EXPECT_LT(kg - loadable(kg, k_gym, Rounding::down), 2.5) << kg;
  }
}

TEST(GearOf, AnOwnBarAndOwnPlatesComeFirst) {
  Athlete athlete;
  EXPECT_EQ(gear_of(athlete, lifts()).bar_kg, 20);
  EXPECT_EQ(gear_of(athlete, lifts()).plates_kg, k_gym.plates_kg);
  athlete.bar_kg = 15;
  athlete.plates_kg = {1.25, 20, 5};
  EXPECT_EQ(gear_of(athlete, lifts()).bar_kg, 15);
  EXPECT_EQ(gear_of(athlete, lifts()).plates_kg, (Plates{20, 5, 1.25}));
}

TEST(GearOf, PoundsMeanA45PoundBarAndPoundPlates) {
  // 1 lb = 0.45359237 kg exactly; 225 lb = bar 45 and two 45s a side, the sum of every gym (common practice).
  Athlete athlete;
  athlete.units = Unit::lb;
  const Gear gear = gear_of(athlete, lifts());
  EXPECT_DOUBLE_EQ(gear.bar_kg, 45 * 0.45359237);
  const auto side = plates_for(225 * 0.45359237, gear);
  ASSERT_TRUE(side);
  EXPECT_EQ(side->size(), 2U);
  for (const double plate : *side) EXPECT_DOUBLE_EQ(plate, 45 * 0.45359237);
  EXPECT_NEAR(loadable(100, gear, Rounding::nearest) / 0.45359237, 220, 1e-9) << "100 kg are 220.46 lb";
}

TEST(WarmupRamp, AscendsFromTheBarAndStaysBelowTheWork) {
  for (const Gear& gear : {k_gym, Gear{.bar_kg = 20, .plates_kg = {20, 10}}}) {
    for (double max = 40; max <= 300; max += 13) {
      for (double percent = 40; percent <= 100; percent += 2.5) {
        const auto ramp = warmup_ramp(percent, max, gear, lifts());
        const double work = loadable(percent / 100 * max, gear, Rounding::nearest);
        ASSERT_FALSE(ramp.empty());
        EXPECT_EQ(ramp.front().weight_kg, gear.bar_kg);
        for (std::size_t i = 1; i < ramp.size(); ++i) {
          EXPECT_GT(ramp[i].weight_kg, ramp[i - 1].weight_kg);
          EXPECT_LT(ramp[i].weight_kg, work);
          EXPECT_LE(ramp[i].reps, ramp[i - 1].reps);
          double total = gear.bar_kg;
          for (const double plate : ramp[i].plates_per_side) total += 2 * plate;
          EXPECT_NEAR(total, ramp[i].weight_kg, 1e-6);
        }
      }
    }
  }
}

TEST(WarmupRamp, OfAHeavySetOfThree) {
  // Work at 85 % of 160 kg: bar, then 40, 55, 65 and 75 %, the last 10 points below the work (models/lifts.toml
  // [gear]).
  const auto ramp = warmup_ramp(85, 160, k_gym, lifts());
  ASSERT_EQ(ramp.size(), 5U);
  const double kilos[] = {20, 65, 87.5, 105, 120};
  const int reps[] = {8, 5, 5, 3, 2};
  for (std::size_t i = 0; i < 5; ++i) {
    EXPECT_EQ(ramp[i].weight_kg, kilos[i]);
    EXPECT_EQ(ramp[i].reps, reps[i]);
  }
}

}  // namespace
}  // namespace steelyard::decide
