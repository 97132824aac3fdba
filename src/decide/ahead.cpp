#include "steelyard/decide/ahead.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include "bounds.hpp"
#include "candidates.hpp"
#include "order_search.hpp"
#include "places.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "words.hpp"

namespace steelyard::decide {
namespace {

constexpr int k_horizon = 14;

int week_index(Day today, Day day) {
  return days_between(today - Days{weekday_index(today)}, day) / 7;
}

const PlanRow* row_of(const std::vector<PlanRow>& plan, std::string_view lift, Day day) {
  const PlanRow* found = nullptr;
  for (const PlanRow& row : plan) {
    if (row.lift == lift && row.date == day) found = &row;
  }
  return found;
}

struct LaidOut {
  std::vector<std::vector<std::string>> groups;  ///< main lifts of the plan, one list a spacing group
  std::vector<std::string> left_out;             ///< those that a group has too many of
  bool accessories = false;                      ///< the plan holds some
};

LaidOut groups_of(const Morning& m, const std::vector<PlanRow>& plan) {
  LaidOut result;
  std::map<std::string, std::vector<std::string>> groups;
  for (const PlanRow& row : plan) {
    const LiftModel* model = m.models->lifts.find(row.lift);
    const bool counts = model == nullptr || model->main;
    result.accessories = result.accessories || (!counts && row.date > m.today);
    if (!counts) continue;
    auto& lifts = groups[model != nullptr && !model->spacing_group.empty() ? model->spacing_group : row.lift];
    if (std::find(lifts.begin(), lifts.end(), row.lift) == lifts.end()) lifts.push_back(row.lift);
  }
  for (auto& [name, lifts] : groups) {
    while (lifts.size() > k_order_lifts) {
      result.left_out.push_back(std::move(lifts.back()));
      lifts.pop_back();
    }
    result.groups.push_back(std::move(lifts));
  }
  return result;
}

/// The last day on which this lift may be heavy before the meet; none = no meet within reach.
std::optional<Day> last_heavy_day(const Morning& m, std::string_view lift) {
  const auto& last = m.models->limits.meet.last_heavy_days;
  const auto found = last.find(meet_lift(m, lift));
  if (!m.days_to_meet || *m.days_to_meet < 0 || found == last.end()) return std::nullopt;
  return m.today + Days{*m.days_to_meet - found->second[0]};
}

struct Group {
  std::vector<std::string> lifts;
  OrderProblem problem;
  Order order;
};

OrderCell cell_of(const Morning& m, const Signs& signs, std::string_view lift, Day day, const PlanRow* planned) {
  OrderCell cell;
  if (planned != nullptr && planned->kind != DayKind::sport && planned->kind != DayKind::other)
    cell.planned = planned->kind;
  const auto last = last_heavy_day(m, lift);
  const int to_meet = m.days_to_meet ? *m.days_to_meet - days_between(m.today, day) : 1000;
  const LiftModel* model = m.models->lifts.find(lift);
  const bool legs_near_match = model != nullptr && model->lower_body && near_match(m, day);
  const bool after_meet = to_meet < 0 && -to_meet <= m.models->limits.meet.easy_days_after;
  const bool closing = to_meet >= 0 && to_meet <= m.models->limits.meet.light_days;
  const bool peaking = last && day > *last && to_meet >= 0;
  const bool more_than_written = cell.planned != DayKind::heavy && !bears_more(m, signs, lift, day);
  cell.may_heavy = !peaking && !legs_near_match && !after_meet && !more_than_written;
  // What is written stands up to the last days; nothing long is moved in beside the end of a taper.
  cell.may_volume = !legs_near_match && !after_meet && !closing && (!peaking || cell.planned == DayKind::volume);
  return cell;
}

/// Work of a lift already done or called this calendar week, taken off what is wanted.
void take_done(const Morning& m, const Signs& signs, const DayCall& call, std::string_view lift, Wanted& wanted) {
  const auto take = [&](DayKind kind) {
    if (static_cast<std::size_t>(kind) < wanted.size()) --wanted[static_cast<std::size_t>(kind)];
  };
  const Day monday = m.today - Days{weekday_index(m.today)};
  for (const PlanRow& row : m.log->plan) {
    if (row.lift != lift || row.date < monday || row.date >= m.today) continue;
    const bool done = std::any_of(m.log->sets.begin(), m.log->sets.end(),
                                  [&](const SetRow& s) { return s.lift == row.lift && s.date == row.date; });
    // Of what was missed only the heavy day is still wanted, where a missed day may be made up for at all.
    const auto missed = row.kind == DayKind::heavy ? missed_heavy(m, lift) : std::nullopt;
    const bool wanted_still = missed && missed->date == row.date && catch_up_place(m, signs, *missed, 1);
    if (done || !wanted_still) take(row.kind);
  }
  for (const LiftCall& c : call.calls) {
    if (c.lift == lift && c.call.sets > 0) take(c.call.kind);
  }
}

Group problem_of(const Morning& m, const Signs& signs, const DayCall& call, std::vector<std::string> lifts,
                 const std::vector<PlanRow>& plan) {
  Group group{.lifts = std::move(lifts)};
  OrderProblem& p = group.problem;
  p.lifts = static_cast<int>(group.lifts.size());
  p.apart = days_apart_written(m);
  p.weeks.resize(static_cast<std::size_t>(week_index(m.today, m.today + Days{k_horizon - 1})) + 1);
  for (int ahead = 1; ahead < k_horizon; ++ahead) {
    const Day day = m.today + Days{ahead};
    const bool meet = m.days_to_meet == ahead;
    OrderDay slot{.available = m.available(day) && !meet, .week = week_index(m.today, day)};
    for (std::size_t l = 0; l < group.lifts.size(); ++l)
      slot.lifts[l] = cell_of(m, signs, group.lifts[l], day, row_of(plan, group.lifts[l], day));
    p.days.push_back(slot);
  }
  for (std::size_t l = 0; l < group.lifts.size(); ++l) {
    for (const PlanRow& row : plan) {
      const auto kind = static_cast<std::size_t>(row.kind);
      const bool inside = row.date < m.today + Days{k_horizon};
      if (row.lift != group.lifts[l] || kind >= std::tuple_size_v<Wanted> || !inside) continue;
      const auto last = last_heavy_day(m, row.lift);
      const bool too_late = row.kind == DayKind::heavy && last && row.date > *last && m.days_to_meet &&
                            row.date <= m.today + Days{*m.days_to_meet};
      ++p.weeks[static_cast<std::size_t>(week_index(m.today, row.date))][l]
               [too_late ? static_cast<std::size_t>(DayKind::light) : kind];
    }
    take_done(m, signs, call, group.lifts[l], p.weeks.front()[l]);
    for (auto& count : p.weeks.front()[l]) count = std::max(0, count);
  }
  for (const LiftFacts& f : m.lifts) {  // the nearest heavy work of the group: done, or called for today
    const bool in_group = std::find(group.lifts.begin(), group.lifts.end(), f.lift) != group.lifts.end();
    if (in_group && f.last_heavy_group)
      p.days_since_heavy = std::min(p.days_since_heavy, days_between(*f.last_heavy_group, m.today) + 1);
  }
  for (const LiftCall& c : call.calls) {
    const bool in_group = std::find(group.lifts.begin(), group.lifts.end(), c.lift) != group.lifts.end();
    if (in_group && c.call.kind == DayKind::heavy && c.call.percent > m.models->limits.spacing.heavy_percent)
      p.days_since_heavy = 1;
  }
  group.order = best_order(p);
  return group;
}

/// What a lift does on a day of that kind: the row written for it, else the week's own row of that kind wherever it
/// stood. Work that is not written comes down over a taper.
Prescription work_of(const Morning& m, std::string_view lift, DayKind kind, Day day, const std::vector<PlanRow>& plan) {
  if (const PlanRow* row = row_of(m.log->plan, lift, day); row != nullptr && row->kind == kind)
    return planned_work(*row, m);
  Prescription work = usual_work(kind, lift, m);
  const int week = week_index(m.today, day);
  for (const PlanRow& row : plan) {
    if (row.lift == lift && row.kind == kind && week_index(m.today, row.date) == week && row.date >= m.today - Days{7})
      work = planned_work(row, m);
  }
  const auto& meet = m.models->limits.meet;
  const int to_meet = m.days_to_meet ? *m.days_to_meet - days_between(m.today, day) : -1;
  if (to_meet < 0 || to_meet > meet.taper_days || kind == DayKind::heavy) return work;
  work.sets = std::max(1, static_cast<int>(std::lround(work.sets * meet.taper_volume_share)));
  return work;
}

/// Takes the order of kinds into the days.
void fill_days(const Morning& m, const Group& group, const std::vector<PlanRow>& plan, Ahead& out) {
  for (std::size_t d = 0; d < group.order.days.size(); ++d) {
    for (std::size_t l = 0; l < group.lifts.size(); ++l) {
      const DayKind kind = group.order.days[d][l];
      const DayKind planned = group.problem.days[d].lifts[l].planned;
      if (kind == DayKind::rest && planned == DayKind::rest) continue;
      AheadDay& day = out.days[d + 1];
      AheadLift lift{.lift = group.lifts[l], .work = {.kind = kind}, .changed = kind != planned};
      if (row_of(m.log->plan, group.lifts[l], day.date) != nullptr) lift.planned = planned;
      if (kind != DayKind::rest) lift.work = work_of(m, group.lifts[l], kind, day.date, plan);
      day.lifts.push_back(std::move(lift));
    }
  }
}

PlanRow row_for(const AheadLift& lift, std::string_view athlete, Day day) {
  PlanRow row{.athlete = std::string(athlete), .date = day, .lift = lift.lift, .kind = lift.work.kind};
  if (lift.work.sets > 0) row.sets = lift.work.sets;
  if (lift.work.reps > 0) row.reps = lift.work.reps;
  if (lift.work.percent > 0) row.percent = lift.work.percent;
  return row;
}

/// A day that went as called, so that the days after it see a lifter who trains.
void train(AthleteLog& log, const AheadDay& day, const Models& models) {
  bool trained = false;
  for (const AheadLift& lift : day.lifts) {
    if (lift.work.sets == 0 || lift.work.kind == DayKind::rest) continue;
    const auto kind = models.day_kinds.kinds.find(lift.work.kind);
    SetRow set{.athlete = log.athlete.athlete, .date = day.date, .lift = lift.lift, .reps = lift.work.reps};
    set.sets = lift.work.sets;
    if (lift.work.percent > 0) set.percent = lift.work.percent;
    if (kind != models.day_kinds.kinds.end()) set.rpe = kind->second.target_rpe;
    log.sets.push_back(std::move(set));
    trained = true;
  }
  const bool entered =
      std::any_of(log.sessions.begin(), log.sessions.end(), [&](const Session& s) { return s.date == day.date; });
  if (!trained || entered) return;
  Session session{.athlete = log.athlete.athlete, .date = day.date};
  session.kind = day.lifts.front().work.kind;
  log.sessions.push_back(std::move(session));
}

/// The limits of that morning that do not wait for its check: calendar, break, illness, pain, age.
/// return  what is done to the work
std::vector<Action> hold_limits(const Morning& m, const Signs& signs, const LiftFacts& f, AheadLift& lift,
                                std::vector<std::string>& why) {
  std::vector<Action> as_laid_out{Action::run_as_planned};
  if (const Caution* closed = signs.closes(lift.lift)) {
    lift.work = {.kind = DayKind::rest};
    lift.changed = true;
    why.push_back(fmt::format("{} stay left out while the caution {} is open.", capitalized(spoken_plural(m, f.lift)),
                              closed->id));
    return {Action::rest};
  }
  auto bounds = bounds_of(m, signs, f, {});
  std::erase_if(bounds, [](const Bound& b) { return b.shown.id == "load" || b.shown.id == "minutes"; });
  if (std::all_of(bounds.begin(), bounds.end(), [](const Bound& b) { return b.shown.held; })) return as_laid_out;
  const Prescription before = lift.work;
  const Candidate chosen = choose(candidates(m, f, planned_work(f.plan, m), std::nullopt), bounds);
  lift.work = chosen.work;
  if (lift.work == before) return as_laid_out;
  lift.changed = true;
  for (const Bound& b : bounds) {
    if (!b.shown.held && !b.shown.say.empty()) why.push_back(b.shown.say);
  }
  return chosen.actions;
}

/// Goes through the days as if each morning were usual and each session done as laid out.
void walk_days(const Morning& m, Ahead& out, std::vector<std::string>& why) {
  AthleteLog log = *m.log;
  std::erase_if(log.plan, [&](const PlanRow& row) { return row.date > m.today; });
  train(log, out.days.front(), *m.models);
  for (AheadDay& day : out.days) {
    if (day.date == m.today || day.lifts.empty()) continue;
    for (const AheadLift& lift : day.lifts) {
      if (lift.work.kind != DayKind::rest) log.plan.push_back(row_for(lift, log.athlete.athlete, day.date));
    }
    const Morning morning = look_at(log, day.date, *m.models);
    const Signs signs = signs_of(morning);
    for (const LiftFacts& f : morning.lifts) {
      const auto lift =
          std::find_if(day.lifts.begin(), day.lifts.end(), [&](const AheadLift& l) { return l.lift == f.lift; });
      std::vector<std::string> because;
      const auto actions = hold_limits(morning, signs, f, *lift, because);
      for (const std::string& text : because) {
        const bool said = std::any_of(why.begin(), why.end(), [&](const std::string& w) { return w.ends_with(text); });
        if (!said) why.push_back(fmt::format("{} {}: {}", weekday_name(day.date), format_day(day.date), text));
      }
      lift->weight_kg = weight_of(morning, f, planned_work(f.plan, morning), lift->work, actions);
    }
    train(log, day, *m.models);
  }
}

/// Why work of a week found no place.
std::string why_missing(const Morning& m, const Signs& signs, std::string_view lift, DayKind kind, Day monday) {
  const auto& meet = m.models->limits.meet;
  if (signs.closes(lift) != nullptr) return "a caution leaves the lift out";
  if (m.days_to_meet && *m.days_to_meet >= 0) {
    const Day day = m.today + Days{*m.days_to_meet};
    if (monday + Days{6} > day && monday <= day + Days{meet.easy_days_after})
      return "the days after the meet stay easy";
    const int near = kind == DayKind::heavy ? meet.taper_days : meet.light_days + 7;
    if (monday <= day && days_between(monday, day) <= near) return "it would come too near to the meet";
  }
  if (kind == DayKind::heavy && !bears_more(m, signs, lift, std::max(m.today, monday)))
    return "nothing heavy is added to what is written for now";
  if (kind != DayKind::heavy) return "no available day is left for it";
  const int apart = days_apart_written(m);
  return fmt::format("no available day is left with {} to the other heavy work",
                     apart == 2 ? "two days" : spoken_days(apart));
}

/// What was wanted and found no place, week by week.
void say_missing(const Morning& m, const Signs& signs, const Group& group, Ahead& out) {
  auto left = group.problem.weeks;
  for (std::size_t d = 0; d < group.order.days.size(); ++d) {
    for (std::size_t l = 0; l < group.lifts.size(); ++l) {
      const auto kind = static_cast<std::size_t>(group.order.days[d][l]);
      if (kind < std::tuple_size_v<Wanted>) --left[static_cast<std::size_t>(group.problem.days[d].week)][l][kind];
    }
  }
  const Day monday = m.today - Days{weekday_index(m.today)};
  for (std::size_t w = 0; w < left.size(); ++w) {
    for (std::size_t l = 0; l < group.lifts.size(); ++l) {
      for (std::size_t k = 0; k < left[w][l].size(); ++k) {
        if (left[w][l][k] <= 0) continue;
        const auto kind = static_cast<DayKind>(k);
        out.missing.push_back(
            fmt::format("{} {} of the week of {} cannot be had: {}.", capitalized(word(kind)),
                        spoken_plural(m, group.lifts[l]), format_day(monday + Days{7 * static_cast<int>(w)}),
                        why_missing(m, signs, group.lifts[l], kind, monday + Days{7 * static_cast<int>(w)})));
      }
    }
  }
}

/// As the plan lists them, the main lift first.
void sort_by_plan(AheadDay& day, const std::vector<PlanRow>& plan) {
  const auto place = [&](const AheadLift& lift) {
    const auto on_day = std::find_if(plan.begin(), plan.end(),
                                     [&](const PlanRow& r) { return r.date == day.date && r.lift == lift.lift; });
    return on_day != plan.end() ? on_day - plan.begin() : std::ssize(plan);
  };
  std::stable_sort(day.lifts.begin(), day.lifts.end(),
                   [&](const AheadLift& a, const AheadLift& b) { return place(a) < place(b); });
}

void note_days(const Morning& m, Ahead& out) {
  for (AheadDay& day : out.days) {
    day.available = m.available(day.date) || day.date == m.today;
    for (const DaysOff& off : m.log->days_off) {
      if (off.from <= day.date && day.date <= off.to) day.note = word(off.reason);
    }
    if (m.days_to_meet && day.date == m.today + Days{*m.days_to_meet}) day.note = "meet";
  }
}

}  // namespace

Ahead look_ahead(const AthleteLog& log, Day today, const DayCall& call, const Models& models) {
  const Morning m = look_at(log, today, models);
  Ahead out{.athlete = log.athlete.athlete, .from = today};
  for (int ahead = 0; ahead < k_horizon; ++ahead) out.days.push_back({.date = today + Days{ahead}});
  note_days(m, out);
  for (const LiftCall& c : call.calls) {
    AheadLift lift{.lift = c.lift,
                   .work = c.call,
                   .weight_kg = c.weight_kg,
                   .changed = c.actions.empty() || c.actions.front() != Action::run_as_planned};
    if (c.planned) lift.planned = c.planned->kind;
    out.days.front().lifts.push_back(std::move(lift));
  }
  if (is_stopped(call)) {
    out.say.push_back("A stop is open: nothing is laid out until it is cleared.");
    return out;
  }
  const Signs signs = signs_of(m);
  const auto plan = plan_ahead(log, today);
  std::size_t moved = 0;
  LaidOut laid_out = groups_of(m, plan);
  for (const std::string& lift : laid_out.left_out)
    out.missing.push_back(
        fmt::format("{} are not laid out: of lifts that keep their distance from each other {} at most are.",
                    capitalized(spoken_plural(m, lift)), k_order_lifts));
  for (auto& lifts : laid_out.groups) {
    const Group group = problem_of(m, signs, call, std::move(lifts), plan);
    fill_days(m, group, plan, out);
    say_missing(m, signs, group, out);
    moved += static_cast<std::size_t>(group.order.cost[3]);
  }
  std::vector<std::string> why;
  for (AheadDay& day : out.days) sort_by_plan(day, plan);
  walk_days(m, out, why);
  std::size_t changes = 0;
  for (const AheadDay& day : out.days) {
    if (day.date == today) continue;
    changes += static_cast<std::size_t>(
        std::count_if(day.lifts.begin(), day.lifts.end(), [](const AheadLift& l) { return l.changed; }));
  }
  if (plan.empty()) {
    out.say.push_back("Nothing is planned and no earlier week can be repeated: enter a plan first.");
  } else if (changes == 0 && out.missing.empty()) {
    out.say.push_back("The plan of the next two weeks holds every limit that is known today.");
  } else if (changes == 0) {
    out.say.push_back("Every day that is left stands as planned.");
  } else {
    out.say.push_back(fmt::format("{} changed against the plan{}.",
                                  changes == 1 ? "One entry is" : fmt::format("{} entries are", changes),
                                  moved == 0 ? ""
                                             : ", so that heavy days keep their distance and the heavy work is kept "
                                               "before the volume"));
  }
  if (laid_out.accessories) out.say.push_back("Accessories are not laid out: they stay with their day.");
  out.say.insert(out.say.end(), why.begin(), why.end());
  if (m.days_to_meet && *m.days_to_meet >= 0 && *m.days_to_meet < k_horizon + models.limits.meet.taper_days) {
    std::vector<std::string> last;
    for (const auto& [lift, days] : models.limits.meet.last_heavy_days) {
      if (const auto day = last_heavy_day(m, lift); day && *day >= today)
        last.push_back(fmt::format("{} {}", spoken_plural(m, lift), format_day(*day)));
    }
    out.say.push_back(
        fmt::format("{} to the meet.{}", spoken_days(*m.days_to_meet),
                    last.empty() ? "" : fmt::format(" Last heavy days at the latest: {}.", join_words(last))));
  }
  return out;
}

}  // namespace steelyard::decide
