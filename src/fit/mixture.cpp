#include "steelyard/fit/mixture.hpp"

#include <algorithm>
#include <cmath>

namespace steelyard::fit {

Mixture Mixture::of(const Forecast& one) {
  Mixture m;
  m.size = 1;
  m.weight[0] = 1;
  m.part[0] = one;
  return m;
}

double mean(const Mixture& m) {
  double sum = 0;
  for (std::size_t i = 0; i < m.size; ++i) sum += m.weight[i] * m.part[i].mean;
  return sum;
}

double cdf(const Mixture& m, double y) {
  double sum = 0;
  for (std::size_t i = 0; i < m.size; ++i) sum += m.weight[i] * cdf(m.part[i], y);
  return sum;
}

double quantile(const Mixture& m, double p) {
  // The quantile lies between the members' own quantiles.
  double low = quantile(m.part[0], p);
  double high = low;
  double widest = 0;
  for (std::size_t i = 0; i < m.size; ++i) {
    const double q = quantile(m.part[i], p);
    low = std::min(low, q);
    high = std::max(high, q);
    widest = std::max(widest, std::sqrt(m.part[i].scale2));
  }
  while (high - low > 1e-9 * widest) {
    const double middle = low + (high - low) / 2;
    if (middle <= low || middle >= high) break;  // the doubles between them are used up
    (cdf(m, middle) < p ? low : high) = middle;
  }
  return low + (high - low) / 2;
}

}  // namespace steelyard::fit
