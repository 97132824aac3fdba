#pragma once
/// One walk over one athlete's log: each day's steps, forecasts and updates, in this order. Part of learner.cpp.

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "learn/day_table.hpp"
#include "learn/margin.hpp"
#include "learn/mornings.hpp"
#include "learn/predictive.hpp"
#include "learn/work.hpp"
#include "steelyard/fit/impulse.hpp"
#include "steelyard/fit/scores.hpp"
#include "steelyard/learn/learner.hpp"
#include "steelyard/load/bar_work.hpp"
#include "steelyard/series/training_max.hpp"

namespace steelyard::learn {

inline constexpr std::uint64_t k_pit_seed = 20260301;

[[nodiscard]] inline std::vector<double> kept(const std::vector<double>& taus) {
  std::vector<double> all;
  for (const double tau : taus) all.push_back(fit::kept_per_day(tau));
  return all;
}

[[nodiscard]] inline std::optional<fit::Forecast> normal_of(const std::optional<series::Usual>& usual) {
  if (!usual || usual->n < fit::k_least_values) return std::nullopt;
  const double sd = std::max(fit::k_least_sd, usual->sd);
  return fit::Forecast{.mean = usual->mean, .scale2 = sd * sd};
}

[[nodiscard]] inline double crps_of(const fit::Forecast& normal, double y) {
  return fit::crps_normal(normal.mean, std::sqrt(normal.scale2), y);
}

/// From log points of the reference to those of the training max.
[[nodiscard]] inline double shift_of(double reference_kg, double training_max_kg) {
  return 100 * std::log(reference_kg / training_max_kg);
}

/// One walk over one log.
class Walk {
 public:
  Walk(const Learner& learner, const AthleteLog& log, Day from, Day last, const Watcher& watch)
      : learner_(learner), table_(log, from, last, *learner.models_), watch_(watch) {
    const auto& strength = learner.models_->response.strength;
    lift_kept_ = {.slow = kept(strength.tau_fitness), .fast = kept(strength.tau_tiredness)};
    item_kept_ = {.slow = {}, .fast = kept(learner.models_->response.items.tau)};
  }

  [[nodiscard]] DayTable& table() { return table_; }
  /// Also adds up the rows of that lift's regression.
  void sum_up(std::string_view lift, fit::PersonSums& sums) {
    sums_lift_ = lift;
    sums_ = &sums;
  }

  void live(Day day, LearnedState& state) {
    for (std::size_t i = 0; i < state.items.size(); ++i) live_item(day, static_cast<Item>(i), state.items[i]);
    for (const auto& [lift, session] : table_.sessions(day)) {
      const auto known =
          std::find_if(state.lifts.begin(), state.lifts.end(), [&](const auto& l) { return l.lift == lift; });
      if (known != state.lifts.end()) continue;
      LiftState fresh{.lift = lift, .response = learner_.response(lift).start()};
      start_work(fresh.work, day);
      state.lifts.push_back(std::move(fresh));
    }
    for (LiftState& lift : state.lifts) live_lift(day, lift);
    if (watch_) {
      for (auto& [target, plain] : plain_) plain.add_day(observed_[target]);
      observed_.clear();
    }
    state.through = day;
  }

  /// The lift's responses on that morning, its engine one day on.
  void step_lift(Day day, LiftState& lift) {
    if (lift.work.settled < day) learner_.response(lift.lift).step(lift.response, std::nullopt);
    const auto dose = [&](Day d) { return table_.dose(d, lift.lift); };
    settle(lift.work, lift_kept_, day, learner_.models_->load.series.rest_gap_days, dose);
    const Responses now = responses_on(lift.work, lift_kept_, day, day, dose);
    lift.response.fitness = now.slow;
    lift.response.tiredness = now.fast;
  }

