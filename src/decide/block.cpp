#include "steelyard/decide/block.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "phrases.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "steelyard/fit/rep_max.hpp"

namespace steelyard::decide {
namespace {

/// Percent of a row after so many steps; `taken`: how many of them had room.
double stepped(const PlanRow& row, int steps, const DayKindsModel& kinds, const fit::RepMax& curve, int& taken) {
  taken = steps;
  const auto step = kinds.block.percent_step.find(row.kind);
  const auto kind = kinds.kinds.find(row.kind);
  if (step == kinds.block.percent_step.end() || kind == kinds.kinds.end()) return *row.percent;
  if (step->second == 0) return *row.percent;
  const KindModel& range = kind->second;
  const auto possible = [&](double percent) {
    return percent <= range.percent.high &&
           (!row.reps || *row.reps <= curve.whole_reps_at(percent, 10 - range.target_rpe));
  };
  double percent = *row.percent;
  for (taken = 0; taken < steps && possible(percent + step->second); ++taken) percent += step->second;
  return percent;
}

/// Half the sets, or what the models say, and the minutes that go with them; the warm-up stays.
void make_easy(PlanRow& row, const Models& models) {
  const auto& block = models.day_kinds.block;
  const double warmup = models.limits.minutes.warmup;
  if (row.percent) row.percent = std::max(1.0, *row.percent + block.easy_percent_change);
  if (row.sets) row.sets = std::max(1, static_cast<int>(std::lround(*row.sets * block.easy_sets_share)));
  if (row.minutes && *row.minutes > warmup)
    row.minutes = std::round(warmup + (*row.minutes - warmup) * block.easy_sets_share);
}

/// Why a row of the first week took fewer steps than the block has.
std::string say_stall(const PlanRow& row, int taken, const Models& models) {
  const double step = models.day_kinds.block.percent_step.at(row.kind);
  const double reached = *row.percent + taken * step;
  const double edge = models.day_kinds.kinds.at(row.kind).percent.high;
  const std::string name = spoken_plural(models.lifts, row.lift);
  const std::string why =
      reached + step > edge
          ? fmt::format("{} % is the upper edge of {} days", format_number(edge, 1), word(row.kind))
          : fmt::format("{} repetitions leave no room for {} %", *row.reps, format_number(reached + step, 1));
  return fmt::format("{} {} of {} stay at {} % after {} step{}: {}.", capitalized(word(row.kind)), name,
                     weekday_name(row.date), format_number(reached, 1), taken, taken == 1 ? "" : "s", why);
}

}  // namespace

BlockPlan block_weeks(const std::vector<PlanRow>& first_week, const Models& models) {
  const auto& shape = models.day_kinds.block;
  const auto curve = fit::RepMax::make(models.strength);
  BlockPlan block;
  if (!curve) return block;
  std::vector<int> taken(first_week.size(), 0);
  int steps = 0;  // taken by the last full week
  for (int week = 2; week <= shape.weeks; ++week) {
    const bool easy = week == shape.easy_week;
    if (!easy) ++steps;
    for (std::size_t i = 0; i < first_week.size(); ++i) {
      PlanRow row = first_week[i];
      row.date += Days{7 * (week - 1)};
      row.position = 0;
      taken[i] = steps;
      if (row.percent) row.percent = stepped(row, steps, models.day_kinds, *curve, taken[i]);
      if (easy) make_easy(row, models);
      block.rows.push_back(std::move(row));
    }
  }
  for (std::size_t i = 0; i < first_week.size(); ++i) {
    if (taken[i] < steps) block.say.push_back(say_stall(first_week[i], taken[i], models));
  }
  return block;
}

}  // namespace steelyard::decide
