// Notation: A = X'X, b = X'y of one person; C = (A/s2 + Sigma^-1)^-1, the covariance of that person's deviation u given
// m; K = C A/s2; F = (sum of X'V^-1 X)^-1, the covariance of m.
#include "steelyard/fit/squad.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "fit/triangular.hpp"

namespace steelyard::fit {

namespace {

TermMatrix inverse_of_root(const TermMatrix& root, std::size_t p) {
  // (U'U)^-1, column by column
  TermMatrix inverse{};
  for (std::size_t j = 0; j < p; ++j) {
    Terms unit{};
    unit[j] = 1;
    const Terms column = solve(root, p, solve_transposed(root, p, unit));
    for (std::size_t i = 0; i < p; ++i) inverse[i][j] = column[i];
  }
  return inverse;
}

double log_determinant(const TermMatrix& root, std::size_t p) {
  double sum = 0;
  for (std::size_t i = 0; i < p; ++i) sum += 2 * std::log(root[i][i]);
  return sum;
}

TermMatrix product(const TermMatrix& a, const TermMatrix& b, std::size_t p) {
  TermMatrix c{};
  for (std::size_t i = 0; i < p; ++i) {
    for (std::size_t k = 0; k < p; ++k) {
      for (std::size_t j = 0; j < p; ++j) c[i][j] += a[i][k] * b[k][j];
    }
  }
  return c;
}

TermMatrix transposed(const TermMatrix& a) {
  TermMatrix t{};
  for (std::size_t i = 0; i < k_max_terms; ++i) {
    for (std::size_t j = 0; j < k_max_terms; ++j) t[j][i] = a[i][j];
  }
  return t;
}

Terms product(const TermMatrix& a, const Terms& x, std::size_t p) {
  Terms y{};
  for (std::size_t i = 0; i < p; ++i) {
    for (std::size_t j = 0; j < p; ++j) y[i] += a[i][j] * x[j];
  }
  return y;
}

double dot(const Terms& a, const Terms& b, std::size_t p) {
  double sum = 0;
  for (std::size_t i = 0; i < p; ++i) sum += a[i] * b[i];
  return sum;
}

struct PersonStep {
  TermMatrix c{};
  TermMatrix k{};
};

struct Expectation {
  std::vector<PersonStep> people;
  Terms mean{};
  TermMatrix f{};
  double criterion = 0;
};

tl::unexpected<Error> undetermined() {
  return fail(Errc::failed,
              "the squad's records do not determine its usual effects; more lifters or more varied days are needed");
}

/// Everything that follows from the present Sigma and s2.
Result<Expectation> expectation(std::size_t p, std::span<const PersonSums> people, const TermMatrix& sigma, double s2) {
  TermMatrix sigma_root{};
  if (!factor(sigma, p, sigma_root, 0, false)) return undetermined();
  const TermMatrix precision = inverse_of_root(sigma_root, p);
  Expectation e;
  TermMatrix information{};  // sum of X'V^-1 X
  Terms right{};             // sum of X'V^-1 y
  double quadratic = 0;      // sum of y'V^-1 y
  int count = 0;
  for (const auto& person : people) {
    PersonStep step;
    TermMatrix c_inverse{};
    for (std::size_t i = 0; i < p; ++i) {
      for (std::size_t j = 0; j < p; ++j) c_inverse[i][j] = person.xx[i][j] / s2 + precision[i][j];
    }
    TermMatrix c_root{};
    if (!factor(c_inverse, p, c_root, 0, false)) return undetermined();
    step.c = inverse_of_root(c_root, p);
    step.k = product(step.c, person.xx, p);
    for (auto& row : step.k) {
      for (auto& value : row) value /= s2;
    }
    const TermMatrix seen = product(person.xx, step.k, p);
    const Terms c_b = product(step.c, person.xy, p);
    const Terms a_c_b = product(person.xx, c_b, p);
    for (std::size_t i = 0; i < p; ++i) {
      for (std::size_t j = 0; j < p; ++j) information[i][j] += (person.xx[i][j] - seen[i][j]) / s2;
      right[i] += (person.xy[i] - a_c_b[i] / s2) / s2;
    }
    quadratic += (person.yy - dot(person.xy, c_b, p) / s2) / s2;
    e.criterion += person.count * std::log(s2) + log_determinant(sigma_root, p) + log_determinant(c_root, p);
    count += person.count;
    e.people.push_back(step);
  }
  TermMatrix root{};
  if (!factor(information, p, root, 1e-12, false)) return undetermined();
  e.f = inverse_of_root(root, p);
  e.mean = product(e.f, right, p);
  e.criterion += log_determinant(root, p) + quadratic - dot(e.mean, right, p) +
                 (count - static_cast<double>(p)) * std::log(2 * std::numbers::pi);
  return e;
}

struct Maximum {
  TermMatrix sigma{};
  double s2 = 0;
};

Maximum maximum(std::size_t p, std::span<const PersonSums> people, const Expectation& e, double s2, bool correlated) {
  Maximum next;
  double residual = 0;
  int count = 0;
  for (std::size_t person = 0; person < people.size(); ++person) {
    const auto& sums = people[person];
    const auto& [c, k] = e.people[person];
    Terms left = product(sums.xx, e.mean, p);
    for (std::size_t i = 0; i < p; ++i) left[i] = (sums.xy[i] - left[i]) / s2;
    const Terms u = product(c, left, p);
    const TermMatrix of_mean = product(product(k, e.f, p), transposed(k), p);  // K F K'
    TermMatrix rest{};                                                         // I - K
    for (std::size_t i = 0; i < p; ++i) {
      for (std::size_t j = 0; j < p; ++j) {
        next.sigma[i][j] += u[i] * u[j] + c[i][j] + of_mean[i][j];
        rest[i][j] = (i == j ? 1 : 0) - k[i][j];
      }
    }
    const TermMatrix spread = product(product(rest, e.f, p), transposed(rest), p);  // of theta = m + u, beside C
    Terms theta{};
    for (std::size_t i = 0; i < p; ++i) theta[i] = e.mean[i] + u[i];
    residual += sums.yy - 2 * dot(theta, sums.xy, p) + dot(theta, product(sums.xx, theta, p), p);
    for (std::size_t i = 0; i < p; ++i) {
      for (std::size_t j = 0; j < p; ++j) residual += sums.xx[i][j] * (c[i][j] + spread[i][j]);
    }
    count += sums.count;
  }
  for (std::size_t i = 0; i < p; ++i) {
    for (std::size_t j = 0; j < p; ++j) {
      next.sigma[i][j] = correlated || i == j ? next.sigma[i][j] / static_cast<double>(people.size()) : 0;
    }
  }
  next.s2 = residual / count;
  return next;
}

/// Starting values: spread as large as pooled least squares makes its coefficients uncertain from one person's data.
Result<Maximum> starting_values(std::size_t p, std::span<const PersonSums> people) {
  TermMatrix xx{};
  Terms xy{};
  double yy = 0;
  int count = 0;
  for (const auto& person : people) {
    for (std::size_t i = 0; i < p; ++i) {
      for (std::size_t j = 0; j < p; ++j) xx[i][j] += person.xx[i][j];
      xy[i] += person.xy[i];
    }
    yy += person.yy;
    count += person.count;
  }
  TermMatrix root{};
  if (!factor(xx, p, root, 1e-12, false) || count <= static_cast<int>(p)) return undetermined();
  const Terms pooled = solve(root, p, solve_transposed(root, p, xy));
  Maximum start;
  start.s2 = (yy - dot(pooled, xy, p)) / (count - static_cast<double>(p));
  if (!(start.s2 > 0)) return undetermined();
  const TermMatrix inverse = inverse_of_root(root, p);
  for (std::size_t i = 0; i < p; ++i) start.sigma[i][i] = start.s2 * inverse[i][i] * static_cast<double>(people.size());
  return start;
}

}  // namespace

void PersonSums::add(const Row& row, double y) {
  for (std::size_t i = 0; i < k_max_terms; ++i) {
    for (std::size_t j = 0; j < k_max_terms; ++j) xx[i][j] += row.x[i] * row.x[j] / row.v;
    xy[i] += row.x[i] * y / row.v;
  }
  yy += y * y / row.v;
  ++count;
}

Result<Prior> SquadPrior::prior(int terms, double noise_weight) const {
  const auto p = static_cast<std::size_t>(terms);
  Prior made{.terms = terms, .mean = mean, .precision = {}, .n = noise_weight, .d = noise_weight * noise_variance};
  TermMatrix root{};
  if (!factor(covariance, p, root, 1e-12, false)) {
    return fail(Errc::failed,
                "the squad's lifters do not differ in some effect, so that no prior follows from their spread");
  }
  made.precision = inverse_of_root(root, p);
  for (std::size_t i = 0; i < p; ++i) {
    for (std::size_t j = 0; j <= i; ++j) {
      const double both = noise_variance * (made.precision[i][j] + made.precision[j][i]) / 2;
      made.precision[i][j] = made.precision[j][i] = both;
    }
  }
  return made;
}

Result<SquadPrior> squad_prior(int terms, std::span<const PersonSums> people, const SquadParams& params) {
  if (terms < 1 || terms > k_max_terms) return fail(Errc::usage, "a squad's prior has 1 to 12 terms");
  if (people.size() < 3) return fail(Errc::usage, "a squad's prior needs 3 lifters or more");
  const auto p = static_cast<std::size_t>(terms);
  STEELYARD_TRY_ASSIGN(Maximum now, starting_values(p, people));
  SquadPrior found;
  for (int i = 1; i <= params.most_iterations && found.convergence != Convergence::converged; ++i) {
    STEELYARD_TRY_ASSIGN(const Expectation e, expectation(p, people, now.sigma, now.s2));
    const Maximum next = maximum(p, people, e, now.s2, params.correlated);
    double change = std::abs(next.s2 / now.s2 - 1);
    for (std::size_t j = 0; j < p; ++j) {
      change = std::max(change, std::abs(next.sigma[j][j] / now.sigma[j][j] - 1));
    }
    now = next;
    found.iterations = i;
    if (change < params.tolerance) found.convergence = Convergence::converged;
  }
  STEELYARD_TRY_ASSIGN(const Expectation last, expectation(p, people, now.sigma, now.s2));
  found.mean = last.mean;
  found.covariance = now.sigma;
  found.noise_variance = now.s2;
  found.reml_criterion = last.criterion;
  return found;
}

}  // namespace steelyard::fit
