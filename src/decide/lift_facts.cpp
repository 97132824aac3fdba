#include <algorithm>
#include <cmath>
#include <map>

#include "morning.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "steelyard/load/bar_work.hpp"
#include "steelyard/series/training_max.hpp"

namespace steelyard::decide {
namespace {

/// The level of a region in a check: the worst of its sides; 1 if others were listed or soreness was answered.
std::optional<double> region_level(const Check& check, std::string_view region) {
  std::optional<double> level;
  for (const SoreRegion& sore : check.sore_regions) {
    if (region_of(sore.region) == region) level = std::max(level.value_or(1), sore.level);
  }
  if (!level && (!check.sore_regions.empty() || check.soreness)) level = 1;
  return level;
}

void soreness(const Morning& m, LiftFacts& f) {
  if (m.check == nullptr || f.model == nullptr) return;
  const LimitsModel& limits = m.models->limits;
  for (const std::string& region : f.model->movers) {
    const auto level = region_level(*m.check, region);
    if (!level) continue;
    if (*level > f.mover_soreness.value_or(0)) {
      f.sorest_mover = region;
      f.mover_soreness = level;
    }
    std::vector<series::Dated> past;
    for (const Check& c : m.log->checks) {
      if (const auto l = region_level(c, region)) past.push_back({c.date, *l});
    }
    const auto usual = series::usual(past, m.today, limits.signals.usual_days);
    // Without enough checks the fixed line stands in for the own usual.
    const bool known = usual && usual->n >= limits.signals.least_checks;
    const bool odd = known ? usual->deviation(*level, limits.signals.item_floor) >= limits.signals.odd_sd
                           : *level >= limits.soreness.signal;
    if (!odd || *level <= f.odd_soreness.value_or(0)) continue;
    f.odd_mover = region;
    f.odd_soreness = level;
    f.odd_usual = known ? std::optional(usual->mean) : std::nullopt;
  }
  for (const std::string& region : f.model->support) {
    const auto level = region_level(*m.check, region);
    if (!level || *level <= f.support_soreness.value_or(0)) continue;
    f.sorest_support = region;
    f.support_soreness = level;
  }
}

void bar_speed(const Morning& m, LiftFacts& f) {
  const BarSpeed* now = nullptr;
  for (const BarSpeed& b : m.log->bar) {
    if (b.date == m.today && b.lift == f.lift) now = &b;
  }
  if (now == nullptr) return;
  std::vector<series::Dated> past;
  for (const BarSpeed& b : m.log->bar) {
    if (b.lift == f.lift && b.percent == now->percent) past.push_back({b.date, b.speed_m_s});
  }
  const LimitsModel& limits = m.models->limits;
  Measured measured{.value = now->speed_m_s};
  const auto usual = series::usual(past, m.today, limits.signals.bar_days);
  if (usual && usual->n >= limits.signals.bar_least) {
    measured.usual = usual;
    measured.worse_by = -usual->deviation(now->speed_m_s, usual->mean * limits.signals.bar_floor_percent / 100);
    measured.odd = measured.worse_by >= limits.signals.odd_sd;
  }
  f.bar = measured;
  f.bar_percent = now->percent;
}

void performance(const Morning& m, LiftFacts& f) {
  f.strength = strength_points(*m.log, f.lift, m.today, *m.models);
  const LimitsModel& limits = m.models->limits;
  const auto& compared = limits.signals;
  const Day recent = m.today - Days{compared.strength_days};
  double sum = 0;
  double spread = 0;
  int n = 0;
  for (std::size_t k = f.strength.size(); k-- > 0 && n < compared.strength_sessions;) {
    const StrengthPoint& point = f.strength[k];
    if (point.date < recent) break;
    if (called_lighter(m, f.lift, point.date)) continue;  // less was asked for
    std::vector<double> before;  // sessions of the same kind: the estimates of different kinds differ by their nature
    for (const StrengthPoint& other : f.strength) {
      if (other.kind == point.kind && other.date < recent &&
          other.date >= m.today - Days{compared.strength_before_days}) {
        before.push_back(other.kg);
      }
    }
    if (std::ssize(before) < compared.strength_before_least) continue;
    const auto usual = series::moments(before);
    sum += 100 * std::log(point.kg / usual->mean);
    spread = std::max(spread, 100 * usual->sd / usual->mean);
    ++n;
  }
  if (n < compared.strength_sessions) return;
  const double change = sum / n;
  Measured measured{.value = change};
  measured.usual = series::Usual{.mean = 0, .sd = spread, .n = n};
  measured.worse_by = -change / std::max(spread, limits.signals.strength_floor_percent);
  measured.odd = measured.worse_by >= limits.signals.odd_sd;
  f.performance = measured;
}

void work(const Morning& m, LiftFacts& f) {
  const Models& models = *m.models;
  const auto& days = m.lift_days;
  f.hard_sets_week = load::hard_sets(days, f.lift, m.today - Days{7}, m.today - Days{1}, models.lifts);
  std::vector<double> weeks;
  for (int week = 1; week <= models.load.series.usual_weeks; ++week) {
    const Day last = m.today - Days{1 + 7 * week};
    if (m.series.first_entry && last - Days{6} < *m.series.first_entry) break;
    weeks.push_back(load::hard_sets(days, f.lift, last - Days{6}, last, models.lifts));
  }
  f.hard_sets_usual = series::median(std::move(weeks)).value_or(0);

  f.last_heavy = last_heavy_of(m, f.lift);
  for (const LiftDay& day : days) {
    if (day.date >= m.today) break;
    const bool heavy = is_heavy(day, models);
    const bool group = share_spacing(models, f.lift, day.lift);
    if (heavy && group) {
      f.last_heavy_group = day.date;
      f.last_heavy_group_lift = day.lift;
    }
    if (group && (heavy || day.lifts >= models.limits.spacing.much_reps)) f.last_hard_work = day.date;
  }
}

void before_break(const Morning& m, LiftFacts& f) {
  if (!m.layoff) return;
  std::vector<double> percents;
  std::vector<double> sets;
  for (const PlanRow& row : m.log->plan) {
    if (row.lift != f.lift || row.kind != f.plan.kind || row.date > m.layoff->last_session) continue;
    if (row.date < m.layoff->last_session - Days{m.models->limits.signals.sessions_days}) continue;
    if (row.percent) percents.push_back(*row.percent);
    if (row.sets) sets.push_back(*row.sets);
  }
  f.former_percent = series::median(std::move(percents));
  if (const auto s = series::median(std::move(sets))) f.former_sets = static_cast<int>(std::lround(*s));
  std::optional<Day> seen;
  for (const SetRow& set : m.log->sets) {
    if (set.lift != f.lift || set.date <= m.layoff->last_session || set.date >= m.today || set.date == seen) continue;
    seen = set.date;
    ++f.sessions_since_break;
  }
}

}  // namespace

bool share_spacing(const Models& models, std::string_view a, std::string_view b) {
  if (a == b) return true;
  const LiftModel* of_a = models.lifts.find(a);
  const LiftModel* of_b = models.lifts.find(b);
  return of_a != nullptr && of_b != nullptr && !of_a->spacing_group.empty() &&
         of_a->spacing_group == of_b->spacing_group;
}

std::optional<Day> last_heavy_of(const Morning& m, std::string_view lift) {
  std::optional<Day> last;
  for (const LiftDay& day : m.lift_days) {
    if (is_heavy(day, *m.models) && day.lift == lift && day.date < m.today) last = day.date;
  }
  return last;
}

std::vector<StrengthPoint> strength_points(const AthleteLog& log, std::string_view lift, Day before,
                                           const Models& models) {
  std::vector<StrengthPoint> points;
  const auto curve = fit::RepMax::make(models.strength);
  if (!curve) return points;
  std::map<Day, std::vector<const SetRow*>> by_day;
  for (const SetRow& set : log.sets) {
    if (set.lift == lift && set.date < before && set.weight_kg && *set.weight_kg > 0) by_day[set.date].push_back(&set);
  }
  for (const auto& [day, sets] : by_day) {
    const auto max = series::training_max(log, lift, day, models.lifts);
    if (!max) continue;
    std::vector<fit::SetResult> results;
    double top = 0;
    int top_reps = 0;
    for (const SetRow* set : sets) {
      results.push_back({.kg = *set->weight_kg,
                         .reps = set->reps,
                         .sets = set->sets,
                         .rpe = set->rpe,
                         .missed = set->missed.value_or(0)});
      if (*set->weight_kg > top) {
        top = *set->weight_kg;
        top_reps = set->reps;
      }
    }
    const auto estimate = curve->session_e1rm(results);
    if (!estimate) continue;
    const DayKind kind = load::kind_of_work(100 * top / *max, top_reps, models);
    points.push_back({.date = day, .kind = kind, .kg = estimate->kg, .sd_percent = estimate->sd_percent});
  }
  return points;
}

std::optional<PlanRow> missed_heavy(const Morning& m, std::string_view lift) {
  std::optional<PlanRow> missed;
  for (const PlanRow& row : m.log->plan) {
    if (row.lift != lift || row.date >= m.today || row.date < m.today - Days{7} || row.kind != DayKind::heavy) continue;
    const bool trained = std::any_of(m.log->sets.begin(), m.log->sets.end(),
                                     [&](const SetRow& s) { return s.date == row.date && s.lift == row.lift; });
    const bool session = std::any_of(m.log->sessions.begin(), m.log->sessions.end(),
                                     [&](const Session& s) { return s.date == row.date; });
    const bool later_heavy = std::any_of(m.lift_days.begin(), m.lift_days.end(), [&](const LiftDay& day) {
      return day.lift == lift && day.date > row.date && day.date < m.today && is_heavy(day, *m.models);
    });
    bool said_off = false;
    bool unwell = false;  // what illness or injury took is not caught up on
    for (const DaysOff& off : m.log->days_off) {
      if (row.date < off.from || row.date > off.to) continue;
      said_off = true;
      unwell = unwell || off.reason == OffReason::illness || off.reason == OffReason::injury;
    }
    // A day of which nobody knows anything is not a missed one.
    if (!trained && !later_heavy && !unwell && (said_off || session)) missed = row;
  }
  return missed;
}

LiftFacts lift_facts(const Morning& m, const PlanRow& plan) {
  LiftFacts f;
  f.lift = plan.lift;
  f.model = m.models->lifts.find(plan.lift);
  f.plan = plan;
  f.training_max_kg = series::training_max(*m.log, plan.lift, m.today, m.models->lifts);
  soreness(m, f);
  bar_speed(m, f);
  performance(m, f);
  work(m, f);
  f.missed_heavy = missed_heavy(m, f.lift);
  before_break(m, f);
  return f;
}

}  // namespace steelyard::decide
