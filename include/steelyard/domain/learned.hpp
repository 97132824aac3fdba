#pragma once
/// What was learned about a lifter, and how good its forecasts were: what `strength`, `marks` and `learn` show.

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "steelyard/base/day.hpp"
#include "steelyard/domain/call.hpp"

namespace steelyard {

/// One forecast and what came.
/// unit  target "strength:LIFT": kg, the session's estimated one-repetition maximum; an item of the morning check: its
///       own scale, whose ends a range may pass
struct ForecastLine {
  std::string athlete;
  Day date{};  ///< what it speaks about
  std::string target;
  Day made_on{};    ///< strength: the same morning; items: the evening before
  double mean = 0;  ///< of strength: that of its logarithm
  double low80 = 0;
  double high80 = 0;
  std::optional<double> observed;
};

/// Marks of one target over the days on which the learner and all plain forecasts spoke. CRPS and MAE in the target's
/// unit; smaller is better.
struct TargetMarks {
  std::string target;
  int n = 0;
  std::optional<double> crps;
  std::optional<double> mae;
  std::optional<double> crps_usual28;  ///< Normal(mean, SD) of the last 28 days
  std::optional<double> crps_last;     ///< the last value, with the SD of its own errors
  std::optional<double> crps_ewma;     ///< exponentially weighted mean over about 7 values, the same
  std::optional<double> skill_vs_usual28;
  std::optional<double> cover80;  ///< share of values inside the 80 % interval, 0-1
  std::array<int, 10> pit{};      ///< probability integral transform, tenths
  int stepped_back = 0;           ///< athletes whose forecasts are now those of the 28-day mean
};

struct Marks {
  std::string athlete;  ///< empty = the squad
  int athletes = 1;
  std::vector<TargetMarks> targets;
  std::vector<std::string> say;
};

/// What one item is worth to this lifter in one lift, per own SD of the item (sleep: also per hour).
/// unit  % of strength
struct Worth {
  std::string item;
  double mean = 0;
  double low80 = 0;
  double high80 = 0;
  int sessions = 0;  ///< with the item entered
  std::string say;
};

struct StrengthDay {
  Day date{};
  double expected_kg = 0;  ///< before the session
  double low80_kg = 0;
  double high80_kg = 0;
  double estimated_kg = 0;  ///< by the session
};

struct LiftStrength {
  std::string lift;
  int sessions = 0;
  std::vector<StrengthDay> days;        ///< one a session with an estimate, ascending
  std::optional<ExpectedStrength> now;  ///< for today's plan, else for the last session's work; learned only
  std::optional<double> training_max_kg;
  std::vector<Worth> worth;      ///< items with enough behind them
  std::vector<std::string> say;  ///< what is not known yet
};

struct StrengthReport {
  std::string athlete;
  Day date{};
  std::vector<LiftStrength> lifts;
};

/// The learner's state of one target.
struct LearnedTarget {
  std::string target;
  int observations = 0;
  int scored = 0;
  std::optional<double> usual_work;  ///< frozen usual dose (lifts) or load in AU (items) of a calendar day
  double noise_sd = 0;               ///< log points or points
  bool steps_back = false;
};

struct SquadEffect {
  std::string lift;
  std::string cause;
  double mean = 0;
  double sd = 0;  ///< between lifters
};

struct LearnReport {
  std::string athlete;  ///< empty: of the squad
  std::optional<Day> through;
  std::vector<LearnedTarget> targets;
  std::vector<SquadEffect> squad;
  std::vector<std::string> say;
};

}  // namespace steelyard
