#pragma once
/// Learners that differ in something that cannot be learned by regression (time constants), averaged by how well each
/// has forecast so far.
/// definition  after an observation: w[k] <- w[k]^alpha x density[k](y), each at least `least_weight`, then scaled to
///             sum 1
/// cost        linear in members; no allocation in drift, forecast and update
/// source      Raftery, Karny, Ettler 2010, Technometrics 52:52-66 (averaging with forgetting)

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/base/result.hpp"
#include "steelyard/fit/engine.hpp"
#include "steelyard/fit/mixture.hpp"

namespace steelyard::fit {

struct GridParams {
  std::size_t members = 1;
  double memory = 1;        ///< alpha, in (0, 1]
  double least_weight = 0;  ///< before scaling, in [0, 1/members)
  double least_noise = 0;   ///< S is held at or above it (a variance); 0 = free
};

struct GridState {
  std::vector<EngineState> member;  ///< as many as the grid has; 2.4 kB each, and moved more often than walked
  std::array<double, k_max_members> weight{};
};

/// Central 80 % of a mixture, with its mean.
struct Range80 {
  double mean = 0;
  double low = 0;   ///< 10 % point
  double high = 0;  ///< 90 % point
};
[[nodiscard]] Range80 range80(const Mixture& m);

class Grid {
 public:
  /// errors  usage: 1 to k_max_members members, shares outside of their range, an engine that starts from nothing
  [[nodiscard]] static Result<Grid> make(const Engine& engine, const GridParams& params);

  [[nodiscard]] GridState start() const;
  [[nodiscard]] std::size_t members() const { return params_.members; }
  void drift(GridState& state, int days) const;
  /// rows: one for each member, in order.
  [[nodiscard]] Mixture forecast(const GridState& state, std::span<const Row> rows) const;
  void update(GridState& state, std::span<const Row> rows, double y) const;
  [[nodiscard]] Mixture coefficient(const GridState& state, int term) const;

  /// Mean over members of x[i] m[i], for every term: the shares of the forecast's mean.
  [[nodiscard]] Terms shares(const GridState& state, std::span<const Row> rows) const;

  /// errors of load  bad_data
  [[nodiscard]] std::string save(const GridState& state) const;
  [[nodiscard]] Result<GridState> load(std::string_view bytes) const;

 private:
  Grid(const Engine& engine, const GridParams& params) : engine_(engine), params_(params) {}
  Engine engine_;
  GridParams params_;
};

}  // namespace steelyard::fit
