#include "steelyard/report/ahead.hpp"

#include "steelyard/domain/vocabulary.hpp"
#include "steelyard/report/json.hpp"
#include "steelyard/report/write.hpp"

namespace steelyard::report {
namespace {

std::string work_text(const AheadLift& lift, const Look& look) {
  std::string text = prescription_text(lift.work, look);
  if (lift.weight_kg) text += " = " + weight_text(*lift.weight_kg, look);
  return text;
}

std::string against_plan(const AheadLift& lift) {
  if (!lift.planned) return lift.changed ? "not on the plan" : "as in the last written week";
  if (lift.changed && *lift.planned == lift.work.kind) return "less than planned";
  return lift.changed ? "planned: " + std::string(word(*lift.planned)) : "as planned";
}

}  // namespace

void write_ahead(Sheet& page, const Ahead& ahead, const Look& look) {
  for (const std::string& sentence : ahead.say)
    page.text(sentence, &sentence == &ahead.say.front() ? Weight::bold : Weight::plain);
  for (const std::string& sentence : ahead.missing) page.bullet(sentence);
  Table table{.columns = {{"day"}, {"lift"}, {"work"}, {"against the plan"}}, .rows = {}};
  for (const AheadDay& day : ahead.days) {
    std::string name = weekday_month_day(day.date);
    if (day.lifts.empty() && !day.note.empty()) table.rows.push_back({name, day.note, "", ""});
    for (const AheadLift& lift : day.lifts) {
      table.rows.push_back({name, spoken_lift(lift.lift), work_text(lift, look), against_plan(lift)});
      name.clear();
    }
  }
  if (!table.rows.empty()) {
    page.blank();
    page.table(table);
  }
}

std::string ahead_text(const Ahead& ahead, const Look& look) {
  Page page(look);
  write_ahead(page, ahead, look);
  return page.take();
}

std::string ahead_json(const Ahead& ahead) {
  std::string out;
  JsonWriter json(out);
  json.begin_object().field("schema", 1).field("athlete", ahead.athlete).field("from", ahead.from);
  json.key("days").begin_array();
  for (const AheadDay& day : ahead.days) {
    json.begin_object().field("date", day.date).field("available", day.available).field("note", day.note);
    json.key("lifts").begin_array();
    for (const AheadLift& lift : day.lifts) {
      json.begin_object()
          .field("lift", lift.lift)
          .field("kind", word(lift.work.kind))
          .field("sets", lift.work.sets)
          .field("reps", lift.work.reps)
          .field("percent", lift.work.percent)
          .field("weight_kg", lift.weight_kg);
      json.key("planned");
      lift.planned ? json.value(word(*lift.planned)) : json.null();
      json.field("changed", lift.changed).end_object();
    }
    json.end_array().end_object();
  }
  json.end_array().field("missing", ahead.missing).field("say", ahead.say).end_object();
  return out;
}

}  // namespace steelyard::report
