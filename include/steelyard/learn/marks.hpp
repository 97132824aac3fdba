#pragma once
/// How good past forecasts were, beside the plain ones.
/// definition  scored are the days on which the learner, the 28-day mean, the last value and the weighted mean all
///             spoke. What is scored is what the lifter was told: the 28-day mean where it had taken the learner's
///             place
/// source      see fit/scores.hpp

#include <array>
#include <map>
#include <string>

#include "steelyard/domain/learned.hpp"
#include "steelyard/learn/learner.hpp"

namespace steelyard::learn {

/// Sums over one athlete; sums of several athletes may be joined.
class MarkSums {
 public:
  void add(const Scored& scored);
  void join(const MarkSums& other);
  /// Whether the 28-day mean speaks now, by what was learned so far.
  void finish(const LearnedState& state, const Learner& learner);

  /// athlete: empty for a squad.
  [[nodiscard]] Marks marks(std::string athlete) const;

 private:
  struct Sums {
    int n = 0;
    double crps = 0;
    double error = 0;
    double usual28 = 0;
    double last = 0;
    double ewma = 0;
    int covered = 0;
    std::array<int, 10> pit{};
    int forecasts = 0;  ///< scored or not
    int stepped_back = 0;
  };
  std::map<std::string, Sums> targets_;
  int athletes_ = 1;
};

}  // namespace steelyard::learn
