#include "steelyard/learn/learner.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "learn/walk.hpp"

namespace steelyard::learn {
namespace {

/// What every cause adds, in log points of the training max of today. The level and the weight and repetitions planned
/// say one thing together: what this work usually shows.
std::vector<Share> shares_of(const PerCause& share, double shift) {
  constexpr std::array<std::pair<Cause, std::string_view>, 8> k_names{{{Cause::fitness, "work of the last weeks"},
                                                                       {Cause::tiredness, "work of the last days"},
                                                                       {Cause::sleep, "sleep"},
                                                                       {Cause::fatigue, "fatigue"},
                                                                       {Cause::stress, "stress"},
                                                                       {Cause::soreness, "soreness of the movers"},
                                                                       {Cause::mood, "mood"},
                                                                       {Cause::bar_speed, "first warm-up speed"}}};
  const auto of = [&](Cause cause) { return share[static_cast<std::size_t>(cause)]; };
  std::vector<Share> shares{{.from = "usual for this work",
                             .percent = of(Cause::level) + of(Cause::set_percent) + of(Cause::set_reps) + shift}};
  for (const auto& [cause, name] : k_names) {
    if (of(cause) != 0) shares.push_back({.from = std::string(name), .percent = of(cause)});
  }
  return shares;
}

double noise_of(const fit::GridState& grid, std::size_t members) {
  double variance = 0;
  for (std::size_t k = 0; k < members; ++k) variance += grid.weight[k] * grid.member[k].d / grid.member[k].n;
  return std::sqrt(variance);
}

}  // namespace

const LiftToday* Today::find(std::string_view lift) const {
  const auto found = std::find_if(lifts.begin(), lifts.end(), [&](const LiftToday& l) { return l.lift == lift; });
  return found == lifts.end() ? nullptr : &*found;
}

Result<Learner> Learner::make(const Models& models, const SquadPriors& priors) {
  Learner learner;
  learner.models_ = &models;
  STEELYARD_TRY_ASSIGN(auto plain, fit::StrengthResponse::make(models.response.strength));
  learner.plain_.push_back(std::move(plain));
  for (const auto& [lift, prior] : priors) {
    ResponseModel model = models.response.strength;
    model.mean = prior.mean;
    model.sd = prior.sd;
    STEELYARD_TRY_ASSIGN(auto own, fit::StrengthResponse::make(model));
    learner.squad_.emplace(lift, std::move(own));
  }
  learner.items_.reserve(k_item_words.size());
  for (std::size_t i = 0; i < k_item_words.size(); ++i) {
    STEELYARD_TRY_ASSIGN(auto item, fit::ItemResponse::make(models.response.items.of(static_cast<Item>(i))));
    learner.items_.push_back(std::move(item));
  }
  STEELYARD_TRY_ASSIGN(auto curve, fit::RepMax::make(models.strength));
  learner.curve_.push_back(std::move(curve));
  return learner;
}

const fit::StrengthResponse& Learner::response(std::string_view lift) const {
  const auto own = squad_.find(lift);
  return own == squad_.end() ? plain_.front() : own->second;
}

void Learner::walk(const AthleteLog& log, Day last, LearnedState& state, const Watcher& watch) const {
  const Day from = state.through ? *state.through - Days{k_days_before} : Day{Days{-100000}};
  Walk walk(*this, log, from, last, watch);
  if (walk.table().empty()) return;
  Day day = state.through ? *state.through + Days{1} : walk.table().first();
  for (; day <= last; day += Days{1}) walk.live(day, state);
}

fit::PersonSums Learner::person_sums(const AthleteLog& log, std::string_view lift, Day last) const {
  fit::PersonSums sums;
  const Watcher nobody;
  Walk walk(*this, log, Day{Days{-100000}}, last, nobody);
  walk.sum_up(lift, sums);
  LearnedState state;
  if (walk.table().empty()) return sums;
  for (Day day = walk.table().first(); day <= last; day += Days{1}) walk.live(day, state);
  return sums;
}

Today Learner::today(const AthleteLog& log, Day today, LearnedState now) const {
  Today result;
  if (!now.through || *now.through < today - Days{1}) walk(log, today - Days{1}, now);
  std::optional<AthleteLog> present;  // who asks is there: a short gap before today was rest
  const auto at =
      std::lower_bound(log.checks.begin(), log.checks.end(), today, [](const Check& c, Day d) { return c.date < d; });
  if (at == log.checks.end() || at->date != today) {
    present = log;
    present->checks.insert(present->checks.begin() + (at - log.checks.begin()),
                           Check{.athlete = log.athlete.athlete, .date = today});
  }
  const Watcher nobody;
  Walk walk(*this, present ? *present : log, today - Days{k_days_before}, today, nobody);
  for (LiftState& lift : now.lifts) {
    const PlanRow* plan = walk.table().plan(today, lift.lift);
    const auto max = series::training_max(log, lift.lift, today, models_->lifts);
    const auto& evidence = models_->response.evidence;
    if (plan == nullptr || !max || !lift.reference_kg || lift.sessions < evidence.sessions_to_expect) continue;
    if (steps_back(lift.tally)) continue;
    walk.step_lift(today, lift);
    fit::ResponseInputs inputs = morning_inputs(walk.table(), today, lift.lift);
    if (!add_prescription(walk.table(), plan, nullptr, lift.reference_kg, curve_.front(), inputs)) {
      continue;
    }
    const auto& engine = response(lift.lift);
    const Predictive learned(widened(engine.distribution(lift.response, inputs), lift.log_spread));
    const double shift = shift_of(*lift.reference_kg, *max);
    const auto percent = [&](double points) { return 100 * std::exp((points + shift) / 100); };
    LiftToday one{.lift = lift.lift,
                  .sessions = lift.sessions,
                  .nights = lift.entered[static_cast<std::size_t>(Cause::sleep)],
                  .sleep = effect(lift, Cause::sleep)};
    one.expected = {.percent = percent(learned.mean()),
                    .low80 = percent(learned.quantile(0.1)),
                    .high80 = percent(learned.quantile(0.9)),
                    .sessions = lift.sessions,
                    .learned = true};
    one.expected.shares = shares_of(engine.shares(lift.response, inputs), shift);
    one.margin = margin(lift, inputs, shift);
    if (lift.work.usual && *lift.work.usual > 0)
      one.ahead.emplace(engine, lift.response, inputs, shift, *lift.work.usual, lift.log_spread);
    result.lifts.push_back(std::move(one));
  }
  result.soreness = soreness_ahead(walk, today, now);
  return result;
}

std::optional<SorenessAhead> Learner::soreness_ahead(Walk& walk, Day today, const LearnedState& state) const {
  ItemTargetState item = state.items[static_cast<std::size_t>(Item::soreness)];
  if (!item.started || item.tally.n < models_->response.evidence.forecasts_to_compare || steps_back(item.tally) ||
      !item.work.usual || !(*item.work.usual > 0)) {
    return std::nullopt;
  }
  const auto usual = usual_of(walk.table(), Item::soreness, today);
  if (!usual) return std::nullopt;
  walk.live_item(today, Item::soreness, item);
  const Check* check = walk.table().check(today);
  const auto value = check == nullptr ? std::nullopt : value_of(*check, Item::soreness);
  return SorenessAhead(items_[static_cast<std::size_t>(Item::soreness)], item.response,
                       {.usual = usual->mean,
                        .last = value ? value : last_of(walk.table(), Item::soreness, today),
                        .long_run = item.sum / item.values},
                       *item.work.usual);
}

fit::Range80 Learner::effect(const LiftState& lift, Cause cause) const {
  const Predictive worth(response(lift.lift).coefficient(lift.response, cause));
  return {.mean = worth.mean(), .low = worth.quantile(0.1), .high = worth.quantile(0.9)};
}

double Learner::noise_sd(const LiftState& lift) const {
  const auto& model = models_->response.strength;
  return noise_of(lift.response.grid, model.tau_fitness.size() * model.tau_tiredness.size());
}

double Learner::noise_sd(const ItemTargetState& item) const {
  return noise_of(item.response.grid, models_->response.items.tau.size());
}

bool Learner::steps_back(const Tally& tally) const {
  const auto& evidence = models_->response.evidence;
  return tally.n >= evidence.forecasts_to_compare &&
         tally.learner - tally.usual28 > evidence.worse_by_se * std::sqrt(tally.scatter);
}

}  // namespace steelyard::learn
