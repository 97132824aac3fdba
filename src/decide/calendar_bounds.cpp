#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "bounds.hpp"
#include "places.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "steelyard/series/lift_codes.hpp"

namespace steelyard::decide {
namespace {

std::string days_ago(int days) {
  if (days == 1) return "yesterday";
  return fmt::format("{} days ago", days);
}

/// Heavy work of lifts that share a spacing group keeps its distance, on both sides.
void spacing(const Morning& m, const LiftFacts& f, const Prescription& plan, std::vector<Bound>& bounds) {
  const auto& s = m.models->limits.spacing;
  Bound b;
  b.shown = {.id = "spacing", .limit = s.heavy_hours, .unit = "h", .source = s.source};
  if (f.last_heavy_group) {
    const int days = days_between(*f.last_heavy_group, m.today);
    b.shown.measured = 24.0 * days;
    if (24.0 * days < s.heavy_hours) {
      b.most_percent = s.heavy_percent;
      b.moves_heavy = Moves::yes;
      b.shown.say = fmt::format("Heavy {} were {}: {} hours belong between them and heavy {}.",
                                spoken_plural(m.models->lifts, f.last_heavy_group_lift), days_ago(days),
                                format_number(s.heavy_hours, 0), spoken_plural(m.models->lifts, f.lift));
      b.shown.would_hold_if = fmt::format("{} hours after the last heavy work", format_number(s.heavy_hours, 0));
    }
  }
  bounds.push_back(std::move(b));

  if (!is_master(m) || !f.last_hard_work) return;
  // An older lifter's own recovery is longer; the plan stands unless soreness or the bar says that it is not over.
  Bound older;
  older.shown = {.id = "spacing-masters",
                 .measured = 24.0 * days_between(*f.last_hard_work, m.today),
                 .limit = s.masters_hours,
                 .unit = "h",
                 .source = s.source};
  const bool not_back = f.odd_soreness || (f.bar && f.bar->odd);
  if (*older.shown.measured < s.masters_hours && not_back && plan.percent > s.heavy_percent) {
    older.most_percent = s.heavy_percent;
    older.moves_heavy = Moves::yes;
    older.shown.say = fmt::format("{} after the last hard {} work you are not back yet.",
                                  spoken_days(days_between(*f.last_hard_work, m.today)), spoken_lift(f.lift));
    older.shown.would_hold_if = fmt::format("{} hours after the last hard work", format_number(s.masters_hours, 0));
  }
  bounds.push_back(std::move(older));
}

/// The way back after days off: by the length of the break, against what was usual before it.
void comeback(const Morning& m, const LiftFacts& f, const Prescription& plan, std::vector<Bound>& bounds) {
  const auto& c = m.models->limits.comeback;
  Bound b;
  b.shown = {.id = "comeback", .unit = "days off", .source = c.source};
  if (m.layoff) {
    b.shown.measured = m.layoff->days;
    for (const auto& step : c.steps) {
      if (m.layoff->days < step.from_days || m.layoff->days > step.to_days || f.sessions_since_break >= step.sessions)
        continue;
      const double former = f.former_percent.value_or(plan.percent);
      const int sets = f.former_sets.value_or(plan.sets);
      b.shown.limit = step.from_days - 1;
      b.most_percent =
          step.light_only ? c.light_percent : std::min(former - step.percent_less, former * step.percent_share);
      b.most_sets = std::max(1, static_cast<int>(std::lround((sets - step.sets_less) * step.sets_share)));
      if (step.light_only) b.kinds = k_easy_kinds;
      // Without entries nobody knows whether it was a break: about_data asks, and the careful version applies.
      if (!m.layoff->unlogged)
        b.shown.say = fill(
            step.say, {{"days", fmt::format("{}", m.layoff->days)}, {"lift", spoken_plural(m.models->lifts, f.lift)}});
      b.shown.would_hold_if = "without the break";
      break;
    }
  }
  bounds.push_back(std::move(b));
}

/// A day off that was entered for today.
void day_off(const Morning& m, std::vector<Bound>& bounds) {
  Bound b;
  b.shown = {.id = "day-off", .unit = "", .source = "as entered"};
  for (const DaysOff& off : m.log->days_off) {
    if (off.reason == OffReason::match || off.from > m.today || off.to < m.today) continue;
    b.kinds = bit(DayKind::rest);
    b.shown.say = off.reason == OffReason::missed
                      ? std::string("You entered that today's session was not done.")
                      : fmt::format(
                            "You entered a day off for today ({}). If you train after all, take the entry back "
                            "first.",
                            word(off.reason));
    b.shown.would_hold_if = "without the day off";
  }
  bounds.push_back(std::move(b));
}

void illness(const Morning& m, const Signs& signs, const Prescription& plan, std::vector<Bound>& bounds) {
  const auto& i = m.models->limits.illness;
  Bound b;
  b.shown = {.id = "illness", .unit = "days since", .source = i.source};
  if (signs.rest_only) {
    b.kinds = bit(DayKind::rest);
    b.shown.measured = 0;
    b.shown.say = "No training while you are ill.";
    b.shown.would_hold_if = "without the illness";
  } else if (signs.last_ill && days_between(*signs.last_ill, m.today) <= i.after_days) {
    const int days = days_between(*signs.last_ill, m.today);
    b.shown.measured = days;
    b.shown.limit = i.after_days;
    b.most_reps = i.after_reps_share * reps_of(plan);
    b.most_percent = i.after_percent;
    b.shown.say = caution_text(*m.models, "illness-return", {{"days", fmt::format("{}", days)}});
    b.shown.would_hold_if = fmt::format("more than {} days after the illness", i.after_days);
  } else if (signs.cold) {
    b.shown.measured = 0;
    b.most_reps = i.cold_reps_share * reps_of(plan);
    b.most_percent = i.cold_percent;
    b.shown.say = "A head cold without fever: short and easy is allowed if you feel up to it, resting is fine too.";
    b.shown.would_hold_if = "without the cold";
  }
  bounds.push_back(std::move(b));
}

/// Repetitions of the largest planned day of this kind in the four weeks before the taper; without one, the plan's.
int reps_before_taper(const Morning& m, const LiftFacts& f, const Prescription& plan) {
  const Day taper = *m.log->athlete.meet_date - Days{m.models->limits.meet.taper_days};
  int most = 0;
  for (const PlanRow& row : m.log->plan) {
    if (row.lift != f.lift || row.kind != plan.kind || row.date >= taper || row.date < taper - Days{28}) continue;
    most = std::max(most, reps_of(planned_work(row, m)));
  }
  return most > 0 ? most : reps_of(plan);
}

/// What the days around a meet allow; `to`: days to it.
void meet(const Morning& m, const LiftFacts& f, const Prescription& plan, int to, Bound& b) {
  const auto& t = m.models->limits.meet;
  if (to < 0 && -to <= t.easy_days_after) {
    b.shown.limit = -t.easy_days_after;
    b.kinds = -to <= t.rest_days_after ? bit(DayKind::rest) : k_easy_kinds;
    b.most_percent = t.easy_percent_after;
    b.shown.say = fmt::format(
        "{} the meet: rest or move lightly. Easy training for about a week, then plan the next block with new training "
        "maxes.",
        to == -1 ? "The day after" : fmt::format("{} days after", -to));
    b.shown.would_hold_if = "a week after the meet";
  } else if (to == 0) {
    b.shown.limit = 0;
    b.kinds = bit(DayKind::rest);
    b.shown.say = k_meet_day;
    b.shown.would_hold_if = "on another day";
  } else if (to >= 0 && to <= t.light_days) {
    b.shown.limit = t.light_days;
    b.kinds = k_easy_kinds;
    b.most_percent = t.light_percent;
    b.shown.say = fmt::format("{} to the meet: off, or very light.", spoken_days(to));
    b.shown.would_hold_if = "earlier in the taper";
  } else if (heavy_is_done(m, f)) {
    const std::string lift = meet_lift(m, f.lift);
    const auto percent = t.after_percent.find(lift);
    b.most_percent = percent != t.after_percent.end() ? percent->second : m.models->limits.spacing.heavy_percent;
    b.most_reps = std::max(1.0, std::floor(t.taper_volume_share * reps_before_taper(m, f, plan)));
    b.shown.limit = t.last_heavy_days.at(lift)[0];
    b.shown.say = fmt::format(
        "{} days to the meet: the heavy work is done. A few singles to triples at {} % or less, fast and clean, then "
        "go home; save the rest.",
        to, format_number(b.most_percent, 1));
    b.shown.would_hold_if = fmt::format("{} days or more before the meet", t.last_heavy_days.at(lift)[0]);
  }
}

/// Before that the weights stay and the long work comes down, whatever was written.
void taper(const Morning& m, const LiftFacts& f, const Prescription& plan, int to, Bound& b) {
  const auto& t = m.models->limits.meet;
  if (plan.kind != DayKind::volume || to <= t.light_days || to > t.taper_days || heavy_is_done(m, f)) return;
  const double share = to > t.taper_days / 2 ? t.taper_first_share : t.taper_volume_share;
  b.most_reps = std::max(1.0, std::floor(share * reps_before_taper(m, f, plan)));
  b.reps_free = bit(DayKind::light) | bit(DayKind::speed);
  b.shown.limit = b.most_reps;
  b.shown.say = fmt::format("{} days to the meet: long work comes down to {} repetitions, the weights stay.", to,
                            format_number(b.most_reps, 0));
  b.shown.would_hold_if = fmt::format("with {} repetitions or fewer", format_number(b.most_reps, 0));
}

void meet_and_taper(const Morning& m, const LiftFacts& f, const Prescription& plan, std::vector<Bound>& bounds) {
  const std::string& source = m.models->limits.meet.source;
  Bound around;
  around.shown = {.id = "meet", .unit = "days to the meet", .source = source};
  Bound before;
  before.shown = {.id = "taper", .measured = reps_of(plan), .unit = "repetitions", .source = source};
  if (m.days_to_meet) {
    around.shown.measured = *m.days_to_meet;
    meet(m, f, plan, *m.days_to_meet, around);
    taper(m, f, plan, *m.days_to_meet, before);
  }
  bounds.push_back(std::move(around));
  bounds.push_back(std::move(before));
}

/// The legs are kept fresh around a match.
void match_day(const Morning& m, const LiftFacts& f, std::vector<Bound>& bounds) {
  const auto& t = m.models->limits.meet;
  Bound match;
  match.shown = {.id = "match", .limit = t.match_days, .unit = "days to the match", .source = t.source};
  if (m.days_to_match) match.shown.measured = *m.days_to_match;
  const bool legs = f.model != nullptr && f.model->lower_body;
  const bool near = near_match(m, m.today);
  const bool before = m.days_to_match && *m.days_to_match < t.match_days;
  if (near && !before) match.shown.measured = -*m.days_since_match;
  if (legs && near) {
    match.kinds = k_easy_kinds | bit(DayKind::speed);
    match.most_percent = m.models->limits.spacing.heavy_percent;
    match.moves_heavy = Moves::yes;
    const int days = before ? *m.days_to_match : *m.days_since_match;
    match.shown.say = fmt::format("The match {} {}: no heavy and no long sets for the legs.", before ? "is" : "was",
                                  days == 0   ? "today"
                                  : days == 1 ? (before ? "tomorrow" : "yesterday")
                                  : before    ? fmt::format("in {} days", days)
                                              : days_ago(days));
    match.shown.would_hold_if = fmt::format("{} days or more {} the match", t.match_days, before ? "before" : "after");
  }
  bounds.push_back(std::move(match));
}

/// A heavy day that was missed and has room today is nearer to the plan than the day that is written.
void exposure(const Morning& m, const Signs& signs, const LiftFacts& f, const Prescription& plan,
              const std::vector<Signal>& signals, std::vector<Bound>& bounds) {
  const auto& e = m.models->limits.exposure;
  Bound b;
  b.shown = {.id = "exposure", .limit = e.days, .unit = "days without heavy work", .source = e.source};
  if (f.last_heavy) b.shown.measured = days_between(*f.last_heavy, m.today);
  const bool due = b.shown.measured && *b.shown.measured >= e.days && f.missed_heavy && plan.kind != DayKind::heavy;
  const double planned_minutes =
      f.missed_heavy ? m.models->limits.minutes.warmup + working_minutes(planned_work(*f.missed_heavy, m), *m.models)
                     : 0;
  const bool clear = signals.empty() && m.usual_known && m.check != nullptr && !m.layoff && !heavy_is_done(m, f) &&
                     (!m.minutes_available || *m.minutes_available >= planned_minutes) &&
                     (!m.days_to_match || *m.days_to_match >= m.models->limits.meet.match_days) &&
                     m.period.value_or(Intent::hard) == Intent::hard;
  const auto place = due && clear ? catch_up_place(m, signs, *f.missed_heavy, 0) : std::nullopt;
  if (place && place->to_date == m.today) {
    b.asks_for_heavy = true;
    b.shown.say = fmt::format(
        "{}'s heavy {} were missed and the last ones are {} days back: do them today and drop the {} day, not both in "
        "one session.",
        weekday_name(f.missed_heavy->date), spoken_plural(m.models->lifts, f.lift), format_number(*b.shown.measured, 0),
        word(plan.kind));
    b.shown.would_hold_if = "with the heavy day done";
  }
  bounds.push_back(std::move(b));
}

}  // namespace

std::string meet_lift(const Morning& m, std::string_view lift) {
  return std::string(series::root_of(m.models->lifts, lift));
}

bool heavy_is_done(const Morning& m, const LiftFacts& f) {
  if (!m.days_to_meet || *m.days_to_meet < 0) return false;
  const auto& last = m.models->limits.meet.last_heavy_days;
  const auto found = last.find(meet_lift(m, f.lift));
  return found != last.end() && *m.days_to_meet < found->second[0];
}

void calendar_bounds(const Morning& m, const Signs& signs, const LiftFacts& f, const Prescription& plan,
                     const std::vector<Signal>& signals, std::vector<Bound>& bounds) {
  spacing(m, f, plan, bounds);
  comeback(m, f, plan, bounds);
  day_off(m, bounds);
  illness(m, signs, plan, bounds);
  meet_and_taper(m, f, plan, bounds);
  match_day(m, f, bounds);
  exposure(m, signs, f, plan, signals, bounds);
}

}  // namespace steelyard::decide
