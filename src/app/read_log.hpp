#pragma once
/// The one door through which use cases read the log of an athlete.

#include <string_view>

#include "steelyard/app/context.hpp"

namespace steelyard::app {

/// What is stored of an athlete between two days, lifts by their codes: older programs kept the names as they came.
/// Whoever changes stored rows reads them from the entry instead.
[[nodiscard]] Result<AthleteLog> read_log(Context& context, std::string_view athlete, Day from, Day to);

}  // namespace steelyard::app
