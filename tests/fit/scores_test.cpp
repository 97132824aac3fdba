#include "steelyard/fit/scores.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>
#include <vector>

namespace steelyard::fit {
namespace {

Mixture student(double mean, double scale, double dof) {
  return Mixture::of({mean, scale * scale, dof});
}
Mixture normal(double mean, double sd) {
  return Mixture::of({.mean = mean, .scale2 = sd * sd});
}

TEST(CrpsNormal, IsTheClosedForm) {
  // Gneiting & Raftery 2007; N(0,1) at -3 -> 2.43657473 is printed in the test of a scoring-rule package
  EXPECT_NEAR(crps_normal(0, 1, 0), 0.23369497725510913, 1e-12);
  EXPECT_NEAR(crps_normal(0, 1, 1), 0.6024413576276163, 1e-12);
  EXPECT_NEAR(crps_normal(0, 1, 2), 1.4527918216859033, 1e-12);
  EXPECT_NEAR(crps_normal(0, 1, -3), 2.43657473, 5e-9);
  EXPECT_NEAR(crps_normal(180, 4, 182.5), 1.5386017689684728, 1e-12);
  EXPECT_NEAR(crps_normal(180, 4, 170), 7.759274763242001, 1e-12);
  EXPECT_EQ(crps(normal(180, 4), 170), crps_normal(180, 4, 170));
}

TEST(Crps, OfStudentsTIsItsClosedForm) {
  // Jordan, Krueger, Lerch 2019, J Stat Softw 90(12), appendix: standard t with n degrees of freedom
  for (const double n : {1.5, 3.0, 5.5, 30.0}) {
    for (const double z : {-6.0, -1.0, 0.0, 0.3, 2.5}) {
      const Forecast f{0, 1, n};
      const double beta = std::beta(0.5, n - 0.5) / std::pow(std::beta(0.5, n / 2), 2);
      const double expected = z * (2 * cdf(f, z) - 1) + 2 * std::exp(log_density(f, z)) * (n + z * z) / (n - 1) -
                              2 * std::sqrt(n) / (n - 1) * beta;
      EXPECT_NEAR(crps(Mixture::of(f), z), expected, 1e-6 * expected) << n << " at " << z;
      EXPECT_NEAR(crps(student(100, 2.5, n), 100 + 2.5 * z), 2.5 * expected, 1e-6 * expected * 2.5);
    }
  }
}

TEST(Crps, OfAMixtureOfNormalsIsItsClosedForm) {
  // Grimit, Gneiting, Berrocal, Johnson 2006, Q J R Meteorol Soc 132:2925-2942, eq. 5
  const auto a = [](double m, double s2) {
    const double s = std::sqrt(s2);
    return 2 * s * normal_density(m / s) + m * (2 * normal_cdf(m / s) - 1);
  };
  Mixture m;
  m.size = 3;
  m.weight = {0.5, 0.3, 0.2};
  m.part[0] = {.mean = -1, .scale2 = 1};
  m.part[1] = {.mean = 2, .scale2 = 0.25};
  m.part[2] = {.mean = 6, .scale2 = 9};
  for (const double y : {-4.0, 0.0, 2.0, 11.0}) {
    double expected = 0;
    for (std::size_t i = 0; i < 3; ++i) {
      expected += m.weight[i] * a(y - m.part[i].mean, m.part[i].scale2);
      for (std::size_t j = 0; j < 3; ++j) {
        expected -=
            0.5 * m.weight[i] * m.weight[j] * a(m.part[i].mean - m.part[j].mean, m.part[i].scale2 + m.part[j].scale2);
      }
    }
    EXPECT_NEAR(crps(m, y), expected, 1e-6 * expected) << y;
  }
}

TEST(MixtureQuantile, TurnsTheCdfAround) {
  Mixture m;
  m.size = 2;
  m.weight = {0.25, 0.75};
  m.part[0] = {-3, 1, 4};
  m.part[1] = {5, 4, 9};
  for (const double p : {0.01, 0.1, 0.25, 0.5, 0.9, 0.999}) EXPECT_NEAR(cdf(m, quantile(m, p)), p, 1e-8) << p;
  EXPECT_NEAR(mean(m), 3, 1e-12);
}

TEST(MixtureQuantile, OfOneForecastIsItsOwn) {
  EXPECT_DOUBLE_EQ(quantile(student(10, 2, 5), 0.95), 10 + 2 * 2.0150483733330233);
}

/// The distribution function of a mixture.
auto below(Mixture m) {
  return [m](double y) { return cdf(m, y); };
}

// Ten thousand calibrated forecasts N(mu, s^2): mean CRPS s / sqrt(pi), uniform PIT, 80 % inside the 80 % interval.
TEST(Scores, OfCalibratedForecastsAreTheExpectedOnes) {
  std::mt19937_64 random(7);
  std::normal_distribution<double> draw;
  const double s = 3;
  const double z = 1.2815515655446004;
  ScoreSum sum;
  std::vector<double> pit;
  for (int i = 0; i < 10000; ++i) {
    const double mu = draw(random);
    const double y = mu + s * draw(random);
    pit.push_back(cdf(normal(mu, s), y));
    sum.add(crps_normal(mu, s, y), y - mu, std::abs(y - mu) <= z * s, pit.back());
  }
  EXPECT_NEAR(*sum.mean_crps(), s * 0.5641895835477563, 0.012 * s);
  EXPECT_NEAR(*sum.coverage(), 0.8, 4 * std::sqrt(0.16 / 10000));
  EXPECT_NEAR(*sum.mean_absolute_error(), s * std::sqrt(2 / std::numbers::pi), 0.02 * s);
  std::sort(pit.begin(), pit.end());
  double distance = 0;
  for (std::size_t i = 0; i < pit.size(); ++i) {
    distance = std::max(distance, std::abs(pit[i] - (static_cast<double>(i) + 0.5) / 10000));
  }
  EXPECT_LT(distance, 1.95 / 100);  // Kolmogorov-Smirnov, p > 0.001
  for (const int tenth : sum.pit_tenths()) EXPECT_NEAR(tenth, 1000, 120);
}

TEST(PitWhole, IsUniformForWholeNumbersDrawnFromTheForecast) {
  std::mt19937_64 random(8);
  std::normal_distribution<double> draw(4, 1.2);
  std::vector<int> tenths(10);
  for (std::uint64_t i = 0; i < 20000; ++i) {
    const int y = std::clamp(static_cast<int>(std::lround(draw(random))), 1, 7);
    const double u = pit_whole(below(normal(4, 1.2)), y, 1, 7, uniform(99, i));
    ASSERT_TRUE(u >= 0 && u <= 1);
    ++tenths[static_cast<std::size_t>(std::min(9.0, u * 10))];
  }
  for (const int tenth : tenths) EXPECT_NEAR(tenth, 2000, 180);  // 4 SD of a binomial
}

TEST(PitWhole, SpreadsOverTheEndsOfTheScale) {
  EXPECT_EQ(pit_whole(below(normal(4, 1)), 1, 1, 7, 0), 0);
  EXPECT_EQ(pit_whole(below(normal(4, 1)), 7, 1, 7, 1), 1);
  EXPECT_NEAR(pit_whole(below(normal(4, 1)), 4, 1, 7, 0.5), 0.5, 1e-12);
  EXPECT_NEAR(pit_whole(below(normal(4, 1)), 4, 1, 7, 0), 0.3085375387259869, 1e-12);  // Phi(-1/2), any printed table
}

TEST(Uniform, IsFixedBySeedAndIndex) {
  // first outputs of SplitMix64 for seed 0: e220a8397b1dcdaf, 6e789e6aa1b965f4 (from memory)
  EXPECT_EQ(uniform(0, 0), static_cast<double>(0xe220a8397b1dcdafU >> 11U) * 0x1.0p-53);
  EXPECT_EQ(uniform(0, 1), static_cast<double>(0x6e789e6aa1b965f4U >> 11U) * 0x1.0p-53);
}

TEST(Skill, ComparesSumsOverTheSameDays) {
  ScoreSum model;
  ScoreSum reference;
  EXPECT_FALSE(skill(model, reference));
  model.add(0.75, 1, true, 0.5);
  EXPECT_FALSE(skill(model, reference));
  reference.add(1, 1, true, 0.5);
  EXPECT_NEAR(*skill(model, reference), 0.25, 1e-12);
}

TEST(Baselines, NeedSevenValues) {
  Baselines b;
  for (int day = 0; day < 6; ++day) b.add_day(4);
  EXPECT_FALSE(b.mean_of_28() || b.last() || b.ewma_of_7());
  b.add_day(std::nullopt);
  EXPECT_FALSE(b.mean_of_28() || b.last() || b.ewma_of_7());
  b.add_day(4);
  ASSERT_TRUE(b.mean_of_28() && b.last() && b.ewma_of_7());
  EXPECT_NEAR(b.mean_of_28()->scale2, 0.09, 1e-12);  // no variation: the least SD
  EXPECT_NEAR(b.last()->scale2, 0.09, 1e-12);
  EXPECT_NEAR(b.ewma_of_7()->scale2, 0.09, 1e-12);
}

TEST(Baselines, AreTheHandComputedOnes) {
  // 12 11 13 12 14 10 12 13 11 12: mean 12, sample SD 1.154701; errors of the last value -1 2 -1 2 -4 2 1 -2 1: mean 0,
  // squares 36, SD sqrt(36/8)
  Baselines b;
  for (const double y : {12, 11, 13, 12, 14, 10, 12, 13, 11, 12}) {
    b.add_day(std::nullopt);
    b.add_day(y);
  }
  EXPECT_NEAR(b.mean_of_28()->mean, 12, 1e-12);
  EXPECT_NEAR(std::sqrt(b.mean_of_28()->scale2), 1.1547005383792515, 1e-12);
  EXPECT_EQ(b.last()->mean, 12);
  EXPECT_NEAR(b.last()->scale2, 36.0 / 8, 1e-12);
}

TEST(Baselines, FollowTheFirstStepsOfThePublishedEwma) {
  // N = 7, weight 1/4, started at the first value: 300, 225, 268.75, 201.5625 (Williams et al. 2017, formula)
  Baselines b;
  for (const double y : {300, 0, 400, 0}) b.add_day(y);
  for (int i = 0; i < 3; ++i) b.add_day(201.5625);
  ASSERT_TRUE(b.ewma_of_7());
  EXPECT_NEAR(b.ewma_of_7()->mean, 201.5625, 1e-9);
}

TEST(Baselines, ForgetWhatIsOlderThan28Days) {
  Baselines b;
  for (int day = 0; day < 28; ++day) b.add_day(1);
  for (int day = 0; day < 21; ++day) b.add_day(5);
  EXPECT_NEAR(b.mean_of_28()->mean, (7 * 1 + 21 * 5) / 28.0, 1e-12);
  for (int day = 0; day < 28; ++day) b.add_day(std::nullopt);
  EXPECT_FALSE(b.mean_of_28() || b.last() || b.ewma_of_7());
}

}  // namespace
}  // namespace steelyard::fit
