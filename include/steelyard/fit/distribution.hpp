#pragma once
/// The shape of a forecast: Student's t, and the normal as its limit.
/// accuracy  1e-12 relative (Boost.Math); checked against printed tables in tests/fit/distribution_test.cpp

#include <limits>

namespace steelyard::fit {

/// Location, squared scale and degrees of freedom; infinite degrees of freedom make it normal.
struct Forecast {
  double mean = 0;
  double scale2 = 1;  ///< squared scale; the variance is scale2 x dof / (dof - 2)
  double dof = std::numeric_limits<double>::infinity();
};

/// domain  scale2 > 0, dof > 0
[[nodiscard]] double cdf(const Forecast& f, double y);
[[nodiscard]] double log_density(const Forecast& f, double y);
/// domain  0 < p < 1
[[nodiscard]] double quantile(const Forecast& f, double p);

/// 90 % point of the standard normal: half the width of its central 80 % in SDs.
inline constexpr double k_z90 = 1.2815515655446004;
[[nodiscard]] double normal_density(double z);
[[nodiscard]] double normal_cdf(double z);

}  // namespace steelyard::fit
