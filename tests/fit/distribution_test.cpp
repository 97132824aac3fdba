#include "steelyard/fit/distribution.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace steelyard::fit {
namespace {

constexpr double k_normal = std::numeric_limits<double>::infinity();

TEST(Quantile, IsThatOfPrintedTables) {
  // upper points of Student's t and of the normal, any printed table (from memory)
  EXPECT_NEAR(quantile({0, 1, 1}, 0.975), 12.706, 5e-4);
  EXPECT_NEAR(quantile({0, 1, 5}, 0.95), 2.015, 5e-4);
  EXPECT_NEAR(quantile({0, 1, 10}, 0.975), 2.228, 5e-4);
  EXPECT_NEAR(quantile({0, 1, 30}, 0.90), 1.310, 5e-4);
  EXPECT_NEAR(quantile({0, 1, k_normal}, 0.975), 1.959964, 5e-7);
  EXPECT_NEAR(quantile({0, 1, k_normal}, 0.90), 1.281552, 5e-7);
}

TEST(Quantile, MovesAndStretchesWithTheForecast) {
  EXPECT_NEAR(quantile({180, 16, k_normal}, 0.90), 180 + 4 * 1.2815515655446004, 1e-12);
  EXPECT_NEAR(quantile({180, 16, 2}, 0.90), 180 + 4 * 1.885618083164127, 1e-12);  // t(2): (2p-1) sqrt(2/(4p(1-p)))
}

TEST(Cdf, TurnsTheQuantileAround) {
  for (const double dof : {1.0, 3.0, 7.5, 40.0, k_normal}) {
    for (const double p : {0.001, 0.1, 0.5, 0.77, 0.999}) {
      const Forecast f{-3, 2.5, dof};
      EXPECT_NEAR(cdf(f, quantile(f, p)), p, 1e-12) << dof;
    }
  }
  EXPECT_NEAR(cdf({180, 16, k_normal}, 182.5), 0.7340144709512995, 1e-12);  // N(180, 16) at 182.5
  EXPECT_NEAR(cdf({0, 1, 1}, 1), 0.75, 1e-14);                              // Cauchy: 1/2 + atan(1)/pi
}

TEST(LogDensity, IsTheKnownValueAtHandComputablePlaces) {
  EXPECT_NEAR(log_density({0, 1, k_normal}, 1), -1.4189385332046727, 1e-12);          // -ln(2 pi)/2 - 1/2
  EXPECT_NEAR(log_density({0, 1, 1}, 0), -std::log(std::numbers::pi), 1e-12);         // Cauchy
  EXPECT_NEAR(log_density({0, 1, 2}, 0), -std::log(2 * std::numbers::sqrt2), 1e-12);  // t(2) at 0: 1/(2 sqrt 2)
  EXPECT_NEAR(log_density({0, 1, 3}, std::sqrt(3.0)), std::log(1 / (2 * std::numbers::pi * std::sqrt(3.0))), 1e-12);
  EXPECT_NEAR(log_density({5, 4, 1}, 7), -std::log(4 * std::numbers::pi), 1e-12);
}

TEST(LogDensity, BecomesNormalWithManyDegreesOfFreedom) {
  EXPECT_NEAR(log_density({0, 2, 1e7}, 1.3), log_density({0, 2, k_normal}, 1.3), 1e-6);
}

}  // namespace
}  // namespace steelyard::fit
