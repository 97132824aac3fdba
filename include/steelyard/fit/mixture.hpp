#pragma once
/// A weighted mixture of forecasts, as a grid of learners gives it.
/// cost  cdf: one Student cdf a member; quantile: some 40 of those; no allocation

#include <array>
#include <cstddef>

#include "steelyard/fit/distribution.hpp"

namespace steelyard::fit {

inline constexpr std::size_t k_max_members = 12;

struct Mixture {
  std::size_t size = 0;
  std::array<double, k_max_members> weight{};  ///< >= 0, sum 1
  std::array<Forecast, k_max_members> part{};

  [[nodiscard]] static Mixture of(const Forecast& one);
};

[[nodiscard]] double mean(const Mixture& m);
[[nodiscard]] double cdf(const Mixture& m, double y);
/// domain  0 < p < 1     accuracy  1e-9 of the widest member's scale (bisection)
[[nodiscard]] double quantile(const Mixture& m, double p);

}  // namespace steelyard::fit
