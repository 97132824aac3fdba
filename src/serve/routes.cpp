#include "serve/routes.hpp"

#include <array>

#include "serve/handlers.hpp"
#include "steelyard/base/text.hpp"

namespace steelyard::serve {
namespace {

using namespace std::string_view_literals;

constexpr std::array k_date{Parameter{"date", "the day; today where the athlete lives if not given", "date"}};
constexpr std::array k_answer{k_date[0],
                              Parameter{"as", "html: the sentences of the command line as a piece of a page", ""},
                              Parameter{"units", "with as=html: kg, lb", ""}};
constexpr std::array k_loads{Parameter{"date", "the day under way; today where the athlete lives if not given", "date"},
                             Parameter{"from", "first day shown", "date"},
                             Parameter{"to", "last day shown", "date"},
                             Parameter{"latest", "the last day only", ""},
                             Parameter{"gaps", "what a day without entry means: unknown, rest", ""},
                             Parameter{"as", "html: the sentences of the command line as a piece of a page", ""},
                             Parameter{"units", "with as=html: kg, lb", ""}};
constexpr std::array k_compare{Parameter{"date", "the day; today where the athlete lives if not given", "date"},
                               Parameter{"lift", "another lift than the main one", ""},
                               Parameter{"as", "html: the sentences of the command line as a piece of a page", ""},
                               Parameter{"units", "with as=html: kg, lb", ""}};
constexpr std::array k_bar{k_date[0], Parameter{"lift", "another lift than the main one", ""},
                           Parameter{"rpe", "of the last warm-up set, 1 to 10", ""}};
constexpr std::array k_plan{Parameter{"date", "a day of the first week shown", "date"},
                            Parameter{"week", "this week only: YYYY-Www", ""}, Parameter{"from", "first day", "date"},
                            Parameter{"to", "last day", "date"}};
constexpr std::array k_week{Parameter{"week", "YYYY-Www; the last full week if not given", ""},
                            Parameter{"group", "a group; everybody the caller may see if not given", ""},
                            Parameter{"date", "the day on which it is looked at", "date"},
                            Parameter{"as", "html: the sentences of the command line as a piece of a page", ""},
                            Parameter{"units", "with as=html: kg, lb", ""}};
constexpr std::array k_one_week{Parameter{"week", "YYYY-Www", ""}};
constexpr std::array k_name{Parameter{"name", "name of the file in messages", ""}};

constexpr std::array k_check_keys{BodyKey{"usual", "true: what is not said is as usual", Takes::truth},
                                  BodyKey{"done", "days whose planned session was done as planned"},
                                  BodyKey{"missed", "days without training"}};
constexpr std::array k_session_keys{
    BodyKey{"text", "the whole session in gym shorthand, instead of the columns"},
    BodyKey{"sets", "its sets: a list of objects with the columns of sets", Takes::objects}};
constexpr std::array k_set_keys{
    BodyKey{"date", "the day; today if not given"}, BodyKey{"part", "which session of the day"},
    BodyKey{"sets", "all sets of that part: a list of objects with the columns of sets", Takes::objects}};
constexpr std::array k_decision_keys{BodyKey{"date", "the day; today if not given"},
                                     BodyKey{"follow", "true: write the call into the plan", Takes::truth},
                                     BodyKey{"override", "why another way was gone"},
                                     BodyKey{"did", "what was done instead"}, BodyKey{"lift", "this lift only"}};
constexpr std::array k_answer_keys{BodyKey{"id", "number of the question"}, BodyKey{"answer", "keep, fix or drop"},
                                   BodyKey{"columns", "with fix: an object of the corrected columns", Takes::objects}};
constexpr std::array k_week_decision_keys{BodyKey{"week", "YYYY-Www"}, BodyKey{"athlete", "code"},
                                          BodyKey{"decision", "accept, change or ignore"},
                                          BodyKey{"note", "what instead, or why; a change needs it"}};
constexpr std::array k_login_keys{BodyKey{"token", "a token that 'steelyard token add' has shown"}};

constexpr std::array k_load{"load"sv};
constexpr std::array k_words{"load"sv, "checks"sv, "pain"sv, "notes"sv};

constexpr auto owner_read = [](std::string_view path, Handler handler, std::string_view summary,
                               std::span<const Parameter> query, std::span<const std::string_view> share) {
  return Route{.method = "GET",
               .path = path,
               .needs = Needs::athlete,
               .lane = Lane::read,
               .handler = handler,
               .summary = summary,
               .query = query,
               .share = share};
};
constexpr auto owner_write = [](std::string_view path, Handler handler, std::string_view summary,
                                std::span<const BodyKey> body, std::optional<RecordKind> row) {
  return Route{.method = "POST",
               .path = path,
               .needs = Needs::athlete,
               .lane = Lane::write,
               .handler = handler,
               .summary = summary,
               .body = body,
               .row = row};
};

const std::vector<Route>& table() {
  static const std::vector<Route> all{
      owner_read("/v1/athletes/{a}/today", get_today, "the call for each lift planned that day", k_answer,
                 k_call_share),
      owner_read("/v1/athletes/{a}/loads", get_loads, "daily load figures", k_loads, k_load),
      owner_read("/v1/athletes/{a}/strength", get_strength, "estimated and expected strength", k_answer, k_call_share),
      owner_read("/v1/athletes/{a}/compare", get_compare, "the day's options beside each other", k_compare,
                 k_call_share),
      owner_read("/v1/athletes/{a}/ahead", get_ahead, "the next 14 days", k_answer, k_call_share),
      owner_read("/v1/athletes/{a}/why", get_why, "the call of that day as it was made", k_date, k_call_share),
      owner_read("/v1/athletes/{a}/questions", get_questions, "entries held aside", {}, k_words),
      owner_read("/v1/athletes/{a}/marks", get_marks, "how good past forecasts were", k_date, k_call_share),
      owner_read("/v1/athletes/{a}/plan", get_plan, "what is planned", k_plan, {}),
      owner_read("/v1/athletes/{a}/morning", get_morning, "what the morning check asks", k_date, k_words),
      owner_read("/v1/athletes/{a}/mornings", get_mornings, "morning items against the own usual", k_date,
                 k_call_share),
      owner_read("/v1/athletes/{a}/bar", get_bar, "the second decision, after the last warm-up", k_bar, k_call_share),
      {.method = "GET",
       .path = "/v1/squad",
       .needs = Needs::coach,
       .handler = get_squad,
       .summary = "a small load chart a lifter, as a piece of a page",
       .query = k_date,
       .answer = "text/html"},
      {.method = "GET",
       .path = "/v1/athletes/{a}/report",
       .needs = Needs::athlete,
       .handler = get_report,
       .summary = "one lifter as a self-contained page",
       .query = k_date,
       .share = k_words,
       .answer = "text/html"},
      owner_write("/v1/athletes/{a}/checks", post_checks,
                  "the morning check; answers with the day's call, to who may see it", k_check_keys,
                  RecordKind::checks),
      owner_write("/v1/athletes/{a}/sessions", post_sessions, "a session, with or without its sets", k_session_keys,
                  RecordKind::sessions),
      owner_write("/v1/athletes/{a}/sets", post_sets, "all sets of one part of a day", k_set_keys, {}),
      owner_write("/v1/athletes/{a}/bar", post_bar, "speed of the first warm-up set", {}, RecordKind::bar),
      owner_write("/v1/athletes/{a}/decisions", post_decisions, "follow a call, or keep that another way was gone",
                  k_decision_keys, {}),
      owner_write("/v1/athletes/{a}/answers", post_answers, "answer a question about an entry", k_answer_keys, {}),
      owner_write("/v1/athletes/{a}/days-off", post_days_off, "days off", {}, RecordKind::days_off),
      owner_write("/v1/athletes/{a}/clearances", post_clearances, "close a stop", {}, RecordKind::clearances),
      {.method = "GET",
       .path = "/v1/athletes",
       .needs = Needs::caller,
       .handler = get_athletes,
       .summary = "the athletes whom the caller may see"},
      {.method = "GET",
       .path = "/v1/week",
       .needs = Needs::coach,
       .handler = get_week,
       .summary = "the coach's review of a week",
       .query = k_week},
      {.method = "GET",
       .path = "/v1/week/decisions",
       .needs = Needs::coach,
       .handler = get_week_decisions,
       .summary = "what was decided on the lines of a week",
       .query = k_one_week},
      {.method = "POST",
       .path = "/v1/week/decisions",
       .needs = Needs::coach,
       .lane = Lane::write,
       .handler = post_week_decisions,
       .summary = "accept, change or ignore a line of the week; the plan stays as it is",
       .body = k_week_decision_keys},
      {.method = "POST",
       .path = "/v1/ingest",
       .needs = Needs::caller,
       .lane = Lane::write,
       .handler = post_ingest,
       .summary = "a log file, CSV or JSON lines, as the body",
       .query = k_name},
      {.method = "GET",
       .path = "/v1/login",
       .needs = Needs::caller,
       .handler = get_login,
       .summary = "who the caller is"},
      {.method = "POST",
       .path = "/v1/login",
       .lane = Lane::write,
       .handler = post_login,
       .summary = "log in on the page: a token for a cookie",
       .body = k_login_keys},
      {.method = "DELETE",
       .path = "/v1/login",
       .lane = Lane::write,
       .handler = delete_login,
       .summary = "log out of the page"},
      {.method = "GET", .path = "/healthz", .handler = get_health, .summary = "whether the service can read its store"},
      {.method = "GET",
       .path = "/metrics",
       .lane = Lane::none,
       .handler = get_metrics,
       .summary = "counters of the service",
       .answer = "application/openmetrics-text"},
      {.method = "GET",
       .path = "/v1/openapi.json",
       .lane = Lane::none,
       .handler = get_openapi,
       .summary = "this table as an OpenAPI document"},
  };
  return all;
}

bool fits(std::string_view path, const Target& target, std::string* a) {
  const auto parts = split(path.substr(1), '/');
  if (parts.size() != target.parts.size()) return false;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    if (parts[i] == "{a}") {
      if (a != nullptr) *a = target.parts[i];
    } else if (parts[i] != target.parts[i]) {
      return false;
    }
  }
  return true;
}

}  // namespace

std::vector<KnownKey> row_keys(RecordKind kind) {
  std::vector<KnownKey> keys;
  for (const std::string_view column : app::columns_of(kind)) {
    if (column != "athlete") keys.push_back({column});
  }
  return keys;
}

std::span<const Route> routes() {
  return table();
}

const Route* find_route(std::string_view method, const Target& target, std::string* a) {
  for (const Route& route : table()) {
    if ((method.empty() || route.method == method) && fits(route.path, target, a)) return &route;
  }
  return nullptr;
}

}  // namespace steelyard::serve
