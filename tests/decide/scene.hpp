#pragma once
/// What a call of one lift is chosen from, for tests that look at every candidate and not at the chosen one alone.

#include <memory>
#include <tuple>

#include "decide/bounds.hpp"
#include "decide/candidates.hpp"
#include "params/shipped_models.hpp"
#include "steelyard/decide/call.hpp"

namespace steelyard::decide {

struct LiftScene {
  const LiftFacts* lift = nullptr;
  Prescription plan;
  std::vector<Signal> signals;
  std::vector<Bound> bounds;
  std::vector<Candidate> all;
  bool closed = false;  ///< a stop, or a caution that leaves this lift out
};

/// The log must outlive it.
struct Scene {
  explicit Scene(const AthleteLog& log, Day today, const Models& models = testing::shipped_models())
      : morning(std::make_unique<Morning>(look_at(log, today, models))), signs(signs_of(*morning)) {
    for (const LiftFacts& f : morning->lifts) {
      LiftScene s{.lift = &f, .plan = planned_work(f.plan, *morning)};
      s.closed = signs.stop || signs.closes(f.lift) != nullptr;
      s.signals = signals_of(*morning, f);
      s.bounds = bounds_of(*morning, signs, f, s.signals);
      s.all = candidates(*morning, f, s.plan, exchange_for(*morning, f, s.plan, s.bounds));
      lifts.push_back(std::move(s));
    }
  }

  std::unique_ptr<Morning> morning;
  Signs signs;
  std::vector<LiftScene> lifts;
};

inline auto key(const Prescription& p) {
  return std::tuple(p.kind, p.sets, p.reps, p.percent);
}

/// By the numbers of a bound alone: rest is always allowed to a bound that is no wish for heavy work and allows rest.
inline bool within(const Bound& b, const Prescription& w) {
  const bool kind = ((b.kinds >> static_cast<unsigned>(w.kind)) & 1U) != 0;
  if (w.kind == DayKind::rest) return kind;
  const bool reps_free = ((b.reps_free >> static_cast<unsigned>(w.kind)) & 1U) != 0;
  const bool percent = w.percent <= 0 || w.percent <= b.most_percent + 1e-9;  // an accessory has none
  return kind && percent && w.sets <= b.most_sets && (reps_free || w.sets * w.reps <= b.most_reps + 1e-9);
}

/// Every restriction holds; a wish for heavy work is none.
inline bool admissible(const std::vector<Bound>& bounds, const Prescription& work) {
  return std::all_of(bounds.begin(), bounds.end(), [&](const Bound& b) { return within(b, work); });
}

inline bool wishes_hold(const std::vector<Bound>& bounds, const Prescription& work) {
  return std::all_of(bounds.begin(), bounds.end(),
                     [&](const Bound& b) { return !b.asks_for_heavy || work.kind == DayKind::heavy; });
}

}  // namespace steelyard::decide
