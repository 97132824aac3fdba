#include "steelyard/fit/scores.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace steelyard::fit {

namespace {

/// Integral of f over (0, infinity): x = exp(pi/2 sinh u), equal steps in u (Takahasi & Mori 1974). The ends of u cut
/// off x below 1e-11 and above 1e7.
template <class F>
double over_half_line(F f) {
  constexpr double k_step = 1.0 / 32;
  double sum = 0;
  for (int i = -112; i <= 98; ++i) {
    const double u = i * k_step;
    const double x = std::exp(std::numbers::pi / 2 * std::sinh(u));
    sum += f(x) * x * std::numbers::pi / 2 * std::cosh(u);
  }
  return sum * k_step;
}

}  // namespace

double crps_normal(double mean, double sd, double y) {
  const double z = (y - mean) / sd;
  return sd * (z * (2 * normal_cdf(z) - 1) + 2 * normal_density(z) - std::numbers::inv_sqrtpi);
}

double crps(const Mixture& m, double y) {
  if (m.size == 1 && std::isinf(m.part[0].dof)) return crps_normal(m.part[0].mean, std::sqrt(m.part[0].scale2), y);
  // The two tails, each over a half line and in units of the widest member: there both integrands fall smoothly to
  // zero.
  double unit = 0;
  for (std::size_t i = 0; i < m.size; ++i) unit = std::max(unit, std::sqrt(m.part[i].scale2));
  const auto below = [&](double t) {
    const double p = cdf(m, y - unit * t);
    return p * p;
  };
  const auto above = [&](double t) {
    const double p = 1 - cdf(m, y + unit * t);
    return p * p;
  };
  return unit * (over_half_line(below) + over_half_line(above));
}

double uniform(std::uint64_t seed, std::uint64_t index) {
  // SplitMix64 (Steele, Lea, Flood 2014): the standard library's engines are fixed, its distributions are not.
  std::uint64_t z = seed + (index + 1) * 0x9e3779b97f4a7c15U;
  z = (z ^ (z >> 30U)) * 0xbf58476d1ce4e5b9U;
  z = (z ^ (z >> 27U)) * 0x94d049bb133111ebU;
  z ^= z >> 31U;
  return static_cast<double>(z >> 11U) * 0x1.0p-53;
}

void ScoreSum::add(double crps, double error, bool covered, double pit) {
  ++count_;
  crps_ += crps;
  absolute_ += std::abs(error);
  covered_ += covered ? 1 : 0;
  ++pit_[static_cast<std::size_t>(std::clamp(static_cast<int>(pit * 10), 0, 9))];
}

std::optional<double> ScoreSum::mean_crps() const {
  if (count_ == 0) return std::nullopt;
  return crps_ / count_;
}

std::optional<double> ScoreSum::mean_absolute_error() const {
  if (count_ == 0) return std::nullopt;
  return absolute_ / count_;
}

std::optional<double> ScoreSum::coverage() const {
  if (count_ == 0) return std::nullopt;
  return static_cast<double>(covered_) / count_;
}

std::optional<double> skill(const ScoreSum& model, const ScoreSum& reference) {
  if (model.count() == 0 || model.count() != reference.count()) return std::nullopt;
  return 1 - model.crps_sum() / reference.crps_sum();
}

void Baselines::Errors::add(double error) {
  ++count;
  const double before = error - mean;
  mean += before / count;
  squares += before * (error - mean);
}

double Baselines::Errors::sd() const {
  return count < 2 ? 0 : std::sqrt(squares / (count - 1));
}

void Baselines::add_day(std::optional<double> value) {
  days_[next_] = value;
  next_ = (next_ + 1) % days_.size();
  if (!value) return;
  if (values_ == 0) {
    ewma_ = *value;
  } else {
    last_errors_.add(*value - last_);
    ewma_errors_.add(*value - ewma_);
    ewma_ += 2.0 / (7 + 1) * (*value - ewma_);
  }
  last_ = *value;
  ++values_;
}

std::optional<Forecast> Baselines::mean_of_28() const {
  Errors recorded;
  for (const auto& day : days_) {
    if (day) recorded.add(*day);
  }
  if (recorded.count < k_least_values) return std::nullopt;
  const double sd = std::max(k_least_sd, recorded.sd());
  return Forecast{.mean = recorded.mean, .scale2 = sd * sd};
}

std::optional<Forecast> Baselines::about(double centre, const Errors& errors) const {
  const bool is_recent = std::any_of(days_.begin(), days_.end(), [](const auto& day) { return day.has_value(); });
  if (values_ < k_least_values || !is_recent) return std::nullopt;
  const double sd = std::max(k_least_sd, errors.sd());
  return Forecast{.mean = centre, .scale2 = sd * sd};
}

std::optional<Forecast> Baselines::last() const {
  return about(last_, last_errors_);
}

std::optional<Forecast> Baselines::ewma_of_7() const {
  return about(ewma_, ewma_errors_);
}

}  // namespace steelyard::fit
