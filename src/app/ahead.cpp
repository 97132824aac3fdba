#include "steelyard/app/ahead.hpp"

#include "steelyard/app/today.hpp"
#include "steelyard/decide/ahead.hpp"

namespace steelyard::app {

Result<Ahead> ahead(Context& context, const Athlete& athlete, Day day) {
  STEELYARD_TRY_ASSIGN(const DayCall call, today(context, athlete, day));
  STEELYARD_TRY_ASSIGN(const AthleteLog log, log_around(context, athlete.athlete, day));
  return decide::look_ahead(log, day, call, context.models);
}

}  // namespace steelyard::app
