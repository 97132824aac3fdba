#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "week_facts.hpp"

namespace steelyard::decide {
namespace {

using series::Dated;

/// Own SDs on the bad side from which the mean of n values is odd.
double odd_from_sd(int n, const LimitsModel& limits) {
  return std::max(limits.week.odd_sd, limits.week.standard_errors / std::sqrt(n));
}

std::vector<double> within(std::span<const Dated> values, Day from, Day to) {
  std::vector<double> out;
  for (const Dated& v : values) {
    if (v.date >= from && v.date <= to) out.push_back(v.value);
  }
  return out;
}

Late late_values(const std::vector<double>& week, double usual, double sd, double bad, const LimitsModel& limits) {
  Late late;
  const auto values = static_cast<std::size_t>(limits.week.late_values);
  for (std::size_t i = week.size() - std::min(values, week.size()); i < week.size(); ++i) {
    ++late.of;
    if (bad * (week[i] - usual) / sd < limits.signals.odd_sd) continue;
    ++late.odd;
    late.mean += (week[i] - late.mean) / late.odd;
  }
  late.counts = late.odd >= limits.week.late_odd;
  return late;
}

/// Sessions of one lift: the recent ones, each against the mean of the same kind before.
class StrengthChange {
 public:
  StrengthChange(const std::vector<StrengthPoint>& points, Day end, const LimitsModel& limits) : limits_(limits) {
    const auto& compared = limits.signals;
    const Day recent = end - Days{compared.strength_days - 1};
    std::map<DayKind, std::vector<double>> before;
    for (const StrengthPoint& p : points) {
      if (p.date < recent && p.date > end - Days{compared.strength_before_days})
        before[p.kind].push_back(100 * std::log(p.kg));
    }
    std::vector<double> scatter;
    std::set<DayKind> known;
    for (const auto& [kind, values] : before) {
      if (std::ssize(values) < compared.strength_before_least) continue;
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
  [[nodiscard]] bool lost() const {
    const double floor = limits_.signals.strength_floor_percent;
    const double error = std::max(sd_, floor) * std::sqrt(1.0 / sessions() + 1.0 / static_cast<double>(n_before_));
    return -percent() >= std::max(floor, limits_.week.standard_errors * error);
  }

 private:
  const LimitsModel& limits_;
  std::vector<double> changes_;
  std::size_t n_before_ = 0;
  double sd_ = 0;
};

}  // namespace

bool ItemWeek::odd() const {
  return beyond_squad_sd() >= odd_from_sd || (spec->scale == Scale::measured && late.counts);
}

std::vector<ItemWeek> items_of_week(const AthleteLog& log, Day monday, Day end, const LimitsModel& limits) {
  std::vector<ItemWeek> items;
  for (const ItemSpec& spec : item_specs()) {
    const auto values = values_of(log, spec);
    const auto week = within(values, monday, end);
    const auto usual = series::usual(values, monday, limits.signals.usual_days);
    if (week.empty() || !usual || usual->n < limits.signals.least_checks) continue;
    ItemWeek item{.spec = &spec, .mean = series::moments(week)->mean, .usual = usual->mean};
    const double floor = least_sd(spec, usual->mean, limits);
    item.sd = std::max(usual->sd, floor);
    item.scatter = std::max(usual->sd, floor / 2);
    item.n = static_cast<int>(week.size());
    item.odd_from_sd = decide::odd_from_sd(item.n, limits);
    item.late = late_values(week, item.usual, item.sd, spec.bad, limits);
    items.push_back(item);
  }
  return items;
}

std::vector<BarWeek> bar_of_week(const AthleteLog& log, Day monday, Day end, const LimitsModel& limits) {
  std::map<std::pair<std::string, double>, std::vector<Dated>> readings;
  for (const BarSpeed& b : log.bar) readings[{b.lift, b.percent}].push_back({b.date, b.speed_m_s});
  std::vector<BarWeek> out;
  for (const auto& [what, values] : readings) {
    const auto week = within(values, monday, end);
    const auto usual = series::usual(values, monday, limits.signals.bar_days);
    if (week.empty() || !usual || usual->n < limits.signals.bar_least) continue;
    const double sd = std::max(usual->sd, usual->mean * limits.signals.bar_floor_percent / 100);
    BarWeek bar{.lift = what.first, .percent = what.second, .mean = series::moments(week)->mean, .usual = usual->mean};
    bar.n = static_cast<int>(week.size());
    bar.late = late_values(week, usual->mean, sd, -1, limits);
    bar.odd = (usual->mean - bar.mean) / sd >= odd_from_sd(bar.n, limits) || bar.late.counts;
    bar.clearly = bar.odd && bar.n > 1 && (usual->mean - bar.told()) / sd >= limits.week.standard_errors;
    out.push_back(std::move(bar));
  }
  return out;
}

std::vector<StrengthWeek> strength_of_week(const AthleteLog& log, Day monday, Day end, const Models& models) {
  std::set<std::string> lifts;
  for (const SetRow& set : log.sets) {
    if (set.date >= monday && set.date <= end) lifts.insert(set.lift);
  }
  std::vector<StrengthWeek> out;
  for (const std::string& lift : lifts) {
    const auto points = strength_points(log, lift, end + Days{1}, models);
    const StrengthChange change(points, end, models.limits);
    if (change.sessions() < models.limits.week.strength_sessions) continue;
    out.push_back(
        {.lift = lift, .change_percent = change.percent(), .sessions = change.sessions(), .odd = change.lost()});
  }
  return out;
}

}  // namespace steelyard::decide
