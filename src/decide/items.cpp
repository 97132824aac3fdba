#include "items.hpp"

#include <algorithm>
#include <cmath>

namespace steelyard::decide {
namespace {

constexpr ItemSpec rating(std::string_view name, std::string_view spoken, ItemMember member, double bad,
                          SignalKind kind, double FloorLimits::*level) {
  return {.name = name,
          .spoken = spoken,
          .unit = "of 7",
          .member = member,
          .bad = bad,
          .scale = Scale::rating,
          .kind = kind,
          .least_sd = &SignalLimits::item_floor,
          .level = level,
          .morning_unit = "of 7"};
}

constexpr ItemSpec by_work(ItemSpec spec) {
  spec.by_work = true;
  return spec;
}

constexpr ItemSpec k_items[] = {
    {.name = "sleep_hours",
     .spoken = "sleep",
     .unit = "h",
     .member = &Check::sleep_hours,
     .bad = -1,
     .scale = Scale::hours,
     .kind = SignalKind::sleep,
     .least_sd = &SignalLimits::sleep_floor_h,
     .level = &FloorLimits::sleep_hours},
    rating("sleep_quality", "sleep quality", &Check::sleep_quality, -1, SignalKind::sleep, nullptr),
    rating("soreness", "soreness", &Check::soreness, 1, SignalKind::soreness, &FloorLimits::soreness),
    by_work(rating("fatigue", "fatigue", &Check::fatigue, 1, SignalKind::check, &FloorLimits::fatigue)),
    rating("stress", "stress", &Check::stress, 1, SignalKind::check, &FloorLimits::stress),
    rating("mood", "mood", &Check::mood, -1, SignalKind::check, &FloorLimits::mood),
    {.name = "resting_hr",
     .spoken = "resting heart rate",
     .unit = "beats a minute",
     .member = &Check::resting_hr,
     .bad = 1,
     .scale = Scale::measured,
     .kind = SignalKind::heart,
     .least_sd = &SignalLimits::resting_hr_floor_percent,
     .in_percent = true,
     .digits = 0},
    {.name = "hrv",
     .spoken = "heart-rate variability",
     .unit = "ms",
     .member = &Check::hrv_ms,
     .bad = -1,
     .scale = Scale::measured,
     .kind = SignalKind::heart,
     .least_sd = &SignalLimits::ln_hrv_floor,
     .logarithm = true,
     .morning_unit = "ms",
     .digits = 0},
    {.name = "jump",
     .spoken = "jump",
     .unit = "cm",
     .member = &Check::jump_cm,
     .bad = -1,
     .scale = Scale::measured,
     .kind = SignalKind::jump,
     .least_sd = &SignalLimits::jump_floor_percent,
     .in_percent = true,
     .morning_unit = "cm"},
};

}  // namespace

std::span<const ItemSpec> item_specs() {
  return k_items;
}

const ItemSpec& item_spec(ItemMember member) {
  return *std::find_if(std::begin(k_items), std::end(k_items), [&](const ItemSpec& s) { return s.member == member; });
}

double ItemSpec::entered(double judged) const {
  return logarithm ? std::exp(judged) : judged;
}

bool is_own_source(const ItemSpec& spec) {
  return spec.kind != SignalKind::sleep && spec.kind != SignalKind::check && spec.kind != SignalKind::soreness;
}

bool beyond_level(const ItemSpec& spec, double value, const LimitsModel& limits) {
  const double worse_by = spec.bad * (value - limits.floors.*spec.level);
  return spec.scale == Scale::hours ? worse_by > 0 : worse_by >= 0;
}

std::vector<series::Dated> values_of(const AthleteLog& log, const ItemSpec& spec) {
  std::vector<series::Dated> values;
  for (const Check& check : log.checks) {
    if (const auto value = check.*spec.member)
      values.push_back({check.date, spec.logarithm ? std::log(*value) : *value});
  }
  return values;
}

double least_sd(const ItemSpec& spec, double mean, const LimitsModel& limits) {
  const double least = limits.signals.*spec.least_sd;
  return spec.in_percent ? mean * least / 100 : least;
}

}  // namespace steelyard::decide
