#pragma once
/// What somebody did with a call.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/app/context.hpp"
#include "steelyard/domain/call.hpp"

namespace steelyard::app {

/// Writes the call into the plan: today's rows as called, a moved day on its new date, what it displaces where the call
/// says. One entry; the decision is kept beside it.
/// returns  every plan row that was written      errors  no_input (nothing to follow; the lift has no call)
[[nodiscard]] Result<std::vector<PlanRow>> follow(Context& context, const Athlete& athlete, Day day,
                                                  const std::optional<std::string>& lift);

/// Keeps that the call was not followed, and why. The plan stays as it is. Without a lift it speaks of the lifts that
/// the call changed, if there are any. errors  as follow
[[nodiscard]] Result<std::vector<Decision>> override_call(Context& context, const Athlete& athlete, Day day,
                                                          const std::optional<std::string>& lift,
                                                          std::string_view reason, std::string_view done);

/// Keeps the user's statement that a caution is over. errors  no_input (no such caution is open that day)
[[nodiscard]] Result<Clearance> clear_caution(Context& context, const Athlete& athlete, Day day,
                                              const std::string& caution, ClearedBy by, std::string_view note);

}  // namespace steelyard::app
