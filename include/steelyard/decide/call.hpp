#pragma once
/// Today's call from everything that is known about one athlete.
/// definition  the smallest change to the plan that holds every limit; red flags are decided before anything else and
///             offer nothing else. Nothing that was entered for a later day changes it, and of a session of today only
///             the words of its note.
/// domain      log as Store::log gives it, reaching back at least 200 days and ahead at least 14 days of plan
/// errors      none: what is not known lowers the confidence and is said
/// cost        O(rows), some milliseconds for 200 days

#include <optional>
#include <string_view>

#include "steelyard/domain/call.hpp"
#include "steelyard/learn/learner.hpp"
#include "steelyard/params/models.hpp"

namespace steelyard::decide {

/// learned: what was learned about this lifter by yesterday; null or without a lift = its recent estimates stand
/// instead. spoken: unit of weights in the sentences, the lifter's own without it; nothing else changes
[[nodiscard]] DayCall call_for(const AthleteLog& log, Day today, const Models& models,
                               const learn::Today* learned = nullptr, std::optional<Unit> spoken = std::nullopt);

/// Today's options for one lift (none = the main lift) over the coming seven days.
[[nodiscard]] Comparison compare(const AthleteLog& log, Day today, std::optional<std::string_view> lift,
                                 const Models& models, const learn::Today* learned = nullptr);

/// The second decision of the day, from how hard the last warm-up set was: what the at-the-bar rule of the call says
/// about that RPE, in kilos.
/// domain  call: with working sets and a weight; rpe 1-10; spoken as in call_for
[[nodiscard]] BarDecision after_warmup(const LiftCall& call, double rpe, const Athlete& athlete, const Models& models,
                                       std::optional<Unit> spoken = std::nullopt);

/// Digest of every entry that a call of that day can depend on.
[[nodiscard]] std::string inputs_digest(const AthleteLog& log, Day today);

}  // namespace steelyard::decide
