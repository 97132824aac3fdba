#include "steelyard/fit/grid.hpp"

#include <algorithm>
#include <cmath>

#include "steelyard/fit/bytes.hpp"

namespace steelyard::fit {

Range80 range80(const Mixture& m) {
  return {.mean = mean(m), .low = quantile(m, 0.1), .high = quantile(m, 0.9)};
}

Result<Grid> Grid::make(const Engine& engine, const GridParams& params) {
  if (params.members < 1 || params.members > k_max_members) return fail(Errc::usage, "a grid has 1 to 12 members");
  if (!(params.memory > 0 && params.memory <= 1)) return fail(Errc::usage, "a grid's memory is above 0 and at most 1");
  if (!(params.least_weight >= 0 && params.least_weight * static_cast<double>(params.members) < 1)) {
    return fail(Errc::usage, "a grid's least weight is not negative and below an even share");
  }
  if (!(params.least_noise >= 0)) return fail(Errc::usage, "a grid's least noise is not negative");
  if (!engine.forecast(engine.start(), {}))
    return fail(Errc::usage, "a grid's engine needs a prior that knows something");
  return Grid(engine, params);
}

GridState Grid::start() const {
  GridState state{.member = std::vector<EngineState>(params_.members, engine_.start())};
  for (std::size_t k = 0; k < params_.members; ++k) state.weight[k] = 1 / static_cast<double>(params_.members);
  return state;
}

void Grid::drift(GridState& state, int days) const {
  for (std::size_t k = 0; k < params_.members; ++k) engine_.drift(state.member[k], days);
}

Mixture Grid::forecast(const GridState& state, std::span<const Row> rows) const {
  Mixture m;
  m.size = params_.members;
  m.weight = state.weight;
  for (std::size_t k = 0; k < m.size; ++k) m.part[k] = engine_.forecast(state.member[k], rows[k]).value_or(Forecast{});
  return m;
}

void Grid::update(GridState& state, std::span<const Row> rows, double y) const {
  std::array<double, k_max_members> score{};
  double best = -std::numeric_limits<double>::infinity();
  for (std::size_t k = 0; k < params_.members; ++k) {
    auto& member = state.member[k];
    const auto met = engine_.update(member, rows[k], y).value_or(Forecast{});
    score[k] = params_.memory * std::log(state.weight[k]) + log_density(met, y);
    best = std::max(best, score[k]);
    member.d = std::max(member.d, member.n * params_.least_noise);
  }
  double sum = 0;
  for (std::size_t k = 0; k < params_.members; ++k) sum += score[k] = std::exp(score[k] - best);
  double floored = 0;
  for (std::size_t k = 0; k < params_.members; ++k) {
    floored += state.weight[k] = std::max(score[k] / sum, params_.least_weight);
  }
  for (std::size_t k = 0; k < params_.members; ++k) state.weight[k] /= floored;
}

Mixture Grid::coefficient(const GridState& state, int term) const {
  Mixture m;
  m.size = params_.members;
  m.weight = state.weight;
  for (std::size_t k = 0; k < m.size; ++k) {
    m.part[k] = engine_.coefficient(state.member[k], term).value_or(Coefficient{});
  }
  return m;
}

Terms Grid::shares(const GridState& state, std::span<const Row> rows) const {
  Terms share{};
  for (std::size_t k = 0; k < params_.members; ++k) {
    const Terms m = engine_.means(state.member[k]);
    for (std::size_t i = 0; i < k_max_terms; ++i) share[i] += state.weight[k] * rows[k].x[i] * m[i];
  }
  return share;
}

std::string Grid::save(const GridState& state) const {
  ByteWriter out;
  for (std::size_t k = 0; k < params_.members; ++k) {
    out.number(state.weight[k]);
    out.text(engine_.save(state.member[k]));
  }
  return std::move(out).bytes();
}

Result<GridState> Grid::load(std::string_view bytes) const {
  const auto each = 8 + engine_.saved_size();
  if (bytes.size() != each * params_.members) {
    return fail(Errc::bad_data,
                "a stored state of the learner is damaged or from another version; it must be learned anew");
  }
  GridState state;
  state.member.reserve(params_.members);
  ByteReader in(bytes);
  for (std::size_t k = 0; k < params_.members; ++k) {
    state.weight[k] = in.number();
    STEELYARD_TRY_ASSIGN(state.member.emplace_back(), engine_.load(in.text(each - 8)));
  }
  return state;
}

}  // namespace steelyard::fit
