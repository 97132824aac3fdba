#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "week_facts.hpp"

namespace steelyard::decide {
namespace {

using series::Dated;

constexpr int k_late_values = 3;  // the last values of the week, looked at one by one

bool mean_is_odd(double worse_sd, int n) {
  return n > 0 && worse_sd >= std::max(k_week_least_sd, k_week_standard_errors / std::sqrt(n));
}

std::vector<Dated> values_of(const AthleteLog& log, const ItemSpec& spec) {
  std::vector<Dated> values;
  for (const Check& check : log.checks) {
    if (const auto value = check.*spec.member)
      values.push_back({check.date, spec.logarithm ? std::log(*value) : *value});
  }
  return values;
}

std::vector<double> within(std::span<const Dated> values, Day from, Day to) {
  std::vector<double> out;
  for (const Dated& v : values) {
    if (v.date >= from && v.date <= to) out.push_back(v.value);
  }
  return out;
}

/// Least SD of an item, as for a single morning.
double floor_of(const ItemSpec& spec, double usual, const LimitsModel& limits) {
  const auto& s = limits.signals;
  if (spec.name == "sleep_hours") return s.sleep_floor_h;
  if (spec.name == "resting_hr") return usual * s.resting_hr_floor_percent / 100;
  if (spec.name == "jump") return usual * s.jump_floor_percent / 100;
  return spec.logarithm ? s.ln_hrv_floor : s.item_floor;
}

Late late_values(const std::vector<double>& week, double usual, double sd, double bad, double odd_sd) {
  Late late;
  for (std::size_t i = week.size() - std::min<std::size_t>(k_late_values, week.size()); i < week.size(); ++i) {
    ++late.of;
    if (bad * (week[i] - usual) / sd < odd_sd) continue;
    ++late.odd;
    late.mean += (week[i] - late.mean) / late.odd;
  }
  return late;
}

/// Sessions of one lift: those of the last two weeks, each against the mean of the same kind before.
class StrengthChange {
 public:
  StrengthChange(const std::vector<StrengthPoint>& points, Day end) {
    constexpr int recent_days = 14;
    constexpr int remembered_days = 70;
    constexpr std::size_t least_before = 3;
    const Day recent = end - Days{recent_days - 1};
    std::map<DayKind, std::vector<double>> before;
    for (const StrengthPoint& p : points) {
      if (p.date < recent && p.date > end - Days{remembered_days}) before[p.kind].push_back(100 * std::log(p.kg));
    }
    std::vector<double> scatter;
    std::set<DayKind> known;
    for (const auto& [kind, values] : before) {
      if (values.size() < least_before) continue;
      known.insert(kind);
      for (const double v : values) scatter.push_back(v - series::moments(values)->mean);
    }
    for (const StrengthPoint& p : points) {
      if (p.date < recent || !known.contains(p.kind)) continue;
      changes_.push_back(100 * std::log(p.kg) - series::moments(before[p.kind])->mean);
    }
    n_before_ = scatter.size();
    if (n_before_ > 0) sd_ = series::moments(scatter)->sd;
  }

  [[nodiscard]] int sessions() const { return static_cast<int>(changes_.size()); }
  [[nodiscard]] double percent() const { return series::moments(changes_)->mean; }
  /// Lost more than the least that counts, and more than chance leaves in a mean of so few sessions.
  [[nodiscard]] bool lost(double floor) const {
    const double error = std::max(sd_, floor) * std::sqrt(1.0 / sessions() + 1.0 / static_cast<double>(n_before_));
    return -percent() >= std::max(floor, k_week_standard_errors * error);
  }

