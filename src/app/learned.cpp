#include "app/learned.hpp"

#include <algorithm>

#include "app/read_log.hpp"
#include "app/span.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/learn/squad.hpp"

namespace steelyard::app {
namespace {

constexpr std::string_view k_target = "learned";  // all targets of an athlete in one piece
constexpr int k_each_day = 15;
constexpr int k_each_week = 7 * 26;
constexpr int k_week = 7;
constexpr int k_quarter = 91;  // a multiple of the week, so that thinning only ever drops

bool is_kept(Day day, Day last) {
  const int age = days_between(day, last);
  const int number = day_number(day);
  return age < k_each_day || (age < k_each_week && number % k_week == 0) || number % k_quarter == 0;
}

/// Drops the states between that are too many by now.
Result<void> thin(store::Store& store, const AthleteLog& log, Day last) {
  const std::string& athlete = log.athlete.athlete;
  std::vector<store::StoredState> kept;
  std::size_t seen = 0;
  for (std::optional<Day> day = last; day;) {
    STEELYARD_TRY_ASSIGN(auto state, store.state(athlete, k_target, *day));
    if (!state) break;
    ++seen;
    day = state->date - Days{1};
    state->newest_entry = log.newest_entry;
    if (is_kept(state->date, last)) kept.push_back(*std::move(state));
  }
  if (seen == kept.size()) return {};
  STEELYARD_TRY(store.drop_states(athlete, k_first_day));
  return store.save_states(kept);
}

}  // namespace

Result<LearnerInForce> learner_for(Context& context, std::optional<Day> first_entry) {
  learn::SquadPriors priors;
  std::string text = context.models.digest;
  for (const LiftModel& lift : context.models.lifts.lifts) {
    if (!lift.main || !first_entry) continue;
    STEELYARD_TRY_ASSIGN(const auto stored, context.store.state("", "squad:" + lift.lift, *first_entry - Days{1}));
    if (!stored) continue;
    STEELYARD_TRY_ASSIGN(priors[lift.lift], learn::load_prior(stored->bytes));
    text += lift.lift + stored->bytes;
  }
  STEELYARD_TRY_ASSIGN(learn::Learner learner, learn::Learner::make(context.models, priors));
  return LearnerInForce{std::move(learner), priors.empty() ? context.models.digest : digest(text)};
}

std::vector<Day> kept_days(std::optional<Day> after, Day last) {
  constexpr int k_years = 20;  // earlier states than that save nothing worth having
  std::vector<Day> days;
  for (Day day = after ? *after + Days{1} : last - Days{366 * k_years}; day <= last; day += Days{1}) {
    if (is_kept(day, last)) days.push_back(day);
  }
  return days;
}

std::vector<store::StoredState> states_of(const LearnerInForce& in_force, const AthleteLog& log,
                                          learn::LearnedState& state, Day last) {
  std::vector<store::StoredState> states;
  for (const Day day : kept_days(state.through, last)) {
    in_force.learner.walk(log, day, state);
    if (state.through != day) continue;  // before the first entry
    states.push_back({.athlete = log.athlete.athlete,
                      .target = std::string(k_target),
                      .date = day,
                      .model_digest = in_force.digest,
                      .bytes = in_force.learner.save(state),
                      .newest_entry = log.newest_entry});
  }
  return states;
}

Result<Learned> learned_before(Context& context, const AthleteLog& around, Day day) {
  const Day last = day - Days{1};
  const std::string& athlete = around.athlete.athlete;
  STEELYARD_TRY_ASSIGN(LearnerInForce in_force, learner_for(context, around.first_entry));
  Learned learned{.in_force = std::move(in_force), .state = {}};
  STEELYARD_TRY_ASSIGN(const auto stored, context.store.state(athlete, k_target, last));
  bool stale = stored && stored->model_digest != learned.in_force.digest;
  if (stored && !stale) {
    auto loaded = learned.in_force.learner.load(stored->bytes);
    stale = !loaded;
    if (loaded) learned.state = *std::move(loaded);
  }
  if (stale) STEELYARD_TRY(context.store.drop_states(athlete, k_first_day));
  const Day from = learned.state.through ? *learned.state.through - Days{learn::k_days_before} : k_first_day;
  AthleteLog longer;
  const bool is_near = from >= day - Days{k_days_back};
  if (!is_near) {
    STEELYARD_TRY_ASSIGN(longer, read_log(context, athlete, from, day + Days{k_days_ahead}));
  }
  const auto states = states_of(learned.in_force, is_near ? around : longer, learned.state, last);
  if (states.empty()) return learned;
  if (stored && !stale && day_number(last) % k_week == 0) STEELYARD_TRY(thin(context.store, around, last));
  STEELYARD_TRY(context.store.save_states(states));
  return learned;
}

}  // namespace steelyard::app
