#pragma once
/// What is usual in a squad as the prior of a lift.
/// definition  fit::squad_prior over the lifters with enough sessions, variances only; no SD under half the
///             shipped one. Needs models/response.toml [evidence] squad_lifters

#include <span>
#include <string>
#include <string_view>

#include "steelyard/learn/learner.hpp"

namespace steelyard::learn {

/// errors  failed: too few lifters, or their records do not determine what is usual
[[nodiscard]] Result<LiftPrior> lift_prior(std::span<const fit::PersonSums> people, const LearnModel& model);

/// errors of load  bad_data
[[nodiscard]] std::string save_prior(const LiftPrior& prior);
[[nodiscard]] Result<LiftPrior> load_prior(std::string_view bytes);

}  // namespace steelyard::learn
