#include "steelyard/learn/squad.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <random>

#include "params/shipped_models.hpp"

namespace steelyard::learn {
namespace {

using ::testing::HasSubstr;
using testing::shipped_models;

/// Invented lifters with 60 sessions: level and sleep effect vary between them, nothing else is entered.
std::vector<fit::PersonSums> squad(int lifters, double level, double sleep) {
  std::mt19937_64 random(17);
  std::normal_distribution<double> draw;
  std::vector<fit::PersonSums> people;
  for (int p = 0; p < lifters; ++p) {
    const double own_level = level + 5 * draw(random);
    const double own_sleep = sleep + 0.8 * draw(random);
    fit::PersonSums sums;
    for (int i = 0; i < 60; ++i) {
      fit::Row row;
      row.x[0] = 1;
      row.x[static_cast<std::size_t>(Cause::sleep)] = draw(random);
      sums.add(row, own_level + own_sleep * row.x[static_cast<std::size_t>(Cause::sleep)] + 2 * draw(random));
    }
    people.push_back(sums);
  }
  return people;
}

TEST(LiftPrior, FindsWhatIsUsualInASquad) {
  const auto prior = lift_prior(squad(40, -6, 1.5), shipped_models().response).value();
  EXPECT_NEAR(prior.mean[0], -6, 2);  // SD of the mean of 40: 0.8
  EXPECT_NEAR(prior.sd[0], 5, 1.5);
  const auto sleep = static_cast<std::size_t>(Cause::sleep);
  EXPECT_NEAR(prior.mean[sleep], 1.5, 0.4);
  EXPECT_NEAR(prior.sd[sleep], 0.8, 0.3);
}

TEST(LiftPrior, LeavesWhatNobodyEntersAsItWas) {
  const auto& model = shipped_models().response;
  const auto prior = lift_prior(squad(12, 0, 0), model).value();
  const auto mood = static_cast<std::size_t>(Cause::mood);
  EXPECT_EQ(prior.mean[mood], model.strength.mean[mood]);
  EXPECT_EQ(prior.sd[mood], model.strength.sd[mood]);
}

TEST(LiftPrior, SaysWhenThereAreTooFewLifters) {
  const auto prior = lift_prior(squad(7, 0, 0), shipped_models().response);
  ASSERT_FALSE(prior);
  EXPECT_THAT(prior.error().what, HasSubstr("7 lifters have 20 or more sessions of it; 8 are needed"));
}

TEST(LiftPrior, ComesBackFromBytes) {
  const auto prior = lift_prior(squad(12, 1, 0.5), shipped_models().response).value();
  EXPECT_EQ(load_prior(save_prior(prior)).value(), prior);
  EXPECT_EQ(load_prior("x").error().code, Errc::bad_data);
}

TEST(Learner, StartsFromItsSquad) {
  const auto prior = lift_prior(squad(40, -6, 1.5), shipped_models().response).value();
  const auto learner = Learner::make(shipped_models(), {{"squat", prior}}).value();
  LiftState lift{.lift = "squat", .response = fit::StrengthResponse::make(shipped_models().response.strength)->start()};
  const auto plain = Learner::make(shipped_models()).value();
  EXPECT_NEAR(plain.effect(lift, Cause::sleep).mean, 0.4, 1e-9);
  // states of the two differ in what they start from
  AthleteLog log;
  log.sessions.push_back({.athlete = "a", .date = day_from_number(20000), .part = 1, .minutes = 60, .rpe = 6});
  log.sets.push_back(
      {.athlete = "a", .date = day_from_number(20000), .part = 1, .lift = "squat", .reps = 5, .weight_kg = 100});
  LearnedState state;
  learner.walk(log, day_from_number(20000), state);
  EXPECT_NEAR(learner.effect(state.lifts.at(0), Cause::sleep).mean, prior.mean[static_cast<std::size_t>(Cause::sleep)],
              1e-9);
}

}  // namespace
}  // namespace steelyard::learn
