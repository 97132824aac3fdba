#include "steelyard/load/bar_work.hpp"

#include <algorithm>
#include <string_view>
#include <tuple>

#include "steelyard/series/lift_codes.hpp"
#include "steelyard/series/training_max.hpp"

namespace steelyard::load {
int reps_done(const SetRow& set) {
  return set.sets * set.reps - set.missed.value_or(0);
}

double effort_factor(std::optional<double> rpe, const LoadModel& model) {
  const auto& x = model.effort.rpe;
  const auto& y = model.effort.factor;
  if (!rpe || x.empty()) return 1;
  if (*rpe <= x.front()) return y.front();
  if (*rpe >= x.back()) return y.back();
  const auto upper = static_cast<std::size_t>(std::upper_bound(x.begin(), x.end(), *rpe) - x.begin());
  const double share = (*rpe - x[upper - 1]) / (x[upper] - x[upper - 1]);
  return y[upper - 1] + share * (y[upper] - y[upper - 1]);
}

bool is_hard(const SetRow& set, std::optional<double> percent, const LoadModel& model) {
  if (set.rpe) return *set.rpe >= model.hard_set.rpe;
  return percent && *percent >= model.hard_set.percent;
}

double tonnage(std::span<const SetRow> sets) {
  double kg = 0;
  for (const SetRow& set : sets) kg += set.weight_kg.value_or(0) * reps_done(set);
  return kg;
}

DayKind kind_of_work(double top_percent, double top_reps, const Models& models) {
  if (top_percent > models.limits.spacing.heavy_percent) return DayKind::heavy;
  const auto speed = models.day_kinds.kinds.find(DayKind::speed);
  const bool few = speed != models.day_kinds.kinds.end() && top_reps <= speed->second.reps.high;
  return few ? DayKind::speed : DayKind::volume;
}

std::vector<LiftDay> lift_days(const AthleteLog& log, const Models& models) {
  std::vector<LiftDay> days;
  std::map<std::pair<Day, std::string>, std::size_t> index;
  std::vector<double> percent_reps;  // sum of percent x repetitions, beside days
  std::vector<int> reps_with_percent;
  for (const SetRow& set : log.sets) {
    const auto [found, is_new] = index.try_emplace({set.date, set.lift}, days.size());
    if (is_new) {
      days.push_back({.date = set.date, .lift = set.lift});
      percent_reps.push_back(0);
      reps_with_percent.push_back(0);
    }
    LiftDay& day = days[found->second];
    const auto percent = series::percent_of(log, set, models.lifts);
    const int reps = reps_done(set);
    day.lifts += reps;
    day.tonnage_kg += tonnage({&set, 1});
    if (is_hard(set, percent, models.load)) day.hard_sets += set.sets;
    if (!percent) continue;
    const double share = *percent / 100;
    day.dose += reps * share * share * effort_factor(set.rpe, models.load);
    day.top_percent = std::max(day.top_percent.value_or(0), *percent);
    percent_reps[found->second] += *percent * reps;
    reps_with_percent[found->second] += reps;
  }
  for (std::size_t i = 0; i < days.size(); ++i) {
    if (reps_with_percent[i] > 0) days[i].mean_percent = percent_reps[i] / reps_with_percent[i];
  }
  std::sort(days.begin(), days.end(),
            [](const LiftDay& a, const LiftDay& b) { return std::tie(a.date, a.lift) < std::tie(b.date, b.lift); });
  return days;
}

std::map<Day, double> dose_felt(const std::vector<LiftDay>& days, std::string_view lift, const LiftsModel& lifts) {
  std::map<Day, double> felt;
  std::map<std::string_view, double> shares;  // a lifter has few lifts and many days
  for (const LiftDay& day : days) {
    const auto [share, is_new] = shares.try_emplace(day.lift, 1);
    if (is_new && day.lift != lift) share->second = lifts.overlap(day.lift, lift);
    if (share->second > 0) felt[day.date] += share->second * day.dose;
  }
  return felt;
}

int hard_sets(const std::vector<LiftDay>& days, std::string_view lift, Day from, Day to, const LiftsModel& lifts) {
  int sum = 0;
  const std::string_view root = series::root_of(lifts, lift);
  for (const LiftDay& day : days) {
    if (day.date >= from && day.date <= to && series::root_of(lifts, day.lift) == root) sum += day.hard_sets;
  }
  return sum;
}

}  // namespace steelyard::load
