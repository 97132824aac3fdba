#include "params/bind.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>

#include "steelyard/domain/vocabulary.hpp"

namespace steelyard::params {
namespace {

using namespace std::string_view_literals;

constexpr std::array k_sd{"sample"sv, "population"sv};
constexpr std::array k_start{"mean-of-first-28"sv, "first-load"sv};
/// Kinds of barbell work, in the order of DayKind.
constexpr std::array k_work_kinds{"heavy"sv, "volume"sv, "speed"sv, "light"sv};

/// The first list must ascend and the second be as long.
void check_curve(Section& s, std::string_view x_key, const std::vector<double>& x, std::string_view y_key,
                 const std::vector<double>& y) {
  if (s.failed()) return;
  if (std::adjacent_find(x.begin(), x.end(), std::greater_equal<>()) != x.end()) {
    s.reject(x_key, "does not ascend; allowed: each number larger than the one before");
  }
  if (x.size() != y.size()) {
    s.reject_one_of({y_key, x_key}, fmt::format("does not fit; allowed: as many numbers in {} as in {}", y_key, x_key));
  }
}

void bind_series(Section s, LoadModel& out) {
  auto& m = out.series;
  s.source(m.source);
  s.integer("rest_gap_days", m.rest_gap_days, 0, 14);
  s.integer("usual_weeks", m.usual_weeks, 2, 26);
  s.integer("percentile_weeks", m.percentile_weeks, 8, 104);
  s.number("minutes_per_set", m.minutes_per_set, 1, 15);
  s.number("rpe_unknown", m.rpe_unknown, 1, 10);
  s.done();
}

void bind_kind(Section s, KindModel& m) {
  s.source(m.source);
  s.range("sets", m.sets, 1, 20);
  s.range("reps", m.reps, 1, 30);
  s.range("percent", m.percent, 20, 110);
  s.integer("usual_sets", m.usual_sets, 1, 20);
  s.integer("usual_reps", m.usual_reps, 1, 30);
  s.number("usual_percent", m.usual_percent, 20, 110);
  s.number("target_rpe", m.target_rpe, 1, 10);
  s.number("rpe_cap", m.rpe_cap, 1, 10);
  s.number("minutes_per_set", m.minutes_per_set, 0.5, 15);
  s.done();
  if (s.failed()) return;
  if (m.rpe_cap < m.target_rpe)
    s.reject_one_of({"rpe_cap", "target_rpe"}, "does not fit; allowed: rpe_cap not below target_rpe");
  if (!m.sets.has(m.usual_sets))
    s.reject_one_of({"usual_sets", "sets"}, "does not fit; allowed: usual_sets inside sets");
  if (!m.reps.has(m.usual_reps))
    s.reject_one_of({"usual_reps", "reps"}, "does not fit; allowed: usual_reps inside reps");
  if (!m.percent.has(m.usual_percent))
    s.reject_one_of({"usual_percent", "percent"}, "does not fit; allowed: usual_percent inside percent");
}

void bind_order(Section& s, std::string_view key, std::size_t most, std::vector<DayKind>& out) {
  std::vector<std::string> words;
  s.list(key, words, k_work_kinds);
  if (s.failed()) return;
  if (words.empty() || words.size() > most) {
    s.reject(key, "has " + std::to_string(words.size()) + " kinds; allowed: 1 to " + std::to_string(most));
    return;
  }
  out.clear();
  for (const auto& w : words) out.push_back(*from_word<DayKind>(w));
}

}  // namespace

void bind(Section& top, LoadModel& out) {
  auto monotony = top.table("monotony");
  monotony.source(out.monotony.source);
  monotony.word_of("sd", out.monotony.sd, k_sd);
  monotony.number("alike", out.monotony.alike, 1, 10);
  monotony.done();

  auto ewma = top.table("ewma");
  ewma.source(out.ewma.source);
  ewma.word_of("start", out.ewma.start, k_start);
  ewma.integer("acute_days", out.ewma.acute_days, 2, 14);
  ewma.integer("chronic_days", out.ewma.chronic_days, 15, 84);
  ewma.done();

  auto ratio = top.table("ratio");
  ratio.source(out.ratio.source);
  ratio.number("band_high", out.ratio.band_high, 1, 4);
  ratio.number("band_low", out.ratio.band_low, 0, 1);
  ratio.integer("known_days_needed", out.ratio.known_days_needed, 14, 28);
  ratio.done();

  bind_series(top.table("series"), out);

  auto hard = top.table("hard_set");
  hard.source(out.hard_set.source);
  hard.number("rpe", out.hard_set.rpe, 5, 10);
  hard.number("percent", out.hard_set.percent, 50, 100);
  hard.done();

  auto effort = top.table("effort");
  effort.source(out.effort.source);
  effort.numbers("rpe", out.effort.rpe, 1, 10);
  effort.numbers("factor", out.effort.factor, 0, 5);
  effort.done();
  check_curve(effort, "rpe", out.effort.rpe, "factor", out.effort.factor);
}

void bind(Section& top, StrengthModel& out) {
  auto rep_max = top.table("rep_max");
  rep_max.source(out.rep_max.source);
  rep_max.word_of("curve", out.rep_max.curve, k_rep_max_curves);
  rep_max.number("most_reps", out.rep_max.most_reps, 5, 20);
  rep_max.number("least_rpe", out.rep_max.least_rpe, 5, 10);
  rep_max.done();

  auto handbook = top.table("handbook");
  handbook.source(out.handbook.source);
  handbook.numbers("reps", out.handbook.reps, 1, 30);
  handbook.numbers("percent", out.handbook.percent, 30, 100);
  handbook.done();
  check_curve(handbook, "reps", out.handbook.reps, "percent", out.handbook.percent);
  const auto& p = out.handbook.percent;
  if (!handbook.failed() && std::adjacent_find(p.begin(), p.end(), std::less_equal<>()) != p.end()) {
    handbook.reject("percent", "does not descend; allowed: each number smaller than the one before");
  }

  auto error = top.table("error");
  error.source(out.error.source);
  error.number("s0", out.error.s0, 0.5, 10);
  error.number("s1", out.error.s1, 0, 5);
  error.number("s2", out.error.s2, 0, 5);
  error.done();

  auto recent = top.table("recent");
  recent.source(out.recent.source);
  recent.integer("sessions", out.recent.sessions, 1, 50);
  recent.integer("least_sessions", out.recent.least_sessions, 2, 50);
  recent.integer("weeks", out.recent.weeks, 1, 52);
  recent.number("least_sd", out.recent.least_sd, 0.1, 10);
  recent.done();

  auto training_max = top.table("training_max");
  training_max.source(out.training_max.source);
  training_max.number("low", out.training_max.low, 50, 100);
  training_max.number("high", out.training_max.high, 80, 120);
  training_max.done();
}

void bind(Section& top, DayKindsModel& out) {
  for (const auto kind : k_work_kinds) bind_kind(top.table(kind), out.kinds[*from_word<DayKind>(kind)]);

  auto meet = top.table("before_meet");
  meet.source(out.before_meet.source);
  meet.range("percent", out.before_meet.percent, 50, 110);
  meet.integer("weeks", out.before_meet.weeks, 1, 16);
  meet.done();

  auto rotation = top.table("rotation");
  rotation.source(out.rotation.source);
  bind_order(rotation, "three", 7, out.rotation.three);
  bind_order(rotation, "two", 2, out.rotation.two);
  bind_order(rotation, "one", 1, out.rotation.one);
  rotation.done();

  auto accessory = top.table("accessory");
  accessory.source(out.accessory.source);
  accessory.range("sets", out.accessory.sets, 1, 10);
  accessory.range("reps", out.accessory.reps, 1, 50);
  accessory.number("rpe", out.accessory.rpe, 5, 10);
  accessory.done();

  auto block = top.table("block");
  block.source(out.block.source);
  block.integer("weeks", out.block.weeks, 2, 12);
  auto step = block.table("percent_step");
  step.number("heavy", out.block.percent_step[DayKind::heavy], 0, 10);
  step.number("volume", out.block.percent_step[DayKind::volume], 0, 10);
  step.number("speed", out.block.percent_step[DayKind::speed], 0, 10);
  step.done();
  block.integer("easy_week", out.block.easy_week, 0, 12);
  block.number("easy_sets_share", out.block.easy_sets_share, 0.1, 1);
  block.number("easy_percent_change", out.block.easy_percent_change, -30, 0);
  block.done();
  if (!block.failed() && out.block.easy_week > out.block.weeks) {
    block.reject_one_of({"easy_week", "weeks"}, "does not fit; allowed: easy_week 0 (none) to weeks");
  }
}

}  // namespace steelyard::params
