#pragma once
/// What sets need beside what is expected, for the walk and for the days ahead.

#include <cmath>
#include <optional>

#include "steelyard/fit/mixture.hpp"
#include "steelyard/fit/rep_max.hpp"

namespace steelyard::learn {

/// Log points of the training max that a set needs to end at an RPE.
[[nodiscard]] inline std::optional<double> points_needed(double percent, double reps, double rpe,
                                                         const fit::RepMax& curve) {
  const auto factor = curve.factor(reps + 10 - rpe);
  if (!factor || !(percent > 0)) return std::nullopt;
  return 100 * std::log(percent / 100 * *factor);
}

/// The forecast as wide as this lifter's own past ones should have been.
[[nodiscard]] inline fit::Mixture widened(fit::Mixture mixture, double log_spread) {
  const double factor = std::exp(2 * log_spread);
  for (std::size_t k = 0; k < mixture.size; ++k) mixture.part[k].scale2 *= factor;
  return mixture;
}

}  // namespace steelyard::learn
