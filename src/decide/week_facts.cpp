#include "week_facts.hpp"

#include <algorithm>
#include <functional>
#include <set>

#include "steelyard/domain/vocabulary.hpp"

namespace steelyard::decide {
namespace {

constexpr int k_month = 28;

Shared shared_by(const Athlete& athlete) {
  const auto shares = [&](std::string_view word) {
    if (!athlete.share.empty())
      return std::find(athlete.share.begin(), athlete.share.end(), word) != athlete.share.end();
    const auto words = default_share();
    return std::find(words.begin(), words.end(), word) != words.end();
  };
  return {.load = shares("load"),
          .checks = shares("checks"),
          .pain = shares("pain"),
          .distress = shares("distress-flag"),
          .notes = shares("notes")};
}

template <class Row>
void keep_to(std::vector<Row>& rows, Day end) {
  std::erase_if(rows, [&](const Row& row) { return row.date > end; });
}

/// What was known at the end of the week. Plan, days off and meet still reach ahead.
AthleteLog known_at(const AthleteLog& log, Day end) {
  AthleteLog known = log;
  keep_to(known.sessions, end);
  keep_to(known.sets, end);
  keep_to(known.checks, end);
  keep_to(known.bar, end);
  keep_to(known.clearances, end);
  std::erase_if(known.periods, [&](const Period& p) { return p.from > end; });
  return known;
}

AthleteLog entries_from(const AthleteLog& log, Day monday) {
  AthleteLog week = log;
  std::erase_if(week.sessions, [&](const Session& s) { return s.date < monday; });
  std::erase_if(week.checks, [&](const Check& c) { return c.date < monday; });
  return week;
}

/// Signs need no more of a morning than this.
Signs signs_on(const AthleteLog& log, Day day, const Models& models) {
  Morning morning;
  morning.log = &log;
  morning.models = &models;
  morning.today = day;
  return signs_of(morning);
}

void find_illness(WeekFacts& f) {
  const auto& models = f.models->cautions.signs;
  for (Day day = f.monday; day <= f.end; day += Days{1}) {
    const Signs signs = signs_on(*f.log, day, *f.models);
    if (signs.cold) f.cold = day;
    if (!signs.rest_only) continue;
    f.last_fever = day;
    for (const Caution& caution : signs.cautions) {
      const bool closes = std::any_of(models.begin(), models.end(),
                                      [&](const SignModel& s) { return s.id == caution.id && s.rest_only; });
      if (closes) f.fever_id = caution.id;
    }
  }
}

void find_distress(WeekFacts& f) {
  const CautionsModel& model = f.models->cautions;
  const auto look = [&](Day day, const std::string& note) {
    if (day < f.monday || day > f.end || note.empty()) return;
    if (!speaks_of_distress(note, model) || (f.distress && *f.distress > day)) return;
    f.distress = day;
    f.distress_note = f.shared.notes ? note : std::string();
  };
  for (const Check& c : f.log->checks) look(c.date, c.note);
  for (const Session& s : f.log->sessions) look(s.date, s.note);
}

void count_entries(WeekFacts& f) {
  std::set<Day> entries;
  for (const Check& c : f.log->checks) {
    entries.insert(c.date);
    if (c.date >= f.monday) ++f.checks;
    if (c.date < f.monday && c.date >= f.monday - Days{k_month}) ++f.checks_before;
  }
  for (const Session& s : f.log->sessions) entries.insert(s.date);
  for (const SetRow& s : f.log->sets) entries.insert(s.date);
  if (!entries.empty()) f.last_entry = *entries.rbegin();
  int gap = 0;
  for (Day day = f.monday - Days{k_month}; day < f.monday; day += Days{1}) {
    gap = entries.contains(day) ? 0 : gap + 1;
    if (gap == 0) ++f.entry_days_before;
    f.longest_gap_before = std::max(f.longest_gap_before, gap);
  }
  if (!f.last_entry) return;
  for (Day day = *f.last_entry + Days{1}; day <= f.end; day += Days{1}) {
    const bool off = std::any_of(f.log->days_off.begin(), f.log->days_off.end(), [&](const DaysOff& o) {
      return o.reason != OffReason::match && o.from <= day && day <= o.to;
    });
    if (!off) ++f.unexplained_silent_days;
  }
}

/// Tiredness that a plan asks for: a hard week, or the heaviest work two to three weeks before a meet.
bool tired_by_plan(const WeekFacts& f) {
  const auto& week = f.models->limits.week;
  const bool hard_period = std::any_of(f.log->periods.begin(), f.log->periods.end(), [&](const Period& p) {
    return p.from <= f.end && f.monday <= p.to && asks_for_hard(p.intent);
  });
  const auto meet = f.log->athlete.meet_date;
  const bool peak = meet && days_between(f.end, *meet) >= week.peak_from_days &&
                    days_between(f.end, *meet) <= week.peak_to_days && !f.load.high;
  return hard_period || peak || (f.load.explained && f.load.share_of_usual().value_or(0) >= week.more);
}

}  // namespace

std::vector<PainWeek> pain_of_week(const AthleteLog& log, Day monday, Day end, const LimitsModel& limits) {
  std::vector<PainWeek> sites;
  const auto site_of = [&](const std::string& name) {
    return std::find_if(sites.begin(), sites.end(), [&](const PainWeek& p) { return p.site == name; });
  };
  for (const Check& check : log.checks) {
    if (check.date < monday || check.date > end) continue;
    for (const PainEntry& pain : check.pain) {
      if (site_of(pain.site) == sites.end()) sites.push_back({.site = pain.site});
      site_of(pain.site)->kind = pain.kind;
      site_of(pain.site)->levels.emplace_back(check.date, pain.level);
    }
  }
  std::erase_if(sites, [](const PainWeek& p) { return p.levels.back().second <= 0; });
  for (PainWeek& site : sites) {
    std::vector<double> before;
    std::vector<double> recent;  // the week included
    for (const Check& check : log.checks) {
      for (const PainEntry& pain : check.pain) {
        if (pain.site != site.site) continue;
        if (check.date < monday && check.date >= monday - Days{k_month}) before.push_back(pain.level);
        if (check.date > end - Days{limits.pain.rising_days}) recent.push_back(pain.level);
      }
    }
    if (const auto usual = series::moments(before)) site.before = usual->mean;
    site.rising = is_rising(recent, limits);
  }
  return sites;
}

const ItemWeek* WeekFacts::item(ItemMember member) const {
  const auto found =
      std::find_if(items.begin(), items.end(), [&](const ItemWeek& i) { return i.spec->member == member; });
  return found == items.end() ? nullptr : &*found;
}

WeekFacts week_facts(const AthleteLog& log, Day monday, Day end, const Models& models) {
  WeekFacts f;
  f.log = std::make_unique<AthleteLog>(known_at(log, end));
  f.models = &models;
  f.monday = monday;
  f.end = end;
  f.shared = shared_by(log.athlete);
  f.after = look_at(*f.log, end + Days{1}, models);
  f.signs = signs_of(f.after);
  f.raised = signs_on(entries_from(*f.log, monday), end + Days{1}, models);
  find_illness(f);
  if (f.shared.distress) find_distress(f);
  if (f.shared.checks) f.items = items_of_week(*f.log, monday, end, models.limits);
  if (f.shared.load) {
    f.bar = bar_of_week(*f.log, monday, end, models.limits);
    f.strength = strength_of_week(*f.log, monday, end, models);
    f.load = load_of_week(f.after, monday, end);
  }
  if (f.shared.pain) f.pain = pain_of_week(*f.log, monday, end, models.limits);
  count_entries(f);
  f.tired_by_plan = tired_by_plan(f);
  return f;
}

}  // namespace steelyard::decide
