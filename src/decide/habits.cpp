#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "expected.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/cells.hpp"
#include "steelyard/load/bar_work.hpp"
#include "steelyard/series/training_max.hpp"
#include "words.hpp"

namespace steelyard::decide {
namespace {

/// Estimates from heavy sets need the rep-max curve least, and once a week is enough.
bool first_heavy_day_of_the_week(const Morning& m, const LiftFacts& f) {
  const Day monday = m.today - Days{weekday_index(m.today)};
  return f.plan.kind == DayKind::heavy && std::none_of(m.log->plan.begin(), m.log->plan.end(), [&](const PlanRow& row) {
           return row.lift == f.lift && row.date >= monday && row.date < m.today && row.kind == DayKind::heavy;
         });
}

/// Both figures and what they make of the percentages; nothing while the written one lies inside what is common.
std::string about_training_max(const Morning& m, const LiftFacts& f) {
  const auto expected = expected_strength(m, f);
  const int sessions = m.models->limits.margin.least_sessions;
  if (!expected || !expected->learned || expected->sessions < sessions || !f.training_max_kg) return {};
  const auto& usual = m.models->strength.training_max;
  const bool low = 100 / expected->low80 * 100 < usual.low;
  const bool high = 100 / expected->high80 * 100 > usual.high;
  if (!(low || high) || !first_heavy_day_of_the_week(m, f)) return {};
  const auto kg = [&](double percent) { return std::round(percent / 100 * *f.training_max_kg); };
  const auto weight = [&](double value) { return spoken_weight(value, m.spoken); };
  return fmt::format(
      "Your sessions of {} show about {} for a single ({} to {}); the written training max is {}, {} % of that. {}",
      spoken_plural(m, f.lift), weight(kg(expected->percent)), weight(kg(expected->low80)),
      weight(kg(expected->high80)), weight(*f.training_max_kg), std::lround(10000 / expected->percent),
      low ? "Percentages are easier than they look: a set of three to five would find a new one."
          : "Percentages are harder than they look: a lower one, or a set of three to five, would set them right.");
}

/// Repetitions that were done of what was planned: 1 = all.   none: not entered, or without weights
std::optional<double> share_done(const Morning& m, const Decision& decision) {
  double planned = 0;
  for (const PlanRow& row : m.log->plan) {
    if (row.date == decision.date && row.lift == decision.lift) {
      const Prescription work = planned_work(row, m);
      planned += work.sets * work.reps * work.percent;
    }
  }
  double done = 0;
  bool entered = false;
  for (const SetRow& set : m.log->sets) {
    if (set.date != decision.date || set.lift != decision.lift) continue;
    const auto percent = series::percent_of(*m.log, set, m.models->lifts);
    if (!percent) return std::nullopt;
    done += load::reps_done(set) * *percent;
    entered = true;
  }
  if (!(planned > 0) || !entered) return std::nullopt;
  return done / planned;
}

/// Overrides of a lift that keep going one way.
std::string about_overrides(const Morning& m, const LiftFacts& f) {
  const auto& limit = m.models->limits.overrides;
  int all = 0;
  int more = 0;
  for (const Decision& d : m.log->decisions) {
    if (d.follows || d.lift != f.lift || d.date >= m.today || d.date < m.today - Days{limit.days}) continue;
    const auto share = share_done(m, d);
    if (!share) continue;
    const bool in_full = *share >= limit.done_share;
    if (in_full && d.called == action_code(Action::run_as_planned)) continue;  // as called, only otherwise
    ++all;
    if (in_full) ++more;
  }
  if (all < limit.least) return {};
  if (more >= limit.share * all) {
    return fmt::format(
        "{} of your last {} overrides of {} did the plan in full. If that went well, the limits are tight for you: "
        "[agreement] and [soreness] in limits.toml are yours to change in a folder of your own (--models). Nothing is "
        "changed by itself.",
        more, all, spoken_plural(m, f.lift));
  }
  if (all - more >= limit.share * all) {
    return fmt::format(
        "{} of your last {} overrides of {} did less than the plan. If that is what you need, the plan is heavy for "
        "you: a lower training max, or [agreement] and [signals] in limits.toml, are yours to change in a folder of "
        "your own (--models). Nothing is changed by itself.",
        all - more, all, spoken_plural(m, f.lift));
  }
  return {};
}

}  // namespace

std::vector<std::string> about_habits(const Morning& m) {
  std::vector<std::string> out;
  for (const LiftFacts& f : m.lifts) {
    for (std::string text : {about_training_max(m, f), about_overrides(m, f)}) {
      if (!text.empty()) out.push_back(std::move(text));
    }
  }
  return out;
}

}  // namespace steelyard::decide
