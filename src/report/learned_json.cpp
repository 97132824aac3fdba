#include "steelyard/base/text.hpp"
#include "steelyard/report/csv.hpp"
#include "steelyard/report/learned.hpp"

namespace steelyard::report {
namespace {

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
      .key("shares")
      .begin_array();
  for (const Share& share : expected->shares) {
    json.begin_object().field("from", share.from).field("percent", share.percent).end_object();
  }
  json.end_array().end_object();
}

void write_lift(JsonWriter& json, const LiftStrength& lift) {
  json.begin_object()
      .field("lift", lift.lift)
      .field("sessions", lift.sessions)
      .field("training_max_kg", lift.training_max_kg)
      .key("days")
      .begin_array();
  for (const StrengthDay& day : lift.days) {
    json.begin_object()
        .field("date", day.date)
        .field("estimated_kg", day.estimated_kg)
        .field("expected_kg", day.expected_kg)
        .field("low80_kg", day.low80_kg)
        .field("high80_kg", day.high80_kg)
        .end_object();
  }
  json.end_array();
  write_expected(json, lift.now);
  json.key("worth").begin_array();
  for (const Worth& worth : lift.worth) {
    json.begin_object()
        .field("item", worth.item)
        .field("percent", worth.mean)
        .field("low80", worth.low80)
        .field("high80", worth.high80)
        .field("sessions", worth.sessions)
        .field("say", worth.say)
        .end_object();
  }
  json.end_array().field("say", lift.say).end_object();
}

}  // namespace

std::string strength_json(const StrengthReport& report, Layout layout) {
  std::string text;
  JsonWriter json(text, layout);
  json.begin_object().field("schema", 1).field("athlete", report.athlete).field("date", report.date).key("lifts");
  json.begin_array();
  for (const LiftStrength& lift : report.lifts) write_lift(json, lift);
  json.end_array().end_object();
  return text;
}

std::string marks_json(const Marks& marks, Layout layout) {
  std::string text;
  JsonWriter json(text, layout);
  json.begin_object().field("schema", 1);
  if (!marks.athlete.empty()) json.field("athlete", marks.athlete);
  json.field("athletes", marks.athletes);
  for (const TargetMarks& t : marks.targets) {
    json.key(t.target)
        .begin_object()
        .field("n", t.n)
        .field("crps", t.crps)
        .field("mae", t.mae)
        .field("crps_usual28", t.crps_usual28)
        .field("crps_last", t.crps_last)
        .field("crps_ewma", t.crps_ewma)
        .field("skill_vs_usual28", t.skill_vs_usual28)
        .field("cover80", t.cover80)
        .key("pit")
        .begin_array();
    for (const int count : t.pit) json.value(count);
    json.end_array().field("stepped_back", t.stepped_back).end_object();
  }
  json.field("say", marks.say).end_object();
  return text;
}

std::string learn_json(const LearnReport& report, Layout layout) {
  std::string text;
  JsonWriter json(text, layout);
  json.begin_object().field("schema", 1);
  if (!report.athlete.empty()) json.field("athlete", report.athlete);
  json.field("through", report.through).key("targets").begin_array();
  for (const LearnedTarget& t : report.targets) {
    json.begin_object()
        .field("target", t.target)
        .field("observations", t.observations)
        .field("scored", t.scored)
        .field("usual_work", t.usual_work)
        .field("noise_sd", t.noise_sd)
        .field("steps_back", t.steps_back)
        .end_object();
  }
  json.end_array().key("squad").begin_array();
  for (const SquadEffect& e : report.squad) {
    json.begin_object()
        .field("lift", e.lift)
        .field("cause", e.cause)
        .field("mean", e.mean)
        .field("sd", e.sd)
        .end_object();
  }
  json.end_array().field("say", report.say).end_object();
  return text;
}

std::string_view marks_csv_header() {
  return "athlete,date,target,made_on,mean,low80,high80,observed\n";
}

void append_marks_csv(std::string& out, const ForecastLine& line) {
  append_csv_text(out, line.athlete);
  out += ',' + format_day(line.date) + ',';
  append_csv_text(out, line.target);
  out += ',' + format_day(line.made_on);
  for (const double x : {line.mean, line.low80, line.high80}) out += ',' + format_number(x);
  out += ',';
  if (line.observed) out += format_number(*line.observed);
  out += '\n';
}

}  // namespace steelyard::report
