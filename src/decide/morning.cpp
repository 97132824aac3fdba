#include "morning.hpp"

#include <algorithm>
#include <cmath>

#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "steelyard/load/bar_work.hpp"
#include "steelyard/load/figures.hpp"

namespace steelyard::decide {
namespace {

using series::Dated;

constexpr int k_horizon = 14;  // days of plan that a morning looks ahead to, whole weeks

Measured measure(const ItemSpec& spec, double value, const Morning& m) {
  const LimitsModel& limits = m.models->limits;
  Measured measured{.spec = &spec, .value = spec.logarithm ? std::log(value) : value};
  const auto usual = series::usual(values_of(*m.log, spec), m.today, limits.signals.usual_days);
  if (!usual || usual->n < limits.signals.least_checks) return measured;
  measured.usual = usual;
  measured.worse_by = spec.bad * usual->deviation(measured.value, least_sd(spec, usual->mean, limits));
  measured.odd = measured.worse_by >= limits.signals.odd_sd;
  return measured;
}

void measure_items(Morning& m) {
  if (m.check == nullptr) return;
  for (const ItemSpec& spec : item_specs()) {
    if (const auto value = m.check->*spec.member) m.items.push_back(measure(spec, *value, m));
  }
}

/// Several nights in a row, each on record, against the usual of the nights before them.
void measure_nights(Morning& m) {
  if (m.item(&Check::sleep_hours) == nullptr) return;
  const LimitsModel& limits = m.models->limits;
  const auto nights = values_of(*m.log, item_spec(&Check::sleep_hours));
  const int run = static_cast<int>(limits.signals.short_run_nights);
  const Day first = m.today - Days{run - 1};
  double sum = 0;
  double longest = 0;
  int known = 0;
  for (const Dated& night : nights) {
    if (night.date < first || night.date > m.today) continue;
    sum += night.value;
    longest = std::max(longest, night.value);
    ++known;
  }
  const auto before = series::usual(nights, first, limits.signals.usual_days);
  if (known < run || !before || before->n < limits.signals.least_checks) return;
  m.sleep_run_mean = sum / known;
  m.sleep_run = before->mean - m.sleep_run_mean >= limits.signals.short_run_hours && longest < before->mean;
}

/// Every item the same in every check of the last weeks: the sheet is ticked, not answered.
bool items_vary(const AthleteLog& log, Day today, const LimitsModel& limits) {
  int most = 0;
  for (const ItemSpec& spec : item_specs()) {
    if (spec.scale != Scale::rating) continue;
    const auto usual = series::usual(values_of(log, spec), today, limits.signals.usual_days);
    if (!usual) continue;
    if (usual->sd > 0) return true;
    most = std::max(most, usual->n);
  }
  return most < limits.signals.least_checks + limits.signals.least_checks / 2;
}

bool is_barbell(const Session& session, const AthleteLog& log) {
  if (session.kind) return *session.kind != DayKind::sport && *session.kind != DayKind::other;
  return std::any_of(log.sets.begin(), log.sets.end(), [&](const SetRow& s) { return s.date == session.date; });
}

int declared_days(const AthleteLog& log, Day from, Day to, std::optional<OffReason>& reason) {
  int days = 0;
  for (Day day = from; day <= to; day += Days{1}) {
    for (const DaysOff& off : log.days_off) {
      if (off.reason == OffReason::match || day < off.from || day > off.to) continue;
      ++days;
      reason = off.reason;
      break;
    }
  }
  return days;
}

std::optional<Break> find_break(const Morning& m) {
  const auto& comeback = m.models->limits.comeback;
  if (comeback.steps.empty()) return std::nullopt;
  const int from = comeback.steps.front().from_days;  // shorter breaks change nothing
  std::vector<Day> trained;
  for (const Session& s : m.log->sessions) {
    if (s.date < m.today && is_barbell(s, *m.log)) trained.push_back(s.date);
  }
  for (const SetRow& s : m.log->sets) {
    if (s.date < m.today) trained.push_back(s.date);
  }
  if (trained.empty()) return std::nullopt;
  std::sort(trained.begin(), trained.end());
  trained.erase(std::unique(trained.begin(), trained.end()), trained.end());
  for (std::size_t i = trained.size(); i-- > 0;) {
    const Day next = i + 1 < trained.size() ? trained[i + 1] : m.today;
    if (days_between(next, m.today) > comeback.remembered_days) break;
    const int gap = days_between(trained[i], next) - 1;
    if (gap < from) continue;
    Break found{.days = gap, .last_session = trained[i]};
    if (i + 1 < trained.size()) found.first_session_after = next;
    const int declared = declared_days(*m.log, trained[i] + Days{1}, next - Days{1}, found.reason);
    int unlogged = 0;
    for (Day day = trained[i] + Days{1}; day < next; day += Days{1}) {
      const auto* entry = m.series.at(day);
      if (entry != nullptr && entry->status == DayStatus::unlogged) ++unlogged;
    }
    if (declared >= from) {
      found.days = declared;
    } else if (unlogged >= from) {
      found.days = unlogged;
      found.unlogged = true;
    }
    return found;
  }
  return std::nullopt;
}

/// Minutes done in the last seven days against minutes planned for them.
bool done_as_planned(const Morning& m) {
  const Day first = m.today - Days{7};
  const double planned = planned_minutes(*m.log, first, m.today - Days{1});
  double done = 0;
  for (const Session& s : m.log->sessions) {
    if (s.date >= first && s.date < m.today) done += s.minutes.value_or(0);
  }
  return planned > 0 && done <= m.models->limits.load.planned_room * planned;
}

/// Earlier weeks had less planned: only then is a high week a planned one.
bool planned_high(const Morning& m) {
  const double week = planned_minutes(*m.log, m.today - Days{7}, m.today - Days{1});
  const double before = planned_minutes(*m.log, m.today - Days{28}, m.today - Days{8}) / 3;
  return before > 0 && week > before;
}

/// Yesterday's weekly strain lies at or above that percentile of the lifter's own earlier ones; unknown = it counts.
bool strain_is_high(const Morning& m) {
  const DayFigures& last = m.figures.back();
  std::vector<double> earlier;
  for (const DayFigures& day : m.figures) {
    if (day.week_strain_au && day.date < last.date) earlier.push_back(*day.week_strain_au);
  }
  if (!last.week_strain_au || earlier.empty()) return true;
  const double below = static_cast<double>(
      std::count_if(earlier.begin(), earlier.end(), [&](double x) { return x <= *last.week_strain_au; }));
  return below >= m.models->limits.load.strain_percentile / 100 * static_cast<double>(earlier.size());
}

void measure_load(Morning& m) {
  const LoadModel& load = m.models->load;
  m.series = series::day_series(*m.log, m.today - Days{200}, m.today, m.today, load);
  if (!m.series.first_entry) return;
  m.history_days = days_between(*m.series.first_entry, m.today);
  auto to_yesterday = m.series;
  if (!to_yesterday.days.empty()) to_yesterday.days.pop_back();
  m.figures = load::figures(to_yesterday, load);

  for (std::size_t i = m.figures.size() - std::min<std::size_t>(28, m.figures.size()); i < m.figures.size(); ++i) {
    if (m.figures[i].load_au) ++m.coverage.days_of_28;
  }
  const DayFigures* last = m.yesterday();
  if (last == nullptr) return;
  m.coverage.ratio_state = last->state;
  // The last seven days are explained by a period that covers some of them, not by one that begins today.
  const bool declared = std::any_of(m.log->periods.begin(), m.log->periods.end(), [&](const Period& p) {
    return p.from < m.today && p.to >= m.today - Days{7} && asks_for_hard(p.intent);
  });
  m.load_explained = declared || (done_as_planned(m) && planned_high(m));
  m.week_above_high = last->state == RatioState::known && last->acute7_au && last->highest8_au && last->ratio_coupled &&
                      *last->acute7_au > *last->highest8_au && *last->ratio_coupled > load.ratio.band_high;
  m.days_alike = last->acute7_au.value_or(0) > 0 &&
                 (last->no_variation || (last->monotony.value_or(0) >= load.monotony.alike && strain_is_high(m)));
}

void look_at_dates(Morning& m) {
  const Athlete& a = m.log->athlete;
  const std::chrono::year_month_day ymd{m.today};
  if (a.birth_year) m.age_this_year = static_cast<int>(ymd.year()) - *a.birth_year;
  if (a.training_since) m.training_years = static_cast<double>(days_between(*a.training_since, m.today)) / 365.25;
  if (a.meet_date) m.days_to_meet = days_between(m.today, *a.meet_date);
  for (const DaysOff& off : m.log->days_off) {
    if (off.reason != OffReason::match) continue;
    const bool on = off.from <= m.today && m.today <= off.to;
    const int to = on ? 0 : days_between(m.today, off.from);
    if (to >= 0 && (!m.days_to_match || to < *m.days_to_match)) m.days_to_match = to;
    const int since = days_between(off.to, m.today);
    if (since > 0 && (!m.days_since_match || since < *m.days_since_match)) m.days_since_match = since;
  }
  for (const Period& p : m.log->periods) {
    if (p.from <= m.today && m.today <= p.to) m.period = p.intent;
  }
  if (m.check != nullptr) m.minutes_available = m.check->minutes_available;
}

void count_entries(Morning& m) {
  std::optional<Day> last;
  for (const Check& c : m.log->checks) {
    if (c.date >= m.today) continue;
    last = std::max(last.value_or(c.date), c.date);
    if (c.date >= m.today - Days{m.models->limits.signals.usual_days}) ++m.checks_before;
  }
  for (const Session& s : m.log->sessions) {
    if (s.date < m.today) last = std::max(last.value_or(s.date), s.date);
  }
  for (const SetRow& s : m.log->sets) {
    if (s.date < m.today) last = std::max(last.value_or(s.date), s.date);
  }
  m.coverage.checks_of_28 = m.checks_before;
  if (last) m.coverage.days_since_entry = days_between(*last, m.today);
  m.usual_known = m.checks_before >= m.models->limits.signals.least_checks;
}

}  // namespace

bool Morning::available(Day day) const {
  const Athlete& a = log->athlete;
  const bool off = std::any_of(log->days_off.begin(), log->days_off.end(),
                               [&](const DaysOff& o) { return o.from <= day && day <= o.to; });
  if (off) return false;
  if (!a.weekdays.empty()) return a.weekdays.has(weekday_index(day));
  return std::any_of(ahead.begin(), ahead.end(), [&](const PlanRow& row) { return row.date == day; });
}

const Measured* Morning::item(ItemMember member) const {
  const auto found =
      std::find_if(items.begin(), items.end(), [&](const Measured& i) { return i.spec->member == member; });
  return found == items.end() ? nullptr : &*found;
}

bool is_minor(const Morning& m) {
  return m.age_this_year && *m.age_this_year - 1 < m.models->limits.age.youth;
}

bool is_master(const Morning& m) {
  return m.age_this_year && *m.age_this_year >= m.models->limits.age.masters;
}

std::vector<PlanRow> plan_of(const std::vector<PlanRow>& plan, Day day) {
  std::vector<PlanRow> rows;
  for (const PlanRow& row : plan) {
    if (row.date == day) rows.push_back(row);
  }
  std::stable_sort(rows.begin(), rows.end(), [](const PlanRow& a, const PlanRow& b) {
    return std::pair{!a.minutes.has_value(), a.position} < std::pair{!b.minutes.has_value(), b.position};
  });
  return rows;
}

bool is_heavy(const PlanRow& row, const Models& models) {
  if (row.percent) return *row.percent > models.limits.spacing.heavy_percent && row.kind != DayKind::speed;
  return row.kind == DayKind::heavy;
}

bool is_heavy(const LiftDay& day, const Models& models) {
  return day.top_percent.value_or(0) > models.limits.spacing.heavy_percent;
}

bool called_lighter(const Morning& m, std::string_view lift, Day day) {
  return std::any_of(m.log->decisions.begin(), m.log->decisions.end(), [&](const Decision& d) {
    if (!d.follows || d.date != day || d.lift != lift) return false;
    const auto codes = split_words(d.called);
    return std::any_of(codes.begin(), codes.end(), [](std::string_view code) {
      return code == action_code(Action::trim_intensity) || code == action_code(Action::swap_to_speed) ||
             code == action_code(Action::swap_to_volume) || code == action_code(Action::light_technique);
    });
  });
}

double planned_minutes(const AthleteLog& log, Day from, Day to) {
  double sum = 0;
  for (const PlanRow& row : log.plan) {
    if (row.date >= from && row.date <= to) sum += row.minutes.value_or(0);
  }
  return sum;
}

std::vector<PlanRow> plan_ahead(const AthleteLog& log, Day today) {
  constexpr int k_weeks_back = 8;
  const auto in_week = [&](Day from) {
    std::vector<PlanRow> found;
    std::copy_if(log.plan.begin(), log.plan.end(), std::back_inserter(found),
                 [&](const PlanRow& r) { return r.date >= from && r.date < from + Days{7}; });
    return found;
  };
  std::vector<PlanRow> rows;
  for (Day week = today - Days{weekday_index(today)}; week < today + Days{k_horizon}; week += Days{7}) {
    auto written = in_week(week);
    for (int back = 1; written.empty() && back <= k_weeks_back; ++back) {
      written = in_week(week - Days{7 * back});
      for (PlanRow& row : written) row.date += Days{7 * back};
    }
    rows.insert(rows.end(), written.begin(), written.end());
  }
  return rows;
}

bool near_match(const Morning& m, Day day) {
  const int apart = m.models->limits.meet.match_days;
  return std::any_of(m.log->days_off.begin(), m.log->days_off.end(), [&](const DaysOff& off) {
    return off.reason == OffReason::match && day > off.from - Days{apart} && day < off.to + Days{apart};
  });
}

Morning look_at(const AthleteLog& log, Day today, const Models& models) {
  Morning m;
  m.log = &log;
  m.models = &models;
  m.today = today;
  m.spoken = log.athlete.units.value_or(Unit::kg);
  for (const Check& c : log.checks) {
    if (c.date == today) m.check = &c;
  }
  look_at_dates(m);
  count_entries(m);
  measure_load(m);
  measure_items(m);
  measure_nights(m);
  m.items_vary = items_vary(log, today, models.limits);
  m.layoff = find_break(m);
  m.ahead = plan_ahead(log, today);
  std::erase_if(m.ahead, [&](const PlanRow& row) { return row.date <= today; });
  m.lift_days = load::lift_days(log, models);
  for (const PlanRow& row : plan_of(log.plan, today)) m.lifts.push_back(lift_facts(m, row));
  return m;
}

}  // namespace steelyard::decide
