#include "steelyard/fit/engine.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "fit/triangular.hpp"
#include "steelyard/fit/bytes.hpp"

namespace steelyard::fit {

namespace {

constexpr std::uint8_t k_state_version = 1;

std::size_t count(const Prior& prior) {
  return static_cast<std::size_t>(prior.terms);
}

bool is_zero(const TermMatrix& a) {
  return std::all_of(a.begin(), a.end(), [](const Terms& row) {
    return std::all_of(row.begin(), row.end(), [](double value) { return value == 0; });
  });
}

bool is_finite_and_symmetric(const TermMatrix& a) {
  for (std::size_t i = 0; i < k_max_terms; ++i) {
    for (std::size_t j = 0; j < k_max_terms; ++j) {
      if (!std::isfinite(a[i][j]) || a[i][j] != a[j][i]) return false;
    }
  }
  return true;
}

bool is_share(double x) {
  return x > 0 && x <= 1;
}

tl::unexpected<Error> refuse(const char* what) {
  return fail(Errc::usage, what);
}

}  // namespace

Prior Prior::vague(int terms) {
  return {.terms = terms, .mean = {}, .precision = {}, .n = -static_cast<double>(terms), .d = 0};
}

Prior Prior::independent(int terms, const Terms& mean, const Terms& sd, double noise_sd, double noise_weight) {
  Prior prior{
      .terms = terms, .mean = mean, .precision = {}, .n = noise_weight, .d = noise_weight * noise_sd * noise_sd};
  for (std::size_t i = 0; i < static_cast<std::size_t>(terms); ++i) {
    prior.precision[i][i] = noise_sd * noise_sd / (sd[i] * sd[i]);
  }
  return prior;
}

Result<Engine> Engine::forgetting(const Prior& prior, const Forgetting& forgetting) {
  if (prior.terms < 1 || prior.terms > k_max_terms) return refuse("an engine has 1 to 12 terms");
  if (!is_finite_and_symmetric(prior.precision) || !std::isfinite(prior.n) || !std::isfinite(prior.d)) {
    return refuse("the prior's precision must be finite and symmetric, its n and d finite");
  }
  Engine engine;
  engine.prior_ = prior;
  engine.forgetting_ = forgetting;
  engine.knows_nothing_ = is_zero(prior.precision);
  const auto p = count(prior);
  if (!engine.knows_nothing_ && !factor(prior.precision, p, engine.prior_root_, 1e-12, false)) {
    return refuse("the prior's precision must be zero or positive definite");
  }
  if (!is_share(forgetting.noise)) return refuse("the noise's discount must be above 0 and at most 1");
  if (forgetting.noise < 1 && !(prior.n >= 3 && prior.d > 0)) {
    return refuse("noise that is forgotten needs a prior worth 3 observations or more");
  }
  for (std::size_t i = 0; i < p; ++i) {
    const double discount = forgetting.discount[i];
    if (!std::isfinite(prior.mean[i])) return refuse("the prior's means must be finite");
    if (!is_share(discount)) return refuse("a discount must be above 0 and at most 1");
    if (engine.knows_nothing_ && discount != forgetting.discount[0]) {
      return refuse("discounts that differ need a prior that knows something");
    }
    engine.half_[i] = std::sqrt(discount);
    engine.forgets_ = engine.forgets_ || discount < 1;
  }
  if (engine.knows_nothing_) return engine;
  for (std::size_t j = 0; j < p; ++j) {
    Terms column{};
    for (std::size_t i = 0; i < p; ++i) column[i] = engine.half_[i] * prior.precision[i][j] * engine.half_[j];
    column = solve_transposed(engine.prior_root_, p, column);
    for (std::size_t i = 0; i < p; ++i) engine.prior_pull_[i][j] = column[i];
  }
  return engine;
}

Result<Engine> Engine::random_walk(const Prior& prior, const TermMatrix& w) {
  Forgetting none;
  none.discount.fill(1);
  STEELYARD_TRY_ASSIGN(Engine engine, forgetting(prior, none));
  TermMatrix upper{};
  if (!is_finite_and_symmetric(w) || !factor(w, count(prior), upper, 1e-14, true)) {
    return refuse("the random walk's covariance must be symmetric and positive semidefinite");
  }
  for (std::size_t i = 0; i < k_max_terms; ++i) {
    for (std::size_t j = 0; j < k_max_terms; ++j) engine.walk_root_[i][j] = upper[j][i];
  }
  engine.walks_ = true;
  return engine;
}

Engine Engine::with_known_noise(double sigma2) const {
  Engine engine = *this;
  engine.known_noise_ = sigma2;
  return engine;
}

EngineState Engine::start() const {
  return {.root = prior_root_, .z = {}, .n = prior_.n, .d = prior_.d};
}

void Engine::drift(EngineState& state, int days) const {
  if (days < 1) return;
  if (walks_) return walk(state, days);
  if (forgetting_.noise < 1) {
    const double kept = std::pow(forgetting_.noise, days);
    state.n = kept * state.n + (1 - kept) * prior_.n;
    state.d = kept * state.d + (1 - kept) * prior_.d;
  }
  if (!forgets_) return;
  for (int day = 0; day < days; ++day) forget_a_day(state);
}

void Engine::forget_a_day(EngineState& state) const {
  const auto p = count(prior_);
  auto& root = state.root;
  if (knows_nothing_) {  // equal discounts: U D = discount^1/2 U, and the mean stays
    for (std::size_t i = 0; i < p; ++i) {
      for (std::size_t j = i; j < p; ++j) root[i][j] *= half_[0];
      state.z[i] *= half_[0];
    }
    return;
  }
  // L <- D V'V D + L0 with L = V'V + L0, so U comes from the rows [V D; U0] by reflections alone. On the right stands
  // what makes U'z = D L D m: V D m, and r with U0'r = D L0 D m (all about the prior's mean).
  const Terms m = solve(root, p, state.z);
  root = prior_root_;
  for (std::size_t i = 0; i < p; ++i) {
    state.z[i] = 0;
    for (std::size_t j = 0; j < p; ++j) state.z[i] += prior_pull_[i][j] * m[j];
  }
  Terms learned{};
  for (std::size_t i = 0; i < p; ++i) {
    auto& row = state.learned[i];
    for (std::size_t j = i; j < p; ++j) {
      row[j] *= half_[j];
      learned[i] += row[j] * m[j];
    }
  }
  merge(root, state.z, p, state.learned, learned);
}

void Engine::walk(EngineState& state, int days) const {
  // theta' = theta + B w with w ~ N(0, I): the rows [I 0 | 0] and [-U B, U | z] on (w, theta'), made triangular; what
  // is left below w is the root for theta' alone. Right for a root that is not yet of full rank, too.
  constexpr std::size_t k_wide = std::size_t{2} * k_max_terms;
  const auto p = count(prior_);
  const double scale = std::sqrt(static_cast<double>(days));
  Square<k_wide> wide{};
  std::array<double, k_wide> rhs{};
  for (std::size_t i = 0; i < p; ++i) wide[i][i] = 1;
  for (std::size_t i = 0; i < p; ++i) {
    std::array<double, k_wide> row{};
    for (std::size_t j = 0; j < p; ++j) {
      for (std::size_t k = i; k < p; ++k) row[j] -= state.root[i][k] * walk_root_[k][j] * scale;
      row[p + j] = state.root[i][j];
    }
    absorb(wide, rhs, 2 * p, row, state.z[i]);
  }
  for (std::size_t i = 0; i < p; ++i) {
    for (std::size_t j = i; j < p; ++j) state.root[i][j] = wide[p + i][p + j];
    state.z[i] = rhs[p + i];
  }
}

std::optional<double> Engine::noise_variance(const EngineState& state) const {
  if (known_noise_) return known_noise_;
  if (!(state.n > 0)) return std::nullopt;
  return state.d / state.n;
}

double Engine::widening(const EngineState& state, const Row& row, double noise) const {
  if (row.missing == 0) return 0;
  const auto p = count(prior_);
  const Terms m = means(state);
  double sum = 0;
  for (std::size_t i = 0; i < p; ++i) {
    if ((row.missing >> i & 1U) == 0) continue;
    Terms unit{};
    unit[i] = 1;
    const Terms column = solve_transposed(state.root, p, unit, i);
    sum += m[i] * m[i] / noise;
    for (std::size_t j = i; j < p; ++j) sum += column[j] * column[j];
  }
  return sum;
}

std::optional<Forecast> Engine::forecast(const EngineState& state, const Row& row) const {
  const auto known = spread(state, row);
  if (!known) return std::nullopt;
  return known->forecast;
}

std::optional<Engine::Spread> Engine::spread(const EngineState& state, const Row& row) const {
  const auto p = count(prior_);
  const auto noise = noise_variance(state);
  if (!noise || !(*noise > 0)) return std::nullopt;
  for (std::size_t i = 0; i < p; ++i) {
    if (is_undetermined(state.root, i)) return std::nullopt;
  }
  const Terms a = solve_transposed(state.root, p, row.x);
  double mean = 0;
  double leverage = 0;
  for (std::size_t i = 0; i < p; ++i) {
    mean += a[i] * state.z[i] + row.x[i] * prior_.mean[i];
    leverage += a[i] * a[i];
  }
  const double v = row.v + widening(state, row, *noise);
  return Spread{.v = v,
                .forecast = {.mean = mean,
                             .scale2 = *noise * (leverage + v),
                             .dof = known_noise_ ? std::numeric_limits<double>::infinity() : state.n}};
}

std::optional<Forecast> Engine::update(EngineState& state, const Row& row, double y) const {
  const auto p = count(prior_);
  const auto met = spread(state, row);
  if (row.missing != 0 && !met) return std::nullopt;
  const double v = met ? met->v : row.v;
  const double weight = 1 / std::sqrt(v);
  Terms x = row.x;
  for (std::size_t i = 0; i < p; ++i) {
    y -= x[i] * prior_.mean[i];
    x[i] *= weight;
  }
  if (forgets_ && !knows_nothing_) {
    Terms unused{};
    absorb(state.learned, unused, p, x, 0);
  }
  const double left = absorb(state.root, state.z, p, x, weight * y);
  state.n += 1;
  state.d += left * left;
  if (!met) return std::nullopt;
  return met->forecast;
}

std::optional<Coefficient> Engine::coefficient(const EngineState& state, int term) const {
  Row row;
  row.x[static_cast<std::size_t>(term)] = 1;
  row.v = 0;
  return forecast(state, row);
}

Terms Engine::means(const EngineState& state) const {
  Terms m = solve(state.root, count(prior_), state.z);
  for (std::size_t i = 0; i < count(prior_); ++i) m[i] += prior_.mean[i];
  return m;
}

std::string Engine::save(const EngineState& state) const {
  const auto p = count(prior_);
  ByteWriter out;
  out.byte(k_state_version);
  out.byte(static_cast<std::uint8_t>(p));
  for (std::size_t i = 0; i < p; ++i) {
    for (std::size_t j = i; j < p; ++j) {
      out.number(state.root[i][j]);
      out.number(state.learned[i][j]);
    }
    out.number(state.z[i]);
  }
  out.number(state.n);
  out.number(state.d);
  return std::move(out).bytes();
}

std::size_t Engine::saved_size() const {
  const auto p = count(prior_);
  return 2 + 8 * (p * (p + 1) + p + 2);
}

Result<EngineState> Engine::load(std::string_view bytes) const {
  const auto p = count(prior_);
  ByteReader in(bytes);
  if (bytes.size() != saved_size() || in.byte() != k_state_version || in.byte() != p) {
    return fail(Errc::bad_data,
                "a stored state of the learner is damaged or from another version; it must be learned anew");
  }
  EngineState state;
  for (std::size_t i = 0; i < p; ++i) {
    for (std::size_t j = i; j < p; ++j) {
      state.root[i][j] = in.number();
      state.learned[i][j] = in.number();
    }
    state.z[i] = in.number();
  }
  state.n = in.number();
  state.d = in.number();
  return state;
}

}  // namespace steelyard::fit
