#include "steelyard/decide/block.hpp"

#include <algorithm>
#include <cmath>

#include "steelyard/fit/rep_max.hpp"

namespace steelyard::decide {
namespace {

/// Percent of a row after so many steps.
double stepped(const PlanRow& row, int steps, const DayKindsModel& kinds, const fit::RepMax& curve) {
  const auto step = kinds.block.percent_step.find(row.kind);
  const auto kind = kinds.kinds.find(row.kind);
  if (step == kinds.block.percent_step.end() || kind == kinds.kinds.end()) return *row.percent;
  const KindModel& range = kind->second;
  const auto possible = [&](double percent) {
    return percent <= range.percent.high &&
           (!row.reps || *row.reps <= curve.whole_reps_at(percent, 10 - range.target_rpe));
  };
  double percent = *row.percent;
  for (int i = 0; i < steps && possible(percent + step->second); ++i) percent += step->second;
  return percent;
}

}  // namespace

std::vector<PlanRow> block_weeks(const std::vector<PlanRow>& first_week, const Models& models) {
  const auto& block = models.day_kinds.block;
  const auto curve = fit::RepMax::make(models.strength);
  std::vector<PlanRow> rows;
  if (!curve) return rows;
  int steps = 0;  // taken by the last full week
  for (int week = 2; week <= block.weeks; ++week) {
    const bool easy = week == block.easy_week;
    if (!easy) ++steps;
    for (PlanRow row : first_week) {
      row.date += Days{7 * (week - 1)};
      row.position = 0;
      if (row.percent) row.percent = stepped(row, steps, models.day_kinds, *curve);
      if (easy) {
        if (row.percent) row.percent = std::max(1.0, *row.percent + block.easy_percent_change);
        if (row.sets) row.sets = std::max(1, static_cast<int>(std::lround(*row.sets * block.easy_sets_share)));
      }
      rows.push_back(std::move(row));
    }
  }
  return rows;
}

}  // namespace steelyard::decide
