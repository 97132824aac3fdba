#pragma once
/// The next two weeks of one athlete.

#include "steelyard/app/context.hpp"
#include "steelyard/domain/ahead.hpp"

namespace steelyard::app {

/// Today is as `today` calls it; the order of the days after it is searched. Nothing is written into the plan.
[[nodiscard]] Result<Ahead> ahead(Context& context, const Athlete& athlete, Day day);

}  // namespace steelyard::app
