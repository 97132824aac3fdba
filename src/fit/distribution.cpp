#include "steelyard/fit/distribution.hpp"

#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <boost/math/special_functions/gamma.hpp>
#include <cmath>
#include <numbers>

namespace steelyard::fit {

namespace {

// Nothing here throws: a value outside the domain gives NaN. Work in long double would cost four times as much for
// digits nobody reads.
using Quiet =
    boost::math::policies::policy<boost::math::policies::domain_error<boost::math::policies::ignore_error>,
                                  boost::math::policies::pole_error<boost::math::policies::ignore_error>,
                                  boost::math::policies::overflow_error<boost::math::policies::ignore_error>,
                                  boost::math::policies::evaluation_error<boost::math::policies::ignore_error>,
                                  boost::math::policies::promote_double<false>>;
using Student = boost::math::students_t_distribution<double, Quiet>;
using Normal = boost::math::normal_distribution<double, Quiet>;

}  // namespace

double normal_density(double z) {
  return std::exp(-0.5 * z * z) / std::sqrt(2 * std::numbers::pi);
}

double normal_cdf(double z) {
  return 0.5 * std::erfc(-z / std::numbers::sqrt2);
}

double cdf(const Forecast& f, double y) {
  const double z = (y - f.mean) / std::sqrt(f.scale2);
  return std::isinf(f.dof) ? normal_cdf(z) : boost::math::cdf(Student(f.dof), z);
}

double quantile(const Forecast& f, double p) {
  const double z = std::isinf(f.dof) ? boost::math::quantile(Normal(), p) : boost::math::quantile(Student(f.dof), p);
  return f.mean + z * std::sqrt(f.scale2);
}

double log_density(const Forecast& f, double y) {
  const double e2 = (y - f.mean) * (y - f.mean) / f.scale2;
  if (std::isinf(f.dof)) return -0.5 * (std::log(2 * std::numbers::pi * f.scale2) + e2);
  const double ratio = boost::math::tgamma_delta_ratio(f.dof / 2, 0.5, Quiet());  // gamma(n/2) / gamma((n+1)/2)
  return -std::log(ratio) - 0.5 * std::log(f.dof * std::numbers::pi * f.scale2) -
         (f.dof + 1) / 2 * std::log1p(e2 / f.dof);
}

}  // namespace steelyard::fit
