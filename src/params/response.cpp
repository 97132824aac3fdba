#include <fmt/core.h>

#include "params/bind.hpp"

namespace steelyard::params {
namespace {

/// Keys of [effects], in the order of Cause.
constexpr std::array<std::string_view, k_causes> k_cause_keys{"level",     "fitness",     "tiredness", "sleep",
                                                              "fatigue",   "stress",      "soreness",  "mood",
                                                              "bar_speed", "set_percent", "set_reps"};
constexpr double k_least_kept = 0.5;

/// "key = [mean, SD, share kept a day]", without the mean where `mean` is null.
void effect(Section& s, std::string_view key, double* mean, double& sd, double& kept) {
  std::vector<double> values;
  s.numbers(key, values, -50, 50);
  if (s.failed()) return;
  const std::size_t expected = mean == nullptr ? 2 : 3;
  if (values.size() != expected) {
    s.reject(key, fmt::format("has {} numbers; allowed: {}SD and share kept a day", values.size(),
                              mean == nullptr ? "" : "mean, "));
    return;
  }
  if (mean != nullptr) *mean = values.front();
  sd = values[expected - 2];
  kept = values[expected - 1];
  if (!(sd > 0)) s.reject(key, "has no SD above 0; allowed: a positive SD");
  if (!(kept >= k_least_kept && kept <= 1)) {
    s.reject(key, fmt::format("keeps a share of {} a day; allowed: {} to 1", kept, k_least_kept));
  }
}

void time_constants(Section& s, std::string_view key, std::vector<double>& out) {
  constexpr std::size_t k_most = 12;
  s.numbers(key, out, 0.2, 200);
  if (!s.failed() && out.size() > k_most) {
    s.reject(key, fmt::format("has {} time constants; allowed: at most {}", out.size(), k_most));
  }
}

void bind_strength(Section s, ResponseModel& m) {
  s.source(m.source);
  time_constants(s, "tau_fitness", m.tau_fitness);
  time_constants(s, "tau_tiredness", m.tau_tiredness);
  s.number("noise_sd", m.noise_sd, 0.1, 20);
  s.number("noise_weight", m.noise_weight, 3, 100);
  s.number("noise_discount", m.noise_discount, k_least_kept, 1);
  s.number("weight_memory", m.weight_memory, k_least_kept, 1);
  s.number("least_weight", m.least_weight, 0, 0.05);
  s.number("spread_gain", m.spread_gain, 0, 0.5);
  s.number("most_spread", m.most_spread, 0, 2);
  s.done();
  if (!s.failed() && m.tau_fitness.size() * m.tau_tiredness.size() > 12) {
    s.reject_one_of({"tau_fitness", "tau_tiredness"},
                    "makes more than 12 pairs; allowed: at most 12 pairs of constants");
  }
}

void bind_items(Section s, ItemModel& m) {
  s.source(m.source);
  time_constants(s, "tau", m.tau);
  effect(s, "level", m.mean.data(), m.sd[0], m.discount[0]);
  effect(s, "load", nullptr, m.sd[1], m.discount[1]);
  effect(s, "last", &m.mean[2], m.sd[2], m.discount[2]);
  effect(s, "long_run", &m.mean[3], m.sd[3], m.discount[3]);
  s.number("noise_sd", m.noise_sd, 0.1, 5);
  s.number("noise_weight", m.noise_weight, 3, 100);
  s.number("noise_discount", m.noise_discount, k_least_kept, 1);
  s.number("least_noise_sd", m.least_noise_sd, 0.01, 2);
  s.number("weight_memory", m.weight_memory, k_least_kept, 1);
  s.number("least_weight", m.least_weight, 0, 0.05);
  s.number("spread_gain", m.spread_gain, 0, 0.5);
  s.number("most_spread", m.most_spread, 0, 2);
  s.number("wider", m.wider, 1, 2);
  s.done();
}

void bind_evidence(Section s, EvidenceModel& m) {
  s.source(m.source);
  s.integer("sessions_to_expect", m.sessions_to_expect, 3, 100);
  s.integer("sessions_to_say", m.sessions_to_say, 5, 200);
  s.integer("nights_to_say", m.nights_to_say, 10, 400);
  s.number("tight", m.tight, 0.05, 5);
  s.integer("forecasts_to_compare", m.forecasts_to_compare, 10, 400);
  s.number("comparison_memory", m.comparison_memory, 0.5, 1);
  s.number("worse_by_se", m.worse_by_se, 0, 5);
  s.integer("squad_lifters", m.squad_lifters, 3, 100);
  s.integer("squad_sessions", m.squad_sessions, 5, 400);
  s.done();
}

}  // namespace

void bind(Section& top, LearnModel& out) {
  bind_strength(top.table("strength"), out.strength);

  auto effects = top.table("effects");
  std::string source;
  effects.source(source);
  out.strength.source += "; effects: " + source;
  for (std::size_t i = 0; i < k_causes; ++i) {
    effect(effects, k_cause_keys[i], &out.strength.mean[i], out.strength.sd[i], out.strength.discount[i]);
  }
  effects.done();

  bind_items(top.table("items"), out.items);
  auto load = top.table("load_effect");
  load.source(source);
  out.items.source += "; load effect: " + source;
  for (std::size_t i = 0; i < k_item_words.size(); ++i) {
    load.number(k_item_words[i], out.items.load_effect[i], -5, 5);
  }
  load.done();

  bind_evidence(top.table("evidence"), out.evidence);
}

}  // namespace steelyard::params
