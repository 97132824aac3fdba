#include "steelyard/learn/worth.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "learn/simulated.hpp"

namespace steelyard::learn {
namespace {

using ::testing::HasSubstr;
using testing::shipped_models;
using testing::Simulator;
using testing::Truth;

LiftStrength shown(const Truth& truth, std::uint64_t seed) {
  const auto sim = Simulator(truth, seed).live();
  const Learner learner = Learner::make(shipped_models()).value();
  LearnedState state;
  learner.walk(sim.log, sim.last, state);
  return lift_strength(sim.log, sim.last, state.lifts.at(0), learner, {});
}

TEST(LiftStrength, SaysNothingOfAnItemBeforeThereIsEvidence) {
  Truth truth;
  truth.days = 40;
  const auto few = shown(truth, 1);
  EXPECT_LT(few.sessions, 20);
  EXPECT_TRUE(few.worth.empty());
  EXPECT_THAT(few.say.at(0), HasSubstr("are too few to say what your strength follows; 20 are needed"));
}

TEST(LiftStrength, CountsItemsThatAreNotYetEnough) {
  Truth truth;
  truth.days = 200;
  truth.checks = 0.25;
  const auto sparse = shown(truth, 2);
  for (const Worth& w : sparse.worth) EXPECT_NE(w.item, "sleep");
}

TEST(LiftStrength, TellsSleepByTheHour) {
  Truth truth;
  truth.days = 500;
  truth.sleep = 2.5;
  truth.day_noise = 0.8;
  const auto follower = shown(truth, 3);
  const auto sleep =
      std::find_if(follower.worth.begin(), follower.worth.end(), [](const Worth& w) { return w.item == "sleep"; });
  ASSERT_NE(sleep, follower.worth.end());
  EXPECT_LT(sleep->mean, -1.2);  // an hour less costs: 2.5 % for 0.9 h, shrunk towards the prior
  EXPECT_LT(sleep->low80, sleep->mean);
  EXPECT_GT(sleep->high80, sleep->mean);
  EXPECT_THAT(sleep->say, HasSubstr("one hour less sleep costs you"));
  EXPECT_THAT(sleep->say, HasSubstr("your bar follows your sleep."));
}

TEST(SleepDoesNotMatter, NeedsNightsSessionsAndATightInterval) {
  const auto& evidence = shipped_models().response.evidence;
  const LiftToday none{.lift = "squat", .sessions = 45, .nights = 41, .sleep = {.mean = 0, .low = -0.4, .high = 0.4}};
  EXPECT_TRUE(sleep_does_not_matter(none, evidence));
  LiftToday other = none;
  other.nights = 29;
  EXPECT_FALSE(sleep_does_not_matter(other, evidence));
  other = none;
  other.sessions = 19;
  EXPECT_FALSE(sleep_does_not_matter(other, evidence));
  other = none;
  other.sleep.high = 0.6;
  EXPECT_FALSE(sleep_does_not_matter(other, evidence));
}

}  // namespace
}  // namespace steelyard::learn