  void live_item(Day day, Item item, ItemTargetState& state) {
    const Check* check = table_.check(day);
    const auto value = check == nullptr ? std::nullopt : value_of(*check, item);
    const auto& engine = learner_.items_[static_cast<std::size_t>(item)];
    if (!state.started) {
      if (!value) return;
      state.started = true;
      start_work(state.work, day);
      state.response = engine.start();
      take_in(item, state, *value);
      return;
    }
    const auto load = [&](Day d) { return table_.load(d); };
    engine.step(state.response, std::nullopt);
    const auto usual = value ? usual_of(table_, item, day) : std::nullopt;
    const bool forecast = value && (usual || state.values >= fit::k_least_values);
    fit::ItemInputs inputs;
    if (forecast) {  // made the evening before; who writes seldom is compared with their own long run
      const double long_run = state.sum / state.values;
      inputs = {.usual = usual ? usual->mean : long_run, .last = last_of(table_, item, day), .long_run = long_run};
      state.response.response = responses_on(state.work, item_kept_, day, day - Days{1}, load).fast;
      judge_item(day, item, state, normal_of(usual), inputs, *value);
    }
    settle(state.work, item_kept_, day, learner_.models_->load.series.rest_gap_days, load);
    state.response.response = responses_on(state.work, item_kept_, day, day, load).fast;
    if (!value) return;
    if (forecast) engine.update(state.response, inputs, *value);
    take_in(item, state, *value);
  }

 private:
  void take_in(Item item, ItemTargetState& state, double value) {
    ++state.values;
    state.sum += value;
    observe(k_item_words[static_cast<std::size_t>(item)], value);
  }

  void judge_item(Day day, Item item, ItemTargetState& state, const std::optional<fit::Forecast>& plain,
                  const fit::ItemInputs& inputs, double value) {
    const auto& engine = learner_.items_[static_cast<std::size_t>(item)];
    const Predictive learned(widened(engine.distribution(state.response, inputs), state.log_spread));
    if (watch_) {
      Scored scored{.line = {.date = day,
                             .target = std::string(k_item_words[static_cast<std::size_t>(item)]),
                             .made_on = day - Days{1},
                             .observed = value},
                    .stepped_back = plain && learner_.steps_back(state.tally)};
      const bool whole = value == std::round(value);
      const auto pit = [&](auto cdf) {
        if (!whole) return cdf(value);
        const auto index =
            static_cast<std::uint64_t>(day_number(day)) * k_item_words.size() + static_cast<std::size_t>(item);
        return fit::pit_whole(cdf, static_cast<int>(value), 1, 7, fit::uniform(k_pit_seed, index));
      };
      if (scored.stepped_back) {
        fill(scored.line, *plain);
        scored.crps = crps_of(*plain, value);
        scored.pit = pit([&](double y) { return fit::cdf(*plain, y); });
      } else {
        scored.line.mean = learned.mean();
        scored.line.low80 = learned.quantile(0.1);
        scored.line.high80 = learned.quantile(0.9);
        scored.crps = learned.crps(value);
        scored.pit = pit([&](double y) { return learned.cdf(y); });
      }
      tell(scored, plain, value);
    }
    const fit::Forecast normal = learned.as_normal();
    if (plain) add(state.tally, crps_of(normal, value), crps_of(*plain, value));
    // Derivative of the normal's CRPS by the log of its SD, in SDs. It is zero on average where the spread is right.
    const auto& items = learner_.models_->response.items;
    const double z = items.wider * (value - normal.mean) / std::sqrt(normal.scale2);
    const double slope = 2 * fit::normal_density(z) - 1 / std::sqrt(std::numbers::pi);
    state.log_spread = std::clamp(state.log_spread - items.spread_gain * slope, -items.most_spread, items.most_spread);
  }

