// Speed of the learner: microseconds of a lifter-day of one lift and of one item, and of squads walked from nothing on
// all processors. Prints ratios to the goals; nothing here is a test.
//   usage: bench_learn [lifters]

#include <atomic>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <thread>
#include <vector>

#include "learn/simulated.hpp"
#include "steelyard/learn/learner.hpp"

namespace {

using namespace steelyard;
using Clock = std::chrono::steady_clock;

double seconds_since(Clock::time_point start) {
  return std::chrono::duration<double>(Clock::now() - start).count();
}

/// One day of one lift with its whole grid: step, forecast and update.
double day_of_a_lift() {
  const auto response = fit::StrengthResponse::make(steelyard::testing::shipped_models().response.strength).value();
  auto state = response.start();
  const fit::ResponseInputs inputs{
      .sleep = 0.3, .fatigue = -0.5, .stress = 0.2, .soreness = 1, .mood = -0.4, .bar_speed = 0.1};
  constexpr int k_days = 20000;
  const auto start = Clock::now();
  double sum = 0;
  for (int day = 0; day < k_days; ++day) {
    response.step(state, day % 3 == 0 ? 2.5 : 0);
    sum += response.distribution(state, inputs).part[0].mean;
    response.update(state, inputs, {.log_points = day % 7 - 3.0, .sd_percent = 3});
  }
  const double us = 1e6 * seconds_since(start) / k_days;
  std::printf(
      "a day of one lift, 12 members, with step, forecast and update: %.2f us, %.2f of the goal of 20 us (%g)\n", us,
      us / 20, sum / k_days);
  return us;
}

/// Everything: three years of one main lift and five items, from the entries.
void squad(std::size_t lifters) {
  steelyard::testing::Truth truth;
  truth.days = 3 * 365;
  constexpr std::size_t k_different = 20;
  std::vector<steelyard::testing::Simulated> logs;
  for (std::size_t i = 0; i < k_different; ++i) logs.push_back(steelyard::testing::Simulator(truth, i).live());
  const auto learner = learn::Learner::make(steelyard::testing::shipped_models()).value();
  for (const bool watched : {false, true}) {
    std::atomic<long> forecasts{0};
    const auto start = Clock::now();
    const std::size_t threads = std::max(1U, std::thread::hardware_concurrency());
    std::vector<std::thread> pool;
    for (std::size_t t = 0; t < threads; ++t) {
      pool.emplace_back([&, t] {
        for (std::size_t i = t; i < lifters; i += threads) {
          const auto& one = logs[i % k_different];
          learn::LearnedState state;
          learner.walk(one.log, one.last, state,
                       watched ? learn::Watcher([&](const learn::Scored&) { ++forecasts; }) : learn::Watcher{});
        }
      });
    }
    for (std::thread& thread : pool) thread.join();
    const double s = seconds_since(start);
    const double days = static_cast<double>(lifters) * truth.days;
    std::printf(
        "%zu lifters x %d days %s on %zu threads: %.1f s, %.2f us a lifter-day; 1000 lifters %.2f of the goal of "
        "60 s\n",
        lifters, truth.days, watched ? "with every forecast" : "learned", threads, s, 1e6 * s / days,
        s * 1000 / static_cast<double>(lifters) / 60);
  }
}

}  // namespace

int main(int argc, char** argv) {
  const long lifters = argc > 1 ? std::strtol(argv[1], nullptr, 10) : 200;
  day_of_a_lift();
  squad(static_cast<std::size_t>(std::max(1L, lifters)));
  return 0;
}
