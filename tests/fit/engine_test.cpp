#include "steelyard/fit/engine.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>
#include <vector>

namespace steelyard::fit {
namespace {

Forgetting discount(double each, double noise = 1) {
  Forgetting f;
  f.discount.fill(each);
  f.noise = noise;
  return f;
}

double coefficient_sd(const Engine& engine, const EngineState& state, int i) {
  return std::sqrt(engine.coefficient(state, i).value().scale2);
}

TEST(EngineForecast, IsTheNormalGammaPredictiveByHand) {
  // m = 2, L = 4, n = 6, d = 12 (S = 2), x = 3, v = 1.5: mean 6, scale 2 (9/4 + 1.5) = 7.5, 6 degrees of freedom.
  // y = 9: e^2/q = 1.2, so n 7, d = 12 + 2 x 1.2; L = 4 + 9/1.5 = 10, m = (4 x 2 + 3 x 9/1.5)/10 = 2.6
  Prior prior{.terms = 1, .mean = {2}, .precision = {{{4}}}, .n = 6, .d = 12};
  const auto engine = Engine::forgetting(prior, discount(1)).value();
  auto state = engine.start();
  const Row row{.x = {3}, .v = 1.5};
  const auto f = engine.forecast(state, row).value();
  EXPECT_NEAR(f.mean, 6, 1e-12);
  EXPECT_NEAR(f.scale2, 7.5, 1e-12);
  EXPECT_EQ(f.dof, 6);
  engine.update(state, row, 9);
  EXPECT_EQ(state.n, 7);
  EXPECT_NEAR(state.d, 14.4, 1e-12);
  const auto c = engine.coefficient(state, 0).value();
  EXPECT_NEAR(c.mean, 2.6, 1e-12);
  EXPECT_NEAR(c.scale2, 14.4 / 7 / 10, 1e-12);
}

TEST(EngineDrift, IsTheFormulaByHand) {
  // one term: m0 = 1, L0 = 2, n0 = 4, d0 = 8; state m = 3, L = 10, n = 14, d = 20; discount 0.5, noise 0.8, one day:
  // L = 5 + 1 = 6, m = (5 x 3 + 1 x 1)/6 = 8/3, n = 0.8 x 14 + 0.2 x 4 = 12, d = 0.8 x 20 + 0.2 x 8 = 17.6
  Prior prior{.terms = 1, .mean = {1}, .precision = {{{2}}}, .n = 4, .d = 8};
  const auto engine = Engine::forgetting(prior, discount(0.5, 0.8)).value();
  EngineState state = engine.start();
  state.root[0][0] = std::sqrt(10.0);
  state.z[0] = std::sqrt(10.0) * 2;
  state.learned[0][0] = std::sqrt(8.0);
  state.n = 14;
  state.d = 20;
  engine.drift(state, 1);
  EXPECT_NEAR(state.root[0][0] * state.root[0][0], 6, 1e-12);
  EXPECT_NEAR(engine.coefficient(state, 0)->mean, 8.0 / 3, 1e-12);
  EXPECT_NEAR(state.n, 12, 1e-12);
  EXPECT_NEAR(state.d, 17.6, 1e-12);
}

TEST(EngineForecast, WidensForTermsThatWereNotRecorded) {
  // two independent terms, S = 2, L = diag(4, 8), m = (1, 3): leaving out the second adds 9/2 + 1/8 to v
  Prior prior{.terms = 2, .mean = {1, 3}, .precision = {{{4, 0}, {0, 8}}}, .n = 6, .d = 12};
  const auto engine = Engine::forgetting(prior, discount(1)).value();
  auto state = engine.start();
  const auto f = engine.forecast(state, {.x = {1, 0}, .missing = 0b10}).value();
  EXPECT_NEAR(f.mean, 1, 1e-12);
  EXPECT_NEAR(f.scale2, 2 * (0.25 + 1 + 4.5 + 0.125), 1e-12);
  engine.update(state, {.x = {1, 0}, .missing = 0b10}, 5);
  // the same as an observation with v = 1 + 4.625
  auto other = engine.start();
  engine.update(other, {.x = {1, 0}, .v = 5.625}, 5);
  EXPECT_NEAR(state.root[0][0], other.root[0][0], 1e-12);
  EXPECT_NEAR(state.z[0], other.z[0], 1e-12);
  EXPECT_NEAR(state.d, other.d, 1e-12);
}

// Properties that hold for any data.

struct Observation {
  Row row;
  double y = 0;
};

std::vector<Observation> invented(std::mt19937_64& random, int terms, int count) {
  std::normal_distribution<double> normal;
  std::vector<Observation> all;
  for (int i = 0; i < count; ++i) {
    Observation o;
    o.row.x[0] = 1;
    o.y = 3 + normal(random);
    for (std::size_t j = 1; j < static_cast<std::size_t>(terms); ++j) {
      o.row.x[j] = normal(random) + 0.5 * o.row.x[j - 1];
      o.y += o.row.x[j] * (static_cast<double>(j) - 2);
    }
    o.row.v = 0.5 + std::abs(normal(random));
    all.push_back(o);
  }
  return all;
}

Prior some_prior(int terms) {
  Terms mean{};
  Terms sd{};
  for (std::size_t i = 0; i < static_cast<std::size_t>(terms); ++i) {
    mean[i] = 0.3 * static_cast<double>(i) - 0.5;
    sd[i] = 1 + 0.25 * static_cast<double>(i);
  }
  return Prior::independent(terms, mean, sd, 1.3, 5);
}

/// Solves by textbook normal equations in long double: (L0 + X'V^-1X) m = L0 m0 + X'V^-1 y.
std::vector<double> by_normal_equations(const Prior& prior, const std::vector<Observation>& all) {
  const auto p = static_cast<std::size_t>(prior.terms);
  std::vector<std::vector<long double>> a(p, std::vector<long double>(p + 1));
  for (std::size_t i = 0; i < p; ++i) {
    for (std::size_t j = 0; j < p; ++j) {
      a[i][j] = static_cast<long double>(prior.precision[i][j]);
      a[i][p] += static_cast<long double>(prior.precision[i][j] * prior.mean[j]);
    }
  }
  for (const auto& o : all) {
    for (std::size_t i = 0; i < p; ++i) {
      for (std::size_t j = 0; j < p; ++j) a[i][j] += static_cast<long double>(o.row.x[i] * o.row.x[j] / o.row.v);
      a[i][p] += static_cast<long double>(o.row.x[i] * o.y / o.row.v);
    }
  }
  for (std::size_t i = 0; i < p; ++i) {
    for (std::size_t k = 0; k < p; ++k) {
      if (k == i) continue;
      const long double share = a[k][i] / a[i][i];
      for (std::size_t j = i; j <= p; ++j) a[k][j] -= share * a[i][j];
    }
  }
  std::vector<double> m;
  for (std::size_t i = 0; i < p; ++i) m.push_back(static_cast<double>(a[i][p] / a[i][i]));
  return m;
}

TEST(EngineProperty, DayByDayIsTheSameAsAllAtOnce) {
  std::mt19937_64 random(20260101);
  for (const int terms : {1, 2, 5, 11, 12}) {
    const auto prior = some_prior(terms);
    const auto engine = Engine::forgetting(prior, discount(1)).value();
    const auto all = invented(random, terms, 60);
    auto state = engine.start();
    for (const auto& o : all) engine.update(state, o.row, o.y);
    const auto expected = by_normal_equations(prior, all);
    for (int i = 0; i < terms; ++i) {
      EXPECT_NEAR(engine.coefficient(state, i)->mean, expected[static_cast<std::size_t>(i)], 1e-10) << terms;
    }
  }
}

TEST(EngineProperty, TimeMayRunBackwardsIfNothingIsForgotten) {
  std::mt19937_64 random(20260102);
  const auto engine = Engine::forgetting(Prior::vague(4), discount(1)).value();
  auto all = invented(random, 4, 40);
  auto forwards = engine.start();
  for (const auto& o : all) engine.update(forwards, o.row, o.y);
  std::reverse(all.begin(), all.end());
  auto backwards = engine.start();
  for (const auto& o : all) engine.update(backwards, o.row, o.y);
  for (int i = 0; i < 4; ++i) {
    EXPECT_NEAR(engine.coefficient(forwards, i)->mean, engine.coefficient(backwards, i)->mean, 1e-11);
    EXPECT_NEAR(coefficient_sd(engine, forwards, i), coefficient_sd(engine, backwards, i), 1e-12);
  }
}

TEST(EngineProperty, UnitsDoNotMatterIfNothingIsKnownBefore) {
  std::mt19937_64 random(20260103);
  const auto engine = Engine::forgetting(Prior::vague(3), discount(1)).value();
  const double unit_y = 7.5;
  const double unit_x = 0.01;
  auto plain = engine.start();
  auto scaled = engine.start();
  for (auto o : invented(random, 3, 30)) {
    engine.update(plain, o.row, o.y);
    o.row.x[1] *= unit_x;
    engine.update(scaled, o.row, o.y * unit_y);
  }
  EXPECT_NEAR(engine.coefficient(scaled, 0)->mean, unit_y * engine.coefficient(plain, 0)->mean, 1e-10);
  EXPECT_NEAR(engine.coefficient(scaled, 1)->mean, unit_y / unit_x * engine.coefficient(plain, 1)->mean, 1e-7);
  EXPECT_NEAR(coefficient_sd(engine, scaled, 2), unit_y * coefficient_sd(engine, plain, 2), 1e-11);
}

TEST(EngineProperty, SeveralDaysAreTheSameAsEachDayByItself) {
  std::mt19937_64 random(20260104);
  Forgetting forgetting = discount(0.99, 0.97);
  for (std::size_t i = 0; i < 5; ++i) forgetting.discount[i] = 0.99 - 0.01 * static_cast<double>(i);
  const auto engine = Engine::forgetting(some_prior(5), forgetting).value();
  auto state = engine.start();
  for (const auto& o : invented(random, 5, 30)) engine.update(state, o.row, o.y);
  auto one = state;
  for (int day = 0; day < 9; ++day) engine.drift(one, 1);
  engine.drift(state, 9);
  for (int i = 0; i < 5; ++i) {
    EXPECT_NEAR(engine.coefficient(state, i)->mean, engine.coefficient(one, i)->mean, 1e-12);
    EXPECT_NEAR(coefficient_sd(engine, state, i), coefficient_sd(engine, one, i), 1e-12);
  }
  EXPECT_NEAR(state.n, one.n, 1e-12);
  EXPECT_NEAR(state.d, one.d, 1e-12);
}

TEST(EngineProperty, ADayOfForgettingIsTheMatrixFormula) {
  // L' = D L D + L0 - D L0 D and L'(m' - m0) = D L D (m - m0), written out with full matrices and a prior with
  // correlation
  std::mt19937_64 random(20260108);
  Forgetting forgetting = discount(0.9);
  forgetting.discount[1] = 0.7;
  forgetting.discount[2] = 0.99;
  auto prior = some_prior(3);
  prior.precision[0][2] = prior.precision[2][0] = 0.4 * std::sqrt(prior.precision[0][0] * prior.precision[2][2]);
  const auto engine = Engine::forgetting(prior, forgetting).value();
  auto state = engine.start();
  for (const auto& o : invented(random, 3, 8)) engine.update(state, o.row, o.y);
  double before[3] = {};
  double l[3][3] = {};
  for (std::size_t i = 0; i < 3; ++i) {
    before[i] = engine.coefficient(state, static_cast<int>(i))->mean - prior.mean[i];
    for (std::size_t j = 0; j < 3; ++j) {
      for (std::size_t k = 0; k < 3; ++k) l[i][j] += state.root[k][i] * state.root[k][j];
    }
  }
  engine.drift(state, 1);
  for (std::size_t i = 0; i < 3; ++i) {
    double left = 0;
    double right = 0;
    for (std::size_t j = 0; j < 3; ++j) {
      const double d = std::sqrt(forgetting.discount[i] * forgetting.discount[j]);
      double now = 0;
      for (std::size_t k = 0; k < 3; ++k) now += state.root[k][i] * state.root[k][j];
      EXPECT_NEAR(now, d * l[i][j] + (1 - d) * prior.precision[i][j], 1e-10);
      left += now * (engine.coefficient(state, static_cast<int>(j))->mean - prior.mean[j]);
      right += d * l[i][j] * before[j];
    }
    EXPECT_NEAR(left, right, 1e-10);
  }
}

TEST(EngineProperty, EqualDiscountsMayBeTakenToAPower) {
  // nine days at 0.98 are one day at 0.98^9
  std::mt19937_64 random(20260105);
  const auto slow = Engine::forgetting(some_prior(4), discount(0.98, 0.95)).value();
  const auto fast = Engine::forgetting(some_prior(4), discount(std::pow(0.98, 9), std::pow(0.95, 9))).value();
  auto state = slow.start();
  for (const auto& o : invented(random, 4, 30)) slow.update(state, o.row, o.y);
  auto other = state;
  slow.drift(state, 9);
  fast.drift(other, 1);
  for (int i = 0; i < 4; ++i) {
    EXPECT_NEAR(slow.coefficient(state, i)->mean, fast.coefficient(other, i)->mean, 1e-11);
    EXPECT_NEAR(slow.coefficient(state, i)->scale2, fast.coefficient(other, i)->scale2, 1e-11);
  }
}

TEST(EngineProperty, UncertaintyNeverPassesThePriorsAndReturnsToIt) {
  std::mt19937_64 random(20260106);
  Forgetting forgetting = discount(0.995, 0.99);
  forgetting.discount[2] = 0.95;
  const auto prior = some_prior(6);
  const auto engine = Engine::forgetting(prior, forgetting).value();
  auto state = engine.start();
  for (const auto& o : invented(random, 6, 200)) {
    engine.drift(state, 1);
    engine.update(state, o.row, o.y);
  }
  for (int week = 0; week < 52 * 12; ++week) {
    engine.drift(state, 7);
    for (int i = 0; i < 6; ++i) {
      const auto k = static_cast<std::size_t>(i);
      const double without_scale = engine.coefficient(state, i)->scale2 / engine.noise_variance(state).value();
      ASSERT_LE(without_scale, (1 + 1e-12) / prior.precision[k][k]) << "week " << week;
    }
  }
  for (int i = 0; i < 6; ++i) {
    const auto k = static_cast<std::size_t>(i);
    EXPECT_NEAR(engine.coefficient(state, i)->mean, prior.mean[k], 1e-5);
    EXPECT_NEAR(engine.coefficient(state, i)->scale2, 1.3 * 1.3 / prior.precision[k][k], 1e-5);
  }
  EXPECT_NEAR(state.n, 5, 1e-9);
}

TEST(EngineProperty, SurvivesTenYearsOfCollinearDays) {
  // large regressors that are multiples of each other: L grows to 1e17 times its prior, and rounding alone would make
  // it indefinite
  Forgetting forgetting = discount(0.999, 0.999);
  forgetting.discount[1] = 0.98;
  const auto engine = Engine::forgetting(some_prior(4), forgetting).value();
  auto state = engine.start();
  for (int day = 0; day < 3650; ++day) {
    engine.drift(state, 1);
    const double size = 1e8 * (1 + day % 7);
    const Row row{.x = {size, size * 3.14159, size * 2.71828, size * 1.41421}};
    engine.update(state, row, 1000 * (1 + day % 7));
    const auto f = engine.forecast(state, row);
    ASSERT_TRUE(f && std::isfinite(f->mean) && f->scale2 > 0 && std::isfinite(f->scale2)) << day;
  }
  EXPECT_NEAR(engine.forecast(state, {.x = {4e8, 4e8 * 3.14159, 4e8 * 2.71828, 4e8 * 1.41421}})->mean, 4000, 1);
}

TEST(EngineState, ComesBackBitForBit) {
  std::mt19937_64 random(20260107);
  const auto engine = Engine::forgetting(some_prior(11), discount(0.99, 0.99)).value();
  auto state = engine.start();
  for (const auto& o : invented(random, 11, 50)) {
    engine.drift(state, 1);
    engine.update(state, o.row, o.y);
  }
  const auto bytes = engine.save(state);
  const auto back = engine.load(bytes).value();
  EXPECT_EQ(back.root, state.root);
  EXPECT_EQ(back.z, state.z);
  EXPECT_EQ(back.learned, state.learned);
  EXPECT_EQ(back.n, state.n);
  EXPECT_EQ(back.d, state.d);
  EXPECT_EQ(engine.save(back), bytes);
}

TEST(EngineState, RefusesBytesThatAreNotItsOwn) {
  const auto engine = Engine::forgetting(some_prior(3), discount(0.99)).value();
  const auto other = Engine::forgetting(some_prior(4), discount(0.99)).value();
  const auto bytes = engine.save(engine.start());
  EXPECT_EQ(other.load(bytes).error().code, Errc::bad_data);
  EXPECT_EQ(engine.load(bytes.substr(1)).error().code, Errc::bad_data);
  auto newer = bytes;
  newer[0] = 2;
  EXPECT_EQ(engine.load(newer).error().code, Errc::bad_data);
}

TEST(EngineMake, RefusesWhatItCannotLearnFrom) {
  EXPECT_FALSE(Engine::forgetting(Prior::vague(13), discount(1)));
  EXPECT_FALSE(Engine::forgetting(Prior::vague(0), discount(1)));
  EXPECT_FALSE(Engine::forgetting(some_prior(3), discount(1.01)));
  EXPECT_FALSE(Engine::forgetting(some_prior(3), discount(0)));
  EXPECT_FALSE(Engine::forgetting(Prior::vague(2), discount(1, 0.9)));  // nothing to return to
  auto uneven = discount(0.9);
  uneven.discount[1] = 0.8;
  EXPECT_FALSE(Engine::forgetting(Prior::vague(2), uneven));
  EXPECT_TRUE(Engine::forgetting(some_prior(2), uneven));
  auto broken = some_prior(2);
  broken.precision[0][1] = broken.precision[1][0] = 5;  // not positive definite
  EXPECT_FALSE(Engine::forgetting(broken, discount(1)));
  broken.precision[1][0] = 0;  // not symmetric
  EXPECT_FALSE(Engine::forgetting(broken, discount(1)));
  EXPECT_FALSE(Engine::random_walk(Prior::vague(1), {{{-1}}}));
}

TEST(EngineForecast, IsNothingWhileNothingIsKnown) {
  const auto engine = Engine::forgetting(Prior::vague(2), discount(1)).value();
  auto state = engine.start();
  EXPECT_FALSE(engine.forecast(state, {.x = {1, 2}}));
  engine.update(state, {.x = {1, 2}}, 3);
  engine.update(state, {.x = {1, 2}}, 4);  // no second direction yet
  engine.update(state, {.x = {1, 2}}, 5);
  EXPECT_FALSE(engine.forecast(state, {.x = {1, 3}}));
  engine.update(state, {.x = {1, 3}}, 5);
  EXPECT_TRUE(engine.forecast(state, {.x = {1, 3}}));
}

}  // namespace
}  // namespace steelyard::fit
