#include "steelyard/decide/gear.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <limits>

#include "steelyard/base/text.hpp"

namespace steelyard::decide {
namespace {

constexpr double k_hair_kg = 1e-6;
constexpr std::size_t k_most_plates = 16;  // a side of a bar holds no more

/// Depth first, heaviest plate first, so that the first answer is the one with big plates.
bool fill_side(double left, std::span<const double> plates, std::vector<double>& side) {
  if (left < k_hair_kg) return true;
  if (plates.empty() || side.size() >= k_most_plates) return false;
  if (plates.front() <= left + k_hair_kg) {
    side.push_back(plates.front());
    if (fill_side(left - plates.front(), plates, side)) return true;
    side.pop_back();
  }
  return fill_side(left, plates.subspan(1), side);
}

struct SideSum {
  double kg = 0;
  int plates = 0;  ///< the fewest that make it
};

/// All that a side can hold up to `most`, ascending. Plates of gyms need not be multiples of one another.
std::vector<SideSum> side_sums(double most, const std::vector<double>& plates) {
  constexpr double never = std::numeric_limits<double>::infinity();
  std::vector<SideSum> sums{{}};
  for (const double plate : plates) {
    std::vector<SideSum> with_plate;  // merges the sums without this plate and its own sums with one more of it
    for (std::size_t a = 0, b = 0;;) {
      while (b < with_plate.size() && with_plate[b].plates >= static_cast<int>(k_most_plates)) ++b;
      const double without = a < sums.size() ? sums[a].kg : never;
      const double one_more = b < with_plate.size() ? with_plate[b].kg + plate : never;
      if (std::min(without, one_more) > most + k_hair_kg) break;
      SideSum next{.kg = one_more, .plates = b < with_plate.size() ? with_plate[b].plates + 1 : 0};
      if (without < one_more + k_hair_kg) {
        const bool same = without > one_more - k_hair_kg;
        next = same && next.plates < sums[a].plates ? SideSum{sums[a].kg, next.plates} : sums[a];
        b += same ? 1 : 0;
        ++a;
      } else {
        ++b;
      }
      with_plate.push_back(next);
    }
    sums = std::move(with_plate);
  }
  return sums;
}

}  // namespace

Gear gear_of(const Athlete& athlete, const LiftsModel& lifts) {
  Gear gear;
  const bool pounds = athlete.units == Unit::lb;
  gear.bar_kg = athlete.bar_kg.value_or(pounds ? lifts.gear_lb.bar_lb * k_kg_per_lb : lifts.gear.bar_kg);
  gear.plates_kg = athlete.plates_kg;
  if (gear.plates_kg.empty() && pounds) {
    for (const double lb : lifts.gear_lb.plates_lb) gear.plates_kg.push_back(lb * k_kg_per_lb);
  }
  if (gear.plates_kg.empty()) gear.plates_kg = lifts.gear.plates_kg;
  std::sort(gear.plates_kg.begin(), gear.plates_kg.end(), std::greater<>());
  return gear;
}

std::optional<std::vector<double>> plates_for(double total_kg, const Gear& gear) {
  std::vector<double> side;
  const double left = (total_kg - gear.bar_kg) / 2;
  if (left < -k_hair_kg || !fill_side(left, gear.plates_kg, side)) return std::nullopt;
  return side;
}

double loadable(double kg, const Gear& gear, Rounding rounding) {
  const double wanted = (kg - gear.bar_kg) / 2;
  if (gear.plates_kg.empty() || wanted <= 0) return gear.bar_kg;
  const auto sums = side_sums(wanted + gear.plates_kg.front(), gear.plates_kg);
  const auto above =
      std::find_if(sums.begin(), sums.end(), [&](const SideSum& s) { return s.kg > wanted + k_hair_kg; });
  const double below_kg = std::prev(above)->kg;  // the empty side is always among them
  const bool nearer_above =
      rounding == Rounding::nearest && above != sums.end() && above->kg - wanted <= wanted - below_kg + k_hair_kg;
  return gear.bar_kg + 2 * (nearer_above ? above->kg : below_kg);
}

std::vector<WarmupSet> warmup_ramp(double working_percent, double training_max_kg, const Gear& gear,
                                   const LiftsModel& lifts) {
  std::vector<WarmupSet> ramp{{.weight_kg = gear.bar_kg, .reps = static_cast<int>(lifts.gear.bar_reps)}};
  const double working_kg = loadable(working_percent / 100 * training_max_kg, gear, Rounding::nearest);
  for (std::size_t i = 0; i < lifts.gear.warmup_percent.size() && i < lifts.gear.warmup_reps.size(); ++i) {
    const double percent = lifts.gear.warmup_percent[i];
    if (percent > working_percent - lifts.gear.least_gap) break;
    const double kg = loadable(percent / 100 * training_max_kg, gear, Rounding::nearest);
    if (kg <= ramp.back().weight_kg || kg >= working_kg) continue;
    ramp.push_back({.weight_kg = kg,
                    .reps = static_cast<int>(lifts.gear.warmup_reps[i]),
                    .plates_per_side = plates_for(kg, gear).value_or(std::vector<double>{})});
  }
  return ramp;
}

}  // namespace steelyard::decide
