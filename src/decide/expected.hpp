#pragma once
/// Expected strength of a lift today, learned or from its recent estimates, with an honest interval.

#include <optional>

#include "morning.hpp"

namespace steelyard::decide {

/// A break so long that the lift's sessions since then are still light work only.
[[nodiscard]] bool light_only_break(const Morning& morning, const LiftFacts& lift);

/// unit        % of the written training max
/// definition  what was learned, where enough was; else the mean of the last estimates of the same kind of day
///             (models/strength.toml [recent]); the 80 % interval is that of a new observation: spread of the
///             estimates, never below the set's own error, Student's t. With too few estimates: none.
[[nodiscard]] std::optional<ExpectedStrength> expected_strength(const Morning& morning, const LiftFacts& lift);

}  // namespace steelyard::decide
