#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "params/bind.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"

namespace steelyard::params {
namespace {

using namespace std::string_view_literals;

void bind_lift(Section& s, LiftModel& m) {
  const auto regions = sore_regions();
  s.text("lift", m.lift);
  s.text("say", m.say);
  s.list("movers", m.movers, regions);
  if (s.has("aliases")) s.list("aliases", m.aliases);
  if (s.has("support")) s.list("support", m.support, regions);
  if (s.has("joints")) s.list("joints", m.joints, regions);
  if (s.has("spacing_group")) s.text("spacing_group", m.spacing_group);
  if (s.has("main")) s.flag("main", m.main);
  if (s.has("lower_body")) s.flag("lower_body", m.lower_body);
  if (s.has("variant_of")) s.text("variant_of", m.variant_of);
  if (s.has("variant_share")) s.number("variant_share", m.variant_share, 0.2, 1.5);
  if (s.has("warmup")) s.list("warmup", m.warmup);
  s.done();
}

/// Names and aliases must tell lifts apart; parents must exist and have none themselves, so that one step leads up.
void check_lifts(std::vector<Section>& entries, const std::vector<LiftModel>& lifts) {
  std::map<std::string, std::string> names;
  for (const auto& lift : lifts) names.emplace(lift.lift, lift.lift);
  for (std::size_t i = 0; i < lifts.size(); ++i) {
    const auto& lift = lifts[i];
    if (lift_code(lift.lift) != lift.lift) {
      entries[i].reject("lift", fmt::format("is '{}'; allowed: lower-case letters, digits and '-'", lift.lift));
    }
    if (lift.movers.empty()) entries[i].reject("movers", "is empty; allowed: at least one region");
    if (!lift.variant_of.empty()) {
      const auto parent = std::find_if(lifts.begin(), lifts.end(),
                                       [&](const LiftModel& other) { return other.lift == lift.variant_of; });
      if (parent == lifts.end() || !parent->variant_of.empty()) {
        entries[i].reject("variant_of", fmt::format("is '{}'; allowed: another lift of this file that is no variant "
                                                    "itself",
                                                    lift.variant_of));
      }
    }
    for (const auto& alias : lift.aliases) {
      if (lift_code(alias) != alias) {
        entries[i].reject("aliases", fmt::format("has '{}'; allowed: lower-case letters, digits and '-'", alias));
      }
      const auto [at, fresh] = names.emplace(alias, lift.lift);
      if (!fresh) {
        entries[i].reject("aliases",
                          fmt::format("has '{}', which already means {}; allowed: each name once", alias, at->second));
      }
    }
  }
}

void expect_heaviest_first(Section& s, std::string_view key, const std::vector<double>& plates) {
  if (!std::is_sorted(plates.begin(), plates.end(), std::greater<>())) {
    s.reject(key, "is out of order; allowed: the heaviest first");
  }
}

void bind_gear(Section s, LiftsModel& out) {
  auto& m = out.gear;
  s.source(m.source);
  s.number("bar_kg", m.bar_kg, 1, 50);
  s.numbers("plates_kg", m.plates_kg, 0.1, 50);
  s.numbers("warmup_percent", m.warmup_percent, 10, 95);
  s.numbers("warmup_reps", m.warmup_reps, 1, 20);
  s.number("least_gap", m.least_gap, 0, 30);
  s.number("bar_reps", m.bar_reps, 0, 30);
  s.done();
  if (s.failed()) return;
  expect_heaviest_first(s, "plates_kg", m.plates_kg);
  if (!std::is_sorted(m.warmup_percent.begin(), m.warmup_percent.end())) {
    s.reject("warmup_percent", "does not ascend; allowed: the lightest first");
  }
  if (m.warmup_percent.size() != m.warmup_reps.size()) {
    s.reject_one_of({"warmup_reps", "warmup_percent"},
                    "does not fit; allowed: as many numbers in warmup_reps as in warmup_percent");
  }
}

void bind_gear_lb(Section s, LiftsModel& out) {
  auto& m = out.gear_lb;
  s.source(m.source);
  s.number("bar_lb", m.bar_lb, 2, 110);
  s.numbers("plates_lb", m.plates_lb, 0.2, 110);
  s.done();
  if (s.failed()) return;
  expect_heaviest_first(s, "plates_lb", m.plates_lb);
}

/// What is filled into a sentence of cautions.toml.
std::span<const std::string_view> blanks_of(std::string_view text) {
  static constexpr std::array pain{"pain"sv, "lift"sv};
  static constexpr std::array urgent{"pain"sv, "emergency"sv};
  static constexpr std::array days{"days"sv};
  static constexpr std::array emergency{"emergency"sv};
  static constexpr std::array athlete{"athlete"sv};
  static constexpr std::array open{"what"sv, "date"sv};
  static constexpr std::array words{"words"sv};
  if (text == "pain-head" || text == "pain-abdomen") return urgent;
  if (text.starts_with("pain-")) return pain;
  if (text == "illness-return" || text == "long-layoff") return days;
  if (text == "distress") return emergency;
  if (text == "distress-coach") return athlete;
  if (text == "still-open") return open;
  if (text == "negated") return words;
  return {};
}

/// Phrases are searched in notes that were turned into lower case.
void check_phrases(Section& s, std::string_view key, const std::vector<std::string>& phrases) {
  for (const auto& phrase : phrases) {
    if (to_lower(phrase) != phrase) s.reject(key, fmt::format("has '{}'; allowed: lower-case phrases", phrase));
  }
}

void bind_sign(Section& s, SignModel& m) {
  constexpr std::array urgencies{"now"sv, "today"sv, "soon"sv, "watch"sv};
  constexpr std::array blanks{"emergency"sv};
  s.text("id", m.id);
  s.source(m.source);
  s.word_of("urgency", m.urgency, urgencies);
  s.text("what", m.what);
  s.text("say", m.say);
  if (s.has("symptoms")) s.list("symptoms", m.symptoms, symptom_codes());
  if (s.has("together")) s.list("together", m.together, symptom_codes());
  if (s.has("words")) s.list("words", m.words);
  if (s.has("rest_only")) s.flag("rest_only", m.rest_only);
  if (s.has("regions")) s.list("regions", m.regions, sore_regions());
  s.done();
  if (s.failed()) return;
  if (m.symptoms.empty() && m.words.empty()) s.reject("id", "has neither symptoms nor words; allowed: at least one");
  check_phrases(s, "words", m.words);
  s.check_blanks("say", m.say, blanks);
}

}  // namespace

void bind(Section& top, LiftsModel& out) {
  top.source(out.source);
  auto entries = top.named_entries("lift", "lift");
  out.lifts.clear();
  for (Section& entry : entries) bind_lift(entry, out.lifts.emplace_back());

  bind_gear(top.table("gear"), out);
  bind_gear_lb(top.table("gear_lb"), out);

  auto weight = top.table("weight");
  weight.source(out.weight.source);
  weight.number("mover", out.weight.mover, 0.1, 10);
  weight.number("support", out.weight.support, 0, 10);
  weight.done();

  auto mobility = top.table("mobility");
  for (const auto region : sore_regions()) mobility.text(region, out.mobility[std::string(region)]);
  std::string unused;
  mobility.source(unused);
  mobility.done();
  if (!top.failed()) check_lifts(entries, out.lifts);
}

void bind(Section& top, CautionsModel& out) {
  top.source(out.source);
  top.text("emergency_number", out.emergency_number);
  top.list("negations", out.negations);
  top.list("distress_words", out.distress_words);
  top.list("harmless", out.harmless);
  out.signs.clear();
  for (Section& entry : top.named_entries("sign", "id")) bind_sign(entry, out.signs.emplace_back());

  auto texts = top.table("texts");
  std::string unused;
  texts.source(unused);
  for (const auto name : k_caution_texts) {
    auto& text = out.texts[std::string(name)];
    texts.text(name, text);
    texts.check_blanks(name, text, blanks_of(name));
  }
  texts.done();
  if (top.failed()) return;
  check_phrases(top, "negations", out.negations);
  check_phrases(top, "distress_words", out.distress_words);
  check_phrases(top, "harmless", out.harmless);
}

}  // namespace steelyard::params
