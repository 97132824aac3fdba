#include "steelyard/fit/strength_response.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "steelyard/fit/bytes.hpp"
#include "steelyard/fit/impulse.hpp"

namespace steelyard::fit {

namespace {

PerCause first_causes(const Terms& terms) {
  PerCause first{};
  std::copy_n(terms.begin(), k_causes, first.begin());
  return first;
}

constexpr std::uint8_t k_state_version = 1;
constexpr std::array<std::string_view, k_causes> k_cause_words{"level",     "fitness",     "tiredness", "sleep",
                                                               "fatigue",   "stress",      "soreness",  "mood",
                                                               "bar-speed", "set-percent", "set-reps"};

constexpr std::size_t index(Cause cause) {
  return static_cast<std::size_t>(cause);
}

std::vector<double> kept(const std::vector<double>& taus) {
  std::vector<double> all;
  for (const double tau : taus) all.push_back(kept_per_day(tau));
  return all;
}

bool all_positive(const std::vector<double>& values) {
  return std::all_of(values.begin(), values.end(), [](double x) { return x > 0 && std::isfinite(x); });
}

void put(Row& row, Cause cause, const std::optional<double>& value) {
  if (value) {
    row.x[index(cause)] = *value;
  } else {
    row.missing |= 1U << index(cause);
  }
}

}  // namespace

std::span<const std::string_view> cause_words() {
  return k_cause_words;
}

Range80 StrengthForecast::percent() const {
  const auto of = [](double points) { return 100 * std::exp(points / 100); };
  return {.mean = of(log_points.mean), .low = of(log_points.low), .high = of(log_points.high)};
}

std::optional<double> usual_dose(std::span<const std::optional<double>> days) {
  constexpr int k_days = 28;
  double sum = 0;
  int known = 0;
  for (const auto& day : days) {
    if (!day) continue;
    sum += *day;
    if (++known == k_days) break;
  }
  if (known < k_days || !(sum > 0)) return std::nullopt;
  return sum / k_days;
}

Result<StrengthResponse> StrengthResponse::make(const ResponseModel& model) {
  const auto members = model.tau_fitness.size() * model.tau_tiredness.size();
  if (members < 1 || members > k_max_members) return fail(Errc::usage, "1 to 12 pairs of time constants are allowed");
  if (!all_positive(model.tau_fitness) || !all_positive(model.tau_tiredness)) {
    return fail(Errc::usage, "time constants are positive");
  }
  if (!(model.noise_sd > 0) || !(model.noise_weight >= 3) || !(model.single_sd > 0)) {
    return fail(Errc::usage, "the noise and the error of a single are positive, the noise's weight is 3 or more");
  }
  Terms mean{};
  Terms sd{};
  Forgetting forgetting;
  forgetting.noise = model.noise_discount;
  for (std::size_t i = 0; i < k_causes; ++i) {
    if (!(model.sd[i] > 0)) return fail(Errc::usage, "the SD of every effect is positive");
    mean[i] = model.mean[i];
    sd[i] = model.sd[i];
    forgetting.discount[i] = model.discount[i];
  }
  const auto prior = Prior::independent(static_cast<int>(k_causes), mean, sd, model.noise_sd, model.noise_weight);
  STEELYARD_TRY_ASSIGN(const Engine engine, Engine::forgetting(prior, forgetting));
  STEELYARD_TRY_ASSIGN(Grid grid, Grid::make(engine, {.members = members,
                                                      .memory = model.weight_memory,
                                                      .least_weight = model.least_weight,
                                                      .least_noise = model.single_sd * model.single_sd / 4}));
  return StrengthResponse(model, grid);
}

StrengthResponse::StrengthResponse(const ResponseModel& model, const Grid& grid)
    : grid_(grid),
      single_sd_(model.single_sd),
      kept_fitness_(kept(model.tau_fitness)),
      kept_tiredness_(kept(model.tau_tiredness)) {}

ResponseState StrengthResponse::start() const {
  ResponseState state{.grid = grid_.start()};
  state.fitness.fill(1);
  state.tiredness.fill(1);
  return state;
}

void StrengthResponse::step(ResponseState& state, std::optional<double> dose_of_yesterday) const {
  const double dose = dose_of_yesterday.value_or(1);
  for (std::size_t i = 0; i < kept_fitness_.size(); ++i) {
    state.fitness[i] = next_response(state.fitness[i], dose, kept_fitness_[i]);
  }
  for (std::size_t i = 0; i < kept_tiredness_.size(); ++i) {
    state.tiredness[i] = next_response(state.tiredness[i], dose, kept_tiredness_[i]);
  }
  grid_.drift(state.grid, 1);
}

std::array<Row, k_max_members> StrengthResponse::rows(const ResponseState& state, const ResponseInputs& inputs,
                                                      std::optional<double> sd_percent) const {
  Row row;
  const double relative = sd_percent.value_or(single_sd_) / single_sd_;
  row.v = relative * relative;
  row.x[index(Cause::level)] = 1;
  put(row, Cause::sleep, inputs.sleep);
  put(row, Cause::fatigue, inputs.fatigue);
  put(row, Cause::stress, inputs.stress);
  put(row, Cause::soreness, inputs.soreness);
  put(row, Cause::mood, inputs.mood);
  put(row, Cause::bar_speed, inputs.bar_speed);
  const SetTerms set = set_terms(inputs.percent, inputs.reps);
  row.x[index(Cause::set_percent)] = set.percent;
  row.x[index(Cause::set_reps)] = set.reps;
  std::array<Row, k_max_members> all;
  for (std::size_t g = 0; g < kept_fitness_.size(); ++g) {
    for (std::size_t h = 0; h < kept_tiredness_.size(); ++h) {
      row.x[index(Cause::fitness)] = state.fitness[g] - 1;
      row.x[index(Cause::tiredness)] = 1 - state.tiredness[h];
      all[g * kept_tiredness_.size() + h] = row;
    }
  }
  return all;
}

Mixture StrengthResponse::distribution(const ResponseState& state, const ResponseInputs& inputs) const {
  return grid_.forecast(state.grid, rows(state, inputs, inputs.sd_percent));
}

StrengthForecast StrengthResponse::forecast(const ResponseState& state, const ResponseInputs& inputs) const {
  StrengthForecast f{.distribution = distribution(state, inputs), .log_points = {}, .share = shares(state, inputs)};
  f.log_points = range80(f.distribution);
  return f;
}

PerCause StrengthResponse::shares(const ResponseState& state, const ResponseInputs& inputs) const {
  return first_causes(grid_.shares(state.grid, rows(state, inputs, inputs.sd_percent)));
}

PerCause StrengthResponse::effects(const ResponseState& state) const {
  std::array<Row, k_max_members> ones;
  for (Row& row : ones) row.x.fill(1);
  return first_causes(grid_.shares(state.grid, ones));
}

void StrengthResponse::update(ResponseState& state, const ResponseInputs& inputs,
                              const StrengthObservation& seen) const {
  grid_.update(state.grid, rows(state, inputs, seen.sd_percent), seen.log_points);
}

Mixture StrengthResponse::coefficient(const ResponseState& state, Cause cause) const {
  return grid_.coefficient(state.grid, static_cast<int>(cause));
}

Range80 StrengthResponse::effect(const ResponseState& state, Cause cause) const {
  return range80(coefficient(state, cause));
}

std::string StrengthResponse::save(const ResponseState& state) const {
  ByteWriter out;
  out.byte(k_state_version);
  for (std::size_t i = 0; i < kept_fitness_.size(); ++i) out.number(state.fitness[i]);
  for (std::size_t i = 0; i < kept_tiredness_.size(); ++i) out.number(state.tiredness[i]);
  out.text(grid_.save(state.grid));
  return std::move(out).bytes();
}

Result<ResponseState> StrengthResponse::load(std::string_view bytes) const {
  const auto head = 1 + 8 * (kept_fitness_.size() + kept_tiredness_.size());
  ByteReader in(bytes);
  if (bytes.size() < head || in.byte() != k_state_version) {
    return fail(Errc::bad_data,
                "a stored state of the learner is damaged or from another version; it must be learned anew");
  }
  ResponseState state = start();
  for (std::size_t i = 0; i < kept_fitness_.size(); ++i) state.fitness[i] = in.number();
  for (std::size_t i = 0; i < kept_tiredness_.size(); ++i) state.tiredness[i] = in.number();
  STEELYARD_TRY_ASSIGN(state.grid, grid_.load(bytes.substr(head)));
  return state;
}

}  // namespace steelyard::fit
