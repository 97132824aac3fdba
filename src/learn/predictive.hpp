#pragma once
/// A mixture of Student's t read quickly: a replay scores thousands of forecasts.
/// definition  the normal quantile of Student's t by Hill 1970 (CACM 13:619-620, algorithm 395), then the normal cdf
/// accuracy    cdf 2e-5 absolute from 5 degrees of freedom on, CRPS 2e-3 relative (tests/learn/predictive_test.cpp)
/// cost        cdf 40 ns a member; CRPS some 40 of those; no allocation

#include "steelyard/fit/mixture.hpp"

namespace steelyard::learn {

class Predictive {
 public:
  explicit Predictive(const fit::Mixture& mixture);

  [[nodiscard]] double cdf(double x) const;
  /// domain  0.001 <= p <= 0.999
  [[nodiscard]] double quantile(double p) const;
  [[nodiscard]] double mean() const;
  /// The normal with the same mean and variance: near enough to tell two forecasters apart, and quick to score.
  /// domain  degrees of freedom above 2
  [[nodiscard]] fit::Forecast as_normal() const;
  [[nodiscard]] double crps(double y) const;
  /// The CRPS in kg when the mixture is of 100 ln(kg / reference).
  [[nodiscard]] double crps_of_log_points(double kg, double reference_kg) const;

 private:
  template <class Weight>
  double integral(double y, Weight weight) const;

  struct Member {
    double weight = 0;
    double mean = 0;
    double per_scale = 0;
    double dof = 0;  ///< and what Hill's formula makes of it
    double a = 0;
    double b = 0;
  };
  std::size_t size_ = 0;
  std::array<Member, fit::k_max_members> members_{};
  double low_ = 0;  ///< ends between which the cdf is neither 0 nor 1
  double high_ = 0;
};

}  // namespace steelyard::learn
