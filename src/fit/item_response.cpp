#include "steelyard/fit/item_response.hpp"

#include <cmath>
#include <utility>

#include "steelyard/fit/bytes.hpp"
#include "steelyard/fit/impulse.hpp"

namespace steelyard::fit {

namespace {
constexpr std::uint8_t k_state_version = 1;
}

Result<ItemResponse> ItemResponse::make(const ItemModel& model) {
  if (model.tau.empty() || model.tau.size() > k_max_members)
    return fail(Errc::usage, "1 to 12 time constants are allowed");
  for (const double tau : model.tau) {
    if (!(tau > 0) || !std::isfinite(tau)) return fail(Errc::usage, "time constants are positive");
  }
  if (!(model.noise_sd > 0) || !(model.noise_weight >= 3)) {
    return fail(Errc::usage, "the noise is positive, its weight is 3 or more");
  }
  Terms mean{};
  Terms sd{};
  Forgetting forgetting;
  forgetting.noise = model.noise_discount;
  for (std::size_t i = 0; i < model.sd.size(); ++i) {
    if (!(model.sd[i] > 0)) return fail(Errc::usage, "the SD of every effect is positive");
    mean[i] = model.mean[i];
    sd[i] = model.sd[i];
    forgetting.discount[i] = model.discount[i];
  }
  const auto prior =
      Prior::independent(static_cast<int>(model.sd.size()), mean, sd, model.noise_sd, model.noise_weight);
  STEELYARD_TRY_ASSIGN(const Engine engine, Engine::forgetting(prior, forgetting));
  STEELYARD_TRY_ASSIGN(Grid grid, Grid::make(engine, {.members = model.tau.size(),
                                                      .memory = model.weight_memory,
                                                      .least_weight = model.least_weight,
                                                      .least_noise = model.least_noise_sd * model.least_noise_sd}));
  return ItemResponse(model, grid);
}

ItemResponse::ItemResponse(const ItemModel& model, const Grid& grid) : grid_(grid) {
  for (const double tau : model.tau) kept_.push_back(kept_per_day(tau));
}

ItemState ItemResponse::start() const {
  ItemState state{.grid = grid_.start()};
  state.response.fill(1);
  return state;
}

void ItemResponse::step(ItemState& state, std::optional<double> load_of_yesterday) const {
  for (std::size_t i = 0; i < kept_.size(); ++i) {
    state.response[i] = next_response(state.response[i], load_of_yesterday.value_or(1), kept_[i]);
  }
  grid_.drift(state.grid, 1);
}

std::array<Row, k_max_members> ItemResponse::rows(const ItemState& state, const ItemInputs& inputs) const {
  std::array<Row, k_max_members> all;
  for (std::size_t k = 0; k < kept_.size(); ++k) {
    all[k].x = {1, state.response[k] - 1, inputs.last ? *inputs.last - inputs.usual : 0,
                inputs.long_run - inputs.usual};
    all[k].missing = inputs.last ? 0 : 0b100;
  }
  return all;
}

Mixture ItemResponse::distribution(const ItemState& state, const ItemInputs& inputs) const {
  Mixture m = grid_.forecast(state.grid, rows(state, inputs));
  for (std::size_t k = 0; k < m.size; ++k) m.part[k].mean += inputs.usual;
  return m;
}

ItemForecast ItemResponse::forecast(const ItemState& state, const ItemInputs& inputs) const {
  ItemForecast f{.distribution = distribution(state, inputs)};
  f.value = range80(f.distribution);
  return f;
}

void ItemResponse::update(ItemState& state, const ItemInputs& inputs, double value) const {
  grid_.update(state.grid, rows(state, inputs), value - inputs.usual);
}

Range80 ItemResponse::load_effect(const ItemState& state) const {
  return range80(grid_.coefficient(state.grid, 1));
}

std::string ItemResponse::save(const ItemState& state) const {
  ByteWriter out;
  out.byte(k_state_version);
  for (std::size_t i = 0; i < kept_.size(); ++i) out.number(state.response[i]);
  out.text(grid_.save(state.grid));
  return std::move(out).bytes();
}

Result<ItemState> ItemResponse::load(std::string_view bytes) const {
  const auto head = 1 + 8 * kept_.size();
  ByteReader in(bytes);
  if (bytes.size() < head || in.byte() != k_state_version) {
    return fail(Errc::bad_data,
                "a stored state of the learner is damaged or from another version; it must be learned anew");
  }
  ItemState state = start();
  for (std::size_t i = 0; i < kept_.size(); ++i) state.response[i] = in.number();
  STEELYARD_TRY_ASSIGN(state.grid, grid_.load(bytes.substr(head)));
  return state;
}

}  // namespace steelyard::fit
