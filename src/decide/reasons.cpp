#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <string_view>

#include "expected.hpp"
#include "places.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/decide/rotation.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "steelyard/learn/worth.hpp"
#include "steelyard/load/figures.hpp"
#include "words.hpp"

namespace steelyard::decide {
namespace {

bool is(const LiftCall& call, Action action) {
  return std::find(call.actions.begin(), call.actions.end(), action) != call.actions.end();
}

const Signal* find(const std::vector<Signal>& signals, SignalKind kind) {
  const auto found = std::find_if(signals.begin(), signals.end(), [&](const Signal& s) { return s.kind == kind; });
  return found == signals.end() ? nullptr : &*found;
}

/// What to do about one odd sign while the plan stands.
std::string single_sign(const Morning& m, const LiftFacts& f, const Signal& signal) {
  const learn::LiftToday* learned = m.learned == nullptr ? nullptr : m.learned->find(f.lift);
  switch (signal.kind) {
    case SignalKind::sleep:
      if (m.sleep_run)
        return fmt::format(
            "One odd sign: {}. The plan stands and the bar decides; several short nights are a warning, so aim for "
            "sleep tonight.",
            signal.say);
      if (learned != nullptr && learn::sleep_does_not_matter(*learned, m.models->response.evidence)) {
        return fmt::format(
            "Short night ({}), but single short nights have not changed your lifting in {} sessions: run the plan, the "
            "bar decides.",
            signal.say, learned->sessions);
      }
      return fmt::format(
          "One short night costs little strength ({}). Start as planned and decide at the bar: if the warm-ups feel "
          "heavier than usual, take {} to {} % off. No extra sets, and aim for sleep tonight.",
          signal.say, format_number(m.models->limits.distance.percent_step, 1),
          format_number(2 * m.models->limits.distance.percent_step, 1));
    case SignalKind::load:
      if (m.days_alike && !m.week_above_high) {
        return "Your training days are very alike, but nothing else is out of the ordinary: carry on with the plan. An "
               "easier day each week would cost little.";
      }
      return fmt::format(
          "One odd sign: {}. A load figure describes, it does not decide: the plan stands and the bar decides.",
          signal.say);
    default:
      return fmt::format("One odd sign: {}. The plan stands and the bar decides.", signal.say);
  }
}

/// Which sessions raised the week, named so that they are recognised.
std::string cause_of_load(const Morning& m) {
  const auto parts = load::what_raised(m.series, m.today - Days{1}, m.models->load);
  if (parts.empty()) return {};
  std::vector<std::string> names;
  for (std::size_t i = 0; i < parts.size() && i < 3; ++i) {
    names.push_back(fmt::format("{} ({} AU)", weekday_name(parts[i].date), std::lround(parts[i].load_au)));
  }
  std::string text = fmt::format("What raised the week: {}.", join_words(names));
  // Two big days in a row carry most of the week: worth saying by name.
  const auto on_weekend = [](const LoadPart& p) { return weekday_index(p.date) >= 5; };
  if (parts.size() >= 2 && parts.size() <= 3 && on_weekend(parts[0]) && on_weekend(parts[1]) &&
      parts[0].date != parts[1].date)
    text +=
        " Most of it was the weekend: spread the next one, two big days in a row after quiet ones are hard to absorb.";
  return text;
}

void about_load(const Morning& m, const std::vector<Signal>& signals, const LiftCall& call,
                std::vector<std::string>& out) {
  const Signal* load = find(signals, SignalKind::load);
  if (load == nullptr || is(call, Action::run_as_planned) || is(call, Action::rest)) return;
  if (m.week_above_high) {
    const std::string cause = cause_of_load(m);
    if (!cause.empty()) out.push_back(cause);
    out.push_back("Next week back to normal.");
  } else if (load->in_one_lift) {
    out.push_back(
        "The total may look ordinary; the hard sets sit in one lift. No more heavy work of it until next week.");
  } else if (m.days_alike) {
    out.push_back(
        "The same session day after day: make today easy or off, and give next week clear hard and easy days.");
  }
}

void about_calendar(const Morning& m, const LiftFacts& f, const LiftCall& call, std::vector<std::string>& out) {
  if (call.call.kind == DayKind::heavy && m.days_to_meet && *m.days_to_meet >= 0 &&
      *m.days_to_meet <= 7 * m.models->day_kinds.before_meet.weeks && !heavy_is_done(m, f) &&
      is(call, Action::run_as_planned)) {
    out.push_back(fmt::format("{} to the meet: {} % is right for this phase. Leave a repetition in reserve.",
                              spoken_days(*m.days_to_meet), format_number(call.call.percent, 1)));
  }
  for (const PlanRow& row : m.log->plan) {
    const int days = days_between(m.today, row.date);
    const bool next_heavy = row.lift == f.lift && row.kind == DayKind::heavy && days > 0 && days <= 3;
    if (next_heavy && call.call.kind == DayKind::speed && is(call, Action::run_as_planned)) {
      out.push_back(fmt::format("Move every repetition fast; heavy {} are due on {}, keep the freshness for them.",
                                spoken_plural(m, f.lift), spoken_day(row.date, m.today)));
      break;
    }
  }
  if (!call.move && !is(call, Action::swap_to_heavy)) return;
  for (const PlanRow& row : m.ahead) {
    if (row.lift != f.lift || row.kind != DayKind::volume || days_between(m.today, row.date) > 6) continue;
    if (call.move && call.move->to_date == row.date) continue;
    out.push_back(fmt::format("The volume day on {} stays.", spoken_day(row.date, m.today)));
    break;
  }
  if (call.move && call.move->displaced && !call.move->displaced->to_date) {
    out.push_back(fmt::format("The {} work of {} drops out that week; do not stack the two.",
                              word(call.move->displaced->kind), weekday_name(call.move->to_date)));
  }
}

void about_soreness(const Morning& m, const LiftFacts& f, std::vector<std::string>& out) {
  if (!f.mover_soreness || *f.mover_soreness < m.models->limits.soreness.trim) return;
  out.push_back(caution_text(*m.models, "soreness"));
  const auto& regions = m.check->sore_regions;
  const bool spine = std::any_of(regions.begin(), regions.end(), [&](const SoreRegion& r) {
    return region_of(r.region) == "low-back" && r.level >= m.models->limits.soreness.trim;
  });
  if (spine) out.push_back(caution_text(*m.models, "soreness-spine"));
}

}  // namespace

std::vector<std::string> reasons(const Morning& m, const Signs& signs, const LiftFacts& f, const LiftCall& call,
                                 const std::vector<Bound>& bounds, const std::vector<Signal>& signals,
                                 bool all_as_planned) {
  std::vector<std::string> out;
  for (const Bound& b : bounds) {
    if (!b.shown.held && !b.shown.say.empty()) out.push_back(b.shown.say);
  }
  const bool ordinary =
      is(call, Action::run_as_planned) && signs.cautions.empty() && signs.asks.empty() && !signs.distress;
  if (signals.size() == 1 && is(call, Action::run_as_planned)) out.push_back(single_sign(m, f, signals.front()));
  const bool said = !signals.empty() && std::any_of(bounds.begin(), bounds.end(), [&](const Bound& b) {
    const bool same = (b.shown.id == "soreness-movers" && signals.front().kind == SignalKind::soreness) ||
                      (b.shown.id == "load" && signals.front().kind == SignalKind::load);
    return same && !b.shown.held;
  });
  if (signals.size() == 1 && !said && !is(call, Action::run_as_planned))
    out.push_back(fmt::format("Also: {}.", signals.front().say));
  about_load(m, signals, call, out);
  about_soreness(m, f, out);
  if (light_only_break(m, f) && f.sessions_since_break == 0)
    out.push_back(caution_text(*m.models, "long-layoff", {{"days", fmt::format("{}", m.layoff->days)}}));
  const Measured* sleep = m.item(&Check::sleep_hours);
  const bool sleepless = sleep != nullptr && sleep->value <= m.models->limits.sleepless.sleepless_hours;
  if (sleepless) out.push_back(caution_text(*m.models, "sleepless"));
  about_calendar(m, f, call, out);
  if (ordinary && signals.empty() && m.check != nullptr && m.usual_known) {
    const Measured* soreness = m.item(&Check::soreness);
    const bool usual = soreness != nullptr && soreness->usual && std::abs(soreness->worse_by) < 1 &&
                       soreness->value >= m.models->limits.soreness.signal;
    if (usual) {
      out.push_back(fmt::format("Soreness {} is your usual.", format_number(soreness->value, 1)));
    }
    if (!m.layoff && all_as_planned) out.push_back(caution_text(*m.models, "nothing-against"));
  }
  if (m.load_explained && m.yesterday() != nullptr &&
      m.yesterday()->ratio_coupled.value_or(1) > m.models->load.ratio.band_high) {
    out.push_back("The week was high by plan; that is no sign by itself.");
  }
  return out;
}

namespace {

/// What a break of that length takes off, where that is said in points and sets.
std::string if_it_was_a_break(const Morning& m) {
  const auto& steps = m.models->limits.comeback.steps;
  const auto step = std::find_if(steps.begin(), steps.end(), [&](const auto& s) {
    return m.layoff->days >= s.from_days && m.layoff->days <= s.to_days;
  });
  if (step == steps.end() || step->percent_less <= 0 || step->sets_less <= 0) return {};
  return fmt::format("; if you were off, take about {} % and {} off what you did before the gap",
                     format_number(step->percent_less, 1),
                     step->sets_less == 1 ? "one set" : fmt::format("{} sets", step->sets_less));
}

}  // namespace

std::vector<std::string> about_data(const Morning& m) {
  std::vector<std::string> out;
  const bool rotates = std::any_of(m.log->plan.begin(), m.log->plan.end(), [&](const PlanRow& row) {
    return row.date == m.today && row.note == k_rotation_note;
  });
  if (rotates) out.push_back("No plan is written: today's kinds come from the rotation over your weekdays.");
  const int settled = m.models->limits.signals.settled_days;
  const std::string needed = fmt::format("About {} weeks of checks ({} days) are needed", settled / 7, settled);
  if (m.history_days > 0 && !m.usual_known && m.history_days < m.models->limits.signals.usual_days) {
    out.push_back(
        fmt::format("{} of entries are too few to know your usual: no load ratio yet. Run the plan and let the "
                    "warm-ups decide. {}.",
                    spoken_days(m.history_days), needed));
  } else if (m.history_days <= 0) {
    out.push_back(fmt::format(
        "Nothing was entered before today: the plan and the warm-ups decide. {} to know your usual.", needed));
  }
  const DayFigures* last = m.yesterday();
  if (m.layoff && m.layoff->unlogged && !m.layoff->first_session_after) {
    out.push_back(fmt::format(
        "No entries for {} days, so load figures are not shown. Did you train? If yes, enter it and run the "
        "plan{}. Until you say, the careful version applies.",
        m.layoff->days, if_it_was_a_break(m)));
  } else if (last != nullptr && last->state == RatioState::uncertain) {
    out.push_back(fmt::format("{} of the last 28 days {} not entered, so no load ratio is shown: a gap is not rest.",
                              last->unlogged_of_28, last->unlogged_of_28 == 1 ? "was" : "were"));
  }
  if (m.check == nullptr && !m.lifts.empty()) out.push_back("No morning check today: the warm-ups decide.");
  return out;
}

namespace {

/// Missed heavy days of main lifts that nothing of today's calls makes up for, the last one of each lift.
std::vector<PlanRow> missed_rows(const Morning& m, const std::vector<LiftCall>& calls) {
  std::set<std::string_view> lifts;
  for (const PlanRow& row : m.log->plan) lifts.insert(row.lift);
  std::vector<PlanRow> rows;
  for (const std::string_view lift : lifts) {
    const LiftModel* model = m.models->lifts.find(lift);
    if (model == nullptr || !model->main) continue;
    const bool called = std::any_of(calls.begin(), calls.end(),
                                    [&](const LiftCall& c) { return c.lift == lift && c.call.kind == DayKind::heavy; });
    if (called) continue;
    if (auto last = missed_heavy(m, lift)) rows.push_back(std::move(*last));
  }
  return rows;
}

/// Days from now from which a missed heavy day may be made up for. With this morning's check in, the call of a planned
/// lift has already said whether that is today.
int earliest_catch_up(const Morning& m, const PlanRow& missed) {
  const auto today = plan_of(m.log->plan, m.today);
  const bool planned = std::any_of(today.begin(), today.end(), [&](const PlanRow& row) {
    return row.lift == missed.lift && row.kind != DayKind::rest;
  });
  if (planned && m.check != nullptr && m.usual_known) return 1;
  return signals_of(m, lift_facts(m, missed)).empty() ? 0 : 1;
}

std::string where_missed_work_goes(const Morning& m, const PlanRow& missed, const Move& place) {
  const bool today = place.to_date == m.today;
  std::string text = fmt::format("{}'s heavy {} were missed: {} is the day for them", weekday_name(missed.date),
                                 spoken_plural(m, missed.lift), today ? "today" : spoken_day(place.to_date, m.today));
  if (place.displaced)
    text += fmt::format(" in place of the {} work, which is what drops out", word(place.displaced->kind));
  if (today) text += m.check == nullptr ? ", if the morning check holds nothing against it" : ", if the warm-ups agree";
  text += ".";
  const int apart = days_apart_moved(m);
  for (int ahead = 1; m.today + Days{ahead} < place.to_date; ++ahead) {
    const Day day = m.today + Days{ahead};
    if (m.available(day) && clashes(m, missed.lift, day, apart, apart))
      text += fmt::format(" Not on {}: heavy work needs {} between.", weekday_name(day),
                          apart == 2 ? "two days" : spoken_days(apart));
  }
  return text;
}

std::string let_go(const Morning& m, const PlanRow& missed) {
  const auto last = last_heavy_of(m, missed.lift);
  const bool recent = last && days_between(*last, m.today) < m.models->limits.exposure.days;
  std::string text = fmt::format(
      "{}'s heavy {} were missed{}: let them go this week", weekday_name(missed.date), spoken_plural(m, missed.lift),
      recent ? fmt::format(", and the last ones are only {} days back", days_between(*last, m.today))
             : std::string(" and no day that is left has room for them"));
  for (const PlanRow& row : m.ahead) {
    if (row.lift == missed.lift && is_heavy(row, *m.models))
      return text + fmt::format("; the next are on {}.", spoken_day(row.date, m.today));
  }
  return text + ".";
}

}  // namespace

std::vector<std::string> missed_days(const Morning& m, const Signs& signs, const std::vector<LiftCall>& calls) {
  std::vector<std::string> out;
  for (const PlanRow& missed : missed_rows(m, calls)) {
    if (!bears_more(m, signs, missed.lift, m.today)) continue;  // there is more to heed than a missed day
    const auto place = catch_up_place(m, signs, missed, earliest_catch_up(m, missed));
    out.push_back(place ? where_missed_work_goes(m, missed, *place) : let_go(m, missed));
  }
  return out;
}

}  // namespace steelyard::decide
