#include <algorithm>

#include "steelyard/load/figures.hpp"
#include "week_facts.hpp"

namespace steelyard::decide {
namespace {

constexpr int k_week = 7;

bool in_period(const AthleteLog& log, Day from, Day to, bool hard) {
  return std::any_of(log.periods.begin(), log.periods.end(),
                     [&](const Period& p) { return p.from <= to && from <= p.to && asks_for_hard(p.intent) == hard; });
}

/// The plan itself asks for clearly less than in the three weeks before.
bool planned_low(const AthleteLog& log, Day end, const LimitsModel& limits) {
  const double week = planned_minutes(log, end - Days{k_week - 1}, end);
  const double before = planned_minutes(log, end - Days{4 * k_week - 1}, end - Days{k_week}) / 3;
  return before > 0 && week <= limits.week.less * before;
}

/// Sums of the seven days that end 7, 14 .. days before the last one, newest first; none = a day is not known.
std::vector<std::optional<double>> weeks_before(const std::vector<DayFigures>& figures, int weeks) {
  std::vector<std::optional<double>> sums;
  for (std::size_t k = 1; k <= static_cast<std::size_t>(weeks); ++k) {
    if (figures.size() < k * k_week + k_week) break;
    sums.push_back(figures[figures.size() - 1 - k * k_week].acute7_au);
  }
  return sums;
}

void compare_with_usual(const Morning& after, LoadWeek& load) {
  const auto before = weeks_before(after.figures, after.models->load.series.usual_weeks);
  std::vector<double> known;
  for (const auto& week : before) {
    if (week) known.push_back(*week);
  }
  if (std::ssize(known) < after.models->limits.week.least_weeks) return;
  load.high_au = after.yesterday()->highest8_au;
  load.usual_au = series::median(known);
  if (!load.week_au || *load.usual_au <= 0) return;
  const double halved = after.models->limits.load.halved_factor * *load.usual_au;
  if (*load.week_au > halved) return;
  load.low_weeks = 1;
  for (const auto& week : before) {
    if (!week || *week > halved) break;
    ++load.low_weeks;
  }
}

void find_fixture(const Morning& after, Day end, LoadWeek& load) {
  const int soon = after.models->limits.week.fixture_days;
  if (after.days_to_match && *after.days_to_match < soon) load.fixture = after.today + Days{*after.days_to_match};
  const auto meet = after.log->athlete.meet_date;
  if (!meet || *meet <= end || days_between(end, *meet) > soon) return;
  if (load.fixture && *load.fixture <= *meet) return;
  load.fixture = meet;
  load.fixture_is_meet = true;
}

/// A taper brings the load down in the last weeks before a meet; one that began earlier is none.
bool taper_explains(const Morning& after, Day end, const LoadWeek& load) {
  const auto meet = after.log->athlete.meet_date;
  if (!meet || *meet <= end) return false;
  const Day first_low_week_ends = end - Days{k_week * (std::max(load.low_weeks, 1) - 1)};
  return days_between(first_low_week_ends, *meet) <= after.models->limits.meet.taper_days + k_week;
}

bool days_off_in(const AthleteLog& log, Day from, Day to) {
  return std::any_of(log.days_off.begin(), log.days_off.end(), [&](const DaysOff& off) {
    return off.reason != OffReason::match && off.from <= to && from <= off.to;
  });
}

}  // namespace

std::optional<double> LoadWeek::share_of_usual() const {
  if (!week_au || !usual_au || *usual_au <= 0) return std::nullopt;
  return *week_au / *usual_au;
}

LoadWeek load_of_week(const Morning& after, Day monday, Day end) {
  LoadWeek load;
  for (Day day = monday; day <= end; day += Days{1}) {
    const auto* entry = after.series.at(day);
    if (entry == nullptr || !entry->known()) ++load.unknown_days;
  }
  if (const DayFigures* last = after.yesterday()) {
    load.week_au = last->acute7_au;
    load.monotony = last->monotony;
  }
  const AthleteLog& log = *after.log;
  load.high = after.week_above_high;
  load.alike = after.days_alike;
  load.explained = after.load_explained || in_period(log, monday, end, true);
  compare_with_usual(after, load);
  find_fixture(after, end, load);
  load.low_explained = planned_low(log, end, after.models->limits) || in_period(log, monday, end, false) ||
                       days_off_in(log, end - Days{k_week - 1}, end) || taper_explains(after, end, load) ||
                       (after.layoff && after.layoff->first_session_after);
  if (load.share_of_usual().value_or(0) >= after.models->limits.week.more)
    load.raised = load::what_raised(after.series, end, after.models->load);
  return load;
}

}  // namespace steelyard::decide
