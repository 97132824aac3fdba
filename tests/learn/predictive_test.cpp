#include "learn/predictive.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "steelyard/fit/scores.hpp"

namespace steelyard::learn {
namespace {

fit::Mixture three_members(double dof) {
  fit::Mixture m;
  m.size = 3;
  m.weight = {0.5, 0.3, 0.2};
  m.part[0] = {.mean = 1, .scale2 = 4, .dof = dof};
  m.part[1] = {.mean = 2.5, .scale2 = 1, .dof = dof};
  m.part[2] = {.mean = -1, .scale2 = 9, .dof = dof};
  return m;
}

// Student's t, 95 and 97.5 % points from a printed table (Fisher & Yates): 2.015 and 2.571 with 5 degrees of freedom,
// 1.725 and 2.086 with 20.
TEST(Predictive, MeetsThePrintedTable) {
  const Predictive five(fit::Mixture::of({.mean = 0, .scale2 = 1, .dof = 5}));
  EXPECT_NEAR(five.cdf(2.015), 0.95, 5e-5);
  EXPECT_NEAR(five.cdf(-2.571), 0.025, 5e-5);
  const Predictive twenty(fit::Mixture::of({.mean = 10, .scale2 = 4, .dof = 20}));
  EXPECT_NEAR(twenty.quantile(0.95), 10 + 2 * 1.725, 2e-3);
  EXPECT_NEAR(twenty.quantile(0.025), 10 - 2 * 2.086, 2e-3);
}

// The exact cdf (incomplete beta function) beside the quick one.
TEST(Predictive, AgreesWithTheExactDistribution) {
  for (const double dof : {5.0, 7.3, 20.0, 400.0}) {
    const fit::Mixture m = three_members(dof);
    const Predictive quick(m);
    for (double x = -9; x <= 9; x += 0.25) EXPECT_NEAR(quick.cdf(x), fit::cdf(m, x), 2e-5) << dof << " " << x;
    for (const double p : {0.1, 0.5, 0.9}) EXPECT_NEAR(quick.quantile(p), fit::quantile(m, p), 2e-4) << dof;
    for (const double y : {-30.0, -4.0, 0.3, 1.0, 5.0, 40.0}) {
      EXPECT_NEAR(quick.crps(y) / fit::crps(m, y), 1, 2e-3) << dof << " " << y;
    }
    EXPECT_NEAR(quick.mean(), 1.05, 1e-12);
  }
}

// CRPS of a normal, closed form (Gneiting & Raftery 2007): at the mean, sd (2 phi(0) - 1/sqrt(pi)) = 0.23369 sd.
TEST(Predictive, MeetsTheClosedFormOfANormal) {
  const Predictive normal(fit::Mixture::of({.mean = 3, .scale2 = 0.25}));
  EXPECT_NEAR(normal.crps(3), 0.5 * 0.2336949772, 1e-5);
  EXPECT_NEAR(normal.crps(4.2), fit::crps_normal(3, 0.5, 4.2), 1e-5);
}

// Mean and variance of the mixture by hand: weights 0.5, 0.3, 0.2; variances 4, 1, 9 x 10/8.
TEST(Predictive, HasTheMomentsOfTheMixture) {
  const auto normal = Predictive(three_members(10)).as_normal();
  EXPECT_NEAR(normal.mean, 1.05, 1e-12);
  const double inside = 1.25 * (0.5 * 4 + 0.3 * 1 + 0.2 * 9);
  const double between = 0.5 * 0.05 * 0.05 + 0.3 * 1.45 * 1.45 + 0.2 * 2.05 * 2.05;
  EXPECT_NEAR(normal.scale2, inside + between, 1e-12);
}

// For a narrow forecast the logarithm is a straight line: 1 log point of 200 kg is 2 kg.
TEST(Predictive, ScoresLogPointsInKilos) {
  const Predictive narrow(fit::Mixture::of({.mean = 0, .scale2 = 0.01}));
  EXPECT_NEAR(narrow.crps_of_log_points(200.3, 200), fit::crps_normal(200, 0.2, 200.3), 1e-3);
  const Predictive wide(fit::Mixture::of({.mean = 2, .scale2 = 16}));
  // by the definition, in small steps
  double sum = 0;
  for (double kg = 100; kg < 200; kg += 0.005) {
    const double f = wide.cdf(100 * std::log((kg + 0.0025) / 150));
    sum += 0.005 * (kg + 0.0025 < 146 ? f * f : (1 - f) * (1 - f));
  }
  EXPECT_NEAR(wide.crps_of_log_points(146, 150), sum, 2e-3);
}

}  // namespace
}  // namespace steelyard::learn
