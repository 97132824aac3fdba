#include <fmt/core.h>

#include <array>

#include "params/bind.hpp"

namespace steelyard::params {
namespace {

void bind_distance(Section s, LimitsModel& out) {
  auto& m = out.distance;
  s.source(m.source);
  s.number("set_step", m.set_step, 0, 100);
  s.number("rep_step", m.rep_step, 0, 100);
  s.number("percent_step_distance", m.percent_step_distance, 0, 100);
  s.number("exchange", m.exchange, 0, 100);
  s.number("swap", m.swap, 0, 100);
  s.number("light", m.light, 0, 100);
  s.number("rest", m.rest, 0, 100);
  s.number("percent_step", m.percent_step, 0.5, 10);
  s.number("deepest_percent", m.deepest_percent, 0, 60);
  s.done();
}

void bind_signals(Section s, LimitsModel& out) {
  auto& m = out.signals;
  s.source(m.source);
  s.number("odd_sd", m.odd_sd, 0.5, 5);
  s.integer("usual_days", m.usual_days, 7, 180);
  s.integer("settled_days", m.settled_days, 7, 84);
  s.integer("least_checks", m.least_checks, 3, 60);
  s.number("item_floor", m.item_floor, 0.1, 3);
  s.number("sleep_floor_h", m.sleep_floor_h, 0.1, 4);
  s.number("short_run_nights", m.short_run_nights, 2, 14);
  s.number("short_run_hours", m.short_run_hours, 0.25, 5);
  s.number("bar_floor_percent", m.bar_floor_percent, 0.1, 20);
  s.number("strength_floor_percent", m.strength_floor_percent, 0.1, 20);
  s.number("resting_hr_floor_percent", m.resting_hr_floor_percent, 0.1, 30);
  s.number("ln_hrv_floor", m.ln_hrv_floor, 0.01, 1);
  s.number("jump_floor_percent", m.jump_floor_percent, 0.1, 30);
  s.integer("bar_days", m.bar_days, 14, 180);
  s.integer("bar_least", m.bar_least, 3, 60);
  s.integer("strength_days", m.strength_days, 7, 42);
  s.integer("strength_before_days", m.strength_before_days, 14, 365);
  s.integer("strength_before_least", m.strength_before_least, 2, 20);
  s.integer("strength_sessions", m.strength_sessions, 1, 20);
  s.integer("sessions_days", m.sessions_days, 14, 365);
  s.done();
}

void bind_floors(Section s, LimitsModel& out) {
  auto& m = out.floors;
  s.source(m.source);
  s.number("sleep_hours", m.sleep_hours, 0, 8);
  s.number("fatigue", m.fatigue, 4, 7);
  s.number("stress", m.stress, 4, 7);
  s.number("mood", m.mood, 1, 4);
  s.number("soreness", m.soreness, 4, 7);
  s.integer("week_days", m.week_days, 1, 7);
  s.done();
}

void bind_bar(Section s, LimitsModel& out) {
  auto& m = out.bar;
  s.source(m.source);
  s.number("heavier_rpe", m.heavier_rpe, 1, 10);
  s.number("much_heavier_rpe", m.much_heavier_rpe, 1, 10);
  s.number("lighter_rpe", m.lighter_rpe, 1, 10);
  s.done();
  if (!s.failed() && (m.lighter_rpe >= m.heavier_rpe || m.heavier_rpe > m.much_heavier_rpe)) {
    s.reject_one_of({"lighter_rpe", "heavier_rpe", "much_heavier_rpe"},
                    "does not fit; allowed: lighter_rpe, heavier_rpe and much_heavier_rpe in ascending order");
  }
}

void bind_agreement(Section s, LimitsModel& out) {
  auto& m = out.agreement;
  s.source(m.source);
  s.number("two_reps_share", m.two_reps_share, 0.1, 1);
  s.number("two_heavy_percent", m.two_heavy_percent, 40, 100);
  s.number("three_reps_share", m.three_reps_share, 0.1, 1);
  s.number("three_percent", m.three_percent, 40, 100);
  s.number("bar_percent", m.bar_percent, 0, 20);
  s.done();
}

void bind_soreness(Section s, LimitsModel& out) {
  auto& m = out.soreness;
  s.source(m.source);
  s.number("extreme", m.extreme, 1, 7);
  s.number("extreme_percent", m.extreme_percent, 30, 100);
  s.number("trim", m.trim, 1, 7);
  s.number("signal", m.signal, 1, 7);
  s.number("support", m.support, 1, 7);
  s.number("reps_share", m.reps_share, 0.1, 1);
  s.number("support_percent", m.support_percent, 0, 20);
  s.done();
  if (!s.failed() && (m.signal > m.trim || m.trim > m.extreme)) {
    s.reject_one_of({"trim", "signal", "extreme"},
                    "does not fit; allowed: signal, trim and extreme in ascending order");
  }
}

void bind_load(Section s, LimitsModel& out) {
  auto& m = out.load;
  s.source(m.source);
  s.number("hard_sets_factor", m.hard_sets_factor, 1, 10);
  s.integer("hard_sets_least", m.hard_sets_least, 1, 100);
  s.number("jump_factor", m.jump_factor, 1, 5);
  s.number("reps_share", m.reps_share, 0.1, 1);
  s.number("halved_factor", m.halved_factor, 0.1, 1);
  s.number("strain_percentile", m.strain_percentile, 50, 100);
  s.number("planned_room", m.planned_room, 1, 2);
  s.done();
}

void bind_step(Section& s, LimitsModel::ReturnStep& m) {
  s.integer("from_days", m.from_days, 1, 100000);
  s.integer("to_days", m.to_days, 1, 100000);
  if (s.has("sets_less")) s.integer("sets_less", m.sets_less, 0, 10);
  if (s.has("sets_share")) s.number("sets_share", m.sets_share, 0.1, 1);
  if (s.has("percent_less")) s.number("percent_less", m.percent_less, 0, 60);
  if (s.has("percent_share")) s.number("percent_share", m.percent_share, 0.2, 1);
  if (s.has("light_only")) s.flag("light_only", m.light_only);
  s.integer("sessions", m.sessions, 1, 30);
  s.text("say", m.say);
  s.done();
  constexpr std::array blanks{std::string_view("days")};
  s.check_blanks("say", m.say, blanks);
}

void bind_comeback(Section s, LimitsModel& out) {
  auto& m = out.comeback;
  s.source(m.source);
  s.number("light_percent", m.light_percent, 20, 80);
  s.integer("remembered_days", m.remembered_days, 7, 182);
  m.steps.clear();
  for (Section& entry : s.entries("steps")) {
    LimitsModel::ReturnStep step;
    bind_step(entry, step);
    if (entry.failed()) return;
    const bool same = !m.steps.empty() && step.from_days == m.steps.back().from_days;
    const int next = m.steps.empty() || same ? step.from_days : m.steps.back().to_days + 1;
    if (step.from_days != next) {
      entry.reject("from_days",
                   fmt::format("is {}; allowed: {}, the day after the step before it", step.from_days, next));
    }
    if (same && step.to_days != m.steps.back().to_days) {
      entry.reject("to_days",
                   fmt::format("is {}; allowed: {}, as in the step before it", step.to_days, m.steps.back().to_days));
    }
    if (step.to_days < step.from_days) entry.reject("to_days", "lies before from_days; allowed: not before it");
    m.steps.push_back(std::move(step));
  }
  s.done();
}

void bind_illness(Section s, LimitsModel& out) {
  auto& m = out.illness;
  s.source(m.source);
  s.number("after_reps_share", m.after_reps_share, 0.1, 1);
  s.number("after_percent", m.after_percent, 20, 100);
  s.integer("after_days", m.after_days, 1, 30);
  s.number("cold_reps_share", m.cold_reps_share, 0.1, 1);
  s.number("cold_percent", m.cold_percent, 20, 100);
  s.done();
}

void bind_pain(Section s, LimitsModel& out) {
  auto& m = out.pain;
  s.source(m.source);
  // Upper edges: no file may raise a stop above what the published pain rules call acceptable (5 of 10).
  s.number("sharp_stop", m.sharp_stop, 1, 5);
  s.number("any_stop", m.any_stop, 1, 5);
  s.number("watch_high", m.watch_high, 0, 5);
  s.integer("rising_days", m.rising_days, 3, 42);
  s.integer("rising_entries", m.rising_entries, 2, 10);
  s.number("rising_points", m.rising_points, 0.5, 10);
  s.number("rising_reps_share", m.rising_reps_share, 0.1, 1);
  s.number("rising_percent_less", m.rising_percent_less, 0, 60);
  s.integer("gone_mornings", m.gone_mornings, 1, 14);
  s.done();
}

void bind_last_heavy(Section s, LimitsModel& out) {
  auto& days = out.meet.last_heavy_days;
  days.clear();
  for (const auto& lift : s.keys()) {
    Range range;
    s.range(lift, range, 0, 60);
    days[lift] = {static_cast<int>(range.low), static_cast<int>(range.high)};
  }
  s.done();
}

void bind_after_percent(Section s, LimitsModel& out) {
  auto& percent = out.meet.after_percent;
  percent.clear();
  for (const auto& lift : s.keys()) s.number(lift, percent[lift], 30, 100);
  s.done();
}

void bind_meet(Section s, LimitsModel& out) {
  auto& m = out.meet;
  s.source(m.source);
  bind_last_heavy(s.table("last_heavy_days"), out);
  bind_after_percent(s.table("after_percent"), out);
  s.integer("light_days", m.light_days, 0, 14);
  s.number("light_percent", m.light_percent, 20, 100);
  s.integer("easy_days_after", m.easy_days_after, 0, 60);
  s.integer("rest_days_after", m.rest_days_after, 0, 30);
  s.number("easy_percent_after", m.easy_percent_after, 20, 100);
  s.integer("taper_days", m.taper_days, 3, 42);
  s.number("taper_first_share", m.taper_first_share, 0.1, 1);
  s.number("taper_volume_share", m.taper_volume_share, 0.1, 1);
  s.integer("match_days", m.match_days, 0, 7);
  s.done();
}

void bind_age(Section s, LimitsModel& out) {
  auto& m = out.age;
  s.source(m.source);
  s.integer("youth", m.youth, 14, 25);
  s.number("youth_percent", m.youth_percent, 30, 100);
  s.number("youth_trained_percent", m.youth_trained_percent, 30, 100);
  s.number("youth_trained_years", m.youth_trained_years, 0, 10);
  s.number("beginner_years", m.beginner_years, 0, 5);
  s.number("beginner_percent", m.beginner_percent, 30, 100);
  s.integer("masters", m.masters, 35, 90);
  s.done();
}

void bind_week(Section s, LimitsModel& out) {
  auto& m = out.week;
  s.source(m.source);
  s.number("odd_sd", m.odd_sd, 0.5, 5);
  s.number("standard_errors", m.standard_errors, 0.5, 6);
  s.integer("late_values", m.late_values, 1, 7);
  s.integer("late_odd", m.late_odd, 1, 7);
  s.integer("writes_days", m.writes_days, 4, 28);
  s.integer("daily_days", m.daily_days, 4, 28);
  s.integer("silent_days", m.silent_days, 1, 14);
  s.integer("silent_daily_days", m.silent_daily_days, 1, 14);
  s.integer("unknown_days", m.unknown_days, 1, 7);
  s.number("more", m.more, 1, 3);
  s.number("less", m.less, 0.1, 1);
  s.number("unchanged", m.unchanged, 0, 0.5);
  s.integer("least_weeks", m.least_weeks, 2, 8);
  s.integer("fixture_days", m.fixture_days, 1, 28);
  Range peak;
  s.range("peak_days", peak, 0, 60);
  m.peak_from_days = static_cast<int>(peak.low);
  m.peak_to_days = static_cast<int>(peak.high);
  s.number("pain_as_before", m.pain_as_before, 0, 3);
  s.number("mood_sd", m.mood_sd, 1, 6);
  s.integer("mood_days", m.mood_days, 1, 7);
  s.integer("strength_sessions", m.strength_sessions, 2, 20);
  s.integer("squad_least", m.squad_least, 3, 40);
  s.number("squad_share", m.squad_share, 0.5, 1);
  s.number("squad_sd", m.squad_sd, 0.1, 3);
  s.number("squad_same_sd", m.squad_same_sd, 0, 3);
  s.number("squad_more", m.squad_more, 1, 3);
  s.number("squad_like", m.squad_like, 1, 3);
  s.integer("several_ill", m.several_ill, 2, 40);
  s.done();
}

void bind_doubts(Section s, LimitsModel& out) {
  auto& m = out.doubts;
  s.source(m.source);
  s.number("over_max", m.over_max, 1, 3);
  s.number("under_max", m.under_max, 0.1, 1);
  s.number("work_rpe", m.work_rpe, 1, 10);
  s.integer("all_ten_sets", m.all_ten_sets, 2, 20);
  s.number("good_sleep", m.good_sleep, 1, 7);
  s.number("rested", m.rested, 1, 7);
  s.number("long_minutes", m.long_minutes, 60, 1440);
  s.number("likely_minutes", m.likely_minutes, 10, 300);
  s.number("body_mass_percent", m.body_mass_percent, 5, 80);
  s.range("max_kg", m.max_kg, 1, 1000);
  s.number("max_factor", m.max_factor, 1.05, 5);
  s.done();
}

}  // namespace

void bind(Section& top, LimitsModel& out) {
  bind_distance(top.table("distance"), out);
  bind_signals(top.table("signals"), out);
  bind_floors(top.table("floors"), out);
  bind_bar(top.table("bar"), out);
  bind_agreement(top.table("agreement"), out);
  bind_soreness(top.table("soreness"), out);

  auto sleepless = top.table("sleepless");
  sleepless.source(out.sleepless.source);
  sleepless.number("sleepless_hours", out.sleepless.sleepless_hours, 0, 5);
  sleepless.number("light_percent", out.sleepless.light_percent, 20, 80);
  sleepless.done();

  auto spacing = top.table("spacing");
  spacing.source(out.spacing.source);
  spacing.number("heavy_hours", out.spacing.heavy_hours, 0, 240);
  spacing.number("heavy_percent", out.spacing.heavy_percent, 50, 100);
  spacing.number("masters_hours", out.spacing.masters_hours, 0, 240);
  spacing.integer("much_reps", out.spacing.much_reps, 1, 200);
  spacing.done();

  auto exposure = top.table("exposure");
  exposure.source(out.exposure.source);
  exposure.integer("days", out.exposure.days, 3, 60);
  exposure.done();

  bind_load(top.table("load"), out);
  bind_comeback(top.table("comeback"), out);
  bind_illness(top.table("illness"), out);
  bind_pain(top.table("pain"), out);
  bind_meet(top.table("meet"), out);

  auto minutes = top.table("minutes");
  minutes.source(out.minutes.source);
  minutes.number("warmup", out.minutes.warmup, 0, 60);
  minutes.done();

  bind_age(top.table("age"), out);

  auto possible = top.table("possible");
  possible.source(out.possible.source);
  possible.number("most_percent", out.possible.most_percent, 100, 150);
  possible.done();

  auto margin = top.table("margin");
  margin.source(out.margin.source);
  margin.number("chance", out.margin.chance, 1, 99);
  margin.number("likely", out.margin.likely, 50, 100);
  margin.number("above_usual", out.margin.above_usual, 0, 99);
  margin.integer("least_sessions", out.margin.least_sessions, 1, 100);
  margin.number("most_percent_less", out.margin.most_percent_less, 2.5, 30);
  margin.done();

  auto overrides = top.table("overrides");
  overrides.source(out.overrides.source);
  overrides.integer("days", out.overrides.days, 7, 365);
  overrides.integer("least", out.overrides.least, 2, 100);
  overrides.number("share", out.overrides.share, 0.5, 1);
  overrides.number("done_share", out.overrides.done_share, 0.5, 1);
  overrides.done();

  bind_week(top.table("week"), out);
  bind_doubts(top.table("doubts"), out);
}

}  // namespace steelyard::params
