#pragma once
/// What is usual in a squad: mean and spread of the coefficients between people, so that a new lifter starts from the
/// squad.
/// definition  person i: y_i = X_i theta_i + e, theta_i ~ N(m, Sigma), e ~ N(0, sigma^2); m, Sigma and sigma^2 by
///             restricted maximum likelihood (REML), found by expectation-maximisation, which never leaves the
///             positive definite matrices
/// accuracy    REML criterion to 1e-5, SDs to 1e-4 relative on the sleep-restriction data (tests/fit/squad_test.cpp)
/// cost        people x terms^3 an iteration; seconds for 50 people, 11 terms and 10000 iterations. No part of a daily
///             update
/// source      Laird & Ware 1982, Biometrics 38:963-974; Bates et al. 2015, J Stat Softw 67(1), for the check

#include <span>
#include <vector>

#include "steelyard/base/result.hpp"
#include "steelyard/fit/engine.hpp"

namespace steelyard::fit {

/// Sufficient statistics of one person; rows are weighted by 1/v.
struct PersonSums {
  TermMatrix xx{};  ///< X'X, upper triangle and its mirror
  Terms xy{};
  double yy = 0;
  int count = 0;

  /// domain  no missing terms
  void add(const Row& row, double y);
};

enum class Convergence { converged, out_of_iterations };

struct SquadPrior {
  Terms mean{};
  TermMatrix covariance{};  ///< Sigma
  double noise_variance = 0;
  double reml_criterion = 0;  ///< -2 log restricted likelihood
  int iterations = 0;
  Convergence convergence = Convergence::out_of_iterations;

  /// The engine's prior for a new lifter.   noise_weight: observations the noise is worth, 3 or more
  /// errors  failed: people do not differ at all in some term, so the covariance has no inverse
  [[nodiscard]] Result<Prior> prior(int terms, double noise_weight) const;
};

struct SquadParams {
  bool correlated = true;  ///< false: only variances, the safer choice when people are few beside terms
  int most_iterations = 20000;
  double tolerance = 1e-10;  ///< relative change of every variance in one iteration
};

/// errors  usage: fewer than 3 people; 1 to k_max_terms terms
///         failed: what was seen does not determine the mean, or there is no spread left to estimate noise from
[[nodiscard]] Result<SquadPrior> squad_prior(int terms, std::span<const PersonSums> people, const SquadParams& params);

}  // namespace steelyard::fit
