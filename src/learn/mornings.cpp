#include "learn/mornings.hpp"

#include <algorithm>
#include <cmath>

#include "steelyard/domain/vocabulary.hpp"
#include "steelyard/fit/scores.hpp"
#include "steelyard/series/training_max.hpp"

namespace steelyard::learn {
namespace {

/// Values of the window as `get` reads them off a check.
template <class Get>
std::optional<series::Usual> usual(const DayTable& table, Day day, Get get) {
  std::vector<double> values;
  values.reserve(fit::k_usual_days);
  for (Day d = day - Days{fit::k_usual_days}; d < day; d += Days{1}) {
    const Check* check = table.check(d);
    if (check == nullptr) continue;
    if (const auto value = get(*check)) values.push_back(*value);
  }
  if (values.size() < fit::k_least_values) return std::nullopt;
  return series::moments(values);
}

/// Deviation of today's value: 0 without a usual, none when it is missing today.
template <class Get>
std::optional<double> deviation(const DayTable& table, Day day, double floor, Get get) {
  const auto own = usual(table, day, get);
  if (!own) return 0;
  const Check* check = table.check(day);
  const auto value = check == nullptr ? std::nullopt : get(*check);
  if (!value) return std::nullopt;
  return own->deviation(*value, floor);
}

/// Soreness of the lift's movers where regions are listed, else the overall one.
std::optional<double> soreness_of_movers(const Check& check, const LiftModel* lift) {
  if (lift == nullptr || check.sore_regions.empty()) return check.soreness;
  double worst = 1;
  for (const SoreRegion& sore : check.sore_regions) {
    const auto region = region_of(sore.region);
    if (std::find(lift->movers.begin(), lift->movers.end(), region) != lift->movers.end()) {
      worst = std::max(worst, sore.level);
    }
  }
  return worst;
}

struct BarToday {
  std::optional<double> speed;
  std::optional<series::Usual> usual;  ///< of the same percent
};

/// Ranges of rows are found by date: the log is ascending.
BarToday bar_of(const DayTable& table, Day day, std::string_view lift) {
  const auto& rows = table.log().bar;
  const auto from = std::lower_bound(rows.begin(), rows.end(), day - Days{table.models().limits.signals.bar_days},
                                     [](const BarSpeed& b, Day d) { return b.date < d; });
  const auto to = std::upper_bound(from, rows.end(), day, [](Day d, const BarSpeed& b) { return d < b.date; });
  BarToday bar;
  std::optional<double> percent;
  for (auto row = to; row != from;) {
    --row;
    if (row->lift != lift) continue;
    if (row->date == day) {
      percent = row->percent;  // the day's first row stands
      bar.speed = row->speed_m_s;
    } else if (!percent) {
      percent = row->percent;  // no reading today: the usual fixed warm-up
    }
    if (percent && row->date < day) break;
  }
  if (!percent) return bar;
  std::vector<double> past;
  for (auto row = from; row != to; ++row) {
    if (row->lift == lift && row->percent == *percent && row->date < day) past.push_back(row->speed_m_s);
  }
  if (std::ssize(past) >= table.models().limits.signals.bar_least) bar.usual = series::moments(past);
  return bar;
}

std::optional<double> bar_deviation(const DayTable& table, Day day, std::string_view lift) {
  const BarToday bar = bar_of(table, day, lift);
  if (!bar.usual) return 0;
  if (!bar.speed) return std::nullopt;
  return bar.usual->deviation(*bar.speed, bar.usual->mean * table.models().limits.signals.bar_floor_percent / 100);
}

}  // namespace

std::optional<double> value_of(const Check& check, Item item) {
  switch (item) {
    case Item::sleep_quality:
      return check.sleep_quality;
    case Item::fatigue:
      return check.fatigue;
    case Item::soreness:
      return check.soreness;
    case Item::stress:
      return check.stress;
    case Item::mood:
      return check.mood;
  }
  return std::nullopt;
}

std::optional<series::Usual> usual_of(const DayTable& table, Item item, Day day) {
  return usual(table, day, [&](const Check& c) { return value_of(c, item); });
}

std::optional<double> last_of(const DayTable& table, Item item, Day day) {
  for (Day d = day - Days{1}; d >= day - Days{fit::k_usual_days}; d -= Days{1}) {
    const Check* check = table.check(d);
    if (check == nullptr) continue;
    if (const auto value = value_of(*check, item)) return value;
  }
  return std::nullopt;
}

std::optional<series::Usual> usual_sleep(const DayTable& table, Day day) {
  return usual(table, day, [](const Check& c) { return c.sleep_hours; });
}

fit::ResponseInputs morning_inputs(const DayTable& table, Day day, std::string_view lift) {
  const auto& signals = table.models().limits.signals;
  const LiftModel* model = table.models().lifts.find(lift);
  const auto item = [&](auto get) { return deviation(table, day, signals.item_floor, get); };
  fit::ResponseInputs inputs;
  inputs.sleep = usual_sleep(table, day)
                     ? deviation(table, day, signals.sleep_floor_h, [](const Check& c) { return c.sleep_hours; })
                     : item([](const Check& c) { return c.sleep_quality; });
  inputs.fatigue = item([](const Check& c) { return c.fatigue; });
  inputs.stress = item([](const Check& c) { return c.stress; });
  inputs.soreness = item([&](const Check& c) { return soreness_of_movers(c, model); });
  inputs.mood = item([](const Check& c) { return c.mood; });
  inputs.bar_speed = bar_deviation(table, day, lift);
  return inputs;
}

unsigned entered_causes(const DayTable& table, Day day, std::string_view lift, const fit::ResponseInputs& inputs) {
  const Check* check = table.check(day);
  unsigned bits = 0;
  const auto mark = [&](Cause cause, bool known) {
    if (known) bits |= 1U << static_cast<unsigned>(cause);
  };
  const auto has = [&](const std::optional<double>& input, const std::optional<series::Usual>& own) {
    return input.has_value() && own.has_value();
  };
  if (check != nullptr) {
    mark(Cause::sleep, has(inputs.sleep, usual_sleep(table, day)) && check->sleep_hours);
    mark(Cause::fatigue, has(inputs.fatigue, usual_of(table, Item::fatigue, day)));
    mark(Cause::stress, has(inputs.stress, usual_of(table, Item::stress, day)));
    mark(Cause::soreness, has(inputs.soreness, usual_of(table, Item::soreness, day)));
    mark(Cause::mood, has(inputs.mood, usual_of(table, Item::mood, day)));
  }
  mark(Cause::bar_speed, has(inputs.bar_speed, bar_of(table, day, lift).usual));
  return bits;
}

double with_the_day(double sd_percent, const StrengthModel& model) {
  return std::hypot(model.error.s0, sd_percent) / std::sqrt(2.0);
}

bool add_prescription(const DayTable& table, const PlanRow* plan, const LiftSession* session,
                      std::optional<double> reference_kg, const fit::RepMax& curve, fit::ResponseInputs& inputs) {
  const auto& kinds = table.models().day_kinds.kinds;
  const auto kind = plan == nullptr ? kinds.end() : kinds.find(plan->kind);
  const double rpe = kind == kinds.end() ? kinds.at(DayKind::volume).target_rpe : kind->second.target_rpe;
  const double asked_rpe = std::max(rpe, table.models().strength.rep_max.least_rpe);
  std::vector<fit::SetResult> expected;
  if (plan != nullptr && kind != kinds.end()) {
    inputs.percent = plan->percent.value_or(kind->second.usual_percent);
    inputs.reps = plan->reps.value_or(kind->second.usual_reps);
    expected.push_back({.kg = inputs.percent,
                        .reps = static_cast<int>(inputs.reps),
                        .sets = plan->sets.value_or(kind->second.usual_sets),
                        .rpe = asked_rpe});
  } else if (session != nullptr) {
    const auto percent = [&](const SetRow& set) -> std::optional<double> {
      if (const auto p = series::percent_of(table.log(), set, table.models().lifts)) return p;
      if (set.weight_kg && reference_kg) return 100 * *set.weight_kg / *reference_kg;
      return std::nullopt;
    };
    double top = 0;
    for (const SetRow* set : session->sets) {
      const double p = percent(*set).value_or(0);
      if (p <= top) continue;
      top = p;
      inputs.reps = set->reps;
    }
    if (!(top > 0)) return false;
    inputs.percent = top;
    for (const SetRow* set : session->sets) {
      constexpr double k_near_top = 0.9;
      if (percent(*set).value_or(0) < k_near_top * top) continue;
      expected.push_back({.kg = *percent(*set), .reps = set->reps, .sets = set->sets, .rpe = asked_rpe});
    }
  } else {
    return false;
  }
  if (const auto estimate = curve.session_e1rm(expected)) {
    inputs.sd_percent = with_the_day(estimate->sd_percent, table.models().strength);
  }
  return true;
}

}  // namespace steelyard::learn
