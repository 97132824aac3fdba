/// Which training max holds. The cases are computed by hand.
#include "steelyard/series/training_max.hpp"

#include <gtest/gtest.h>

#include "params/shipped_models.hpp"
#include "series/rows.hpp"

namespace steelyard::series {
namespace {

using namespace steelyard::testing;

const LiftsModel& lifts() {
  return shipped_models().lifts;
}

AthleteLog with_maxes() {
  AthleteLog log;
  log.maxes = {{.athlete = "ada", .lift = "squat", .from = k_monday, .training_max_kg = 160},
               {.athlete = "ada", .lift = "squat", .from = k_monday + Days{28}, .training_max_kg = 170}};
  return log;
}

TEST(TrainingMax, IsTheNewestFromThatDayOrBefore) {
  const auto log = with_maxes();
  EXPECT_FALSE(training_max(log, "squat", k_monday - Days{1}, lifts()));
  EXPECT_EQ(training_max(log, "squat", k_monday, lifts()), 160);
  EXPECT_EQ(training_max(log, "squat", k_monday + Days{27}, lifts()), 160);
  EXPECT_EQ(training_max(log, "squat", k_monday + Days{28}, lifts()), 170);
}

TEST(TrainingMax, AVariantTakesItsShareOfTheParentOfThatDay) {
  const auto log = with_maxes();
  const double share = lifts().find("front-squat")->variant_share;
  ASSERT_GT(share, 0.5);
  ASSERT_LT(share, 1);
  EXPECT_EQ(training_max(log, "front-squat", k_monday, lifts()), 160 * share);
  EXPECT_EQ(training_max(log, "front-squat", k_monday + Days{30}, lifts()), 170 * share);
  EXPECT_FALSE(training_max(log, "front-squat", k_monday - Days{1}, lifts()));
}

TEST(TrainingMax, AVariantsOwnComesFirst) {
  auto log = with_maxes();
  log.maxes.push_back({.athlete = "ada", .lift = "front-squat", .from = k_monday + Days{29}, .training_max_kg = 125});
  EXPECT_EQ(training_max(log, "front-squat", k_monday + Days{30}, lifts()), 125);
  EXPECT_EQ(training_max(log, "squat", k_monday + Days{30}, lifts()), 170) << "and is not the parent's";
}

TEST(TrainingMax, NobodyWroteOneForThatLift) {
  EXPECT_FALSE(training_max(with_maxes(), "bench", k_monday + Days{30}, lifts()));
  EXPECT_FALSE(training_max(with_maxes(), "sandbag", k_monday + Days{30}, lifts()));
}

TEST(PercentOf, IsAsWrittenElseFromTheWeight) {
  const auto log = with_maxes();
  SetRow set = set_of(k_monday, "squat", 3, 5, 120);
  EXPECT_EQ(percent_of(log, set, lifts()), 75);
  set.percent = 80;
  EXPECT_EQ(percent_of(log, set, lifts()), 80);
  set.percent = std::nullopt;
  set.weight_kg = std::nullopt;
  EXPECT_FALSE(percent_of(log, set, lifts()));
  EXPECT_FALSE(percent_of(log, set_of(k_monday, "bench", 3, 5, 80), lifts()));
}

}  // namespace
}  // namespace steelyard::series
