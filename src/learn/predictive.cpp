#include "learn/predictive.hpp"

#include <algorithm>
#include <cmath>

namespace steelyard::learn {
namespace {

/// Ends of the integrals in scales of the widest member.
constexpr double k_reach = 9;

/// Nodes and weights of the Gauss-Legendre rule with 20 points on [-1, 1], the positive half.
/// source  Abramowitz & Stegun 1972, table 25.4
constexpr std::array<double, 10> k_node{0.0765265211334973, 0.2277858511416451, 0.3737060887154195, 0.5108670019508271,
                                        0.6360536807265150, 0.7463319064601508, 0.8391169718222188, 0.9122344282513259,
                                        0.9639719272779138, 0.9931285991850949};
constexpr std::array<double, 10> k_weight{
    0.1527533871307258, 0.1491729864726037, 0.1420961093183820, 0.1316886384491766, 0.1181945319615184,
    0.1019301198172404, 0.0832767415767048, 0.0626720483341091, 0.0406014298003869, 0.0176140071391521};

template <class F>
double gauss_legendre(double from, double to, F f) {
  const double middle = (from + to) / 2;
  const double half = (to - from) / 2;
  double sum = 0;
  for (std::size_t i = 0; i < k_node.size(); ++i) {
    sum += k_weight[i] * (f(middle - half * k_node[i]) + f(middle + half * k_node[i]));
  }
  return half * sum;
}

}  // namespace

Predictive::Predictive(const fit::Mixture& mixture) : size_(mixture.size) {
  double widest = 0;
  for (std::size_t k = 0; k < size_; ++k) {
    const auto& part = mixture.part[k];
    const double scale = std::sqrt(part.scale2);
    const double a = part.dof - 0.5;
    members_[k] = {.weight = mixture.weight[k],
                   .mean = part.mean,
                   .per_scale = 1 / scale,
                   .dof = part.dof,
                   .a = a,
                   .b = 48 * a * a};
    widest = std::max(widest, scale);
    low_ = k == 0 ? part.mean : std::min(low_, part.mean);
    high_ = k == 0 ? part.mean : std::max(high_, part.mean);
  }
  low_ -= k_reach * widest;
  high_ += k_reach * widest;
}

double Predictive::cdf(double x) const {
  double sum = 0;
  for (std::size_t k = 0; k < size_; ++k) {
    const Member& m = members_[k];
    const double t = (x - m.mean) * m.per_scale;
    double z = t;
    if (std::isfinite(m.dof)) {
      const double y = m.a * std::log1p(t * t / m.dof);
      const double bent = (((-0.4 * y - 3.3) * y - 24) * y - 85.5) / (0.8 * y * y + 100 + m.b) + y + 3;
      z = std::copysign((bent / m.b + 1) * std::sqrt(y), t);
    }
    sum += m.weight * fit::normal_cdf(z);
  }
  return sum;
}

double Predictive::quantile(double p) const {
  double low = low_;
  double high = high_;
  const double enough = 1e-7 * (high - low);
  while (high - low > enough) {
    const double middle = low + (high - low) / 2;
    (cdf(middle) < p ? low : high) = middle;
  }
  return low + (high - low) / 2;
}

double Predictive::mean() const {
  double sum = 0;
  for (std::size_t k = 0; k < size_; ++k) sum += members_[k].weight * members_[k].mean;
  return sum;
}

fit::Forecast Predictive::as_normal() const {
  const double centre = mean();
  double variance = 0;
  for (std::size_t k = 0; k < size_; ++k) {
    const Member& m = members_[k];
    const double shape = std::isfinite(m.dof) ? m.dof / (m.dof - 2) : 1;
    const double off = m.mean - centre;
    variance += m.weight * (shape / (m.per_scale * m.per_scale) + off * off);
  }
  return {.mean = centre, .scale2 = variance};
}

template <class Weight>
double Predictive::integral(double y, Weight weight) const {
  const auto below = [&](double x) {
    const double p = cdf(x);
    return p * p * weight(x);
  };
  const auto above = [&](double x) {
    const double p = 1 - cdf(x);
    return p * p * weight(x);
  };
  // Each side is cut at the centre, where the steep part lies; beyond the ends the cdf is 0 or 1.
  const auto flat = [&](double x) { return weight(x); };
  const double centre = mean();
  const double left = std::clamp(y, low_, high_);
  double sum =
      gauss_legendre(low_, std::min(left, centre), below) + gauss_legendre(std::max(left, centre), high_, above);
  sum += left > centre ? gauss_legendre(centre, left, below) : gauss_legendre(left, centre, above);
  if (y < low_) sum += gauss_legendre(y, low_, flat);
  if (y > high_) sum += gauss_legendre(high_, y, flat);
  return sum;
}

double Predictive::crps(double y) const {
  return integral(y, [](double) { return 1.0; });
}

double Predictive::crps_of_log_points(double kg, double reference_kg) const {
  return integral(100 * std::log(kg / reference_kg), [&](double x) { return reference_kg / 100 * std::exp(x / 100); });
}

}  // namespace steelyard::learn
