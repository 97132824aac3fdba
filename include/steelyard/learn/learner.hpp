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
/// cost        about 15 us a day and lift (grid of 12), 1 us a day and item; tests/bench/parts.cpp measures it
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

class Walk;

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

/// Chances (%) of ending above the RPE cap, as they stood before the last sessions of one kind of day.
struct PastChances {
  static constexpr std::size_t k_kept = 9;
  std::array<double, k_kept> value{};
  int n = 0;  ///< ever added
  void add(double chance) { value[static_cast<std::size_t>(n++) % k_kept] = chance; }
  [[nodiscard]] std::optional<double> median() const;
  friend bool operator==(const PastChances&, const PastChances&) = default;
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
  std::array<PastChances, 3> chances{};  ///< by DayKind: heavy, volume, speed
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

/// What a set of today needs against what is expected.
/// definition  Items of the morning and the first warm-up move the mean as learned, but only where the learned effect
///             runs the way in which more of it is worse; an effect the other way counts as none. So a worse morning
///             never lowers a chance.
struct Margin {
  fit::Mixture strength;  ///< log points of today's training max, as the planned set will show it
  double percent = 0;     ///< of the planned set
  double reps = 0;
  double per_percent = 0;  ///< log points for a point of percent more on the bar: the lifter's own rep-max curve
  double per_rep = 0;
  double of_today = 0;  ///< log points of that mean which the morning, the first warm-up and the last days' work add
  std::array<PastChances, 3> past{};  ///< by DayKind: heavy, volume, speed

  /// Chance (%) that a set ends above an RPE.   none: more repetitions than the curve knows
  [[nodiscard]] std::optional<double> chance(double set_percent, double set_reps, double rpe,
                                             const fit::RepMax& curve) const;
  /// The same on a morning with everything as usual.
  [[nodiscard]] std::optional<double> usual_chance(double set_percent, double set_reps, double rpe,
                                                   const fit::RepMax& curve) const;
};

/// Strength of one lift on a coming day, given what is done until then.
class StrengthAhead {
 public:
  StrengthAhead(fit::StrengthResponse engine, fit::ResponseState state, fit::ResponseInputs inputs, double shift,
                double usual_dose, double log_spread)
      : engine_(std::move(engine)),
        state_(std::move(state)),
        inputs_(inputs),
        shift_(shift),
        usual_dose_(usual_dose),
        log_spread_(log_spread) {}
  /// doses    as the lift feels them (load::dose_felt), of today and the days after it; one a day until the set
  /// returns  log points of today's training max that a set of that percent and so many repetitions will show; items of
  ///          that morning are not known yet, which widens it
  [[nodiscard]] fit::Mixture after(const std::vector<double>& doses, double percent, double reps) const;

 private:
  fit::StrengthResponse engine_;
  fit::ResponseState state_;  ///< this morning
  fit::ResponseInputs inputs_;
  double shift_;
  double usual_dose_;
  double log_spread_;  ///< as LiftState
};

/// Chance (%) that a set ends above an RPE when its lift will show these log points of the training max.
/// none  more repetitions than the curve knows
[[nodiscard]] std::optional<double> chance_above(const fit::Mixture& strength, double percent, double reps, double rpe,
                                                 const fit::RepMax& curve);

/// What one lift is expected to show today.
struct LiftToday {
  std::string lift;
  ExpectedStrength expected;  ///< % of the training max of today
  Margin margin;
  int sessions = 0;
  int nights = 0;                      ///< with sleep known, among them
  fit::Range80 sleep{};                ///< log points for one own SD more sleep
  std::optional<StrengthAhead> ahead;  ///< none = its usual dose is not known yet
};

/// Soreness of the coming mornings, given what is done until then.
class SorenessAhead {
 public:
  SorenessAhead(fit::ItemResponse engine, fit::ItemState state, fit::ItemInputs inputs, double usual_load_au)
      : engine_(std::move(engine)), state_(std::move(state)), inputs_(inputs), usual_load_au_(usual_load_au) {}
  /// loads_au  session load of today and the days after it      returns  expected soreness (1-7) of each next morning
  [[nodiscard]] std::vector<double> mornings(const std::vector<double>& loads_au) const;

 private:
  fit::ItemResponse engine_;
  fit::ItemState state_;  ///< this morning, its own entry included
  fit::ItemInputs inputs_;
  double usual_load_au_;
};

struct Today {
  std::vector<LiftToday> lifts;
  std::optional<SorenessAhead> soreness;  ///< none = too few entries, or the plain mean forecasts better
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

  /// Lifts planned today with sessions_to_expect or more sessions that gave an estimate, as they stand this morning.
  /// now     with through = yesterday, else the days between are walked
  [[nodiscard]] Today today(const AthleteLog& log, Day today, LearnedState now) const;

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
  [[nodiscard]] Margin margin(const LiftState& lift, fit::ResponseInputs inputs, double shift) const;
  [[nodiscard]] std::optional<SorenessAhead> soreness_ahead(Walk& walk, Day today, const LearnedState& state) const;
  [[nodiscard]] const fit::StrengthResponse& response(std::string_view lift) const;

  const Models* models_ = nullptr;
  std::vector<fit::StrengthResponse> plain_;  ///< one, in a vector because it has no empty form
  std::map<std::string, fit::StrengthResponse, std::less<>> squad_;
  std::vector<fit::ItemResponse> items_;  ///< by Item
  std::vector<fit::RepMax> curve_;        ///< one
};

}  // namespace steelyard::learn
