#include "candidates.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "places.hpp"
#include "steelyard/decide/gear.hpp"

namespace steelyard::decide {
namespace {

int half_of(int n) {
  return std::max(1, (n + 1) / 2);
}

/// Upper edges of a kind's range, of accessories for work without a percentage; before a meet heavy days go higher.
struct Edges {
  double sets = std::numeric_limits<double>::infinity();
  double reps = std::numeric_limits<double>::infinity();
  double percent = std::numeric_limits<double>::infinity();
};

Edges upper_edges(const Morning& m, const Prescription& plan) {
  const DayKindsModel& kinds = m.models->day_kinds;
  const DayKind kind = plan.kind;
  if (plan.percent <= 0) return {.sets = kinds.accessory.sets.high, .reps = kinds.accessory.reps.high};
  const auto found = kinds.kinds.find(kind);
  if (found == kinds.kinds.end()) return {};
  const KindModel& range = found->second;
  Edges edges{.sets = range.sets.high, .reps = range.reps.high, .percent = range.percent.high};
  const bool meet_near = m.days_to_meet && *m.days_to_meet >= 0 && *m.days_to_meet <= 7 * kinds.before_meet.weeks;
  if (kind == DayKind::heavy && meet_near) edges.percent = std::max(edges.percent, kinds.before_meet.percent.high);
  return edges;
}

/// The plan as it is written, and the same lift with fewer sets, then fewer repetitions, and less weight. What is
/// changed is ours and stays below the upper edges of the kind.
void trims(const Morning& m, const Prescription& plan, std::vector<Candidate>& out) {
  const auto& d = m.models->limits.distance;
  const Edges most = upper_edges(m, plan);
  struct Size {
    int sets;
    int reps;
    double distance;
  };
  std::vector<Size> sizes;
  for (int sets = plan.sets; sets >= half_of(plan.sets); --sets)
    sizes.push_back({sets, plan.reps, d.set_step * (plan.sets - sets)});
  const Size fewest = sizes.back();
  for (int reps = plan.reps - 1; reps >= half_of(plan.reps); --reps)
    sizes.push_back({fewest.sets, reps, fewest.distance + d.rep_step * (plan.reps - reps)});
  for (int sets = fewest.sets - 1; sets >= 1; --sets)
    sizes.push_back({sets, plan.reps, d.set_step * (plan.sets - sets) + d.rep_step});

  // Points of percent below the plan end on whole steps, so that the figures stay round.
  const int deepest = static_cast<int>(d.deepest_percent / d.percent_step);
  for (const Size& size : sizes) {
    for (int step = 0; step <= deepest; ++step) {
      const double percent = plan.percent - step * d.percent_step;
      if (step > 0 && percent <= 0) break;  // work without a percentage stands as it is
      Candidate c{.work = {.kind = plan.kind, .sets = size.sets, .reps = size.reps, .percent = percent}};
      // A deep cut of weight is still the same lift: it stays nearer than another kind of day.
      c.distance =
          size.distance + std::min(step * d.percent_step_distance, d.swap - d.percent_step_distance - d.set_step / 2);
      const bool fewer = size.sets < plan.sets;
      if (!fewer && size.reps < plan.reps) continue;  // fewer repetitions alone have no name of their own
      if (fewer) c.actions.push_back(Action::trim_sets);
      if (step > 0) c.actions.push_back(Action::trim_intensity);
      const bool inside = size.sets <= most.sets && size.reps <= most.reps && percent <= most.percent;
      if (c.actions.empty()) {
        c.actions.push_back(Action::run_as_planned);
      } else if (!inside) {
        continue;
      }
      out.push_back(std::move(c));
    }
  }
}

Action swap_to(DayKind kind) {
  switch (kind) {
    case DayKind::heavy:
      return Action::swap_to_heavy;
    case DayKind::volume:
      return Action::swap_to_volume;
    default:
      return Action::swap_to_speed;
  }
}

/// Another kind of day, from the lifter's own usual percent down to the edge of the range, with the fewest sets of it:
/// whoever cannot do the plan does not do the most of something else.
void swaps(const Morning& m, const LiftFacts& f, const Prescription& plan, const std::optional<Move>& exchange,
           std::vector<Candidate>& out) {
  const auto& d = m.models->limits.distance;
  for (const DayKind kind : {DayKind::speed, DayKind::volume}) {
    const auto model = m.models->day_kinds.kinds.find(kind);
    if (kind == plan.kind || model == m.models->day_kinds.kinds.end()) continue;
    Prescription usual = usual_work(kind, f.lift, m);
    usual.sets = static_cast<int>(model->second.sets.low);
    const bool changes_places = exchange && kind == DayKind::speed;
    const bool pure = changes_places && exchange->displaced && exchange->displaced->to_date;
    double distance = pure ? d.exchange : changes_places ? d.exchange + d.set_step : d.light + d.set_step / 2;
    if (kind == DayKind::volume) distance = d.light + d.set_step;
    for (; usual.percent >= model->second.percent.low; usual.percent -= d.percent_step) {
      Candidate c{.work = usual, .actions = {swap_to(kind)}, .distance = distance};
      if (changes_places) c.move = exchange;
      out.push_back(std::move(c));
      distance += 0.01;  // the heavier of two admissible swaps first
    }
  }
  if (f.missed_heavy && plan.kind != DayKind::heavy) {
    out.push_back({.work = planned_work(*f.missed_heavy, m), .actions = {Action::swap_to_heavy}, .distance = d.swap});
  }
}

/// The exchange when today takes nothing in return: what stood on the other day drops out.
std::optional<Move> one_way(std::optional<Move> exchange) {
  if (exchange && exchange->displaced) exchange->displaced->to_date.reset();
  return exchange;
}

void light(const Morning& m, const std::optional<Move>& exchange, std::vector<Candidate>& out) {
  const auto& d = m.models->limits.distance;
  const auto model = m.models->day_kinds.kinds.find(DayKind::light);
  if (model == m.models->day_kinds.kinds.end()) return;
  const KindModel& range = model->second;
  double distance = d.light;
  for (int sets = range.usual_sets; sets >= static_cast<int>(range.sets.low); --sets) {
    for (double percent = range.usual_percent; percent >= range.percent.low; percent -= d.percent_step) {
      out.push_back({.work = {.kind = DayKind::light, .sets = sets, .reps = range.usual_reps, .percent = percent},
                     .actions = {Action::light_technique},
                     .distance = distance,
                     .move = one_way(exchange)});
      distance += 0.01;
    }
  }
}

}  // namespace

std::vector<Candidate> candidates(const Morning& m, const LiftFacts& f, const Prescription& plan,
                                  const std::optional<Move>& exchange) {
  std::vector<Candidate> all;
  trims(m, plan, all);
  if (plan.percent > 0) {  // the other kinds of day are percentages
    swaps(m, f, plan, exchange, all);
    light(m, exchange, all);
  }
  all.push_back({.work = {.kind = DayKind::rest},
                 .actions = {Action::rest},
                 .distance = m.models->limits.distance.rest,
                 .move = one_way(exchange)});
  std::stable_sort(all.begin(), all.end(),
                   [](const Candidate& a, const Candidate& b) { return a.distance < b.distance; });
  return all;
}

Candidate choose(const std::vector<Candidate>& all, const std::vector<Bound>& bounds) {
  for (const bool with_wishes : {true, false}) {
    for (const Candidate& c : all) {
      const bool admissible = std::all_of(bounds.begin(), bounds.end(), [&](const Bound& b) {
        return (b.asks_for_heavy && !with_wishes) || holds(b, c.work);
      });
      if (admissible) return c;
    }
  }
  return all.back();
}

std::optional<double> weight_of(const Morning& m, const LiftFacts& f, const Prescription& plan,
                                const Prescription& work, const std::vector<Action>& actions) {
  if (!f.training_max_kg || work.sets == 0 || work.percent <= 0) return std::nullopt;
  const Action first = actions.front();
  const bool written = first == Action::run_as_planned || first == Action::trim_sets;
  const bool cut = (written && work.percent < plan.percent) ||
                   (first == Action::run_as_planned && called_lighter(m, f.lift, m.today)) ||
                   (!written && first != Action::swap_to_heavy);
  return loadable(work.percent / 100 * *f.training_max_kg, gear_of(m.log->athlete, m.models->lifts),
                  cut ? Rounding::down : Rounding::nearest);
}

std::optional<Move> exchange_for(const Morning& m, const LiftFacts& f, const Prescription& plan,
                                 const std::vector<Bound>& bounds) {
  if (plan.kind != DayKind::heavy) return std::nullopt;
  bool worth_moving = false;
  bool tired = false;
  for (const Bound& b : bounds) {
    if (b.shown.held) continue;
    if (b.moves_heavy == Moves::no) return std::nullopt;
    worth_moving = worth_moving || b.moves_heavy != Moves::beside_another;
    tired = tired || b.moves_heavy != Moves::tomorrow;
  }
  const int recovered = days_apart_written(m);  // whoever is tired today is not fresh tomorrow
  return worth_moving ? find_place(m, f.lift, tired ? recovered : 1) : std::nullopt;
}

}  // namespace steelyard::decide
