#include "steelyard/series/day_series.hpp"

#include <algorithm>
#include <numeric>

#include "steelyard/domain/vocabulary.hpp"
#include "steelyard/series/usual.hpp"

namespace steelyard::series {
namespace {

/// What of a session was entered, and the medians that stand in for the rest.
class Estimator {
 public:
  Estimator(const AthleteLog& log, const LoadModel& model) : log_(log), model_(model) {}

  /// none = nothing is known from which the load could be estimated
  std::optional<LoadPart> load_of(const Session& session) const {
    LoadPart part{.date = session.date,
                  .part = session.part.value_or(1),
                  .kind = std::string(session.kind ? word(*session.kind) : std::string_view{}),
                  .load_au = 0,
                  .estimated = !session.minutes || !session.rpe};
    if (!part.estimated) {
      part.load_au = *session.minutes * *session.rpe;
      return part;
    }
    const auto minutes = session.minutes ? session.minutes : median_before(session, &Session::minutes);
    const auto rpe = session.rpe ? session.rpe : median_before(session, &Session::rpe);
    const double set_minutes = sets_of(session) * model_.series.minutes_per_set;
    if (!minutes && set_minutes <= 0) return std::nullopt;
    part.load_au = minutes.value_or(set_minutes) * rpe.value_or(model_.series.rpe_unknown);
    return part;
  }

 private:
  double sets_of(const Session& session) const {
    double sets = 0;
    for (const SetRow& set : log_.sets) {
      if (set.date == session.date && set.part.value_or(1) == session.part.value_or(1)) sets += set.sets;
    }
    return sets;
  }

  std::optional<double> median_before(const Session& session, std::optional<double> Session::*member) const {
    std::vector<double> values;
    const Day first = session.date - Days{7 * model_.series.usual_weeks};
    for (const Session& other : log_.sessions) {
      if (other.date >= session.date) break;
      if (other.date >= first && other.kind == session.kind && other.*member) values.push_back(*(other.*member));
    }
    return median(std::move(values));
  }

