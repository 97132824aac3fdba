#pragma once
/// What could be done with a planned lift today, how far each is from the plan, and the nearest that holds every limit.

#include <optional>
#include <vector>

#include "bounds.hpp"
#include "morning.hpp"

namespace steelyard::decide {

struct Candidate {
  Prescription work;
  std::vector<Action> actions;
  double distance = 0;
  std::optional<Move> move;
};

/// Ascending by distance; equal distances in the order of making. `exchange`: where today's heavy work could go.
[[nodiscard]] std::vector<Candidate> candidates(const Morning& morning, const LiftFacts& lift, const Prescription& plan,
                                                const std::optional<Move>& exchange);

/// The nearest candidate that holds every bound; rest holds all but a wish for heavy work, which gives way first.
[[nodiscard]] Candidate choose(const std::vector<Candidate>& candidates, const std::vector<Bound>& bounds);

/// What of the chosen work can be loaded; less weight than planned never rounds up to the plan's. none = no percentage,
/// or nobody has written a training max.   unit  kg
[[nodiscard]] std::optional<double> weight_of(const Morning& morning, const LiftFacts& lift, const Prescription& plan,
                                              const Prescription& work, const std::vector<Action>& actions);

/// Where today's heavy work goes when today's limits close it: none if it holds, or if a reason closes it that another
/// day would not answer.
[[nodiscard]] std::optional<Move> exchange_for(const Morning& morning, const LiftFacts& lift, const Prescription& plan,
                                               const std::vector<Bound>& bounds);

}  // namespace steelyard::decide
