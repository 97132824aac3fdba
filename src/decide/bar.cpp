#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "steelyard/base/text.hpp"
#include "steelyard/decide/call.hpp"
#include "steelyard/decide/gear.hpp"
#include "words.hpp"

namespace steelyard::decide {
BarDecision after_warmup(const LiftCall& call, double rpe, const Athlete& athlete, const Models& models,
                         std::optional<Unit> spoken) {
  const Unit unit = spoken.value_or(athlete.units.value_or(Unit::kg));
  const Gear gear = gear_of(athlete, models.lifts);
  const double step = models.limits.distance.percent_step;
  const auto& bar = models.limits.bar;
  const auto at = [&](double percent, Rounding rounding) {
    return loadable(percent / 100 * call.training_max_kg.value_or(0), gear, rounding);
  };
  BarDecision decision{.say = {}, .weight_kg = call.weight_kg, .plates_per_side = call.plates_per_side};
  const std::string felt = "The last warm-up was RPE " + format_number(rpe, 1);
  if (rpe >= bar.heavier_rpe) {
    const double off = rpe >= bar.much_heavier_rpe ? 2 * step : step;
    decision.weight_kg = at(call.call.percent - off, Rounding::down);
    decision.plates_per_side = plates_for(*decision.weight_kg, gear).value_or(std::vector<double>{});
    decision.say = fmt::format("{}, heavier than usual: take {} % off, {}.", felt, format_number(off, 1),
                               spoken_weight(*decision.weight_kg, unit));
  } else if (rpe <= bar.lighter_rpe && call.may_go_up) {
    const double up = at(call.call.percent + step, Rounding::down);
    decision.say =
        fmt::format("{}, lighter than usual: {} as called, the last set may go up to {}.", felt,
                    spoken_weight(*call.weight_kg, unit), spoken_weight(std::max(up, *call.weight_kg), unit));
  } else {
    decision.say = fmt::format("{}: {} as called.", felt, spoken_weight(*call.weight_kg, unit));
  }
  return decision;
}

}  // namespace steelyard::decide
