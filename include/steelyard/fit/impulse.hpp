#pragma once
/// Exponential response to a daily dose, on the scale of the dose itself.
/// definition  G[t] = phi G[t-1] + (1 - phi) u[t-1], phi = exp(-1/tau): the response on the morning of day t, before
///             that day's own dose. A dose that never changes is its own response. The published sum over s < t of
///             u[s] exp(-(t-s)/tau), which acts from the next day on, is G phi/(1 - phi)
/// unit        tau in days; response and dose alike
/// source      Banister et al. 1975, Aust J Sports Med 7:57-61; Busso 2003, Med Sci Sports Exerc 35(7):1188-1195; the
///             scale is ours

#include <cmath>

namespace steelyard::fit {

/// phi: the share of a response that is left a day later.   domain  tau > 0
[[nodiscard]] inline double kept_per_day(double tau) {
  return std::exp(-1 / tau);
}

[[nodiscard]] constexpr double next_response(double response, double dose, double kept) {
  return kept * response + (1 - kept) * dose;
}

}  // namespace steelyard::fit
