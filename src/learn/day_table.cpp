#include "learn/day_table.hpp"

#include <algorithm>

#include "steelyard/load/bar_work.hpp"
#include "steelyard/series/day_series.hpp"

namespace steelyard::learn {
namespace {

const std::map<std::string, LiftSession, std::less<>> k_no_sessions;

std::optional<Day> first_day(const AthleteLog& log) {
  std::optional<Day> first;
  const auto earlier = [&](const auto& rows) {
    if (!rows.empty()) first = std::min(first.value_or(rows.front().date), rows.front().date);
  };
  earlier(log.sessions);
  earlier(log.sets);
  earlier(log.checks);
  return first;
}

}  // namespace

DayTable::DayTable(const AthleteLog& log, Day from, Day last, const Models& models)
    : log_(log), models_(models), first_(from), last_(last) {
  const auto first = first_day(log);
  if (!first) {
    first_ = last_ + Days{1};
    return;
  }
  first_ = std::max(from, *first);
  if (empty()) return;
  days_.resize(static_cast<std::size_t>(days_between(first_, last_)) + 1);
  const auto slot = [&](Day day) -> Entry* {
    return day < first_ || day > last_ ? nullptr : &days_[static_cast<std::size_t>(days_between(first_, day))];
  };
  std::vector<bool> entered(days_.size(), false);
  std::vector<bool> off(days_.size(), false);
  for (const Check& c : log.checks) {
    if (Entry* e = slot(c.date)) {
      e->check = &c;
      entered[static_cast<std::size_t>(days_between(first_, c.date))] = true;
    }
  }
  for (const SetRow& s : log.sets) {
    Entry* e = slot(s.date);
    if (e == nullptr) continue;
    e->has_sets = true;
    entered[static_cast<std::size_t>(days_between(first_, s.date))] = true;
    const LiftModel* lift = models.lifts.find(s.lift);
    if (lift != nullptr && lift->main) e->sessions[s.lift].sets.push_back(&s);
  }
  for (const Session& s : log.sessions) {
    Entry* e = slot(s.date);
    if (e == nullptr) continue;
    entered[static_cast<std::size_t>(days_between(first_, s.date))] = true;
    if (s.kind != DayKind::sport && s.kind != DayKind::other && s.kind != DayKind::rest) e->barbell_unsaid = true;
  }
  for (const PlanRow& p : log.plan) {
    Entry* e = slot(p.date);
    if (e == nullptr) continue;
    const auto session = e->sessions.find(p.lift);
    if (session != e->sessions.end() && session->second.plan == nullptr) session->second.plan = &p;
  }
  for (const DaysOff& o : log.days_off) {
    if (o.reason == OffReason::match) continue;
    for (Day day = std::max(o.from, first_); day <= std::min(o.to, last_); day += Days{1}) {
      off[static_cast<std::size_t>(days_between(first_, day))] = true;
    }
  }
  const auto series = series::day_series(log, first_, last_, std::nullopt, models.load);
  Day next_entry = last_ + Days{1};
  for (std::size_t i = days_.size(); i-- > 0;) {
    Entry& e = days_[i];
    const Day day = first_ + Days{static_cast<int>(i)};
    const auto* known = series.at(day);
    e.load.gap = !entered[i] && !off[i];
    e.load.needs = e.load.gap ? next_entry : day;
    if (known != nullptr) e.load.amount = known->load_au;
    if (entered[i]) next_entry = day;
  }
  lift_days_ = load::lift_days(log, models);
}

const DayTable::Entry* DayTable::at(Day day) const {
  if (empty() || day < first_ || day > last_) return nullptr;
  return &days_[static_cast<std::size_t>(days_between(first_, day))];
}

const Check* DayTable::check(Day day) const {
  const Entry* e = at(day);
  return e == nullptr ? nullptr : e->check;
}

const std::map<std::string, LiftSession, std::less<>>& DayTable::sessions(Day day) const {
  const Entry* e = at(day);
  return e == nullptr ? k_no_sessions : e->sessions;
}

const PlanRow* DayTable::plan(Day day, std::string_view lift) const {
  const auto row = std::find_if(log_.plan.begin(), log_.plan.end(),
                                [&](const PlanRow& p) { return p.date == day && p.lift == lift; });
  return row == log_.plan.end() ? nullptr : &*row;
}

DayWork DayTable::load(Day day) const {
  const Entry* e = at(day);
  return e == nullptr ? DayWork{.amount = std::nullopt, .needs = day} : e->load;
}

DayWork DayTable::dose(Day day, std::string_view lift) {
  const Entry* e = at(day);
  if (e == nullptr) return {.amount = std::nullopt, .needs = day};
  auto felt = felt_.find(lift);
  if (felt == felt_.end()) {
    felt = felt_.emplace(std::string(lift), load::dose_felt(lift_days_, lift, models_.lifts)).first;
  }
  if (e->has_sets) {
    const auto amount = felt->second.find(day);
    return {.amount = amount == felt->second.end() ? 0 : amount->second, .needs = day};
  }
  DayWork work = e->load;
  work.amount = e->load.amount && !e->barbell_unsaid ? std::optional(0.0) : std::nullopt;
  return work;
}

}  // namespace steelyard::learn
