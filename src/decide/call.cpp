#include "steelyard/decide/call.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "candidates.hpp"
#include "expected.hpp"
#include "signs.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/decide/gear.hpp"
#include "steelyard/domain/row_bytes.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "words.hpp"

namespace steelyard::decide {
namespace {

constexpr std::array<std::vector<std::string> LiftModel::*, 3> k_regions_of{&LiftModel::movers, &LiftModel::support,
                                                                            &LiftModel::joints};

void put_on_the_bar(const Morning& m, const LiftFacts& f, LiftCall& call) {
  const auto kind = m.models->day_kinds.kinds.find(call.call.kind);
  if (kind != m.models->day_kinds.kinds.end()) call.rpe_cap = kind->second.rpe_cap;
  if (call.planned->percent <= 0 && call.call.sets > 0) call.rpe_cap = m.models->day_kinds.accessory.rpe;
  call.weight_kg = weight_of(m, f, *call.planned, call.call, call.actions);
  if (!call.weight_kg) return;
  const Gear gear = gear_of(m.log->athlete, m.models->lifts);
  call.plates_per_side = plates_for(*call.weight_kg, gear).value_or(std::vector<double>{});
  call.warmup = warmup_ramp(call.call.percent, *f.training_max_kg, gear, m.models->lifts);
}

/// What the lift asks for before the first loaded set, and what eases the regions of it that are sore today.
std::vector<std::string> preparation(const Morning& m, const LiftFacts& f) {
  std::vector<std::string> steps;
  if (f.model == nullptr) return steps;
  steps = f.model->warmup;
  if (m.check == nullptr) return steps;
  const auto concerns = [&](const std::string& region) {
    return std::any_of(k_regions_of.begin(), k_regions_of.end(), [&](const auto member) {
      const auto& regions = f.model->*member;
      return std::find(regions.begin(), regions.end(), region) != regions.end();
    });
  };
  for (const SoreRegion& sore : m.check->sore_regions) {
    const std::string region(region_of(sore.region));
    const auto eased = m.models->lifts.mobility.find(region);
    if (sore.level < m.models->limits.soreness.signal || eased == m.models->lifts.mobility.end()) continue;
    if (concerns(region)) steps.push_back(fmt::format("{}: {}", spoken_site(sore.region), eased->second));
  }
  return steps;
}

Confidence confidence_of(const Morning& m, const std::vector<Signal>& signals, bool broken) {
  if (!m.usual_known || m.check == nullptr || (m.layoff && m.layoff->unlogged && !m.layoff->first_session_after))
    return Confidence::low;
  const bool bar_spoke = std::any_of(m.lifts.begin(), m.lifts.end(),
                                     [](const LiftFacts& f) { return f.bar && std::abs(f.bar->worse_by) > 1; });
  if (m.coverage.ratio_state == RatioState::uncertain || (signals.size() == 1 && !broken) || bar_spoke)
    return Confidence::medium;
  return Confidence::high;
}

struct Called {
  LiftCall call;
  std::vector<Bound> bounds;
  std::vector<Signal> signals;
};

Called call_lift(const Morning& m, const Signs& signs, const LiftFacts& f) {
  Called result;
  LiftCall& call = result.call;
  call.lift = f.lift;
  const Prescription plan = planned_work(f.plan, m);
  call.planned = plan;
  call.training_max_kg = f.training_max_kg;
  call.expected = expected_strength(m, f);
  if (signs.stop || signs.closes(f.lift) != nullptr) {
    call.actions = {Action::stop_refer};
    return result;
  }
  result.signals = signals_of(m, f);
  result.bounds = bounds_of(m, signs, f, result.signals);
  for (const Bound& b : result.bounds) call.limits.push_back(b.shown);
  if (plan.kind == DayKind::rest) {
    call.actions = {Action::rest};
    return result;
  }
  const auto exchange = exchange_for(m, f, plan, result.bounds);
  const Candidate chosen = choose(candidates(m, f, plan, exchange), result.bounds);
  call.call = chosen.work;
  call.actions = chosen.actions;
  call.move = chosen.move;
  const bool broken =
      std::any_of(result.bounds.begin(), result.bounds.end(), [](const Bound& b) { return !b.shown.held; });
  call.confidence = confidence_of(m, result.signals, broken);
  put_on_the_bar(m, f, call);
  const bool aches = std::any_of(signs.watched.begin(), signs.watched.end(), [&](const PainWatch& pain) {
    return f.model != nullptr && loads_region(*f.model, pain.region);
  });
  call.may_go_up = call.actions == std::vector{Action::run_as_planned} && call.call.kind == DayKind::heavy &&
                   call.confidence != Confidence::low && !aches;
  call.at_the_bar = at_the_bar(m, f, call);
  if (call.call.sets > 0 && &f == &m.lifts.front()) call.prepare = preparation(m, f);
  return result;
}

/// The order in which a person reads: stops, then the sentence of the day, its reasons, cautions, the rest of the day.
void say_everything(const Morning& m, const Signs& signs, const std::vector<Called>& called, DayCall& day) {
  const auto add = [&](std::string text) {
    if (!text.empty() && std::find(day.say.begin(), day.say.end(), text) == day.say.end())
      day.say.push_back(std::move(text));
  };
  const bool minor = is_minor(m);
  if (signs.stop) {
    const Urgency most = day.cautions.front().urgency;  // an emergency is not mixed with anything less
    for (const Caution& c : day.cautions) {
      if (c.urgency == most) add(c.say);
    }
    const bool of_today = std::any_of(day.cautions.begin(), day.cautions.end(),
                                      [&](const Caution& c) { return c.urgency == most && c.since == m.today; });
    if (of_today) add(caution_text(*m.models, "clearance"));  // that of an earlier day says so itself
    if (signs.distress) add(caution_text(*m.models, "distress"));
    if (minor) add(caution_text(*m.models, "minors"));
    add(caution_text(*m.models, "exits"));
    add(caution_text(*m.models, "hierarchy"));
    return;
  }
  if (!called.empty()) {
    add(headline(m, called.front().call));
    const bool all_as_planned = std::all_of(called.begin(), called.end(), [](const Called& c) {
      return c.call.actions == std::vector{Action::run_as_planned} ||
             (c.call.planned && c.call.planned->kind == DayKind::rest);
    });
    for (const std::string& text : reasons(m, signs, m.lifts.front(), called.front().call, called.front().bounds,
                                           called.front().signals, all_as_planned))
      add(text);
  } else {
    add(m.days_to_meet == 0   ? k_meet_day
        : m.days_to_meet == 1 ? "The meet is tomorrow: rest, or easy movement."
                              : "Nothing is planned today: rest, or easy movement.");
  }
  for (const Caution& c : day.cautions) add(c.say);
  add(other_lifts(m, day.calls));
  for (const std::string& text : about_data(m)) add(text);
  for (const std::string& text : about_habits(m)) add(text);
  for (const std::string& text : missed_days(m, signs, day.calls)) add(text);
  for (const std::string& text : signs.asks) add(text);
  if (signs.distress) add(caution_text(*m.models, "distress"));
  if (!day.cautions.empty()) {
    if (minor) add(caution_text(*m.models, "minors"));
    add(caution_text(*m.models, "hierarchy"));
  }
}

}  // namespace

std::string inputs_digest(const AthleteLog& log, Day today) {
  std::string text = format_day(today);
  const auto add = [&](const auto& rows) {
    for (const auto& row : rows) add_row_bytes(text, row);
  };
  add_row_bytes(text, log.athlete);
  for (const TrainingMax& max : log.maxes) {
    if (max.from <= today) add_row_bytes(text, max);
  }
  add(log.plan);
  for (const Period& p : log.periods) {
    if (p.from <= today) add_row_bytes(text, p);
  }
  add(log.days_off);
  for (const Session& s : log.sessions) {  // of today's own session only the note can speak
    if (s.date < today || (s.date == today && !s.note.empty())) add_row_bytes(text, s);
  }
  for (const SetRow& s : log.sets) {
    if (s.date < today) add_row_bytes(text, s);
  }
  for (const Check& c : log.checks) {
    if (c.date <= today) add_row_bytes(text, c);
  }
  for (const BarSpeed& b : log.bar) {
    if (b.date <= today) add_row_bytes(text, b);
  }
  for (const Clearance& c : log.clearances) {
    if (c.date <= today) add_row_bytes(text, c);
  }
  for (const Decision& d : log.decisions) {
    if (d.date >= today) continue;
    text += fmt::format("{} {} {}", format_day(d.date), d.lift, d.follows);
    if (!d.follows && !d.called.empty()) text += " " + d.called;  // of a followed one its plan row tells the same
    text += '\n';
  }
  return digest(text);
}

DayCall call_for(const AthleteLog& log, Day today, const Models& models, const learn::Today* learned,
                 std::optional<Unit> spoken) {
  DayCall day;
  day.athlete = log.athlete.athlete;
  day.date = today;
  day.model_version = models.version;
  day.model_digest = models.digest;
  day.inputs_digest = inputs_digest(log, today);
  day.questions = log.questions;

  Morning m = look_at(log, today, models);
  m.learned = learned;
  if (spoken) m.spoken = *spoken;
  const Signs signs = signs_of(m);
  day.cautions = signs.cautions;
  day.coverage = m.coverage;
  std::vector<Called> called;
  for (const LiftFacts& f : m.lifts) {
    called.push_back(call_lift(m, signs, f));
    day.calls.push_back(called.back().call);
  }
  say_everything(m, signs, called, day);
  if (!signs.stop) {  // a stop is not mixed with anything less
    for (const Question& q : day.questions) day.say.push_back(q.say);
  }
  return day;
}

}  // namespace steelyard::decide
