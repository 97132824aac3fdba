#pragma once
/// The learner with what the store holds for it.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/app/context.hpp"
#include "steelyard/learn/learner.hpp"

namespace steelyard::app {

/// The learner of one athlete, and the digest that its states carry.
struct LearnerInForce {
  learn::Learner learner;
  std::string digest;
};
/// A squad prior serves those who begin after the day on which it was estimated: for anybody else it would have seen
/// what is to be forecast.
[[nodiscard]] Result<LearnerInForce> learner_for(Context& context, std::optional<Day> first_entry);

/// Days at whose end a state is kept, among (after, last], seen on the day after `last`.
[[nodiscard]] std::vector<Day> kept_days(std::optional<Day> after, Day last);

struct Learned {
  LearnerInForce in_force;
  learn::LearnedState state;
};
/// The state at the end of the day before, from the newest valid one; new states are kept.
/// around  log_around() that day; what lies further back is read only if no state is near enough
[[nodiscard]] Result<Learned> learned_before(Context& context, const AthleteLog& around, Day day);

/// Walks the whole log and gives the states to keep, each as the store takes it. Touches no store.
[[nodiscard]] std::vector<store::StoredState> states_of(const LearnerInForce& in_force, const AthleteLog& log,
                                                        learn::LearnedState& state, Day last);

}  // namespace steelyard::app
