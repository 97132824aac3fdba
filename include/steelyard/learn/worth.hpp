#pragma once
/// What each item is worth to this lifter, as sentences, and nothing before there is evidence for it.
/// definition  effects are read off the coefficients with their 80 % interval, in % of strength for one own SD of the
///             item; sleep in % for one hour less

#include "steelyard/domain/learned.hpp"
#include "steelyard/learn/learner.hpp"

namespace steelyard::learn {

/// One lift as `strength` shows it. days: from a walk's watcher.
[[nodiscard]] LiftStrength lift_strength(const AthleteLog& log, Day today, const LiftState& lift,
                                         const Learner& learner, std::vector<StrengthDay> days);

/// Whether sleep has been shown not to matter: enough sessions and nights, and an interval tight around zero.
[[nodiscard]] bool sleep_does_not_matter(const LiftToday& lift, const EvidenceModel& evidence);

}  // namespace steelyard::learn
