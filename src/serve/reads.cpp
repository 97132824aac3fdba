#include "serve/handlers.hpp"
#include "serve/pieces.hpp"
#include "steelyard/app/ahead.hpp"
#include "steelyard/app/check.hpp"
#include "steelyard/app/learn.hpp"
#include "steelyard/app/loads.hpp"
#include "steelyard/app/plan.hpp"
#include "steelyard/app/questions.hpp"
#include "steelyard/app/report.hpp"
#include "steelyard/app/show.hpp"
#include "steelyard/app/today.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/cells.hpp"
#include "steelyard/domain/fields.hpp"

namespace steelyard::serve {

Result<Response> get_today(Exchange& x) {
  STEELYARD_TRY_ASSIGN(const Day day, x.day());
  STEELYARD_TRY_ASSIGN(const DayCall call, app::today(x.context(), x.athlete(), day));
  STEELYARD_TRY_ASSIGN(const auto look, html_wanted(x, &x.athlete()));
  if (look) return html_response(report::today_html(call, *look, app::kind_bands(x.context().models)));
  return json_response(report::today_json(call));
}

Result<Response> get_loads(Exchange& x) {
  STEELYARD_TRY_ASSIGN(const Day day, x.day());
  app::LoadOptions options{.latest = x.query("latest").has_value()};
  STEELYARD_TRY_ASSIGN(options.from, x.date("from"));
  STEELYARD_TRY_ASSIGN(options.to, x.date("to"));
  const std::string gaps = x.query("gaps").value_or("unknown");
  if (gaps != "unknown" && gaps != "rest") {
    return fail(Errc::usage, in_quotes(gaps) + " is not a way to take gaps; allowed: unknown, rest", "gaps");
  }
  if (gaps == "rest") options.gaps = series::Gaps::rest;
  STEELYARD_TRY_ASSIGN(const LoadReport report, app::loads(x.context(), x.athlete(), day, options));
  STEELYARD_TRY_ASSIGN(const auto look, html_wanted(x, &x.athlete()));
  if (look) return html_response(report::loads_html(report, *look));
  return json_response(report::loads_json(report));
}

Result<Response> get_strength(Exchange& x) {
  STEELYARD_TRY_ASSIGN(const Day day, x.day());
  STEELYARD_TRY_ASSIGN(const StrengthReport report, app::strength(x.context(), x.athlete(), day));
  STEELYARD_TRY_ASSIGN(const auto look, html_wanted(x, &x.athlete()));
  if (look) return html_response(report::strength_html(report, *look));
  return json_response(report::strength_json(report));
}

Result<Response> get_compare(Exchange& x) {
  STEELYARD_TRY_ASSIGN(const Day day, x.day());
  STEELYARD_TRY_ASSIGN(const Comparison comparison, app::compare(x.context(), x.athlete(), day, x.query("lift")));
  STEELYARD_TRY_ASSIGN(const auto look, html_wanted(x, &x.athlete()));
  if (look) return html_response(report::compare_html(comparison, *look));
  return json_response(report::compare_json(comparison));
}

Result<Response> get_ahead(Exchange& x) {
  STEELYARD_TRY_ASSIGN(const Day day, x.day());
  STEELYARD_TRY_ASSIGN(const Ahead ahead, app::ahead(x.context(), x.athlete(), day));
  STEELYARD_TRY_ASSIGN(const auto look, html_wanted(x, &x.athlete()));
  if (look) return html_response(report::ahead_html(ahead, *look));
  return json_response(report::ahead_json(ahead));
}

Result<Response> get_why(Exchange& x) {
  STEELYARD_TRY_ASSIGN(const Day day, x.day());
  STEELYARD_TRY_ASSIGN(auto call, app::why(x.context(), x.athlete(), day));
  return json_response(std::move(call.json));
}

Result<Response> get_questions(Exchange& x) {
  STEELYARD_TRY_ASSIGN(const auto questions, app::list_questions(x.context(), x.athlete().athlete));
  return json_response(report::questions_json(questions));
}

Result<Response> get_marks(Exchange& x) {
  STEELYARD_TRY_ASSIGN(const Day day, x.day());
  STEELYARD_TRY_ASSIGN(const auto marked, app::marks(x.context(), x.athlete(), day));
  return json_response(report::marks_json(marked.marks));
}

Result<Response> get_plan(Exchange& x) {
  STEELYARD_TRY_ASSIGN(const Day day, x.day());
  app::PlanSpan span = app::usual_plan_span(day);
  STEELYARD_TRY_ASSIGN(const auto week, x.week("week"));
  if (week) span = {.from = monday_of(*week), .to = monday_of(*week) + Days{6}};
  STEELYARD_TRY_ASSIGN(const auto from, x.date("from"));
  STEELYARD_TRY_ASSIGN(const auto to, x.date("to"));
  if (week && (from || to)) return fail(Errc::usage, "a week has its first and last day already", "week");
  STEELYARD_TRY_ASSIGN(const auto view,
                       app::show_plan(x.context(), x.athlete(), from.value_or(span.from), to.value_or(span.to)));
  return json_response(app::plan_json(view));
}

Result<Response> get_report(Exchange& x) {
  STEELYARD_TRY_ASSIGN(const Day day, x.day());
  STEELYARD_TRY_ASSIGN(const LifterReport report, app::lifter_report(x.context(), x.athlete(), day));
  const report::Look look = report::html_look(x.athlete().units.value_or(Unit::kg));
  return Response{.status = 200,
                  .headers = {{"content-type", "text/html; charset=utf-8"},
                              // The page carries its own style and nothing that runs.
                              {"content-security-policy",
                               "default-src 'none'; style-src 'unsafe-inline'; img-src data:; frame-ancestors 'none'"}},
                  .body = report::lifter_page(report, look, app::kind_bands(x.context().models))};
}

/// What is asked in the morning: own usual values, sessions without an entry, and the check as far as it is there.
Result<Response> get_morning(Exchange& x) {
  STEELYARD_TRY_ASSIGN(const Day day, x.day());
  STEELYARD_TRY_ASSIGN(const app::Morning morning, app::morning_of(x.context(), x.athlete(), day));
  std::string json;
  report::JsonWriter writer(json);
  writer.begin_object().field("schema", 1).field("athlete", x.athlete().athlete).field("date", day);
  writer.key("usual").begin_object();
  for (const auto column : app::k_check_items) {
    const auto found = morning.usual.find(column);
    if (found != morning.usual.end()) writer.field(column, found->second);
  }
  writer.end_object().key("unentered").begin_array();
  for (const auto& past : morning.unentered) {
    writer.begin_object().field("date", past.date).key("plan").begin_array();
    for (const PlanRow& row : past.plan) writer.raw(print_json_line(row));
    writer.end_array().end_object();
  }
  writer.end_array().key("check");
  if (morning.check) {
    writer.raw(print_json_line(*morning.check));
  } else {
    writer.null();
  }
  writer.end_object();
  return json_response(std::move(json));
}

Result<Response> get_athletes(Exchange& x) {
  STEELYARD_TRY_ASSIGN(const auto athletes, x.context().store.athletes());
  std::string json;
  report::JsonWriter writer(json);
  writer.begin_object().field("schema", 1).key("athletes").begin_array();
  for (const Athlete& athlete : athletes) {
    if (!app::may_see(x.caller, athlete)) continue;
    writer.raw(print_json_line(athlete));
    x.saw(athlete.athlete);
  }
  writer.end_array().end_object();
  return json_response(std::move(json));
}

namespace {

/// The group that was asked for, inside what the caller may see.
Result<std::optional<std::string>> group_of(const Exchange& x) {
  auto asked = x.query("group");
  if (x.caller.group.empty()) return asked;
  if (asked && *asked != x.caller.group) return fail(Errc::not_allowed, "this group is not yours to see", "group");
  return std::optional(x.caller.group);
}

}  // namespace

Result<Response> get_week(Exchange& x) {
  app::WeekOptions options;
  STEELYARD_TRY_ASSIGN(options.week, x.week("week"));
  STEELYARD_TRY_ASSIGN(options.group, group_of(x));
  STEELYARD_TRY_ASSIGN(options.today, x.date("date"));
  STEELYARD_TRY_ASSIGN(const WeekReview review, app::week(x.context(), options));
  for (const auto& flag : review.flags) x.saw(flag.athlete);
  for (const auto& line : review.watch) x.saw(line.athlete);
  for (const auto& athlete : review.quiet) x.saw(athlete);
  STEELYARD_TRY_ASSIGN(const auto look, html_wanted(x));
  if (look) return html_response(report::week_html(review, *look));
  return json_response(report::week_json(review));
}

Result<Response> get_week_decisions(Exchange& x) {
  STEELYARD_TRY_ASSIGN(const auto week, x.week("week"));
  if (!week) return fail(Errc::usage, "say which week: ?week=YYYY-Www", "week");
  STEELYARD_TRY_ASSIGN(const auto all, x.context().store.service().week_decisions(format_iso_week(*week)));
  std::string json;
  report::JsonWriter writer(json);
  writer.begin_object().field("schema", 1).field("week", format_iso_week(*week)).key("decisions").begin_array();
  for (const auto& decision : all) {
    STEELYARD_TRY_ASSIGN(const auto athlete, x.context().store.athlete(decision.athlete));
    if (!athlete || !app::may_see(x.caller, *athlete)) continue;
    writer.begin_object().field("athlete", decision.athlete).field("decision", decision.decision);
    const WeekVerdict verdict = app::verdict_of(decision);
    writer.field("note", decision.note).field("by", verdict.by).field("at", verdict.at).end_object();
    x.saw(decision.athlete);
  }
  writer.end_array().end_object();
  return json_response(std::move(json));
}

}  // namespace steelyard::serve
