// Invented lifters whose true answers are known: are the 80 % intervals right, are effects found where there are some
// and not where there are none? Every number here is made up by a seeded generator.

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <optional>
#include <random>
#include <vector>

#include "steelyard/fit/impulse.hpp"
#include "steelyard/fit/scores.hpp"
#include "steelyard/fit/strength_response.hpp"

namespace steelyard::fit {
namespace {

/// What is true of one invented lifter; effects in log points as in ResponseModel.
struct Truth {
  double tau_fitness = 30;
  double tau_tiredness = 2;
  PerCause effect{};
  double noise = 2;          ///< SD of a day beyond the error of a set
  double level_drift = 0.2;  ///< SD of a day's change of level
};

struct Session {
  ResponseInputs inputs;
  StrengthObservation seen;
  bool trained = false;
  double dose = 0;
};

class Lifter {
 public:
  Lifter(const Truth& truth, std::uint64_t seed) : truth_(truth), random_(seed), level_(truth.effect[0]) {}

  /// One day: its morning, its session if it is one (three a week: heavy, speed, volume), its dose.
  Session live_a_day() {
    Session s;
    s.inputs.sleep = item(0.9);
    s.inputs.fatigue = item(0.9);
    s.inputs.stress = item(0.9);
    s.inputs.soreness = item(0.9);
    s.inputs.mood = item(0.5);
    s.inputs.bar_speed = item(0.3);
    const int weekday = day_++ % 7;
    s.trained = weekday == 0 || weekday == 2 || weekday == 4;
    if (s.trained) {
      const std::array<double, 3> percent{82.5, 65, 70};
      const std::array<double, 3> reps{4, 3, 9};
      const std::array<double, 3> sd{3, 5.5, 6};
      const auto kind = static_cast<std::size_t>(weekday / 2);
      s.inputs.percent = percent[kind];
      s.inputs.reps = reps[kind];
      s.seen.sd_percent = sd[kind];
      s.seen.log_points = strength(s.inputs) + truth_.noise * sd[kind] / 2.5 * normal_(random_);
      s.dose = 7.0 / 3 * std::exp(0.4 * normal_(random_)) * (day_ % 28 > 21 ? 0.5 : 1.1);
    }
    fitness_ = next_response(fitness_, s.dose, kept_per_day(truth_.tau_fitness));
    tiredness_ = next_response(tiredness_, s.dose, kept_per_day(truth_.tau_tiredness));
    level_ += truth_.level_drift * normal_(random_);
    return s;
  }

 private:
  /// Everybody has items, whether written down or not: an unrecorded one still acts.
  std::optional<double> item(double recorded) {
    const double value = normal_(random_);
    items_[next_item_++ % 6] = value;
    if (std::uniform_real_distribution<double>()(random_) > recorded) return std::nullopt;
    return value;
  }

  double strength(const ResponseInputs& inputs) const {
    double sum = level_ + truth_.effect[1] * (fitness_ - 1) + truth_.effect[2] * (1 - tiredness_);
    for (std::size_t i = 0; i < 6; ++i) sum += truth_.effect[3 + i] * items_[i];
    return sum + truth_.effect[9] * (inputs.percent - 75) / 10 + truth_.effect[10] * (inputs.reps - 5) / 5;
  }

