#pragma once
/// Walks one athlete's entries day by day and learns what strength and the morning items follow.
/// definition  Every calendar day: one step of each target; then the forecast; then, where something was observed, its
///             update. Forecasts of strength are made on the morning of the session from what was known then (the check
///             and the first warm-up of that day, the set as prescribed); forecasts of a morning item on the evening
///             before. Nothing that was entered for a later moment changes a forecast.
///             strength  100 ln(e1RM / reference max); the reference is fixed when the lift is first estimated (the
///                       training max in force, else that estimate), so a new training max shifts nothing
///             work      dose as that lift feels it (load::dose_felt), for items session load, over the usual of a
///                       calendar day, frozen as the mean of 28 known days from the first with work on; before that,
///                       and on days not known, as usual. A short gap counts as rest from the next entry on
/// use         walk() may be called in pieces: state after day a, walked to b, equals one walk to b bit for bit
/// cost        about 15 us a day and lift (grid of 12), 1 us a day and item; tests/bench/learn.cpp measures it
/// thread safety  a Learner does not change; states are plain values

#include <functional>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/base/result.hpp"
#include "steelyard/domain/learned.hpp"
#include "steelyard/domain/log.hpp"
#include "steelyard/fit/item_response.hpp"
#include "steelyard/fit/rep_max.hpp"
#include "steelyard/fit/squad.hpp"
#include "steelyard/fit/strength_response.hpp"
#include "steelyard/params/models.hpp"

namespace steelyard::learn {

/// Days of entries before the first day walked that a walk looks at: own usual of 56 days and what is estimated from
/// the 56 days before a session.
inline constexpr int k_days_before = 120;

/// Prior of each lift as re-estimated over a squad; lifts without one take the model's.
struct LiftPrior {
  PerCause mean{};
  PerCause sd{};
  friend bool operator==(const LiftPrior&, const LiftPrior&) = default;
};
using SquadPriors = std::map<std::string, LiftPrior, std::less<>>;

/// Past forecasts of the learner beside the 28-day mean, from which it is decided who speaks.
struct Tally {
  int n = 0;
  double learner = 0;  ///< sum of CRPS, older ones fading; items: of the normal with the same mean and variance
  double usual28 = 0;
  double scatter = 0;  ///< sum of squared differences of the two, fading twice as fast
  friend bool operator==(const Tally&, const Tally&) = default;
};

/// Relative work behind a target: usual of a calendar day, and what may still turn out to have been rest.
struct WorkState {
  int known_days = 0;  ///< of the 28
  double sum = 0;
  std::optional<double> usual;
  Day settled{};                                  ///< mornings up to this one are final
  std::array<double, fit::k_max_members> slow{};  ///< responses on that morning, per time constant
  std::array<double, fit::k_max_members> fast{};
};

struct LiftState {
  std::string lift;
  std::optional<double> reference_kg;
  WorkState work;
  fit::ResponseState response;
  double log_spread = 0;  ///< how much wider forecasts are made, by how many of the past ones missed their 80 % range
  int sessions = 0;
  std::array<int, k_causes> entered{};  ///< sessions with that cause known
  Tally tally;
};

struct ItemTargetState {
  bool started = false;
  WorkState work;
  fit::ItemState response;
  double log_spread = 0;  ///< how much wider forecasts are made, by how wide past ones should have been
  int values = 0;
  double sum = 0;  ///< of all values
  Tally tally;
};

struct LearnedState {
  std::optional<Day> through;  ///< last day walked; none = nothing yet
  std::vector<LiftState> lifts;
  std::array<ItemTargetState, k_item_words.size()> items{};
};

/// One forecast as it was made, with everything that marks need.
struct Scored {
  ForecastLine line;          ///< without the athlete
  bool stepped_back = false;  ///< the 28-day mean spoke in the learner's place
  bool has_scores = false;    ///< all plain forecasts were there
  double crps = 0;
  double crps_usual28 = 0;
  double crps_last = 0;
  double crps_ewma = 0;
  double pit = 0;
};
using Watcher = std::function<void(const Scored&)>;

/// What one lift is expected to show today.
struct LiftToday {
  std::string lift;
  ExpectedStrength expected;  ///< % of the training max of today
  int sessions = 0;
  int nights = 0;        ///< with sleep known, among them
  fit::Range80 sleep{};  ///< log points for one own SD more sleep
};

struct Today {
  std::vector<LiftToday> lifts;
  [[nodiscard]] const LiftToday* find(std::string_view lift) const;
};

class Learner {
 public:
  /// errors  bad_data: a model that no learner can be made of
  [[nodiscard]] static Result<Learner> make(const Models& models, const SquadPriors& priors = {});

  [[nodiscard]] LearnedState start() const { return {}; }
  /// Walks the days after state.through (else from the first entry) to `last`.
  /// domain  log reaches back k_days_before beyond the first day walked, or holds everything
  /// watch   every forecast with an observation, in order of days; may be empty
  void walk(const AthleteLog& log, Day last, LearnedState& state, const Watcher& watch = {}) const;

  /// Lifts planned today with sessions_to_expect or more scored sessions, as they stand this morning.
  /// domain  state.through = yesterday (else the days between are walked on a copy)
  [[nodiscard]] Today today(const AthleteLog& log, Day today, const LearnedState& state) const;

  /// What one own SD of a cause is worth in that lift.
  [[nodiscard]] fit::Range80 effect(const LiftState& lift, Cause cause) const;
  /// Noise of a session or a morning as learned so far, in the target's unit (strength: log points).
  [[nodiscard]] double noise_sd(const LiftState& lift) const;
  [[nodiscard]] double noise_sd(const ItemTargetState& item) const;
  [[nodiscard]] bool steps_back(const Tally& tally) const;

  /// Sums of one lift's regression over a whole log, for fit::squad_prior; a missing item counts as usual.
  [[nodiscard]] fit::PersonSums person_sums(const AthleteLog& log, std::string_view lift, Day last) const;

  /// Bytes and back, bit for bit.   errors of load  bad_data
  [[nodiscard]] std::string save(const LearnedState& state) const;
  [[nodiscard]] Result<LearnedState> load(std::string_view bytes) const;

  [[nodiscard]] const Models& models() const { return *models_; }

 private:
  friend class Walk;
  Learner() = default;
  [[nodiscard]] const fit::StrengthResponse& response(std::string_view lift) const;

  const Models* models_ = nullptr;
  std::vector<fit::StrengthResponse> plain_;  ///< one, in a vector because it has no empty form
  std::map<std::string, fit::StrengthResponse, std::less<>> squad_;
  std::vector<fit::ItemResponse> items_;  ///< by Item
  std::vector<fit::RepMax> curve_;        ///< one
};

}  // namespace steelyard::learn
