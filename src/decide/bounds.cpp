#include "bounds.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "expected.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"

namespace steelyard::decide {
namespace {

/// "a", "a; and b": clauses with commas of their own.
std::string join_clauses(const std::vector<std::string>& clauses) {
  std::string text;
  for (std::size_t i = 0; i < clauses.size(); ++i) {
    if (i > 0) text += i + 1 == clauses.size() ? "; and " : "; ";
    text += clauses[i];
  }
  return text;
}

/// A day of these kinds is less than the plan whatever its repetitions.
KindSet easier_than(DayKind plan) {
  if (plan == DayKind::heavy || plan == DayKind::volume) return bit(DayKind::speed) | bit(DayKind::light);
  return plan == DayKind::speed ? bit(DayKind::light) : 0;
}

bool has_signal(const std::vector<Signal>& signals, SignalKind kind) {
  return std::any_of(signals.begin(), signals.end(), [&](const Signal& s) { return s.kind == kind; });
}

/// Tiredness is expected in the two weeks before a meet and no reason by itself to miss the last heavy work.
bool expected_before_meet(const Morning& m, const Prescription& plan, const Signal& signal) {
  const bool near = m.days_to_meet && *m.days_to_meet >= 0 && *m.days_to_meet <= m.models->limits.meet.taper_days;
  const bool tiredness = signal.kind == SignalKind::check || signal.kind == SignalKind::load ||
                         signal.kind == SignalKind::performance || signal.kind == SignalKind::heart;
  return near && plan.kind == DayKind::heavy && tiredness;
}

void agreement(const Morning& m, const Prescription& plan, const std::vector<Signal>& all, std::vector<Bound>& bounds) {
  std::vector<Signal> signals;
  std::copy_if(all.begin(), all.end(), std::back_inserter(signals),
               [&](const Signal& s) { return !expected_before_meet(m, plan, s); });
  const auto& a = m.models->limits.agreement;
  // Someone who ticks the same answers every day has told nothing: the bar speaks for both.
  const bool bar = has_signal(signals, SignalKind::bar);
  const int count = static_cast<int>(signals.size()) + (bar && !m.items_vary ? 1 : 0);
  Bound b;
  b.shown = {.id = "agreement", .measured = count, .limit = 1, .unit = "signals", .source = a.source};
  if (count >= 2) {
    b.most_reps = (count == 2 ? a.two_reps_share : a.three_reps_share) * reps_of(plan);
    b.reps_free = easier_than(plan.kind);
    b.moves_heavy = count == 2 ? Moves::beside_another : Moves::yes;  // two signs trim the day in place
    const double most = count == 2 ? a.two_heavy_percent : a.three_percent;
    const bool heavy = plan.percent > m.models->limits.spacing.heavy_percent;
    b.most_percent = heavy || count > 2 ? std::min(most, plan.percent) : plan.percent;
    if (bar) b.most_percent = std::min(b.most_percent, plan.percent - a.bar_percent);
    b.points_below_plan = true;
    std::vector<std::string> says;
    for (const Signal& s : signals) says.push_back(s.say);
    if (signals.size() == 1) {
      b.shown.say = fmt::format("{}. Your check has been the same for weeks, so the bar counts for both.",
                                capitalized(says.front()));
    } else {
      b.shown.say = fmt::format("{} signs agree: {}.",
                                signals.size() == 2   ? "Two"
                                : signals.size() == 3 ? "Three"
                                : signals.size() == 4 ? "Four"
                                                      : "Several",
                                join_clauses(says));
      if (bar && !m.items_vary) b.shown.say += " Your check has been the same for weeks, so the bar counts twice.";
    }
    b.shown.would_hold_if =
        fmt::format("with {}", count == 2 ? "one of them as usual" : "all but one of them as usual");
    b.says_what_would_stand = true;
  }
  bounds.push_back(std::move(b));
}

void soreness(const Morning& m, const LiftFacts& f, const Prescription& plan, std::vector<Bound>& bounds) {
  const auto& s = m.models->limits.soreness;
  if (f.model == nullptr) return;
  Bound b;
  b.shown = {.id = "soreness-movers", .limit = s.trim, .unit = "of 7", .source = s.source};
  b.shown.measured = f.mover_soreness;
  if (f.mover_soreness && *f.mover_soreness >= s.extreme) {
    b.shown.limit = s.extreme;
    b.kinds = k_easy_kinds | bit(DayKind::speed);
    b.most_percent = s.extreme_percent;
    b.most_reps = s.reps_share * reps_of(plan);
    b.reps_free = easier_than(plan.kind);
    b.moves_heavy = Moves::yes;
    b.shown.say = fmt::format("{} {} very sore, {} of 7: no heavy and no long sets of {} today.",
                              capitalized(spoken_site(f.sorest_mover)), is_or_are(spoken_site(f.sorest_mover)),
                              format_number(*f.mover_soreness, 1), f.model->say);
    b.shown.would_hold_if = fmt::format("with {} at {} of 7 or below, less would change", spoken_site(f.sorest_mover),
                                        format_number(s.trim, 1));
  } else if (f.odd_soreness && *f.odd_soreness >= s.trim) {
    b.most_reps = s.reps_share * reps_of(plan);
    b.reps_free = easier_than(plan.kind);
    b.moves_heavy = Moves::yes;
    b.shown.say =
        fmt::format("{} {} sore, {} of 7{}: fewer sets of {}.", capitalized(spoken_site(f.odd_mover)),
                    is_or_are(spoken_site(f.odd_mover)), format_number(*f.odd_soreness, 1),
                    f.odd_usual ? fmt::format(" (usually {})", format_number(*f.odd_usual, 1)) : "", f.model->say);
    b.shown.would_hold_if = fmt::format("with {} below {} of 7 this would not have counted", spoken_site(f.odd_mover),
                                        format_number(s.trim, 1));
  }
  bounds.push_back(b);

  Bound support;
  support.shown = {.id = "soreness-support", .limit = s.support, .unit = "of 7", .source = s.source};
  support.shown.measured = f.support_soreness;
  if (f.support_soreness && *f.support_soreness >= s.support) {
    const bool has_percent = plan.percent > 0;
    if (has_percent) {
      support.most_percent = plan.percent - s.support_percent;
      support.points_below_plan = true;
    } else {
      support.most_reps = std::max(1, plan.sets - 1) * plan.reps;
    }
    const std::string site = spoken_site(f.sorest_support);
    const bool one = is_or_are(site) == "is";
    support.shown.say = fmt::format("{} {} very sore, {} of 7, and support{} {}: {}.", capitalized(site),
                                    is_or_are(site), format_number(*f.support_soreness, 1), one ? "s" : "",
                                    f.model->say, has_percent ? "a little lighter" : "a set less");
    support.shown.would_hold_if =
        fmt::format("with {} below {} of 7", spoken_site(f.sorest_support), format_number(s.support, 1));
  }
  bounds.push_back(std::move(support));
}

void sleepless(const Morning& m, std::vector<Bound>& bounds) {
  const auto& s = m.models->limits.sleepless;
  Bound b;
  b.shown = {.id = "sleepless", .limit = s.sleepless_hours, .unit = "h", .source = s.source};
  const Measured* sleep = m.item(&Check::sleep_hours);
  if (sleep != nullptr) b.shown.measured = sleep->value;
  if (sleep != nullptr && sleep->value <= s.sleepless_hours) {
    b.kinds = k_easy_kinds;
    b.most_percent = s.light_percent;
    b.moves_heavy = Moves::yes;
    b.shown.say = "A whole night without sleep: rest, or a short easy session.";
    b.shown.would_hold_if = "after some hours of sleep";
  }
  bounds.push_back(std::move(b));
}

void load_jump(const Morning& m, const Prescription& plan, std::vector<Bound>& bounds) {
  const auto& l = m.models->limits.load;
  const DayFigures* last = m.yesterday();
  Bound b;
  b.shown = {.id = "load", .unit = "x own high", .source = l.source};
  b.shown.limit = l.jump_factor;
  if (last != nullptr && last->acute7_au && last->highest8_au && *last->highest8_au > 0)
    b.shown.measured = *last->acute7_au / *last->highest8_au;
  if (m.week_above_high && !m.load_explained && b.shown.measured && *b.shown.measured >= l.jump_factor) {
    b.most_reps = l.reps_share * reps_of(plan);
    b.reps_free = easier_than(plan.kind);
    b.shown.say = fmt::format("This week is {} times the highest of your last eight: fewer sets today.",
                              format_number(*b.shown.measured, 1));
    b.shown.would_hold_if =
        fmt::format("with a week below {} times your highest of the last eight", format_number(l.jump_factor, 2));
  }
  bounds.push_back(std::move(b));
}

void pain(const Morning& m, const Signs& signs, const LiftFacts& f, const Prescription& plan,
          std::vector<Bound>& bounds) {
  const auto& p = m.models->limits.pain;
  if (f.model == nullptr) return;
  Bound b;
  b.shown = {.id = "pain", .limit = p.watch_high, .unit = "of 10", .source = p.source};
  for (const PainWatch& watch : signs.watched) {
    if (!loads_region(*f.model, watch.region)) continue;
    b.shown.measured = std::max(b.shown.measured.value_or(0), watch.level);
    if (!watch.lighter) continue;
    b.most_reps = p.rising_reps_share * reps_of(plan);
    b.most_percent = plan.percent - p.rising_percent_less;
    b.points_below_plan = true;
    b.shown.say =
        watch.rising
            ? fmt::format("The pain in the {} is climbing: cut the load of {}.", spoken_site(watch.site), f.model->say)
            : fmt::format("The pain in the {} is above what may be trained as usual: cut the load of {}.",
                          spoken_site(watch.site), f.model->say);
    b.shown.would_hold_if = fmt::format("with a steady ache of {} of 10 or less", format_number(p.watch_high, 1));
  }
  bounds.push_back(std::move(b));
}

/// Working minutes planned for the lifts before this one: the main lift comes first, the last goes first. What a cut
/// lift leaves of them is not handed on, so that fewer minutes never mean more of anything.
double minutes_before(const Morning& m, const LiftFacts& f) {
  double taken = 0;
  for (const LiftFacts& other : m.lifts) {
    if (other.lift == f.lift) break;
    taken += working_minutes(planned_work(other.plan, m), *m.models);
  }
  return taken;
}

void minutes(const Morning& m, const LiftFacts& f, const Prescription& plan, std::vector<Bound>& bounds) {
  const auto& limit = m.models->limits.minutes;
  Bound b;
  b.shown = {.id = "minutes", .measured = m.minutes_available, .unit = "min", .source = limit.source};
  const double each = working_minutes({.kind = plan.kind, .sets = 1}, *m.models);
  if (each > 0) {
    const double before = limit.warmup + minutes_before(m, f);
    const double needed = before + working_minutes(plan, *m.models);
    b.shown.limit = needed;
    if (m.minutes_available && *m.minutes_available < needed) {
      b.most_sets = std::max(0, static_cast<int>((*m.minutes_available - before) / each));
      if (b.most_sets == 0) b.moves_heavy = Moves::tomorrow;
      b.shown.say =
          fmt::format("{} minutes are {} for {} set{} of {} after the {}.", format_number(*m.minutes_available, 0),
                      b.most_sets == 0 ? "not enough" : "enough",
                      b.most_sets == 0 ? "a" : fmt::format("{}", b.most_sets), b.most_sets <= 1 ? "" : "s",
                      spoken_plural(m.models->lifts, f.lift), &f == &m.lifts.front() ? "warm-up" : "lifts before them");
      b.shown.would_hold_if = fmt::format("with {} minutes", format_number(std::ceil(needed), 0));
    }
  }
  bounds.push_back(std::move(b));
}

void age(const Morning& m, std::vector<Bound>& bounds) {
  const auto& a = m.models->limits.age;
  Bound b;
  b.shown = {.id = "age", .unit = "%", .source = a.source};
  if (is_minor(m)) {
    const bool trained = m.training_years.value_or(0) >= a.youth_trained_years;
    b.most_percent = trained ? a.youth_trained_percent : a.youth_percent;
    b.shown.say = fmt::format("Under {}: at most {} % without a coach beside you, and no max tests.", a.youth,
                              format_number(b.most_percent, 1));
  } else if (m.training_years && *m.training_years < a.beginner_years) {
    b.most_percent = a.beginner_percent;
    b.shown.say =
        fmt::format("In the first year: at most {} %, technique before weight.", format_number(b.most_percent, 1));
  }
  if (!b.shown.say.empty()) {
    b.shown.limit = b.most_percent;
    b.shown.would_hold_if = fmt::format("with {} % or less on the bar", format_number(b.most_percent, 1));
  }
  bounds.push_back(std::move(b));
}

/// Fewer repetitions down to the edge of the kind's range, then less weight down to its edge, until the set leaves the
/// kind's planned repetitions in reserve; only of what the program itself fills in.
void make_possible(Prescription& work, bool may_change_reps, bool may_change_percent, const Models& models) {
  const auto kind = models.day_kinds.kinds.find(work.kind);
  const auto curve = fit::RepMax::make(models.strength);
  if (kind == models.day_kinds.kinds.end() || !curve) return;
  const KindModel& range = kind->second;
  const double step = models.limits.distance.percent_step;
  const auto most_reps = [&] { return curve->whole_reps_at(work.percent, 10 - range.target_rpe); };
  if (may_change_reps && work.reps > most_reps())
    work.reps = std::min(work.reps, std::max(static_cast<int>(range.reps.low), most_reps()));
  while (may_change_percent && work.reps > most_reps() && work.percent - step >= range.percent.low)
    work.percent -= step;
}

}  // namespace

double working_minutes(const Prescription& work, const Models& models) {
  const auto kind = models.day_kinds.kinds.find(work.kind);
  return kind == models.day_kinds.kinds.end() ? 0 : work.sets * kind->second.minutes_per_set;
}

bool holds(const Bound& bound, const Prescription& work) {
  if ((bound.kinds & bit(work.kind)) == 0) return false;
  if (work.kind == DayKind::rest) return !bound.asks_for_heavy;
  if (bound.asks_for_heavy && work.kind != DayKind::heavy) return false;
  constexpr double hair = 1e-9;
  const bool reps_free = (bound.reps_free & bit(work.kind)) != 0;
  // Work without a percentage has none that could be too high.
  return (work.percent <= 0 || work.percent <= bound.most_percent + hair) && work.sets <= bound.most_sets &&
         (reps_free || reps_of(work) <= bound.most_reps + hair);
}

namespace {

/// Work of a lift that is no main lift and has no percentages: near failure, no weight is called.
std::optional<Prescription> accessory_work(const PlanRow& row, const Models& models) {
  const LiftModel* model = models.lifts.find(row.lift);
  if (model == nullptr || model->main || row.percent || row.kind == DayKind::rest) return std::nullopt;
  const auto& a = models.day_kinds.accessory;
  return Prescription{.kind = row.kind,
                      .sets = row.sets.value_or(static_cast<int>(a.sets.low)),
                      .reps = row.reps.value_or(static_cast<int>(std::lround((a.reps.low + a.reps.high) / 2))),
                      .percent = 0};
}

}  // namespace

Prescription planned_work(const PlanRow& row, const Morning& m) {
  if (const auto accessory = accessory_work(row, *m.models)) return *accessory;
  Prescription work = usual_work(row.kind, row.lift, m);
  if (row.sets) work.sets = *row.sets;
  if (row.reps) work.reps = *row.reps;
  if (row.percent) work.percent = *row.percent;
  if (!row.reps || !row.percent) make_possible(work, !row.reps, !row.percent, *m.models);
  return work;
}

Prescription usual_work(DayKind kind, std::string_view lift, const Morning& m) {
  Prescription work{.kind = kind};
  const auto found = m.models->day_kinds.kinds.find(kind);
  if (found == m.models->day_kinds.kinds.end()) return work;
  const KindModel& model = found->second;
  work = {.kind = kind, .sets = model.usual_sets, .reps = model.usual_reps, .percent = model.usual_percent};
  for (const PlanRow& row : m.log->plan) {
    const bool recent = row.date < m.today && row.date >= m.today - Days{m.models->limits.signals.sessions_days};
    if (row.lift != lift || row.kind != kind || !recent || !row.sets || !row.reps || !row.percent) continue;
    if (!model.sets.has(*row.sets) || !model.reps.has(*row.reps) || !model.percent.has(*row.percent)) continue;
    work = {.kind = kind, .sets = *row.sets, .reps = *row.reps, .percent = *row.percent};
  }
  const double step = m.models->limits.distance.percent_step;
  work.percent = std::max(std::floor(work.percent / step + 1e-9) * step, model.percent.low);
  make_possible(work, true, true, *m.models);
  return work;
}

namespace {

/// Limits that cut the plan do not cut it twice; those that close kinds of days, or allow a fixed percent or number of
/// sets, go on to hold.
void leave_followed(Bound& b, const Prescription& plan) {
  b.most_reps = std::max(b.most_reps, static_cast<double>(reps_of(plan)));
  if (b.points_below_plan) b.most_percent = std::max(b.most_percent, plan.percent);
}

/// More than a set can hold: repetitions and percent that the rep-max curve and the upper end of the expected strength
/// rule out, whatever was written.
void possible(const Morning& m, const LiftFacts& f, const Prescription& plan, std::vector<Bound>& bounds) {
  const auto& limit = m.models->limits.possible;
  Bound b;
  b.shown = {.id = "possible", .unit = "% of the training max", .source = limit.source};
  const auto curve = fit::RepMax::make(m.models->strength);
  if (!curve || plan.reps <= 0 || plan.percent <= 0) {
    bounds.push_back(std::move(b));
    return;
  }
  const auto factor = curve->factor(plan.reps);
  if (factor) {
    const auto expected = expected_strength(m, f);
    const double best = std::max(limit.most_percent, expected ? expected->high80 : 0);
    b.shown.measured = plan.percent;
    b.shown.limit = best / *factor;
    if (plan.percent > *b.shown.limit) {
      b.most_percent = *b.shown.limit;
      b.shown.say =
          fmt::format("{} repetitions at {} % are more than a set can hold: a slip in the plan? {} % at most.",
                      plan.reps, format_number(plan.percent, 1), format_number(std::floor(b.most_percent), 0));
      b.shown.would_hold_if =
          fmt::format("with {} % or less for {} repetitions", format_number(std::floor(b.most_percent), 0), plan.reps);
    }
  }
  bounds.push_back(std::move(b));
}

/// The chance that the planned set ends above its cap. It speaks when it is high, above what this lifter's days of that
/// kind have had, and today's doing: a plan that grows heavier by design is no reason by itself.
void margin(const Morning& m, const LiftFacts& f, const Prescription& plan, std::vector<Bound>& bounds) {
  const auto& limit = m.models->limits.margin;
  Bound b;
  b.shown = {.id = "margin", .limit = limit.chance, .unit = "%", .source = limit.source};
  const learn::LiftToday* learned = m.learned == nullptr ? nullptr : m.learned->find(f.lift);
  const auto kind = m.models->day_kinds.kinds.find(plan.kind);
  const auto curve = fit::RepMax::make(m.models->strength);
  const auto index = static_cast<std::size_t>(plan.kind);
  const bool judged = learned != nullptr && learned->sessions >= limit.least_sessions && curve &&
                      kind != m.models->day_kinds.kinds.end() && index < learned->margin.past.size();
  if (!judged) {
    bounds.push_back(std::move(b));
    return;
  }
  const double cap = kind->second.rpe_cap;
  b.shown.measured = learned->margin.chance(plan.percent, plan.reps, cap, *curve);
  const auto usual = learned->margin.usual_chance(plan.percent, plan.reps, cap, *curve);
  const auto median = learned->margin.past[index].median();
  if (b.shown.measured && usual && median) {
    // Likely is too much whatever is usual: a training max that is far too high makes everything usual.
    b.shown.limit =
        std::min(limit.likely, std::max({limit.chance, *median + limit.above_usual, *usual + limit.above_usual}));
    const auto above = [&](double percent) {
      return learned->margin.chance(percent, plan.reps, cap, *curve).value_or(100) > *b.shown.limit;
    };
    if (above(plan.percent)) {
      const double step = m.models->limits.distance.percent_step;
      b.points_below_plan = true;
      b.most_percent = plan.percent - step;
      while (above(b.most_percent) && b.most_percent > plan.percent - limit.most_percent_less) b.most_percent -= step;
      b.moves_heavy = Moves::beside_another;
      b.shown.say = fmt::format(
          "Judged by your own sessions, the chance that {} % ends above RPE {} is {} % today, on a usual morning {} %.",
          format_number(plan.percent, 1), format_number(cap, 1), std::lround(*b.shown.measured), std::lround(*usual));
      b.shown.would_hold_if = "on a usual morning";
      b.says_what_would_stand = true;
    }
  }
  bounds.push_back(std::move(b));
}

}  // namespace

bool followed_today(const Morning& m, const LiftFacts& f) {
  return std::any_of(m.log->decisions.begin(), m.log->decisions.end(),
                     [&](const Decision& d) { return d.follows && d.date == m.today && d.lift == f.lift; });
}

std::vector<Bound> bounds_of(const Morning& m, const Signs& signs, const LiftFacts& f,
                             const std::vector<Signal>& signals) {
  std::vector<Bound> bounds;
  const Prescription plan = planned_work(f.plan, m);
  agreement(m, plan, signals, bounds);
  soreness(m, f, plan, bounds);
  sleepless(m, bounds);
  load_jump(m, plan, bounds);
  pain(m, signs, f, plan, bounds);
  minutes(m, f, plan, bounds);
  age(m, bounds);
  possible(m, f, plan, bounds);
  margin(m, f, plan, bounds);
  calendar_bounds(m, signs, f, plan, signals, bounds);
  if (followed_today(m, f)) {
    for (Bound& b : bounds) leave_followed(b, plan);
  }
  for (Bound& b : bounds) b.shown.held = holds(b, plan);
  const auto broken = std::count_if(bounds.begin(), bounds.end(), [](const Bound& b) { return !b.shown.held; });
  for (Bound& b : bounds) {  // of several broken limits none alone would have kept the plan
    if (b.says_what_would_stand)
      b.shown.would_hold_if += broken > 1 ? " this would have held" : " the plan would have stood";
  }
  return bounds;
}

}  // namespace steelyard::decide
