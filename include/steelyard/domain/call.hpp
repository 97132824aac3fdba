#pragma once
/// Today's call: what to do, in kilos, and every reason for it. Everything a person is shown comes from these records.

#include <algorithm>
#include <optional>
#include <string>
#include <vector>

#include "steelyard/domain/figures.hpp"
#include "steelyard/domain/log.hpp"

namespace steelyard {

enum class Action {
  run_as_planned,
  trim_sets,
  trim_intensity,
  swap_to_heavy,
  swap_to_volume,
  swap_to_speed,
  light_technique,
  rest,
  stop_refer,
};
[[nodiscard]] std::string_view action_code(Action action);  ///< "run-as-planned" ..

enum class Urgency { now, today, soon, watch };
[[nodiscard]] std::string_view urgency_word(Urgency urgency);  ///< "now" ..
/// No training at all until it is cleared.
[[nodiscard]] constexpr bool is_stop(Urgency urgency) {
  return urgency == Urgency::now || urgency == Urgency::today;
}

enum class Confidence { high, medium, low };
[[nodiscard]] std::string_view confidence_word(Confidence confidence);

/// Working sets of one lift.
struct Prescription {
  DayKind kind = DayKind::rest;
  int sets = 0;
  int reps = 0;
  double percent = 0;  ///< of the training max
  friend bool operator==(const Prescription&, const Prescription&) = default;
};

struct WarmupSet {
  double weight_kg = 0;
  int reps = 0;
  std::vector<double> plates_per_side;  ///< kg, heaviest first
  friend bool operator==(const WarmupSet&, const WarmupSet&) = default;
};

/// What one cause adds to today's expected strength.
struct Share {
  std::string from;
  double percent = 0;  ///< log points x 100
};

struct ExpectedStrength {
  double percent = 0;  ///< of the training max
  double low80 = 0;
  double high80 = 0;
  std::vector<Share> shares;
  int sessions = 0;      ///< behind the figure
  bool learned = false;  ///< false: from the recent estimates, without a learned response
};

/// One limit as it stands for the plan: measured, allowed, and what would have kept it.
struct LimitResult {
  std::string id;
  bool held = true;
  std::optional<double> measured;
  std::optional<double> limit;
  std::string unit;
  std::string source;
  std::string would_hold_if;  ///< "with 6.5 h of sleep the plan would have stood"
  std::string say;            ///< the reason as a sentence; empty = not worth saying
};

struct Displaced {
  DayKind kind = DayKind::rest;
  std::optional<Day> to_date;  ///< none = it drops out
};

/// A planned day that changes place.
struct Move {
  Day to_date{};
  DayKind kind = DayKind::heavy;
  std::optional<Displaced> displaced;
};

struct LiftCall {
  std::string lift;
  std::optional<Prescription> planned;  ///< none = nothing was planned
  std::vector<Action> actions;
  Prescription call;
  std::optional<double> training_max_kg;  ///< that holds today
  std::optional<double> weight_kg;        ///< loadable; none without a training max
  std::vector<double> plates_per_side;    ///< of the working weight
  std::optional<double> rpe_cap;
  std::vector<std::string> prepare;  ///< before the first loaded set, in order; for stiff or sore regions at the end
  std::vector<WarmupSet> warmup;
  std::string at_the_bar;
  bool may_go_up = false;  ///< a light last warm-up may raise the last set by one step
  Confidence confidence = Confidence::high;
  std::optional<ExpectedStrength> expected;
  std::vector<LimitResult> limits;
  std::optional<Move> move;
};

/// What to put on the bar after the warm-up was felt.
struct BarDecision {
  std::string say;
  std::optional<double> weight_kg;
  std::vector<double> plates_per_side;
};

/// A caution in the wording of models/cautions.toml.
struct Caution {
  std::string id;  ///< the name with which it is cleared
  Urgency urgency = Urgency::watch;
  std::string say;
  std::string source;
  std::vector<std::string> lifts;  ///< lifts that it closes; empty = all (now, today) or none (watch)
  Day since{};
};

struct Coverage {
  int days_of_28 = 0;  ///< days known (trained or rest)
  int checks_of_28 = 0;
  std::optional<int> days_since_entry;
  RatioState ratio_state = RatioState::too_short;
};

/// The answer to "what do I do today".
struct DayCall {
  std::string athlete;
  Day date{};
  std::vector<LiftCall> calls;    ///< the main lift first
  std::vector<std::string> say;   ///< everything a person is told, the sentence of the day first
  std::vector<Caution> cautions;  ///< most urgent first
  std::vector<Question> questions;
  Coverage coverage;
  std::string model_version;
  std::string model_digest;   ///< of the models in force
  std::string inputs_digest;  ///< of every entry the call depends on
};

/// A stop is among its cautions.
[[nodiscard]] inline bool is_stopped(const DayCall& call) {
  return std::any_of(call.cautions.begin(), call.cautions.end(), [](const Caution& c) { return is_stop(c.urgency); });
}

/// A block of weeks made from its first one.
struct BlockPlan {
  std::vector<PlanRow> rows;     ///< of the weeks after the first, ascending
  std::vector<std::string> say;  ///< which work could not take its steps, and why
};

/// One of today's options over the coming days.
struct Option {
  std::string name;  ///< "heavy today", "heavy on Thursday", "drop it"
  Prescription today;
  std::optional<Day> heavy_on;
  std::optional<double> expected_percent;  ///< expected strength on the heavy day
  std::optional<double> expected_low80;
  std::optional<double> expected_high80;
  std::optional<double> cap_chance;  ///< chance (%) of ending above the RPE cap
  std::optional<double> week_load_au;
  std::optional<double> ratio;         ///< coupled, seven days on
  std::optional<double> soreness;      ///< forecast, 1-7, on the heavy day
  std::optional<double> hours_before;  ///< to the heavy work before and after it
  std::optional<double> hours_after;
  std::vector<std::string> loses;
  std::vector<std::string> broken;  ///< ids of the limits that it breaks
  bool chosen = false;
};

struct Comparison {
  std::string athlete;
  Day date{};
  std::string lift;
  std::vector<Option> options;
  std::vector<std::string> say;
};

}  // namespace steelyard
