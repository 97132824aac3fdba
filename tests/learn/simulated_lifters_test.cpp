// Invented lifters whose true answers are known, from their entries to marks and sentences.

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "learn/simulated.hpp"
#include "steelyard/learn/marks.hpp"
#include "steelyard/learn/worth.hpp"

namespace steelyard::learn {
namespace {

using testing::shipped_models;
using testing::Simulator;
using testing::Truth;

struct Squad {
  MarkSums sums;
  int inside = 0;  ///< strength forecasts, marked or not
  int all = 0;
};

Squad squad(int lifters, std::uint64_t seed, const std::function<Truth(std::mt19937_64&)>& truth_of) {
  const Learner learner = Learner::make(shipped_models()).value();
  std::mt19937_64 random(seed);
  Squad squad;
  for (int i = 0; i < lifters; ++i) {
    const auto sim = Simulator(truth_of(random), seed + static_cast<std::uint64_t>(i)).live();
    LearnedState state;
    MarkSums one;
    learner.walk(sim.log, sim.last, state, [&](const Scored& s) {
      one.add(s);
      if (!s.line.target.starts_with("strength:")) return;
      ++squad.all;
      squad.inside += *s.line.observed >= s.line.low80 && *s.line.observed <= s.line.high80 ? 1 : 0;
    });
    i == 0 ? void(squad.sums = one) : squad.sums.join(one);
  }
  return squad;
}

const TargetMarks& of(const Marks& marks, std::string_view target) {
  return *std::find_if(marks.targets.begin(), marks.targets.end(), [&](const auto& t) { return t.target == target; });
}

/// Effects as different between people as the priors say.
Truth drawn(std::mt19937_64& random) {
  std::normal_distribution<double> draw;
  std::uniform_real_distribution<double> even;
  const auto& prior = shipped_models().response.strength;
  const auto effect = [&](Cause cause) {
    const auto i = static_cast<std::size_t>(cause);
    return prior.mean[i] + prior.sd[i] * draw(random);
  };
  Truth truth;
  truth.days = 220;
  truth.fitness = effect(Cause::fitness);
  truth.tiredness = effect(Cause::tiredness);
  truth.tau_fitness = 18 + 30 * even(random);
  truth.tau_tiredness = 1 + 5 * even(random);
  truth.sleep = effect(Cause::sleep);
  truth.soreness = effect(Cause::soreness);
  truth.day_noise = 1.5 + 2 * even(random);
  return truth;
}

TEST(SimulatedLifters, LieInsideTheir80PercentIntervalsFourTimesInFive) {
  const Squad two_hundred = squad(200, 1000, drawn);
  const double coverage = static_cast<double>(two_hundred.inside) / two_hundred.all;
  RecordProperty("coverage", std::to_string(coverage));
  EXPECT_GT(two_hundred.all, 8000);
  EXPECT_GT(coverage, 0.77);
  EXPECT_LT(coverage, 0.83);
}

TEST(SimulatedLifters, WhoseStrengthFollowsLoadSleepAndSorenessAreForecastBetter) {
  const Squad followers = squad(40, 3000, [](std::mt19937_64&) {
    Truth truth;
    truth.sleep = 1.5;
    truth.soreness = -1.5;
    truth.fitness = 10;
    truth.tiredness = 6;
    return truth;
  });
  const Marks marks = followers.sums.marks("");
  const TargetMarks& squat = of(marks, "strength:squat");
  RecordProperty("skill", std::to_string(squat.skill_vs_usual28.value()));
  RecordProperty("cover", std::to_string(squat.cover80.value()));
  EXPECT_GT(squat.skill_vs_usual28.value(), 0.1);
  EXPECT_GT(squat.cover80.value(), 0.76);
  EXPECT_LT(squat.cover80.value(), 0.84);
  EXPECT_GT(of(marks, "soreness").skill_vs_usual28.value(), 0.05);
  EXPECT_GT(of(marks, "soreness").cover80.value(), 0.78);
  EXPECT_LT(of(marks, "soreness").cover80.value(), 0.9);
}

// The sleep coefficient, in log points for one SD of sleep: 80 % intervals of 60 lifters hold the truth as often as
// they say, within three binomial SDs (0.16).
TEST(SimulatedLifters, HaveTheirSleepEffectInsideItsInterval) {
  const Learner learner = Learner::make(shipped_models()).value();
  std::mt19937_64 random(5);
  int inside = 0;
  constexpr int k_lifters = 60;
  for (int i = 0; i < k_lifters; ++i) {
    Truth truth = drawn(random);
    truth.days = 300;
    const auto sim = Simulator(truth, 7000 + static_cast<std::uint64_t>(i)).live();
    LearnedState state;
    learner.walk(sim.log, sim.last, state);
    const auto effect = learner.effect(state.lifts.at(0), Cause::sleep);
    inside += truth.sleep >= effect.low && truth.sleep <= effect.high ? 1 : 0;
  }
  RecordProperty("inside", std::to_string(inside));
  EXPECT_GE(inside, k_lifters * 0.64);
  EXPECT_LE(inside, k_lifters * 0.96);
}

// Two years of training twice: a lifter whose bar ignores sleep is told so, one whose bar follows it is told that.
TEST(SimulatedLifters, AreToldWhetherTheirBarFollowsTheirSleep) {
  const Learner learner = Learner::make(shipped_models()).value();
  const auto say = [&](double sleep, std::uint64_t seed) {
    Truth truth;
    truth.days = 730;
    truth.sleep = sleep;
    truth.soreness = 0;
    truth.fitness = 2;
    truth.tiredness = 1;
    truth.day_noise = 1;
    truth.level_drift = 0.05;
    const auto sim = Simulator(truth, seed).live();
    LearnedState state;
    learner.walk(sim.log, sim.last, state);
    const auto lift = lift_strength(sim.log, sim.last, state.lifts.at(0), learner, {});
    const auto found =
        std::find_if(lift.worth.begin(), lift.worth.end(), [](const Worth& w) { return w.item == "sleep"; });
    return found == lift.worth.end() ? std::string() : found->say;
  };
  int follows_not = 0;
  int follows = 0;
  for (std::uint64_t seed = 1; seed <= 10; ++seed) {
    follows_not += say(0, seed).find("does not follow your sleep") != std::string::npos ? 1 : 0;
    follows += say(2, seed).find("your bar follows your sleep.") != std::string::npos ? 1 : 0;
  }
  EXPECT_GE(follows_not, 7);
  EXPECT_EQ(follows, 10);
}

}  // namespace
}  // namespace steelyard::learn
