#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "report/today_parts.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "steelyard/report/text.hpp"
#include "steelyard/report/write.hpp"

namespace steelyard::report {
namespace {

bool is_said(const std::vector<std::string>& sentences, const std::string& sentence) {
  return std::any_of(sentences.begin(), sentences.end(),
                     [&](const std::string& s) { return s.find(sentence) != std::string::npos; });
}

/// The sentence that names the call, and what else is said in the same breath.
std::pair<std::string_view, std::string_view> first_sentence(std::string_view text) {
  for (std::size_t at = 0; (at = text.find(". ", at)) != std::string_view::npos; ++at) {
    if (at + 2 < text.size() && text[at + 2] >= 'A' && text[at + 2] <= 'Z') {
      return {text.substr(0, at + 1), text.substr(at + 2)};
    }
  }
  return {text, {}};
}

/// The most urgent stops and the two ways out of them; an emergency is not mixed with anything less. What else is said
/// about a stop (a minor's guardian, whose word comes first) follows; questions and lesser cautions wait.
void write_stop(Sheet& page, const DayCall& call) {
  const auto most =
      std::min_element(call.cautions.begin(), call.cautions.end(), [](const Caution& a, const Caution& b) {
        return a.urgency < b.urgency;
      })->urgency;
  std::vector<std::string> shown;
  std::vector<std::string> waits;
  for (const Question& question : call.questions) waits.push_back(question.say);
  for (const Caution& caution : call.cautions) {
    if (caution.urgency == most) page.text(caution.say, Weight::bold);
    (caution.urgency == most ? shown : waits).push_back(caution.say);
  }
  for (const std::string& sentence : call.say) {
    if (!is_said(shown, sentence) && !is_said(waits, sentence)) page.text(sentence);
  }
  for (const Caution& caution : call.cautions) {
    if (caution.urgency == most) page.way_out(caution, call.athlete);
  }
}

void write_cautions(Sheet& page, const DayCall& call) {
  for (const Caution& caution : call.cautions) {
    if (!is_said(call.say, caution.say)) page.bullet(caution.say);
  }
}

void write_standing_cautions(Sheet& page, const DayCall& call) {
  for (const Caution& caution : call.cautions) {
    if (caution.urgency != Urgency::soon) continue;
    std::vector<std::string> lifts;
    for (const auto& lift : caution.lifts) lifts.push_back(spoken_lift(lift));
    page.labelled("caution",
                  fmt::format("{} ({}), open since {}{}", caution.id, urgency_word(caution.urgency),
                              short_day(caution.since), lifts.empty() ? "" : "; leaves out " + join_words(lifts)));
  }
}

std::string action_words(const std::vector<Action>& actions) {
  std::vector<std::string> words;
  for (const Action action : actions) words.emplace_back(action_phrase(action));
  return join_words(words);
}

std::string call_line(const LiftCall& lift, const Look& look) {
  std::string text = prescription_text(lift.call, look);
  if (lift.call.sets > 0 && lift.weight_kg) {
    text += unbroken(" = ") + weight_text(*lift.weight_kg, look);
    text +=
        fmt::format(", {}{}", lift.plates_per_side.empty() ? "" : "per side ", plates_text(lift.plates_per_side, look));
  } else if (lift.call.sets > 0) {
    text += "; no training max is known, so no weight";
  }
  return text;
}

/// Weights and repetitions stand in columns; the plates follow.
void write_warmup(Sheet& page, const LiftCall& lift, const Look& look) {
  std::string_view label = "warm-up";
  for (const WarmupSet& set : lift.warmup) {
    const std::string work = fmt::format("{:>8} {} {:<2}", weight_text(set.weight_kg, look), times(look), set.reps);
    page.labelled(label, fmt::format("{} {}{}", unbroken(work), set.plates_per_side.empty() ? "" : "per side ",
                                     plates_text(set.plates_per_side, look)));
    label = "";
  }
}

void write_limits(Sheet& page, const LiftCall& lift) {
  std::size_t held = 0;
  std::string_view label = "why";
  for (const LimitResult& limit : lift.limits) {
    if (limit.held) {
      ++held;
      continue;
    }
    // Chances and percentages are not known to a tenth.
    page.labelled(label, limit_line(limit, spoken_lift(limit.id), limit.unit == "%" ? 0 : 2));
    label = "";
  }
  if (held == 0) return;
  const bool all = held == lift.limits.size();
  page.labelled(label, fmt::format("{}{} hold{}", all ? "" : "the other ", counted(held, "limit", "limits"),
                                   held == 1 ? "s" : ""));
}

/// The figure is reckoned for the work as it was planned, which the call has changed.
bool judged_by_plan(const LiftCall& lift) {
  return lift.planned && (lift.planned->percent != lift.call.percent || lift.planned->reps != lift.call.reps);
}

void write_expected(Sheet& page, const LiftCall& lift) {
  if (!lift.expected) return;
  const ExpectedStrength& e = *lift.expected;
  page.labelled(
      "expected",
      fmt::format("{} % of the training max{}, {} on four of five such days; from {}{}", whole_text(e.percent),
                  judged_by_plan(lift) ? " for the planned work" : "", range_text(e.low80, e.high80),
                  counted(static_cast<std::size_t>(std::max(e.sessions, 0)), "session", "sessions"),
                  e.learned ? "" : ", no response learned yet"));
  std::vector<std::string> shares;
  for (const Share& share : e.shares) {
    if (std::fabs(share.percent) >= 0.05)
      shares.push_back(unbroken(fmt::format("{:+.1f} ", share.percent)) + share.from);
  }
  if (!shares.empty()) {
    std::string text = shares[0];
    for (std::size_t i = 1; i < shares.size(); ++i) text += ", " + shares[i];
    page.labelled("of that", text);
  }
}

void write_level(Sheet& page, const LiftCall& lift, std::span<const KindBand> bands) {
  if (!lift.expected) return;
  const ExpectedStrength& e = *lift.expected;
  Level level{.plan = {},
              .call = {},
              .expected = e.percent,
              .low80 = e.low80,
              .high80 = e.high80,
              .training_max_kg = lift.training_max_kg,
              .bands = {}};
  if (lift.planned && lift.planned->percent > 0) level.plan = lift.planned->percent;
  if (lift.call.sets > 0) level.call = lift.call.percent;
  level.bands.assign(bands.begin(), bands.end());
  page.level(level);
}

void write_move(Sheet& page, const Move& move) {
  std::string text = fmt::format("{} goes to {}", word(move.kind), long_day(move.to_date));
  if (move.displaced) {
    text += fmt::format("; the {} day there {}", word(move.displaced->kind),
                        move.displaced->to_date ? "goes to " + long_day(*move.displaced->to_date) : "drops out");
  }
  page.labelled("move", text);
}

void write_lift(Sheet& page, const LiftCall& lift, const Look& look, std::span<const KindBand> bands) {
  page.blank();
  page.heading(capitalized(spoken_lift(lift.lift)) + ": " + action_words(lift.actions));
  page.labelled("planned", lift.planned ? prescription_text(*lift.planned, look) : "nothing");
  page.labelled("today", call_line(lift, look));
  if (lift.rpe_cap && lift.call.sets > 0)
    page.labelled("cap", "RPE " + format_number(*lift.rpe_cap, 1) + " in every set");
  if (lift.move) write_move(page, *lift.move);
  std::string_view before = "before it";
  for (const std::string& step : lift.prepare) {
    page.labelled(before, step);
    before = "";
  }
  write_warmup(page, lift, look);
  if (!lift.at_the_bar.empty()) page.labelled("at the bar", lift.at_the_bar);
  page.fold("Why, and what is expected");
  write_limits(page, lift);
  if (!lift.limits.empty()) page.labelled("confidence", confidence_word(lift.confidence));
  write_expected(page, lift);
  page.unfold();
  write_level(page, lift, bands);
}

void write_foot(Sheet& page, const DayCall& call) {
  page.blank();
  write_standing_cautions(page, call);
  if (!call.questions.empty()) {
    page.labelled("questions", fmt::format("{} held aside until answered{}",
                                           counted(call.questions.size(), "entry is", "entries are"),
                                           page.takes_commands() ? ": steelyard questions" : ""));
  }
  page.labelled("known", coverage_text(call.coverage));
  page.text(fmt::format("{}, {}.{}", call.athlete, long_day(call.date),
                        page.takes_commands() ? " Every figure: steelyard why" : ""),
            Weight::dim);
}

}  // namespace

std::string_view action_phrase(Action action) {
  switch (action) {
    case Action::run_as_planned:
      return "as planned";
    case Action::trim_sets:
      return "fewer sets";
    case Action::trim_intensity:
      return "less weight";
    case Action::swap_to_heavy:
      return "heavy instead";
    case Action::swap_to_volume:
      return "volume instead";
    case Action::swap_to_speed:
      return "speed instead";
    case Action::light_technique:
      return "light technique";
    case Action::rest:
      return "rest";
    case Action::stop_refer:
      return "stop";
  }
  return "";
}

std::string limit_line(const LimitResult& limit, std::string_view name, int decimals) {
  const auto figure = [&](double x) {
    const std::string number = format_number(x, decimals);
    std::string unit = limit.unit;
    for (const std::string_view plural : {"signals", "days"}) {
      if (x == 1 && unit.starts_with(plural)) unit.erase(plural.size() - 1, 1);
    }
    return unbroken(unit.empty() ? number : number + " " + unit);
  };
  std::string text(name);
  if (limit.measured) text += ": measured " + figure(*limit.measured);
  if (limit.limit) text += fmt::format("{} limit {}", limit.measured ? "," : ":", figure(*limit.limit));
  if (!limit.would_hold_if.empty()) text += "; " + limit.would_hold_if;
  return text;
}

std::string coverage_text(const Coverage& coverage) {
  std::string text = fmt::format(
      "{} of the last 28 days, {}", coverage.days_of_28,
      counted(static_cast<std::size_t>(std::max(coverage.checks_of_28, 0)), "morning check", "morning checks"));
  if (coverage.days_since_entry && *coverage.days_since_entry > 1) {
    text += fmt::format(", nothing entered for {} days", *coverage.days_since_entry);
  }
  switch (coverage.ratio_state) {
    case RatioState::too_short:
      return text + "; too short a diary for load ratios";
    case RatioState::uncertain:
      return text + "; what is missing could change the load ratio, so it decides nothing";
    case RatioState::known:
      return text;
  }
  return text;
}

void write_today(Sheet& page, const DayCall& call, const Look& look, std::span<const KindBand> bands) {
  if (is_stopped(call)) {
    write_stop(page, call);
    return;
  }
  if (!call.say.empty()) {
    const auto [call_itself, rest] = first_sentence(call.say[0]);
    page.text(call_itself, Weight::bold);
    if (!rest.empty()) page.text(rest);
  }
  for (std::size_t i = 1; i < call.say.size(); ++i) page.bullet(call.say[i]);
  write_cautions(page, call);
  for (const LiftCall& lift : call.calls) write_lift(page, lift, look, bands);
  write_foot(page, call);
}

std::string today_text(const DayCall& call, const Look& look, std::span<const KindBand> bands) {
  Page page(look);
  write_today(page, call, look, bands);
  return page.take();
}

}  // namespace steelyard::report