  void live_lift(Day day, LiftState& state) {
    step_lift(day, state);
    const auto found = table_.sessions(day).find(state.lift);
    if (found == table_.sessions(day).end()) return;
    const LiftSession& session = found->second;
    auto seen = estimate(day, state.lift);
    if (!seen) return;
    if (!state.reference_kg) {
      state.reference_kg =
          series::training_max(table_.log(), state.lift, day, learner_.models_->lifts).value_or(seen->kg);
    }
    fit::ResponseInputs inputs = morning_inputs(table_, day, state.lift);
    const unsigned entered = entered_causes(table_, day, state.lift, inputs);
    if (!add_prescription(table_, session.plan, &session, state.reference_kg, learner_.curve_.front(), inputs)) {
      return;
    }
    seen->sd_percent = with_the_day(seen->sd_percent, learner_.models_->strength);
    judge_lift(day, state, session, inputs, seen->kg);
    const double log_points = 100 * std::log(seen->kg / *state.reference_kg);
    if (sums_ != nullptr && state.lift == sums_lift_) add_row(state, inputs, log_points, seen->sd_percent);
    learner_.response(state.lift)
        .update(state.response, inputs, {.log_points = log_points, .sd_percent = seen->sd_percent});
    ++state.sessions;
    for (std::size_t i = 0; i < k_causes; ++i) state.entered[i] += (entered >> i) & 1U ? 1 : 0;
    observe("strength:" + state.lift, seen->kg);
  }

  void judge_lift(Day day, LiftState& state, const LiftSession& session, const fit::ResponseInputs& inputs, double kg) {
    const auto plain = normal_of(recent_estimates(day, state.lift));
    const Predictive learned(
        widened(learner_.response(state.lift).distribution(state.response, inputs), state.log_spread));
    const double reference = *state.reference_kg;
    keep_chance(day, state, session, inputs, learned);
    const double crps = learned.crps_of_log_points(kg, reference);
    if (watch_) {
      Scored scored{.line = {.date = day, .target = "strength:" + state.lift, .made_on = day, .observed = kg},
                    .stepped_back = plain && learner_.steps_back(state.tally)};
      if (scored.stepped_back) {
        fill(scored.line, *plain);
        scored.crps = crps_of(*plain, kg);
        scored.pit = fit::cdf(*plain, kg);
      } else {
        const auto in_kg = [&](double points) { return reference * std::exp(points / 100); };
        scored.line.mean = in_kg(learned.mean());
        scored.line.low80 = in_kg(learned.quantile(0.1));
        scored.line.high80 = in_kg(learned.quantile(0.9));
        scored.crps = crps;
        scored.pit = learned.cdf(100 * std::log(kg / reference));
      }
      tell(scored, plain, kg);
    }
    if (plain) add(state.tally, crps, crps_of(*plain, kg));
    const double p = learned.cdf(100 * std::log(kg / reference));
    const bool outside = p < 0.1 || p > 0.9;
    const auto& strength = learner_.models_->response.strength;
    state.log_spread = std::clamp(state.log_spread + strength.spread_gain * ((outside ? 1 : 0) - 0.2),
                                  -strength.most_spread, strength.most_spread);
  }

  void keep_chance(Day day, LiftState& state, const LiftSession& session, const fit::ResponseInputs& inputs,
                   const Predictive& learned) {
    const auto max = series::training_max(table_.log(), state.lift, day, learner_.models_->lifts);
    const DayKind kind = session.plan != nullptr ? session.plan->kind
                                                 : load::kind_of_work(inputs.percent, inputs.reps, *learner_.models_);
    const auto index = static_cast<std::size_t>(kind);
    if (!max || index >= state.chances.size()) return;
    const auto model = learner_.models_->day_kinds.kinds.find(kind);
    if (model == learner_.models_->day_kinds.kinds.end()) return;
    const auto needed = points_needed(inputs.percent, inputs.reps, model->second.rpe_cap, learner_.curve_.front());
    if (!needed) return;
    state.chances[index].add(100 * learned.cdf(*needed - shift_of(*state.reference_kg, *max)));
  }

