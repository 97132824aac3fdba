#include <array>
#include <initializer_list>

#include "steelyard/domain/cells.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "steelyard/report/json.hpp"

namespace steelyard::report {
namespace {

constexpr int k_schema = 1;

void write_prescription(JsonWriter& json, const Prescription& p) {
  json.field("kind", word(p.kind)).field("sets", p.sets).field("reps", p.reps).field("percent", p.percent);
}

void write_warmup(JsonWriter& json, const std::vector<WarmupSet>& sets) {
  json.key("warmup").begin_array();
  for (const WarmupSet& set : sets) {
    json.begin_object()
        .field("weight_kg", set.weight_kg)
        .field("reps", set.reps)
        .field("plates_per_side", set.plates_per_side)
        .end_object();
  }
  json.end_array();
}

void write_expected(JsonWriter& json, const std::optional<ExpectedStrength>& expected) {
  json.key("expected_strength");
  if (!expected) {
    json.null();
    return;
  }
  json.begin_object()
      .field("percent", expected->percent)
      .field("low80", expected->low80)
      .field("high80", expected->high80)
      .field("sessions", expected->sessions)
      .field("learned", expected->learned);
  json.key("shares").begin_array();
  for (const Share& share : expected->shares) {
    json.begin_object().field("from", share.from).field("percent", share.percent).end_object();
  }
  json.end_array().end_object();
}

void write_limits(JsonWriter& json, const std::vector<LimitResult>& limits) {
  json.key("limits").begin_array();
  for (const LimitResult& limit : limits) {
    json.begin_object()
        .field("id", limit.id)
        .field("held", limit.held)
        .field("measured", limit.measured)
        .field("limit", limit.limit)
        .field("unit", limit.unit)
        .field("source", limit.source)
        .field("would_hold_if", limit.would_hold_if)
        .field("say", limit.say)
        .end_object();
  }
  json.end_array();
}

void write_move(JsonWriter& json, const std::optional<Move>& move) {
  json.key("move");
  if (!move) {
    json.null();
    return;
  }
  json.begin_object().field("to_date", move->to_date).field("kind", word(move->kind)).key("displaced");
  if (move->displaced) {
    json.begin_object()
        .field("kind", word(move->displaced->kind))
        .field("to_date", move->displaced->to_date)
        .end_object();
  } else {
    json.null();
  }
  json.end_object();
}

void write_lift(JsonWriter& json, const LiftCall& lift) {
  json.begin_object().field("lift", lift.lift).key("planned");
  if (lift.planned) {
    json.begin_object();
    write_prescription(json, *lift.planned);
    json.end_object();
  } else {
    json.null();
  }
  json.key("actions").begin_array();
  for (const Action action : lift.actions) json.value(action_code(action));
  json.end_array();
  write_prescription(json, lift.call);
  json.field("training_max_kg", lift.training_max_kg)
      .field("weight_kg", lift.weight_kg)
      .field("plates_per_side", lift.plates_per_side)
      .field("rpe_cap", lift.rpe_cap)
      .field("prepare", lift.prepare);
  write_warmup(json, lift.warmup);
  json.field("at_the_bar", lift.at_the_bar).field("confidence", confidence_word(lift.confidence));
  write_expected(json, lift.expected);
  write_limits(json, lift.limits);
  write_move(json, lift.move);
  json.end_object();
}

void write_cautions(JsonWriter& json, const std::vector<Caution>& cautions) {
  json.key("cautions").begin_array();
  for (const Caution& caution : cautions) {
    json.begin_object()
        .field("id", caution.id)
        .field("urgency", urgency_word(caution.urgency))
        .field("say", caution.say)
        .field("source", caution.source)
        .field("lifts", caution.lifts)
        .field("since", caution.since)
        .end_object();
  }
  json.end_array();
}

void write_questions(JsonWriter& json, std::span<const Question> questions) {
  json.key("questions").begin_array();
  for (const Question& question : questions) {
    json.begin_object()
        .field("id", question.id)
        .field("athlete", question.athlete)
        .field("date", question.date)
        .field("doubt", question.doubt)
        .field("say", question.say)
        .field("fields", question.fields);
    json.key("rows").begin_array();
    for (const Record& row : question.rows) json.raw(print_json_line(row));
    json.end_array().end_object();
  }
  json.end_array();
}

void write_day(JsonWriter& json, const DayFigures& day) {
  json.begin_object().field("date", day.date).field("status", status_word(day.status));
  json.field("load_au", day.load_au)
      .field("estimated", day.estimated)
      .field("acute7_au", day.acute7_au)
      .field("chronic28_au", day.chronic28_au)
      .field("ratio_coupled", day.ratio_coupled)
      .field("ratio_uncoupled", day.ratio_uncoupled)
      .field("ewma_acute_au", day.ewma_acute_au)
      .field("ewma_chronic_au", day.ewma_chronic_au)
      .field("ratio_ewma", day.ratio_ewma)
      .field("monotony", day.monotony)
      .field("no_variation", day.no_variation)
      .field("week_strain_au", day.week_strain_au)
      .field("week_change_percent", day.week_change_percent)
      .field("percentile_of_26_weeks", day.percentile26)
      .field("highest_of_8_weeks_au", day.highest8_au)
      .field("unlogged_of_28", day.unlogged_of_28)
      .field("ratio_low", day.ratio_low)
      .field("ratio_high", day.ratio_high)
      .field("state", state_word(day.state))
      .end_object();
}

void write_loads(JsonWriter& json, const LoadReport& report) {
  json.field("athlete", report.athlete).field("monotony_sd", report.sd_name).field("ewma_start", report.ewma_start);
  json.key("days").begin_array();
  for (const DayFigures& day : report.days) write_day(json, day);
  json.end_array().key("usual_loads").begin_array();
  for (const UsualLoad& usual : report.usual_loads) {
    json.begin_object().field("date", usual.date).field("usual_au", usual.usual_au);
    json.field("low_au", usual.low_au).field("high_au", usual.high_au).end_object();
  }
  json.end_array();
}

void write_option(JsonWriter& json, const Option& option) {
  json.begin_object().field("name", option.name).key("today").begin_object();
  write_prescription(json, option.today);
  json.end_object();
  json.field("heavy_on", option.heavy_on)
      .field("expected_percent", option.expected_percent)
      .field("expected_low80", option.expected_low80)
      .field("expected_high80", option.expected_high80)
      .field("cap_chance_percent", option.cap_chance)
      .field("week_load_au", option.week_load_au)
      .field("ratio_coupled", option.ratio)
      .field("soreness", option.soreness)
      .field("hours_before", option.hours_before)
      .field("hours_after", option.hours_after)
      .field("loses", option.loses)
      .field("broken", option.broken)
      .field("chosen", option.chosen)
      .end_object();
}

void write_verdict(JsonWriter& json, const WeekVerdict& verdict) {
  json.begin_object().field("decision", verdict.decision).field("note", verdict.note);
  json.field("by", verdict.by).field("at", verdict.at).end_object();
}

void write_flag(JsonWriter& json, const WeekFlag& flag) {
  json.begin_object()
      .field("athlete", flag.athlete)
      .field("order", flag.order)
      .field("kinds", flag.kinds)
      .field("because", flag.because)
      .field("caused_by", flag.caused_by)
      .field("next_step", flag.next_step)
      .field("unknown", flag.unknown)
      .key("decided");
  if (flag.decided) {
    write_verdict(json, *flag.decided);
  } else {
    json.null();
  }
  json.end_object();
}

/// One object with the schema first.
template <class Body>
std::string answer(Layout layout, const Body& body) {
  std::string out;
  JsonWriter json(out, layout);
  json.begin_object().field("schema", k_schema);
  body(json);
  json.end_object();
  return out;
}

}  // namespace

std::string_view status_word(DayStatus status) {
  constexpr std::array<std::string_view, 4> words{"trained", "open", "rest", "unlogged"};
  return words[static_cast<std::size_t>(status)];
}

std::string_view state_word(RatioState state) {
  constexpr std::array<std::string_view, 3> words{"too-short", "known", "uncertain"};
  return words[static_cast<std::size_t>(state)];
}

std::string today_json(const DayCall& call, Layout layout) {
  return answer(layout, [&](JsonWriter& json) {
    json.field("athlete", call.athlete).field("date", call.date).key("calls").begin_array();
    for (const LiftCall& lift : call.calls) write_lift(json, lift);
    json.end_array().field("say", call.say);
    write_cautions(json, call.cautions);
    write_questions(json, call.questions);
    json.key("coverage")
        .begin_object()
        .field("days_of_28", call.coverage.days_of_28)
        .field("checks_of_28", call.coverage.checks_of_28)
        .field("days_since_entry", call.coverage.days_since_entry)
        .field("ratio_state", state_word(call.coverage.ratio_state))
        .end_object();
    json.key("model")
        .begin_object()
        .field("version", call.model_version)
        .field("digest", call.model_digest)
        .end_object()
        .field("inputs_digest", call.inputs_digest);
  });
}

std::string compare_json(const Comparison& comparison, Layout layout) {
  return answer(layout, [&](JsonWriter& json) {
    json.field("athlete", comparison.athlete).field("date", comparison.date).field("lift", comparison.lift);
    json.key("options").begin_array();
    for (const Option& option : comparison.options) write_option(json, option);
    json.end_array().field("say", comparison.say);
  });
}

std::string week_json(const WeekReview& review, Layout layout) {
  return answer(layout, [&](JsonWriter& json) {
    json.field("week", format_iso_week(review.week)).key("flags").begin_array();
    for (const WeekFlag& flag : review.flags) write_flag(json, flag);
    json.end_array().key("watch").begin_array();
    for (const WatchLine& line : review.watch) {
      json.begin_object().field("athlete", line.athlete).field("because", line.because).end_object();
    }
    json.end_array().field("quiet", review.quiet).key("squad").begin_object();
    json.key("group");
    if (review.group.empty())
      json.null();
    else
      json.value(review.group);
    json.field("say", review.squad).end_object();
  });
}

std::string loads_json(const LoadReport& report, Layout layout) {
  return answer(layout, [&](JsonWriter& json) { write_loads(json, report); });
}

std::string questions_json(std::span<const Question> questions, Layout layout) {
  return answer(layout, [&](JsonWriter& json) { write_questions(json, questions); });
}

LoadsAllJson::LoadsAllJson(std::string& sink, Layout layout) : writer_(sink, layout) {
  writer_.begin_object().field("schema", k_schema).key("athletes").begin_array();
}

void LoadsAllJson::add(const LoadReport& report) {
  writer_.begin_object();
  write_loads(writer_, report);
  writer_.end_object();
}

void LoadsAllJson::finish() {
  writer_.end_array().end_object();
}

std::string loads_all_json(std::span<const LoadReport> reports, Layout layout) {
  std::string out;
  LoadsAllJson all(out, layout);
  for (const LoadReport& report : reports) all.add(report);
  all.finish();
  return out;
}

}  // namespace steelyard::report
