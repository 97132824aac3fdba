/// Answers as pieces of HTML with the sentences of the command line (?as=html), and what the page's charts need.
#include "serve/pieces.hpp"

#include "serve/gate.hpp"
#include "serve/handlers.hpp"
#include "steelyard/app/report.hpp"
#include "steelyard/app/show.hpp"
#include "steelyard/app/today.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"

namespace steelyard::serve {

Result<std::optional<report::Look>> html_wanted(const Exchange& x, const Athlete* athlete) {
  const auto as = x.query("as");
  if (!as) return std::nullopt;
  if (*as != "html") return fail(Errc::usage, in_quotes(*as) + " is not a form of answer; allowed: html", "as");
  const std::string units = x.query("units").value_or("");
  if (!units.empty() && units != "kg" && units != "lb") {
    return fail(Errc::usage, in_quotes(units) + " is not a unit; allowed: kg, lb", "units");
  }
  const Unit own = athlete != nullptr ? athlete->units.value_or(Unit::kg) : Unit::kg;
  return report::html_look(from_word<Unit>(units).value_or(own));
}

Response html_response(std::string html) {
  return {.status = 200, .headers = {{"content-type", "text/html; charset=utf-8"}}, .body = std::move(html)};
}

Result<Response> get_mornings(Exchange& x) {
  STEELYARD_TRY_ASSIGN(const Day day, x.day());
  STEELYARD_TRY_ASSIGN(const AthleteLog log, app::log_around(x.context(), x.athlete().athlete, day));
  std::string json;
  report::JsonWriter writer(json);
  writer.begin_object().field("schema", 1).field("athlete", x.athlete().athlete).key("items").begin_array();
  for (const ItemTrend& trend : app::item_trends(log, day, app::k_item_days, x.context().models)) {
    writer.begin_object().field("item", trend.item).key("days").begin_array();
    for (const ItemDay& d : trend.days) {
      writer.begin_object().field("date", d.date).field("value", d.value).field("usual", d.usual);
      writer.field("usual_sd", d.usual_sd).end_object();
    }
    writer.end_array().end_object();
  }
  writer.end_array().end_object();
  return json_response(std::move(json));
}

/// ?lift= and ?rpe=: the second decision of the day.
Result<Response> get_bar(Exchange& x) {
  STEELYARD_TRY_ASSIGN(const Day day, x.day());
  const auto rpe = parse_number(x.query("rpe").value_or(""));
  if (!rpe || *rpe < 1 || *rpe > 10) return fail(Errc::usage, "say how hard it was: a number from 1 to 10", "rpe");
  STEELYARD_TRY_ASSIGN(const auto decision, app::after_warmup(x.context(), x.athlete(), day, x.query("lift"), *rpe));
  return json_response(report::bar_json(decision));
}

Result<Response> get_squad(Exchange& x) {
  STEELYARD_TRY_ASSIGN(const auto day, x.date("date"));
  STEELYARD_TRY_ASSIGN(const auto athletes, x.context().store.athletes());
  std::vector<Athlete> seen;
  for (const Athlete& athlete : athletes) {
    if (!app::may_see(x.caller, athlete)) continue;
    if (x.caller.role == app::Role::coach && !shares(athlete, "load")) continue;
    x.saw(athlete.athlete);
    seen.push_back(athlete);
  }
  STEELYARD_TRY_ASSIGN(const SquadReport report, app::squad_loads(x.context(), seen, day));
  return html_response(report::squad_html(report));
}

}  // namespace steelyard::serve