  /// One row of the lift's regression, with the mean response over the time constants.
  void add_row(const LiftState& state, const fit::ResponseInputs& inputs, double log_points, double sd_percent) {
    const auto mean = [](const auto& values, std::size_t n) {
      double sum = 0;
      for (std::size_t i = 0; i < n; ++i) sum += values[i];
      return sum / static_cast<double>(n);
    };
    const double relative = sd_percent / learner_.models_->response.strength.single_sd;
    const fit::SetTerms set = fit::set_terms(inputs.percent, inputs.reps);
    fit::Row row{.x = {1, mean(state.response.fitness, lift_kept_.slow.size()) - 1,
                       1 - mean(state.response.tiredness, lift_kept_.fast.size()), inputs.sleep.value_or(0),
                       inputs.fatigue.value_or(0), inputs.stress.value_or(0), inputs.soreness.value_or(0),
                       inputs.mood.value_or(0), inputs.bar_speed.value_or(0), set.percent, set.reps},
                 .v = relative * relative};
    sums_->add(row, log_points);
  }

  static void fill(ForecastLine& line, const fit::Forecast& plain) {
    const double sd = std::sqrt(plain.scale2);
    line.mean = plain.mean;
    line.low80 = plain.mean - fit::k_z90 * sd;
    line.high80 = plain.mean + fit::k_z90 * sd;
  }

  void add(Tally& tally, double learner, double usual28) const {
    const double memory = learner_.models_->response.evidence.comparison_memory;
    ++tally.n;
    tally.learner = memory * tally.learner + learner;
    tally.usual28 = memory * tally.usual28 + usual28;
    tally.scatter = memory * memory * tally.scatter + (learner - usual28) * (learner - usual28);
  }

  void tell(Scored& scored, const std::optional<fit::Forecast>& plain, double y) {
    const auto others = plain_.find(scored.line.target);
    if (plain && others != plain_.end()) {
      const auto last = others->second.last();
      const auto ewma = others->second.ewma_of_7();
      scored.has_scores = last && ewma;
      if (scored.has_scores) {
        scored.crps_usual28 = crps_of(*plain, y);
        scored.crps_last = crps_of(*last, y);
        scored.crps_ewma = crps_of(*ewma, y);
      }
    }
    watch_(scored);
  }

  /// For the plain forecasts, which take every calendar day from the first value on.
  void observe(std::string_view target, double value) {
    if (!watch_) return;
    plain_.try_emplace(std::string(target));
    observed_[std::string(target)] = value;
  }

  std::optional<fit::Estimate> estimate(Day day, std::string_view lift) const {
    const auto session = table_.sessions(day).find(lift);
    if (session == table_.sessions(day).end()) return std::nullopt;
    std::vector<fit::SetResult> sets;
    for (const SetRow* set : session->second.sets) {
      double kg = set->weight_kg.value_or(0);
      if (!set->weight_kg && set->percent) {
        const auto max = series::training_max(table_.log(), lift, day, learner_.models_->lifts);
        if (max) kg = *set->percent / 100 * *max;
      }
      if (!(kg > 0)) continue;
      sets.push_back(
          {.kg = kg, .reps = set->reps, .sets = set->sets, .rpe = set->rpe, .missed = set->missed.value_or(0)});
    }
    return learner_.curve_.front().session_e1rm(sets);
  }

  std::optional<series::Usual> recent_estimates(Day day, std::string_view lift) const {
    std::vector<double> kg;
    for (Day d = day - Days{fit::k_usual_days}; d < day; d += Days{1}) {
      if (const auto one = estimate(d, lift)) kg.push_back(one->kg);
    }
    return series::moments(kg);
  }

  const Learner& learner_;
  DayTable table_;
  const Watcher& watch_;
  Kept lift_kept_;
  Kept item_kept_;
  std::map<std::string, fit::Baselines, std::less<>> plain_;
  std::map<std::string, std::optional<double>, std::less<>> observed_;
  std::string_view sums_lift_;
  fit::PersonSums* sums_ = nullptr;
};

}  // namespace steelyard::learn