  const AthleteLog& log_;
  const LoadModel& model_;
};

/// Marks of one calendar day, from which its status follows.
struct Marks {
  bool session = false;  ///< or sets
  bool check = false;
  bool planned = false;
  bool off = false;    ///< declared, other than a match
  bool entry = false;  ///< session, sets or check that are known on the morning of the open day
};

/// Of the day under way only the check counts as an entry, and nothing after it.
std::vector<Marks> marks_of(const AthleteLog& log, Day first, Day last, std::optional<Day> open) {
  std::vector<Marks> marks(static_cast<std::size_t>(days_between(first, last) + 1));
  const auto at = [&](Day day) -> Marks* {
    return day < first || day > last ? nullptr : &marks[static_cast<std::size_t>(days_between(first, day))];
  };
  const auto trained = [&](Day day) {
    if (Marks* m = at(day)) {
      m->session = true;
      m->entry = m->entry || !open || day < *open;
    }
  };
  for (const Session& s : log.sessions) trained(s.date);
  for (const SetRow& s : log.sets) trained(s.date);
  for (const Check& c : log.checks) {
    if (Marks* m = at(c.date)) {
      m->check = true;
      m->entry = m->entry || !open || c.date <= *open;
    }
  }
  for (const PlanRow& p : log.plan) {
    if (Marks* m = at(p.date)) m->planned = m->planned || p.kind != DayKind::rest;
  }
  for (const DaysOff& off : log.days_off) {
    if (off.reason == OffReason::match) continue;
    for (Day day = std::max(off.from, first); day <= std::min(off.to, last); day += Days{1}) {
      if (Marks* m = at(day)) m->off = true;
    }
  }
  return marks;
}

/// True for days inside a run without entries that is short enough and has entries at both ends.
std::vector<bool> short_gaps(const std::vector<Marks>& marks, int longest) {
  std::vector<bool> inside(marks.size(), false);
  std::optional<std::size_t> last_entry;
  for (std::size_t i = 0; i < marks.size(); ++i) {
    if (!marks[i].entry) continue;
    if (last_entry && static_cast<int>(i - *last_entry - 1) <= longest) {
      for (std::size_t k = *last_entry + 1; k < i; ++k) inside[k] = true;
    }
    last_entry = i;
  }
  return inside;
}

/// Sessions of which nothing but their sets was entered: one a part of a day that has no session at all.
std::vector<Session> sessions_of_sets(const AthleteLog& log) {
  std::vector<Session> sessions;
  for (const SetRow& set : log.sets) {
    const auto on_day = std::lower_bound(log.sessions.begin(), log.sessions.end(), set.date,
                                         [](const Session& s, Day day) { return s.date < day; });
    if (on_day != log.sessions.end() && on_day->date == set.date) continue;
    const int part = set.part.value_or(1);
    const bool known = !sessions.empty() && sessions.back().date == set.date && sessions.back().part == part;
    if (!known) sessions.push_back({.athlete = set.athlete, .date = set.date, .part = part, .note = ""});
  }
  return sessions;
}

std::optional<Day> first_entry(const AthleteLog& log) {
  std::optional<Day> first = log.first_entry;
  const auto earlier = [&](Day day) { first = first ? std::min(*first, day) : day; };
  if (!log.sessions.empty()) earlier(log.sessions.front().date);
  if (!log.sets.empty()) earlier(log.sets.front().date);
  if (!log.checks.empty()) earlier(log.checks.front().date);
  return first;
}

}  // namespace

const SeriesDay* DaySeries::at(Day day) const {
  if (days.empty() || day < days.front().date || day > days.back().date) return nullptr;
  return &days[static_cast<std::size_t>(days_between(days.front().date, day))];
}

DaySeries day_series(const AthleteLog& log, Day from, Day to, std::optional<Day> open, const LoadModel& model,
                     Gaps gaps) {
  DaySeries series;
  series.first_entry = first_entry(log);
  if (!series.first_entry) return series;
  const Day first = std::max(from, *series.first_entry);
  if (first > to) return series;

  // Marks reach past both ends, so that a gap is judged by its real neighbours.
  const Day margin_first = first - Days{model.series.rest_gap_days + 1};
  const auto marks = marks_of(log, margin_first, to + Days{model.series.rest_gap_days + 1}, open);
  const auto in_gap = short_gaps(marks, model.series.rest_gap_days);
  for (Day day = first; day <= to; day += Days{1}) {
    const auto i = static_cast<std::size_t>(days_between(margin_first, day));
    SeriesDay entry{.date = day};
    if (day == open) {
      entry.status = DayStatus::open;
    } else if (marks[i].session) {
      entry.status = DayStatus::trained;
    } else if (gaps == Gaps::rest || marks[i].off || (!marks[i].planned && (marks[i].check || in_gap[i]))) {
      entry.status = DayStatus::rest;
      entry.load_au = 0;
    }
    series.days.push_back(std::move(entry));
  }

  const Estimator estimator(log, model);
  const auto add = [&](const Session& session) {
    if (session.date < first || session.date > to || session.date == open) return;
    SeriesDay& day = series.days[static_cast<std::size_t>(days_between(first, session.date))];
    const auto part = estimator.load_of(session);
    if (!part) {
      day.unknown_part = true;
      return;
    }
    day.estimated = day.estimated || part->estimated;
    day.parts.push_back(*part);
  };
  for (const Session& session : log.sessions) add(session);
  for (const Session& session : sessions_of_sets(log)) add(session);
  for (SeriesDay& day : series.days) {
    if (day.status != DayStatus::trained || day.unknown_part) continue;
    day.load_au = std::accumulate(day.parts.begin(), day.parts.end(), 0.0,
                                  [](double sum, const LoadPart& part) { return sum + part.load_au; });
  }
  return series;
}

std::optional<double> usual_load(const DaySeries& series, Day day, const LoadModel& model) {
  std::vector<double> values;
  for (int week = 1; week <= model.series.usual_weeks; ++week) {
    const SeriesDay* other = series.at(day - Days{7 * week});
    if (other != nullptr && other->known()) values.push_back(*other->load_au);
  }
  return median(std::move(values));
}

}  // namespace steelyard::series