 private:
  std::vector<double> changes_;
  std::size_t n_before_ = 0;
  double sd_ = 0;
};

}  // namespace

const std::array<ItemSpec, 9>& week_items() {
  static constexpr std::array<ItemSpec, 9> items{{
      {.name = "sleep_hours", .unit = "h", .member = &Check::sleep_hours, .bad = -1, .everybody = true},
      {.name = "sleep_quality", .unit = "of 7", .member = &Check::sleep_quality, .bad = -1, .everybody = true},
      {.name = "soreness", .unit = "of 7", .member = &Check::soreness, .bad = 1, .everybody = true},
      {.name = "fatigue", .unit = "of 7", .member = &Check::fatigue, .bad = 1, .everybody = true},
      {.name = "stress", .unit = "of 7", .member = &Check::stress, .bad = 1, .everybody = true},
      {.name = "mood", .unit = "of 7", .member = &Check::mood, .bad = -1, .everybody = true},
      {.name = "resting_hr", .unit = "beats a minute", .member = &Check::resting_hr, .bad = 1, .objective = true},
      {.name = "hrv", .unit = "ms", .member = &Check::hrv_ms, .bad = -1, .objective = true, .logarithm = true},
      {.name = "jump", .unit = "cm", .member = &Check::jump_cm, .bad = -1, .objective = true},
  }};
  return items;
}

bool ItemWeek::odd() const {
  return mean_is_odd(beyond_squad_sd(), n) || (spec->objective && late.counts());
}

std::vector<ItemWeek> items_of_week(const AthleteLog& log, Day monday, Day end, const LimitsModel& limits) {
  std::vector<ItemWeek> items;
  for (const ItemSpec& spec : week_items()) {
    const auto values = values_of(log, spec);
    const auto week = within(values, monday, end);
    const auto usual = series::usual(values, monday, limits.signals.usual_days);
    if (week.empty() || !usual || usual->n < limits.signals.least_checks) continue;
    ItemWeek item{.spec = &spec, .mean = series::moments(week)->mean, .usual = usual->mean};
    const double floor = floor_of(spec, usual->mean, limits);
    item.sd = std::max(usual->sd, floor);
    item.scatter = std::max(usual->sd, floor / 2);
    item.n = static_cast<int>(week.size());
    item.late = late_values(week, item.usual, item.sd, spec.bad, limits.signals.odd_sd);
    items.push_back(item);
  }
  return items;
}

std::vector<BarWeek> bar_of_week(const AthleteLog& log, Day monday, Day end, const LimitsModel& limits) {
  constexpr int readings_days = 56;  // two or three a week: eight weeks give a usual
  constexpr int least_readings = 5;
  std::map<std::pair<std::string, double>, std::vector<Dated>> readings;
  for (const BarSpeed& b : log.bar) readings[{b.lift, b.percent}].push_back({b.date, b.speed_m_s});
  std::vector<BarWeek> out;
  for (const auto& [what, values] : readings) {
    const auto week = within(values, monday, end);
    const auto usual = series::usual(values, monday, readings_days);
    if (week.empty() || !usual || usual->n < least_readings) continue;
    const double sd = std::max(usual->sd, usual->mean * limits.signals.bar_floor_percent / 100);
    BarWeek bar{.lift = what.first, .percent = what.second, .mean = series::moments(week)->mean, .usual = usual->mean};
    bar.n = static_cast<int>(week.size());
    bar.late = late_values(week, usual->mean, sd, -1, limits.signals.odd_sd);
    bar.odd = mean_is_odd((usual->mean - bar.mean) / sd, bar.n) || bar.late.counts();
    bar.clearly = bar.odd && bar.n > 1 && (usual->mean - bar.told()) / sd >= k_week_standard_errors;
    out.push_back(std::move(bar));
  }
  return out;
}

std::vector<StrengthWeek> strength_of_week(const AthleteLog& log, Day monday, Day end, const Models& models) {
  constexpr int least_sessions = 3;
  std::set<std::string> lifts;
  for (const SetRow& set : log.sets) {
    if (set.date >= monday && set.date <= end) lifts.insert(set.lift);
  }
  std::vector<StrengthWeek> out;
  for (const std::string& lift : lifts) {
    const auto points = strength_points(log, lift, end + Days{1}, models);
    const StrengthChange change(points, end);
    if (change.sessions() < least_sessions) continue;
    out.push_back({.lift = lift,
                   .change_percent = change.percent(),
                   .sessions = change.sessions(),
                   .odd = change.lost(models.limits.signals.strength_floor_percent)});
  }
  return out;
}

}  // namespace steelyard::decide
