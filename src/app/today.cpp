#include "steelyard/app/today.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>

#include "app/one_day.hpp"
#include "app/read_log.hpp"
#include "steelyard/app/learn.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/decide/call.hpp"
#include "steelyard/decide/week.hpp"
#include "steelyard/domain/cells.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "steelyard/report/json.hpp"
#include "steelyard/report/text.hpp"

namespace steelyard::app {
namespace {

report::Look kept_look(const Athlete& athlete) {
  return {.color = false, .unicode = false, .width = 80, .units = athlete.units.value_or(Unit::kg)};
}

/// Whether the same inputs and models made what is kept: then neither need be written again.
bool is_same(const std::optional<store::StoredCall>& kept, std::string_view inputs_digest, const Models& models) {
  return kept && kept->inputs_digest == inputs_digest && kept->model_digest == models.digest;
}

}  // namespace

Result<OneDay> one_day(Context& context, const Athlete& athlete, Day day) {
  STEELYARD_TRY_ASSIGN(AthleteLog log, log_around(context, athlete.athlete, day));
  STEELYARD_TRY_ASSIGN(learn::Today learned, learned_today(context, log, day));
  return OneDay{std::move(log), std::move(learned)};
}

Result<DayCall> call_of(Context& context, const OneDay& known, Day day) {
  const Athlete& athlete = known.log.athlete;
  DayCall call = decide::call_for(known.log, day, context.models, &known.learned);
  // Once followed, the call that was followed stays the one that `why` repeats.
  const bool followed = std::any_of(known.log.decisions.begin(), known.log.decisions.end(),
                                    [&](const Decision& d) { return d.follows && d.date == day; });
  STEELYARD_TRY_ASSIGN(const auto kept, context.store.call(athlete.athlete, day, "today"));
  if ((kept && followed) || is_same(kept, call.inputs_digest, context.models)) return call;
  STEELYARD_TRY(context.store.save_call({.athlete = athlete.athlete,
                                         .date = day,
                                         .command = "today",
                                         .made_at = context.now,
                                         .inputs_digest = call.inputs_digest,
                                         .model_version = call.model_version,
                                         .model_digest = call.model_digest,
                                         .json = report::today_json(call),
                                         .text = report::why_text(call, kept_look(athlete))}));
  return call;
}

Result<DayCall> today(Context& context, const Athlete& athlete, Day day, std::optional<Unit> shown) {
  STEELYARD_TRY_ASSIGN(const OneDay known, one_day(context, athlete, day));
  STEELYARD_TRY_ASSIGN(DayCall call, call_of(context, known, day));
  if (!shown || *shown == athlete.units.value_or(Unit::kg)) return call;
  return decide::call_for(known.log, day, context.models, &known.learned, shown);
}

Result<Comparison> comparison_of(Context& context, const OneDay& known, Day day,
                                 const std::optional<std::string>& lift) {
  const AthleteLog& log = known.log;
  std::optional<std::string> code;
  if (lift) {
    code = lift_of(context.models, *lift);
    const bool planned = std::any_of(log.plan.begin(), log.plan.end(),
                                     [&](const PlanRow& row) { return row.date == day && row.lift == *code; });
    if (!planned) {
      return fail(Errc::no_input, fmt::format("{} is not on the plan of {}", spoken_lift(*code), format_day(day)));
    }
  }
  Comparison comparison = decide::compare(log, day, code ? std::optional<std::string_view>(*code) : std::nullopt,
                                          context.models, &known.learned);
  const std::string inputs_digest = decide::inputs_digest(log, day);
  STEELYARD_TRY_ASSIGN(const auto kept, context.store.call(log.athlete.athlete, day, "compare"));
  if (is_same(kept, inputs_digest, context.models)) return comparison;
  STEELYARD_TRY(context.store.save_call({.athlete = log.athlete.athlete,
                                         .date = day,
                                         .command = "compare",
                                         .made_at = context.now,
                                         .inputs_digest = inputs_digest,
                                         .model_version = context.models.version,
                                         .model_digest = context.models.digest,
                                         .json = report::compare_json(comparison),
                                         .text = report::compare_text(comparison, kept_look(log.athlete))}));
  return comparison;
}

Result<Comparison> compare(Context& context, const Athlete& athlete, Day day, const std::optional<std::string>& lift) {
  STEELYARD_TRY_ASSIGN(const OneDay known, one_day(context, athlete, day));
  return comparison_of(context, known, day, lift);
}

Result<BarDecision> after_warmup(Context& context, const Athlete& athlete, Day day,
                                 const std::optional<std::string>& lift, double rpe, std::optional<Unit> shown) {
  STEELYARD_TRY_ASSIGN(const DayCall call, today(context, athlete, day));
  for (const LiftCall& one : call.calls) {
    if (lift && one.lift != lift_of(context.models, *lift)) continue;
    if (one.call.sets > 0 && one.weight_kg) return decide::after_warmup(one, rpe, athlete, context.models, shown);
    break;
  }
  return fail(Errc::no_input, fmt::format("there is no working weight on {}", format_day(day)));
}

Result<store::StoredCall> why(Context& context, const Athlete& athlete, Day day, std::string_view command) {
  STEELYARD_TRY_ASSIGN(auto call, context.store.call(athlete.athlete, day, command));
  if (call) return *std::move(call);
  return fail(Errc::no_input,
              fmt::format("no {} was made for {} on {}; 'steelyard {} --athlete {} --date {}' makes one",
                          command == "today" ? "call" : "comparison", athlete.athlete, format_day(day), command,
                          athlete.athlete, format_day(day)));
}

namespace {

/// "2026-11-22T19:30:00Z". source  RFC 3339, section 5.6
std::string time_text(Instant at) {
  const auto day = std::chrono::floor<Days>(std::chrono::local_seconds{at.time_since_epoch()});
  const auto second = at.time_since_epoch() % std::chrono::days{1};
  const auto of_day = (second.count() + 86400) % 86400;
  return fmt::format("{}T{:02}:{:02}:{:02}Z", format_day(day), of_day / 3600, of_day / 60 % 60, of_day % 60);
}

}  // namespace

WeekVerdict verdict_of(const store::WeekDecision& decision) {
  return {.decision = decision.decision, .note = decision.note, .by = decision.by, .at = time_text(decision.at)};
}

Result<WeekReview> week(Context& context, const WeekOptions& options) {
  STEELYARD_TRY_ASSIGN(auto athletes, context.store.athletes());
  if (options.group) {
    std::vector<std::string_view> groups;
    for (const Athlete& a : athletes) {
      if (!a.group.empty()) groups.emplace_back(a.group);
    }
    const auto nearest = nearest_word(*options.group, groups);
    std::erase_if(athletes, [&](const Athlete& a) { return a.group != *options.group; });
    if (athletes.empty()) {
      return fail(Errc::no_input, fmt::format("nobody is in group {}{}", in_quotes(*options.group),
                                              nearest ? fmt::format("; did you mean '{}'?", *nearest) : std::string{}));
    }
  }
  if (athletes.empty()) return fail(Errc::no_input, "the store holds no athlete yet");
  STEELYARD_TRY_ASSIGN(const Day now, day_for(context, athletes.front(), options.today));
  const IsoWeek reviewed = options.week ? *options.week : iso_week(monday_of(iso_week(now + Days{1})) - Days{1});
  const Day monday = monday_of(reviewed);
  if (monday > now) return fail(Errc::usage, fmt::format("{} has not begun yet", format_iso_week(reviewed)));
  const Day sunday = monday + Days{6};
  std::vector<AthleteLog> logs;
  logs.reserve(athletes.size());
  for (const Athlete& a : athletes) {
    STEELYARD_TRY_ASSIGN(auto log,
                         read_log(context, a.athlete, monday - Days{k_days_back}, sunday + Days{k_days_ahead}));
    logs.push_back(std::move(log));
  }
  WeekReview review =
      decide::review_week(logs, reviewed, std::min(now, sunday), options.group.value_or(""), context.models);
  STEELYARD_TRY_ASSIGN(const auto decisions, context.store.service().week_decisions(format_iso_week(reviewed)));
  for (const auto& decision : decisions) {
    const auto flag = std::find_if(review.flags.begin(), review.flags.end(),
                                   [&](const WeekFlag& f) { return f.athlete == decision.athlete; });
    if (flag != review.flags.end()) flag->decided = verdict_of(decision);
  }
  return review;
}

Result<WeekVerdict> decide_week(Context& context, IsoWeek week, const std::string& athlete, const std::string& decision,
                                const std::string& note, const std::string& by) {
  constexpr std::array<std::string_view, 3> words{"accept", "change", "ignore"};
  if (std::find(words.begin(), words.end(), decision) == words.end()) {
    return fail(Errc::bad_data, not_a_word(decision, "a decision", words), "decision");
  }
  if (decision == "change" && note.empty()) return fail(Errc::bad_data, "a change needs a note: what instead", "note");
  STEELYARD_TRY(find_athlete(context, athlete, std::nullopt));
  const store::WeekDecision kept{.week = format_iso_week(week),
                                 .athlete = athlete,
                                 .decision = decision,
                                 .note = note,
                                 .by = by,
                                 .at = context.now};
  STEELYARD_TRY(context.store.service().save_week_decision(kept));
  return verdict_of(kept);
}

std::vector<report::KindBand> kind_bands(const Models& models) {
  std::vector<report::KindBand> bands;
  for (const auto& [kind, model] : models.day_kinds.kinds)
    bands.push_back({kind, model.percent.low, model.percent.high});
  return bands;
}

}  // namespace steelyard::app
