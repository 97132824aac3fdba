#include "steelyard/decide/rotation.hpp"

#include <algorithm>

#include "steelyard/series/training_max.hpp"

namespace steelyard::decide {
namespace {

constexpr int k_weeks_ahead = 3;
constexpr int k_weeks_back = 4;

/// A row that somebody wrote, not a followed call.
bool is_written(const AthleteLog& log, const PlanRow& row) {
  return std::none_of(log.decisions.begin(), log.decisions.end(),
                      [&](const Decision& d) { return d.follows && d.date == row.date && d.lift == row.lift; });
}

bool has_plan(const AthleteLog& log, Day today) {
  return std::any_of(log.plan.begin(), log.plan.end(), [&](const PlanRow& row) {
    return row.date >= today - Days{7 * k_weeks_back} && is_written(log, row);
  });
}

/// Main lifts with a training max, one of each spacing group, as the models list them.
std::vector<std::string> lifts_of(const AthleteLog& log, Day today, const Models& models) {
  std::vector<std::string> lifts;
  std::vector<std::string> groups;
  for (const LiftModel& lift : models.lifts.lifts) {
    if (!lift.main || !lift.variant_of.empty() || !series::training_max(log, lift.lift, today, models.lifts)) continue;
    const std::string& group = lift.spacing_group.empty() ? lift.lift : lift.spacing_group;
    if (std::find(groups.begin(), groups.end(), group) != groups.end()) continue;
    groups.push_back(group);
    lifts.push_back(lift.lift);
  }
  return lifts;
}

const std::vector<DayKind>& order_of(std::size_t days, const DayKindsModel& models) {
  return days == 1 ? models.rotation.one : days == 2 ? models.rotation.two : models.rotation.three;
}

}  // namespace

void fill_from_rotation(AthleteLog& log, Day today, const Models& models) {
  std::vector<int> weekdays;
  for (int i = 0; i < 7; ++i) {
    if (!log.athlete.weekdays.empty() && log.athlete.weekdays.has(i)) weekdays.push_back(i);
  }
  if (weekdays.empty() || has_plan(log, today)) return;
  const auto lifts = lifts_of(log, today, models);
  const auto& order = order_of(weekdays.size(), models.day_kinds);
  const Day monday = today - Days{weekday_index(today)};
  for (Day day = today; day < monday + Days{7 * k_weeks_ahead}; day += Days{1}) {
    const auto place = std::find(weekdays.begin(), weekdays.end(), weekday_index(day));
    if (place == weekdays.end()) continue;
    for (std::size_t l = 0; l < lifts.size(); ++l) {
      const bool there = std::any_of(log.plan.begin(), log.plan.end(),
                                     [&](const PlanRow& r) { return r.date == day && r.lift == lifts[l]; });
      if (there) continue;
      // The second lift is one kind behind the first, so that not everything is heavy on one day.
      const std::size_t k = (static_cast<std::size_t>(place - weekdays.begin()) + l) % order.size();
      log.plan.push_back({.athlete = log.athlete.athlete,
                          .date = day,
                          .lift = lifts[l],
                          .kind = order[k],
                          .note = std::string(k_rotation_note)});
    }
  }
  std::stable_sort(log.plan.begin(), log.plan.end(),
                   [](const PlanRow& a, const PlanRow& b) { return a.date < b.date; });
}

}  // namespace steelyard::decide
