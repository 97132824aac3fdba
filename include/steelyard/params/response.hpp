#pragma once
/// Values of the learner: what strength and the morning items may follow, and when anything is said about it.
///
/// definition  The values stand in models/response.toml with unit and source; the initialisers here are the same (a
///             test compares them), so that a learner can be made without files.

#include <array>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace steelyard {

/// What strength may follow, in the order of the regression's terms. `tiredness` is -(H - 1): positive when less was
/// done lately than usual.
enum class Cause {
  level,
  fitness,
  tiredness,
  sleep,
  fatigue,
  stress,
  soreness,
  mood,
  bar_speed,
  set_percent,
  set_reps,
};
inline constexpr std::size_t k_causes = 11;
using PerCause = std::array<double, k_causes>;

/// Items of the morning check that are forecast, by the column names of the check.
enum class Item { sleep_quality, fatigue, soreness, stress, mood };
inline constexpr std::array<std::string_view, 5> k_item_words{"sleep_quality", "fatigue", "soreness", "stress", "mood"};

/// Strength of one lift. Effects in log points (%): of level; of G - 1 and H - 1, so of twice the usual dose for ever;
/// of one own SD of an item; of 10 points of percent; of 5 repetitions.
struct ResponseModel {
  std::vector<double> tau_fitness{15, 30, 50};    ///< days
  std::vector<double> tau_tiredness{1, 2, 4, 8};  ///< days; the product of both counts is at most 12
  PerCause mean{0, 2, 1.5, 0.4, -0.3, -0.1, -0.4, 0.1, 0.5, 0, 0};
  PerCause sd{8, 3, 1.5, 0.7, 0.6, 0.5, 0.6, 0.5, 0.7, 3, 3};
  PerCause discount{0.98, 0.998, 0.998, 0.998, 0.998, 0.998, 0.998, 0.998, 0.998, 0.999, 0.999};  ///< a day
  double noise_sd = 2.5;          ///< of an observation with the SD of a single
  double noise_weight = 4;        ///< observations which that is worth
  double noise_discount = 0.998;  ///< a day
  double single_sd = 2.5;  ///< s0 of strength.toml: SD (%) of the estimate from a single; noise stays above half of it
  double weight_memory = 0.99;  ///< per observation
  double least_weight = 0.002;
  double spread_gain = 0.05;  ///< change of the log of a forecast's spread for a miss of its 80 % range; 0 = none
  double most_spread = 0.7;   ///< most of that log either way
  std::string source = {};
};

/// One morning item, in points of its 1-7 scale: level; twice the usual load for ever; one point of the last value
/// above the 28-day mean; one point of the mean of all values above it.
struct ItemModel {
  std::vector<double> tau{1.5, 3, 7};  ///< days, 1 to 12 of them
  std::array<double, 4> mean{0, 0, 0.2, 0.3};
  std::array<double, 4> sd{0.15, 0.3, 0.15, 0.3};
  std::array<double, 4> discount{0.94, 0.999, 0.999, 0.999};  ///< a day
  double noise_sd = 0.6;
  double noise_weight = 3;
  double noise_discount = 0.985;  ///< a day
  double least_noise_sd = 0.15;
  double weight_memory = 0.99;  ///< per observation
  double least_weight = 0.005;
  double spread_gain = 0.015;  ///< step of the log of a forecast's spread down the slope of its score; 0 = none
  double most_spread = 0.7;    ///< most of that log either way
  double wider = 1.1;          ///< times the spread that the score asks for
  std::array<double, k_item_words.size()> load_effect{0, 0.3, 0.3, 0, 0};  ///< by Item: takes the place of mean[1]
  std::string source = {};

  /// The model of one item.
  [[nodiscard]] ItemModel of(Item item) const {
    ItemModel model = *this;
    model.mean[1] = load_effect[static_cast<std::size_t>(item)];
    return model;
  }
};

/// How much must have been seen before anything is said or used.
struct EvidenceModel {
  int sessions_to_expect = 6;       ///< scored sessions of the lift before the learned forecast stands in a call
  int sessions_to_say = 20;         ///< before a sentence about what an item is worth
  int nights_to_say = 30;           ///< nights with hours of sleep beside them, for the same about sleep
  double tight = 0.5;               ///< log points: an 80 % interval inside +- this is "does not follow"
  int forecasts_to_compare = 20;    ///< scored forecasts before the 28-day mean may take the learner's place
  double comparison_memory = 0.98;  ///< kept of older scores at each new one
  double worse_by_se = 1.28;        ///< standard errors by which the learner's score must be the worse one
  int squad_lifters = 8;            ///< lifters with enough sessions before the squad gives the prior
  int squad_sessions = 20;          ///< sessions of the lift that make a lifter count among them
  std::string source = {};
};

struct LearnModel {
  ResponseModel strength;
  ItemModel items;
  EvidenceModel evidence;
};

}  // namespace steelyard