  Truth truth_;
  std::mt19937_64 random_;
  std::normal_distribution<double> normal_;
  int day_ = 0;
  double fitness_ = 1;
  double tiredness_ = 1;
  double level_ = 0;
  std::array<double, 6> items_{};
  std::size_t next_item_ = 0;
};

/// Lives through `days` and learns; tells every session's probability integral transform.
template <class Each>
ResponseState learn(const StrengthResponse& response, Lifter& lifter, int days, Each each) {
  auto state = response.start();
  double dose = 1;
  for (int day = 0; day < days; ++day) {
    const auto s = lifter.live_a_day();
    response.step(state, dose);
    if (s.trained) {
      each(day, state, s);
      response.update(state, s.inputs, s.seen);
    }
    dose = s.dose;
  }
  return state;
}

Truth drawn_from(const ResponseModel& model, std::mt19937_64& random) {
  std::normal_distribution<double> draw;
  std::uniform_real_distribution<double> share;
  Truth truth;
  truth.tau_fitness = 18 + 30 * share(random);  // not on the grid
  truth.tau_tiredness = 1 + 5 * share(random);
  for (std::size_t i = 0; i < k_causes; ++i) truth.effect[i] = model.mean[i] + model.sd[i] * draw(random);
  std::chi_squared_distribution<double> precision(model.noise_weight);
  truth.noise = model.noise_sd * std::sqrt(model.noise_weight / precision(random));
  return truth;
}

TEST(SimulatedLifters, LieInsideTheir80PercentIntervalsFourTimesInFive) {
  const ResponseModel model;
  const auto response = StrengthResponse::make(model).value();
  std::mt19937_64 random(20260301);
  int inside = 0;
  int all = 0;
  std::array<int, 10> tenths{};
  std::array<int, 3> effect_inside{};
  const std::array<Cause, 3> effects{Cause::tiredness, Cause::sleep, Cause::soreness};
  for (std::uint64_t person = 0; person < 200; ++person) {
    const auto truth = drawn_from(model, random);
    Lifter lifter(truth, 1000 + person);
    const auto state = learn(response, lifter, 140, [&](int, const ResponseState& before, const Session& s) {
      auto inputs = s.inputs;
      inputs.sd_percent = s.seen.sd_percent;
      const double p = cdf(response.distribution(before, inputs), s.seen.log_points);
      inside += p >= 0.1 && p <= 0.9 ? 1 : 0;
      ++tenths[static_cast<std::size_t>(std::min(9.0, p * 10))];
      ++all;
    });
    for (std::size_t i = 0; i < effects.size(); ++i) {
      const auto range = response.effect(state, effects[i]);
      const double is = truth.effect[static_cast<std::size_t>(effects[i])];
      effect_inside[i] += range.low <= is && is <= range.high ? 1 : 0;
    }
  }
  ASSERT_EQ(all, 200 * 60);
  const double coverage = static_cast<double>(inside) / all;
  RecordProperty("coverage", std::to_string(coverage));
  EXPECT_GT(coverage, 0.77);
  EXPECT_LT(coverage, 0.83);
  for (const int tenth : tenths) EXPECT_NEAR(tenth, 1200, 240);
  // of 200 lifters, 160 are expected inside the interval of each effect; 4 SD of a binomial are 23
  for (const int count : effect_inside) EXPECT_NEAR(count, 160, 23);
}

TEST(SimulatedLifters, AreToldApartByWhetherTheirBarFollowsTheirSleep) {
  const ResponseModel model;
  const auto response = StrengthResponse::make(model).value();
  const auto effect_of_sleep = [&](double truly, std::uint64_t seed) {
    Truth truth;
    truth.effect = model.mean;
    truth.effect[static_cast<std::size_t>(Cause::sleep)] = truly;
    Lifter lifter(truth, seed);
    const auto state = learn(response, lifter, 365, [](int, const ResponseState&, const Session&) {});
    return response.effect(state, Cause::sleep);
  };
  for (std::uint64_t seed = 1; seed <= 5; ++seed) {
    const auto follows = effect_of_sleep(2.5, seed);
    EXPECT_NEAR(follows.mean, 2.5, 1.0);
    EXPECT_GT(follows.low, 0.8);
    const auto ignores = effect_of_sleep(0, 100 + seed);
    EXPECT_NEAR(ignores.mean, 0, 0.7);
    EXPECT_LT(ignores.low, 0.2);
    EXPECT_LT(ignores.high, follows.low + 0.4);
  }
}

TEST(SimulatedLifters, AreForecastBetterThanByTheirOwn28DayMean) {
  const ResponseModel model;
  const auto response = StrengthResponse::make(model).value();
  ScoreSum learned;
  ScoreSum plain;
  for (std::uint64_t person = 0; person < 4; ++person) {
    Truth truth;
    truth.effect = model.mean;
    truth.effect[2] = 3;    // tiredness
    truth.effect[10] = -4;  // sets of many repetitions come out low
    truth.noise = 1.5;
    Lifter lifter(truth, 300 + person);
    Baselines baselines;
    int last_day = -1;
    learn(response, lifter, 182, [&](int day, const ResponseState& before, const Session& s) {
      for (int rest = last_day + 1; rest < day; ++rest) baselines.add_day(std::nullopt);
      const double y = s.seen.log_points;
      if (const auto mean = baselines.mean_of_28()) {
        auto inputs = s.inputs;
        inputs.sd_percent = s.seen.sd_percent;
        const auto f = response.distribution(before, inputs);
        learned.add(crps(f, y), 0, true, 0.5);
        plain.add(crps_normal(mean->mean, std::sqrt(mean->scale2), y), 0, true, 0.5);
      }
      baselines.add_day(y);
      last_day = day;
    });
  }
  EXPECT_GT(learned.count(), 250);
  EXPECT_GT(skill(learned, plain).value(), 0.1);
}

}  // namespace
}  // namespace steelyard::fit
