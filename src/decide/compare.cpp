#include <fmt/core.h>

#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <cmath>
#include <numeric>

#include "candidates.hpp"
#include "expected.hpp"
#include "places.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/decide/call.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "words.hpp"

namespace steelyard::decide {
namespace {

constexpr int k_days = 7;

struct Scene {
  const Morning& m;
  const Signs& signs;
  const LiftFacts& f;
  Prescription plan;
  std::vector<Bound> bounds;
  std::optional<ExpectedStrength> expected;
  Candidate chosen;
};

/// Median load of this lifter's sessions of a kind over the last eight weeks.
std::optional<double> usual_session_load(const Morning& m, DayKind kind) {
  std::vector<double> loads;
  for (const Session& s : m.log->sessions) {
    if (s.kind == kind && s.date < m.today && s.date >= m.today - Days{m.models->limits.signals.sessions_days} &&
        s.minutes && s.rpe)
      loads.push_back(*s.minutes * *s.rpe);
  }
  return series::median(std::move(loads));
}

/// Chance (%) that a set ends above its cap: as learned, else from the interval of the expected strength.
std::optional<double> chance_above_cap(const Scene& s, const Prescription& work) {
  const auto curve = fit::RepMax::make(s.m.models->strength);
  const auto kind = s.m.models->day_kinds.kinds.find(work.kind);
  if (!curve || !s.expected || kind == s.m.models->day_kinds.kinds.end() || work.sets == 0) return std::nullopt;
  const double cap = kind->second.rpe_cap;
  const learn::LiftToday* learned = s.m.learned == nullptr ? nullptr : s.m.learned->find(s.f.lift);
  if (learned != nullptr) return learned->margin.chance(work.percent, work.reps, cap, *curve);
  const auto factor = curve->factor(work.reps + 10 - cap);
  if (!factor) return std::nullopt;
  const double sd = (std::log(s.expected->high80) - std::log(s.expected->low80)) / (2 * fit::k_z90);
  return 100 * boost::math::cdf(boost::math::normal(std::log(s.expected->percent / 100), sd),
                                std::log(work.percent * *factor / 100));
}

/// Share of a day's working minutes, by which its load is split, that the compared lift has.
double share_of_day(const Scene& s, const std::vector<PlanRow>& rows) {
  double own = 0;
  double all = 0;
  for (const PlanRow& row : rows) {
    const double minutes = working_minutes(planned_work(row, s.m), *s.m.models);
    all += minutes;
    if (row.lift == s.f.lift) own += minutes;
  }
  return all > 0 ? own / all : 0;
}

/// Session load of an option's own day: the other lifts stay, this one's part goes with its working minutes.
double load_today(const Scene& s, const Prescription& today, double planned, double share) {
  const double before = working_minutes(s.plan, *s.m.models);
  return planned * (1 - share + share * (before > 0 ? working_minutes(today, *s.m.models) / before : 1));
}

/// Expected session load of today and the six days after it: what is planned, with today's session and the moved one
/// replaced. Nothing if a kind of day has no usual load yet.
std::optional<std::vector<double>> loads_of(const Scene& s, const Prescription& today, std::optional<Day> heavy_on) {
  const auto planned = usual_session_load(s.m, s.plan.kind);
  if (!planned) return std::nullopt;
  std::vector<double> loads(k_days, 0);
  const double share = share_of_day(s, plan_of(s.m.log->plan, s.m.today));
  loads[0] = load_today(s, today, *planned, share);
  std::optional<Day> last;
  for (const PlanRow& row : s.m.ahead) {
    const int ahead = days_between(s.m.today, row.date);
    if (row.date == last || ahead >= k_days || row.kind == DayKind::rest) continue;
    last = row.date;
    const auto usual = usual_session_load(s.m, plan_of(s.m.ahead, row.date).front().kind);
    if (!usual) return std::nullopt;
    loads[static_cast<std::size_t>(ahead)] = *usual;
  }
  if (heavy_on) {  // it takes the place of what that lift had there
    double& there = loads[static_cast<std::size_t>(days_between(s.m.today, *heavy_on))];
    there = there * (1 - share_of_day(s, plan_of(s.m.ahead, *heavy_on))) + *planned * share;
  }
  return loads;
}

void load_of(const Scene& s, Option& option, const std::vector<double>& loads) {
  const double week = std::accumulate(loads.begin(), loads.end(), 0.0);
  option.week_load_au = week;
  double before = 0;  // the 21 days that end yesterday
  for (Day day = s.m.today - Days{21}; day < s.m.today; day += Days{1}) {
    const auto* entry = s.m.series.at(day);
    if (entry == nullptr || !entry->known()) return;
    before += *entry->load_au;
  }
  const DayFigures* last = s.m.yesterday();
  const bool known = last != nullptr && last->ratio_coupled;  // withheld where the load figures withhold it
  if (known && week + before > 0) option.ratio = 4 * week / (week + before);
}

/// Dose of planned work as the compared lift feels it.
double dose_of(const Scene& s, std::string_view lift, const Prescription& work) {
  return work.sets * work.reps * std::pow(work.percent / 100, 2) * s.m.models->lifts.overlap(lift, s.f.lift);
}

/// Doses of today and the days after it until `day`, the day itself left out.
std::vector<double> doses_until(const Scene& s, const Prescription& today, Day day) {
  std::vector<double> doses(static_cast<std::size_t>(days_between(s.m.today, day)), 0);
  if (doses.empty()) return doses;
  for (const LiftFacts& f : s.m.lifts) {
    doses[0] += f.lift == s.f.lift ? dose_of(s, f.lift, today) : dose_of(s, f.lift, planned_work(f.plan, s.m));
  }
  for (const PlanRow& row : s.m.ahead) {
    if (row.date >= day || row.kind == DayKind::rest) continue;
    doses[static_cast<std::size_t>(days_between(s.m.today, row.date))] += dose_of(s, row.lift, planned_work(row, s.m));
  }
  return doses;
}

/// What the heavy work meets on its day.
void strength_of(const Scene& s, Option& option, const Prescription& judged, Day day) {
  const learn::LiftToday* learned = s.m.learned == nullptr ? nullptr : s.m.learned->find(s.f.lift);
  const auto kind = s.m.models->day_kinds.kinds.find(judged.kind);
  const auto curve = fit::RepMax::make(s.m.models->strength);
  if (day > s.m.today && learned != nullptr && learned->ahead && kind != s.m.models->day_kinds.kinds.end() && curve) {
    const fit::Mixture then = learned->ahead->after(doses_until(s, option.today, day), judged.percent, judged.reps);
    option.expected_percent = 100 * std::exp(fit::mean(then) / 100);
    option.expected_low80 = 100 * std::exp(fit::quantile(then, 0.1) / 100);
    option.expected_high80 = 100 * std::exp(fit::quantile(then, 0.9) / 100);
    option.cap_chance = learn::chance_above(then, judged.percent, judged.reps, kind->second.rpe_cap, *curve);
    return;
  }
  // The lifter is the same whatever is done today: one figure, by the planned work. The chance is that of the option's
  // own.
  option.expected_percent = s.expected->percent;
  option.expected_low80 = s.expected->low80;
  option.expected_high80 = s.expected->high80;
  option.cap_chance = chance_above_cap(s, judged);
}

/// Hours to the heavy work of the same spacing group before and after a day.
void spacing_of(const Scene& s, Day day, Option& option) {
  if (s.f.last_heavy_group) option.hours_before = 24.0 * days_between(*s.f.last_heavy_group, day);
  for (const PlanRow& row : s.m.ahead) {
    if (row.date > day && is_heavy(row, *s.m.models) && share_spacing(*s.m.models, row.lift, s.f.lift)) {
      option.hours_after = 24.0 * days_between(day, row.date);
      return;
    }
  }
}

Option option_of(const Scene& s, std::string name, const Prescription& today, std::optional<Day> heavy_on) {
  Option option{.name = std::move(name), .today = today, .heavy_on = heavy_on};
  for (const Bound& b : s.bounds) {
    if (!holds(b, today) && !b.asks_for_heavy) option.broken.push_back(b.shown.id);
  }
  const Prescription& judged = heavy_on && *heavy_on != s.m.today ? s.plan : today;
  if (s.expected && judged.sets > 0) {
    strength_of(s, option, judged, heavy_on.value_or(s.m.today));
  }
  const bool later = heavy_on && *heavy_on > s.m.today;
  if (const auto loads = loads_of(s, today, later ? heavy_on : std::nullopt)) {
    load_of(s, option, *loads);
    if (later && s.m.learned != nullptr && s.m.learned->soreness) {
      const auto mornings = s.m.learned->soreness->mornings(*loads);
      option.soreness = mornings[static_cast<std::size_t>(days_between(s.m.today, *heavy_on)) - 1];
    }
  }
  if (heavy_on == s.m.today && s.m.check != nullptr) option.soreness = s.m.check->soreness;
  if (judged.sets > 0) spacing_of(s, heavy_on.value_or(s.m.today), option);
  return option;
}

std::vector<Option> options_of(const Scene& s) {
  std::vector<Option> options;
  const std::string kind(word(s.plan.kind));
  const auto day_if_heavy = [&](const Prescription& work) {
    return work.kind == DayKind::heavy ? std::optional(s.m.today) : std::nullopt;
  };
  options.push_back(option_of(s, kind + " today, as planned", s.plan, day_if_heavy(s.plan)));
  const bool changed = s.chosen.actions.front() != Action::run_as_planned;
  if (changed && !s.chosen.move) {
    const bool same = s.chosen.work.kind == s.plan.kind;
    options.push_back(option_of(s,
                                same ? kind + " today, less of it" : std::string(word(s.chosen.work.kind)) + " today",
                                s.chosen.work, day_if_heavy(s.chosen.work)));
    options.back().chosen = true;
    if (same && s.plan.sets * s.plan.reps > s.chosen.work.sets * s.chosen.work.reps)
      options.back().loses.push_back(fmt::format("{} of {} repetitions",
                                                 s.plan.sets * s.plan.reps - s.chosen.work.sets * s.chosen.work.reps,
                                                 s.plan.sets * s.plan.reps));
  }
  const int recovered = days_apart_written(s.m);
  auto place = s.chosen.move;
  if (!place && s.plan.kind == DayKind::heavy) place = find_place(s.m, s.f.lift, recovered);
  if (!s.chosen.move && place && !bears_more(s.m, s.signs, s.f.lift, place->to_date)) place.reset();
  if (place) {
    const bool exchange = place->displaced && place->displaced->to_date;
    Prescription today = s.chosen.move ? s.chosen.work : Prescription{};
    if (!s.chosen.move && exchange) today = usual_work(place->displaced->kind, s.f.lift, s.m);
    options.push_back(
        option_of(s, fmt::format("heavy on {}", spoken_day(place->to_date, s.m.today)), today, place->to_date));
    if (place->displaced && !exchange)
      options.back().loses.push_back(
          fmt::format("the {} work of {}", word(place->displaced->kind), weekday_name(place->to_date)));
    if (!exchange && !s.chosen.move) options.back().loses.push_back("today's session of the lift");
    options.back().chosen = changed && s.chosen.move.has_value();
  }
  Option drop = option_of(s, "drop it", Prescription{.kind = DayKind::rest}, std::nullopt);
  drop.loses.push_back(fmt::format("the {} {} of this week", kind, spoken_plural(s.m, s.f.lift)));
  drop.chosen = changed && !s.chosen.move && s.chosen.work.kind == DayKind::rest;
  if (drop.chosen) std::erase_if(options, [](const Option& o) { return o.chosen; });
  options.push_back(std::move(drop));
  if (!changed) options.front().chosen = true;
  return options;
}

std::string verdict(const Scene& s, const std::vector<Option>& options) {
  const auto chosen = std::find_if(options.begin(), options.end(), [](const Option& o) { return o.chosen; });
  if (chosen == options.end()) return {};
  if (chosen == options.begin()) {
    return fmt::format("Keep it: {}. Nothing you entered speaks for another day.", chosen->name);
  }
  std::vector<std::string> why;
  for (const Bound& b : s.bounds) {
    if (!b.shown.held && !b.shown.say.empty()) why.push_back(b.shown.say);
  }
  std::string text = fmt::format("{} is the smallest sound change.", capitalized(chosen->name));
  for (const std::string& reason : why) text += " " + reason;
  return text;
}

}  // namespace

Comparison compare(const AthleteLog& log, Day today, std::optional<std::string_view> lift, const Models& models,
                   const learn::Today* learned) {
  Comparison result{.athlete = log.athlete.athlete, .date = today};
  Morning m = look_at(log, today, models);
  m.learned = learned;
  const auto found =
      std::find_if(m.lifts.begin(), m.lifts.end(), [&](const LiftFacts& f) { return !lift || f.lift == *lift; });
  if (found == m.lifts.end()) {
    result.lift = lift.value_or("");
    result.say.push_back(
        lift ? fmt::format("No {} are planned today, so there is nothing to compare.", spoken_plural(m, *lift))
             : std::string("Nothing is planned today, so there is nothing to compare."));
    return result;
  }
  result.lift = found->lift;
  const Signs signs = signs_of(m);
  if (signs.stop || signs.closes(found->lift) != nullptr) {
    for (const Caution& c : signs.cautions) {
      if (c.urgency == signs.cautions.front().urgency) result.say.push_back(c.say);
    }
    return result;  // a stop is not weighed against anything
  }
  const Prescription plan = planned_work(found->plan, m);
  if (plan.kind == DayKind::rest) {
    result.say.push_back(
        fmt::format("Rest from {} is planned today, so there is nothing to compare.", spoken_plural(m, found->lift)));
    return result;
  }
  const auto signals = signals_of(m, *found);
  Scene scene{.m = m,
              .signs = signs,
              .f = *found,
              .plan = plan,
              .bounds = bounds_of(m, signs, *found, signals),
              .expected = expected_strength(m, *found),
              .chosen = {}};
  const auto exchange = exchange_for(m, *found, plan, scene.bounds);
  scene.chosen = choose(candidates(m, *found, plan, exchange), scene.bounds);
  result.options = options_of(scene);
  result.say.push_back(verdict(scene, result.options));
  return result;
}

}  // namespace steelyard::decide
