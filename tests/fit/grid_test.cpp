#include "steelyard/fit/grid.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>

namespace steelyard::fit {
namespace {

Engine engine() {
  Forgetting never;
  never.discount.fill(1);
  return Engine::forgetting(Prior::independent(1, {}, {1}, 1, 5), never).value();
}

// Two members that see different regressors of the same thing.
const std::array<Row, 2> k_rows{{{.x = {1}}, {.x = {2}}}};

TEST(Grid, WeighsMembersByForecastAndForgetsTheirMerits) {
  const auto grid = Grid::make(engine(), {.members = 2, .memory = 0.5}).value();
  auto state = grid.start();
  EXPECT_EQ(state.weight[0], 0.5);
  // Student's t(5), location 0, squared scales 1 + 1 and 4 + 1, at y = 3
  const double a = std::exp(log_density({0, 2, 5}, 3));
  const double b = std::exp(log_density({0, 5, 5}, 3));
  grid.update(state, k_rows, 3);
  EXPECT_NEAR(state.weight[0], a / (a + b), 1e-12);
  EXPECT_NEAR(state.weight[1], b / (a + b), 1e-12);
  const auto f = grid.forecast(state, k_rows);
  const double a2 = std::exp(log_density(f.part[0], -1)) * std::sqrt(state.weight[0]);
  const double b2 = std::exp(log_density(f.part[1], -1)) * std::sqrt(state.weight[1]);
  grid.update(state, k_rows, -1);
  EXPECT_NEAR(state.weight[0], a2 / (a2 + b2), 1e-12);
}

TEST(Grid, KeepsEveryMemberAtTheLeastWeight) {
  const auto grid = Grid::make(engine(), {.members = 2, .least_weight = 0.1}).value();
  auto state = grid.start();
  state.weight = {1 - 1e-12, 1e-12};
  grid.update(state, k_rows, 0);
  EXPECT_NEAR(state.weight[1], 0.1 / 1.1, 1e-9);
  EXPECT_NEAR(state.weight[0] + state.weight[1], 1, 1e-12);
}

TEST(Grid, SharesAreTheAveragedProducts) {
  const auto grid = Grid::make(engine(), {.members = 2}).value();
  auto state = grid.start();
  grid.update(state, k_rows, 4);
  const auto f = grid.forecast(state, k_rows);
  EXPECT_NEAR(grid.shares(state, k_rows)[0], mean(f), 1e-12);
  EXPECT_NEAR(f.part[0].mean, 4.0 / 2, 1e-12);          // L = 1 + 1, m = 4/2
  EXPECT_NEAR(f.part[1].mean, 2 * 2 * 4.0 / 5, 1e-12);  // L = 1 + 4, m = 8/5
}

TEST(Grid, RefusesAnEngineThatStartsFromNothing) {
  Forgetting never;
  never.discount.fill(1);
  const auto vague = Engine::forgetting(Prior::vague(1), never).value();
  EXPECT_EQ(Grid::make(vague, {.members = 2}).error().code, Errc::usage);
  EXPECT_FALSE(Grid::make(engine(), {.members = 0}));
  EXPECT_FALSE(Grid::make(engine(), {.members = 13}));
  EXPECT_FALSE(Grid::make(engine(), {.members = 2, .memory = 0}));
  EXPECT_FALSE(Grid::make(engine(), {.members = 2, .least_weight = 0.5}));
}

}  // namespace
}  // namespace steelyard::fit
