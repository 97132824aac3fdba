#include "steelyard/app/ahead.hpp"

#include "app/one_day.hpp"
#include "steelyard/decide/ahead.hpp"

namespace steelyard::app {

Result<Ahead> ahead(Context& context, const Athlete& athlete, Day day) {
  STEELYARD_TRY_ASSIGN(const OneDay known, one_day(context, athlete, day));
  STEELYARD_TRY_ASSIGN(const DayCall call, call_of(context, known, day));
  return decide::look_ahead(known.log, day, call, context.models);
}

}  // namespace steelyard::app
