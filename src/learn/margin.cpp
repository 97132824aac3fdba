#include "learn/margin.hpp"

#include <algorithm>
#include <cmath>

#include "steelyard/learn/learner.hpp"
#include "steelyard/series/usual.hpp"

namespace steelyard::learn {

Margin Learner::margin(const LiftState& lift, fit::ResponseInputs inputs, double shift) const {
  struct Guarded {
    Cause cause;
    std::optional<double> fit::ResponseInputs::*input;
    int good;  ///< +1: more of it is better
  };
  constexpr std::array<Guarded, 6> k_guarded{{{Cause::sleep, &fit::ResponseInputs::sleep, 1},
                                              {Cause::fatigue, &fit::ResponseInputs::fatigue, -1},
                                              {Cause::stress, &fit::ResponseInputs::stress, -1},
                                              {Cause::soreness, &fit::ResponseInputs::soreness, -1},
                                              {Cause::mood, &fit::ResponseInputs::mood, 1},
                                              {Cause::bar_speed, &fit::ResponseInputs::bar_speed, 1}}};
  const PerCause effects = response(lift.lift).effects(lift.response);
  const auto effect = [&](Cause cause) { return effects[static_cast<std::size_t>(cause)]; };
  double of_morning = 0;
  for (const Guarded& g : k_guarded) {
    std::optional<double>& input = inputs.*g.input;
    const double learned = effect(g.cause);
    if (input && learned * g.good > 0) of_morning += learned * *input;
    if (input) input = 0;
  }
  const double tired = response(lift.lift).shares(lift.response, inputs)[static_cast<std::size_t>(Cause::tiredness)];
  Margin margin{.strength = widened(response(lift.lift).distribution(lift.response, inputs), lift.log_spread),
                .percent = inputs.percent,
                .reps = inputs.reps,
                .per_percent = effect(Cause::set_percent) / fit::k_points_a_unit,
                .per_rep = effect(Cause::set_reps) / fit::k_reps_a_unit,
                .of_today = of_morning + tired,
                .past = lift.chances};
  for (std::size_t k = 0; k < margin.strength.size; ++k) margin.strength.part[k].mean += shift + of_morning;
  return margin;
}

std::optional<double> chance_above(const fit::Mixture& strength, double percent, double reps, double rpe,
                                   const fit::RepMax& curve) {
  const auto needed = points_needed(percent, reps, rpe, curve);
  if (!needed) return std::nullopt;
  return 100 * fit::cdf(strength, *needed);
}

std::optional<double> Margin::chance(double set_percent, double set_reps, double rpe, const fit::RepMax& curve) const {
  fit::Mixture of_set = strength;
  const double moved = per_percent * (set_percent - percent) + per_rep * (set_reps - reps);
  for (std::size_t k = 0; k < of_set.size; ++k) of_set.part[k].mean += moved;
  return chance_above(of_set, set_percent, set_reps, rpe, curve);
}

fit::Mixture StrengthAhead::after(const std::vector<double>& doses, double percent, double reps) const {
  fit::ResponseState state = state_;
  for (const double dose : doses) engine_.step(state, dose / usual_dose_);
  fit::ResponseInputs inputs = inputs_;
  if (!doses.empty()) {
    for (const auto input : {&fit::ResponseInputs::sleep, &fit::ResponseInputs::fatigue, &fit::ResponseInputs::stress,
                             &fit::ResponseInputs::soreness, &fit::ResponseInputs::mood}) {
      if (inputs.*input != 0) inputs.*input = std::nullopt;  // 0: this lifter does not enter it
    }
    inputs.bar_speed = 0;  // the first warm-up will speak for itself
  }
  inputs.percent = percent;
  inputs.reps = reps;
  fit::Mixture mixture = widened(engine_.distribution(state, inputs), log_spread_);
  for (std::size_t k = 0; k < mixture.size; ++k) mixture.part[k].mean += shift_;
  return mixture;
}

std::optional<double> Margin::usual_chance(double set_percent, double set_reps, double rpe,
                                           const fit::RepMax& curve) const {
  Margin usual = *this;
  for (std::size_t k = 0; k < usual.strength.size; ++k) usual.strength.part[k].mean -= of_today;
  return usual.chance(set_percent, set_reps, rpe, curve);
}

std::optional<double> PastChances::median() const {
  const auto kept = std::min(static_cast<std::size_t>(n), k_kept);
  return series::median({value.begin(), value.begin() + static_cast<std::ptrdiff_t>(kept)});
}

std::vector<double> SorenessAhead::mornings(const std::vector<double>& loads_au) const {
  fit::ItemState state = state_;
  fit::ItemInputs inputs = inputs_;
  std::vector<double> values;
  for (const double load : loads_au) {
    engine_.step(state, load / usual_load_au_);
    values.push_back(std::clamp(fit::mean(engine_.distribution(state, inputs)), 1.0, 7.0));
    inputs.last = values.back();
  }
  return values;
}

}  // namespace steelyard::learn
