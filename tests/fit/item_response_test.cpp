#include "steelyard/fit/item_response.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

#include "fit/allocation_count.hpp"
#include "steelyard/fit/impulse.hpp"
#include "steelyard/fit/scores.hpp"

namespace steelyard::fit {
namespace {

TEST(ItemResponse, StartsFromTheUsualValue) {
  const auto response = ItemResponse::make(ItemModel{}.of(Item::mood)).value();
  const auto f = response.forecast(response.start(), {4.5, 4.5, 4.5});
  EXPECT_NEAR(f.value.mean, 4.5, 1e-12);
  // level SD 0.15 and noise 0.6: sqrt(0.3825) x 1.638 (t with 3 degrees of freedom)
  EXPECT_NEAR(f.value.high, 4.5 + 1.6377443536962102 * std::sqrt(0.3825), 1e-6);
  // a point above usual yesterday carries 0.2 over
  EXPECT_NEAR(response.forecast(response.start(), {4.5, 5.5, 4.5}).value.mean, 4.7, 1e-12);
  // a month that was a point below the long run is drawn back by 0.3
  EXPECT_NEAR(response.forecast(response.start(), {4.5, 4.5, 5.5}).value.mean, 4.8, 1e-12);
}

TEST(ItemResponse, ExpectsMoreSorenessAfterMoreLoad) {
  const auto response = ItemResponse::make(ItemModel{}.of(Item::soreness)).value();
  auto state = response.start();
  response.step(state, 4);
  double expected = 0;
  for (const double tau : {1.5, 3.0, 7.0}) expected += 1.0 / 3 * 0.3 * 3 * (1 - kept_per_day(tau));
  EXPECT_NEAR(response.forecast(state, {2, 2, 2}).value.mean, 2 + expected, 1e-12);
}

TEST(ItemResponse, WidensWithoutALastValue) {
  const auto response = ItemResponse::make({}).value();
  const auto with = response.forecast(response.start(), {3, 3, 3}).distribution.part[0];
  const auto without = response.forecast(response.start(), {3, std::nullopt, 3}).distribution.part[0];
  EXPECT_NEAR(without.scale2 - with.scale2, 0.2 * 0.2 + 0.15 * 0.15, 1e-9);
}

/// A year of an invented diary; load_effect in points for twice the usual load. Sums over days that all forecasts have.
struct Diary {
  ScoreSum model;
  ScoreSum mean_of_28;
  Range80 effect;
};
Diary keep_diary(double load_effect, std::uint64_t seed) {
  const auto response = ItemResponse::make(ItemModel{}.of(Item::soreness)).value();
  auto state = response.start();
  std::mt19937_64 random(seed);
  std::normal_distribution<double> draw;
  Baselines baselines;
  Diary diary;
  double h = 1;
  std::optional<double> last;
  double sum = 0;
  for (int day = 0; day < 365; ++day) {
    const double load = day % 7 == 1 || day % 7 == 3 || day % 7 == 5 ? 2.33 * std::exp(0.3 * draw(random)) : 0;
    const double value = std::clamp(std::round(3 + load_effect * (h - 1) + 0.6 * draw(random)), 1.0, 7.0);
    if (const auto usual = baselines.mean_of_28()) {
      const ItemInputs inputs{usual->mean, last, sum / day};
      const auto f = response.forecast(state, inputs);
      const auto inside = [&](double low, double high) { return value >= low && value <= high; };
      diary.model.add(crps(f.distribution, value), value - f.value.mean, inside(f.value.low, f.value.high), 0.5);
      const double sd = std::sqrt(usual->scale2);
      diary.mean_of_28.add(crps_normal(usual->mean, sd, value), value - usual->mean,
                           inside(usual->mean - 1.2816 * sd, usual->mean + 1.2816 * sd), 0.5);
      response.update(state, inputs, value);
    }
    baselines.add_day(value);
    last = value;
    sum += value;
    h = next_response(h, load, kept_per_day(1.5));
    response.step(state, load);
  }
  diary.effect = response.load_effect(state);
  return diary;
}

TEST(ItemResponse, BeatsThe28DayMeanWhereLoadMatters) {
  const auto diary = keep_diary(1.2, 21);
  EXPECT_GT(skill(diary.model, diary.mean_of_28).value(), 0.2);
  EXPECT_NEAR(diary.effect.mean, 1.2, 0.35);
  EXPECT_NEAR(diary.model.coverage().value(), 0.8, 0.1);
}

TEST(ItemResponse, CostsLittleWhereLoadDoesNotMatter) {
  const auto diary = keep_diary(0, 22);
  EXPECT_GT(skill(diary.model, diary.mean_of_28).value(), -0.03);
  EXPECT_LT(diary.effect.low, 0.05);
  EXPECT_NEAR(diary.effect.mean, 0, 0.15);
}

TEST(ItemResponse, ComesBackFromBytes) {
  const auto response = ItemResponse::make({}).value();
  auto state = response.start();
  for (int day = 0; day < 40; ++day) {
    response.step(state, 0.5 * (day % 5));
    response.update(state, {3, 3.0 + day % 3, 3}, 2 + day % 4);
  }
  const auto bytes = response.save(state);
  const auto back = response.load(bytes).value();
  EXPECT_EQ(response.save(back), bytes);
  EXPECT_EQ(response.forecast(back, {3, 4, 3}).value.low, response.forecast(state, {3, 4, 3}).value.low);
  EXPECT_EQ(response.load(bytes.substr(2)).error().code, Errc::bad_data);
  EXPECT_EQ(response.load({}).error().code, Errc::bad_data);
}

TEST(ItemResponse, AllocatesNothingInADay) {
  const auto response = ItemResponse::make({}).value();
  auto state = response.start();
  const auto before = allocations_so_far();
  response.step(state, 1.5);
  const double mean = response.forecast(state, {3, 4, 3}).value.mean;
  response.update(state, {3, 4, 3}, 5);
  EXPECT_EQ(allocations_so_far(), before);
  EXPECT_TRUE(std::isfinite(mean));
}

TEST(ItemResponse, RefusesAModelItCannotRun) {
  ItemModel model;
  model.tau.clear();
  EXPECT_EQ(ItemResponse::make(model).error().code, Errc::usage);
  model = {};
  model.tau.assign(13, 2);
  EXPECT_FALSE(ItemResponse::make(model));
  model = {};
  model.tau[1] = -1;
  EXPECT_FALSE(ItemResponse::make(model));
  model = {};
  model.sd[0] = -0.5;
  EXPECT_FALSE(ItemResponse::make(model));
}

}  // namespace
}  // namespace steelyard::fit
