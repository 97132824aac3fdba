#pragma once
/// The one learner behind every forecast: a Bayesian regression whose coefficients and noise may drift.
/// definition  y = x'theta + e, e ~ N(0, sigma^2 v), with theta | sigma^2 ~ N(m, sigma^2 L^-1) and
///             1/sigma^2 ~ gamma(n/2, d/2); S = d/n. L is free of scale and kept as its upper root U, L = U'U, beside
///             z = U (m - m0).
///             drift, one day:  D = diag(discount^1/2); what is forgotten is replaced by the prior
///                              L <- D L D + (L0 - D L0 D),  L m <- D L D m + (L0 - D L0 D) m0
///                              n <- b n + (1-b) n0,  d <- b d + (1-b) d0
///                   or, k days: L^-1 <- L^-1 + k W     (coefficients on a random walk)
///             forecast  Student's t: location x'm, squared scale S (x'L^-1 x + v + w), n degrees of freedom,
///                       w = sum over missing i of (m_i^2/S + (L^-1)_ii), a missing term having mean 0 and SD 1
///             update    one orthogonal row update of [U | z] with x/sqrt(v+w), y/sqrt(v+w); n <- n + 1;
///                       d <- d + S e^2/q
///             With equal discounts k days may be taken at once (discount^k); with different ones they may not, since
///             the mean then depends on the order of forgetting: drift() therefore takes every day by itself.
/// special cases  L0 = 0, n0 = -p, d0 = 0, no forgetting: least squares with RSS/(N-p). Known variance and given
///             prior: best linear unbiased prediction. One level, W given: local level model; with discount and
///             L0 = 0: gain 1 - discount
/// accuracy    rotations and reflections only, so L is positive definite by construction and its condition number is
///             never squared; NIST certified linear problems: see tests/fit/nist_linear_test.cpp for the digits
/// cost        p terms: update p^2, a day of forgetting 2 p^3 multiplications; no allocation
/// source      West & Harrison 1997, Bayesian Forecasting and Dynamic Models, 2nd ed., ch. 4 and 6 (forgetting towards
///             the prior is ours); Bierman 1977, Factorization Methods for Discrete Sequential Estimation (roots)
/// thread safety  an Engine does not change; states are plain values

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "steelyard/base/result.hpp"
#include "steelyard/fit/distribution.hpp"

namespace steelyard::fit {

inline constexpr int k_max_terms = 12;
using Terms = std::array<double, k_max_terms>;
using TermMatrix = std::array<Terms, k_max_terms>;

/// What is believed before the first observation.
struct Prior {
  int terms = 0;
  Terms mean{};
  TermMatrix precision{};  ///< L0: precision of the coefficients x sigma^2; symmetric; all zero = nothing is known
  double n = 0;            ///< weight of the noise's prior, in observations
  double d = 0;            ///< n x prior noise variance

  /// Nothing known: the start that makes the engine least squares.
  [[nodiscard]] static Prior vague(int terms);
  /// Independent coefficients with the given SDs. noise_weight: observations which the noise's prior is worth.
  /// domain  sd > 0, noise_sd > 0, noise_weight >= 3
  [[nodiscard]] static Prior independent(int terms, const Terms& mean, const Terms& sd, double noise_sd,
                                         double noise_weight);
};

/// How fast the past is forgotten, per day; 1 = never.
struct Forgetting {
  Terms discount{};  ///< per term, in (0, 1]; equal ones if the prior knows nothing
  double noise = 1;  ///< b
};

/// One observation's regressors.
struct Row {
  Terms x{};
  std::uint32_t missing = 0;  ///< bit i: term i was not recorded; its x must be 0
  double v = 1;               ///< relative variance of the noise, > 0
};

/// What has been learned. Plain value; meaningful only to the engine that made it.
struct EngineState {
  TermMatrix root{};  ///< U, upper triangle
  Terms z{};
  TermMatrix learned{};  ///< V, upper triangle: L = V'V + L0, what was learned and is not yet forgotten
  double n = 0;
  double d = 0;
};

/// Mean and squared scale of one coefficient, Student's t with `dof` degrees of freedom.
using Coefficient = Forecast;

class Engine {
 public:
  /// errors  usage: 1 to k_max_terms terms; finite numbers; L0 zero or positive definite; discounts and noise in (0,
  /// 1];
  ///         with noise < 1 a prior n of 3 or more and d > 0; discounts that differ need a prior that knows something
  [[nodiscard]] static Result<Engine> forgetting(const Prior& prior, const Forgetting& forgetting);
  /// Coefficients on a random walk with covariance W x sigma^2 a day.    errors  usage, also if W is not positive
  /// semidefinite
  [[nodiscard]] static Result<Engine> random_walk(const Prior& prior, const TermMatrix& w);
  /// The same engine with the noise variance known: forecasts are normal, n and d are not used.   domain  > 0
  [[nodiscard]] Engine with_known_noise(double sigma2) const;

  [[nodiscard]] EngineState start() const;
  [[nodiscard]] int terms() const { return prior_.terms; }

  /// domain  days >= 0
  void drift(EngineState& state, int days) const;
  /// Nothing while the coefficients in question, or the noise, are not yet known (a vague start).
  [[nodiscard]] std::optional<Forecast> forecast(const EngineState& state, const Row& row) const;
  /// Takes an observation in and gives the forecast it met. A row with missing terms is left out while none is
  /// possible.
  std::optional<Forecast> update(EngineState& state, const Row& row, double y) const;

  /// Nothing while it is not yet known.
  [[nodiscard]] std::optional<Coefficient> coefficient(const EngineState& state, int term) const;
  /// Means of all coefficients.   domain  a prior that knows something
  [[nodiscard]] Terms means(const EngineState& state) const;
  /// S; nothing while n <= 0.
  [[nodiscard]] std::optional<double> noise_variance(const EngineState& state) const;

  /// The state as bytes and back, bit for bit.   errors  bad_data: other length, other version, other number of terms
  [[nodiscard]] std::string save(const EngineState& state) const;
  [[nodiscard]] std::size_t saved_size() const;  ///< in bytes, of every state of this engine
  [[nodiscard]] Result<EngineState> load(std::string_view bytes) const;

 private:
  Engine() = default;
  void forget_a_day(EngineState& state) const;
  void walk(EngineState& state, int days) const;
  struct Spread {
    double v = 0;  ///< with the widening for missing terms
    Forecast forecast;
  };
  [[nodiscard]] std::optional<Spread> spread(const EngineState& state, const Row& row) const;
  [[nodiscard]] double widening(const EngineState& state, const Row& row, double noise) const;

  Prior prior_;
  TermMatrix prior_root_{};
  Forgetting forgetting_;
  Terms half_{};             ///< square roots of the discounts
  TermMatrix prior_pull_{};  ///< U0'^-1 D L0 D
  TermMatrix walk_root_{};   ///< B, W = B B'
  bool walks_ = false;
  bool forgets_ = false;
  bool knows_nothing_ = false;  ///< L0 = 0
  std::optional<double> known_noise_;
};

}  // namespace steelyard::fit
