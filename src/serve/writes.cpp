#include <fmt/core.h>

#include <array>

#include "serve/gate.hpp"
#include "serve/handlers.hpp"
#include "steelyard/app/check.hpp"
#include "steelyard/app/decide.hpp"
#include "steelyard/app/ingest.hpp"
#include "steelyard/app/questions.hpp"
#include "steelyard/app/show.hpp"
#include "steelyard/app/today.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/cells.hpp"
#include "steelyard/domain/vocabulary.hpp"

namespace steelyard::serve {
namespace {

using namespace std::string_view_literals;

/// {"schema", "athlete", "date", "stored": rows, "questions": new ones}
Response stored(const Exchange& x, Day day, std::size_t rows, std::size_t questions) {
  std::string json;
  report::JsonWriter writer(json);
  writer.begin_object().field("schema", 1).field("athlete", x.athlete().athlete).field("date", day);
  writer.field("stored", static_cast<std::int64_t>(rows)).field("questions", static_cast<std::int64_t>(questions));
  writer.end_object();
  return json_response(std::move(json), 201);
}

/// The row of that kind: what the body says, with the athlete and the day of the request.
Result<Record> row_in(Exchange& x, RecordKind kind, const std::vector<app::ColumnText>& said, Day day) {
  std::vector<app::ColumnText> cells = said;  // before the two that nobody may say otherwise
  cells.emplace_back("athlete", x.athlete().athlete);
  cells.emplace_back("date", format_day(day));
  return app::row_of(x.context(), kind, cells);
}

Result<std::vector<Record>> set_rows(Exchange& x, const std::vector<Body>& sets, const std::optional<std::string>& part,
                                     Day day) {
  std::vector<Record> rows;
  std::vector<KnownKey> known = row_keys(RecordKind::sets);
  std::erase_if(known, [](const KnownKey& key) { return key.name == "date"; });  // it is that of the body
  for (const Body& set : sets) {
    STEELYARD_TRY(set.expect_only(known));
    auto cells = set.rest();
    if (part) cells.emplace_back("part", *part);
    STEELYARD_TRY_ASSIGN(auto row, row_in(x, RecordKind::sets, cells, day));
    rows.push_back(std::move(row));
  }
  return rows;
}

Result<std::optional<int>> part_of(const std::optional<std::string>& text) {
  if (!text) return std::nullopt;
  const auto number = parse_int(*text);
  if (!number) return fail(Errc::bad_data, in_quotes(*text) + " is not a whole number", "part");
  return *number;
}

/// A session in gym shorthand.
Result<Response> log_shorthand(Exchange& x, Body& body, const std::string& text, Day day) {
  STEELYARD_TRY_ASSIGN(const auto part, part_of(body.take("part")));
  if (const auto more = body.rest(); !more.empty() || !body.take_objects("sets").empty()) {
    return fail(Errc::bad_data, "a session is given in shorthand or in columns; beside text only part and date",
                more.empty() ? "sets" : more.front().first);
  }
  STEELYARD_TRY_ASSIGN(auto parsed, app::understand(x.context(), x.athlete(), day, text, std::nullopt));
  const std::size_t rows = 1 + parsed.sets.size();
  STEELYARD_TRY_ASSIGN(const auto logged, app::log_session(x.context(), std::move(parsed), part));
  return stored(x, day, rows, logged.questions);
}

Result<Response> clear(Exchange& x, Body& body, Day day, const std::string& caution) {
  const auto by = from_word<ClearedBy>(body.take("by").value_or(""));
  if (!by) {
    return fail(Errc::bad_data, "say who: practitioner (you have been seen) or mistake (it was entered by mistake)",
                "by");
  }
  const std::string note = body.take("note").value_or("");
  STEELYARD_TRY(app::clear_caution(x.context(), x.athlete(), day, caution, *by, note));
  return stored(x, day, 1, 0);
}

}  // namespace

/// The check is added to what is there; the answer is today's call, as `check --json` gives it, to whoever may see it.
Result<Response> post_checks(Exchange& x) {
  STEELYARD_TRY_ASSIGN(Body body, x.body());
  STEELYARD_TRY_ASSIGN(const Day day, x.day_in(body));
  const bool as_usual = body.take_flag("usual");
  const auto done = body.take_words("done");
  const auto missed = body.take_words("missed");
  const auto each_day = [&](const std::vector<std::string>& words, const char* key, auto mark) -> Result<void> {
    for (const auto& word : words) {
      const auto past = parse_day(word);
      if (!past) return fail(Errc::bad_data, past.error().what, key);
      STEELYARD_TRY(mark(x.context(), x.athlete(), *past, day));
    }
    return {};
  };
  STEELYARD_TRY(each_day(done, "done", app::mark_done));
  STEELYARD_TRY(each_day(missed, "missed", app::mark_missed));
  const bool only_past = (!done.empty() || !missed.empty()) && body.rest().empty() && !as_usual;
  std::size_t asked = 0;
  if (!only_past) {
    STEELYARD_TRY_ASSIGN(asked, app::store_check(x.context(), x.athlete(), day, body.rest(), as_usual));
  }
  if (unshared_word(x.caller, x.athlete(), k_call_share)) return stored(x, day, only_past ? 0 : 1, asked);
  STEELYARD_TRY_ASSIGN(const DayCall call, app::today(x.context(), x.athlete(), day));
  return json_response(report::today_json(call), 201);
}

Result<Response> post_sessions(Exchange& x) {
  STEELYARD_TRY_ASSIGN(Body body, x.body());
  STEELYARD_TRY_ASSIGN(const Day day, x.day_in(body));
  if (const auto text = body.take("text")) return log_shorthand(x, body, *text, day);
  auto sets = body.take_objects("sets");
  std::optional<std::string> part;
  for (const auto& [column, cell] : body.rest()) {
    if (column == "part") part = cell;
  }
  std::vector<Record> rows;
  STEELYARD_TRY_ASSIGN(auto session, row_in(x, RecordKind::sessions, body.rest(), day));
  rows.push_back(std::move(session));
  STEELYARD_TRY_ASSIGN(auto set_records, set_rows(x, sets, part, day));
  for (Record& row : set_records) rows.push_back(std::move(row));
  STEELYARD_TRY_ASSIGN(const std::size_t asked, app::store_rows(x.context(), "sessions", rows));
  return stored(x, day, rows.size(), asked);
}

/// The sets are the whole of that part of that day.
Result<Response> post_sets(Exchange& x) {
  STEELYARD_TRY_ASSIGN(Body body, x.body());
  STEELYARD_TRY_ASSIGN(const Day day, x.day_in(body));
  const auto part = body.take("part");
  auto sets = body.take_objects("sets");
  if (sets.empty()) return fail(Errc::bad_data, "give the sets of the session, at least one", "sets");
  STEELYARD_TRY_ASSIGN(const auto rows, set_rows(x, sets, part, day));
  STEELYARD_TRY_ASSIGN(const std::size_t asked, app::store_rows(x.context(), "sets", rows));
  return stored(x, day, rows.size(), asked);
}

Result<Response> post_bar(Exchange& x) {
  STEELYARD_TRY_ASSIGN(Body body, x.body());
  STEELYARD_TRY_ASSIGN(const Day day, x.day_in(body));
  STEELYARD_TRY_ASSIGN(const Record row, row_in(x, RecordKind::bar, body.rest(), day));
  STEELYARD_TRY_ASSIGN(const std::size_t asked, app::store_rows(x.context(), "bar", std::span(&row, 1)));
  return stored(x, day, 1, asked);
}

Result<Response> post_decisions(Exchange& x) {
  STEELYARD_TRY_ASSIGN(Body body, x.body());
  STEELYARD_TRY_ASSIGN(const Day day, x.day_in(body));
  const bool follow = body.take_flag("follow");
  const auto reason = body.take("override");
  const auto done = body.take("did").value_or("");
  const auto lift = body.take("lift");
  if (follow == reason.has_value()) return fail(Errc::bad_data, "say one of \"follow\": true and \"override\": REASON");
  if (reason) {
    STEELYARD_TRY_ASSIGN(const auto kept, app::override_call(x.context(), x.athlete(), day, lift, *reason, done));
    return stored(x, day, kept.size(), 0);
  }
  STEELYARD_TRY_ASSIGN(const auto rows, app::follow(x.context(), x.athlete(), day, lift));
  return stored(x, day, rows.size(), 0);
}

namespace {

/// The one object of columns of a fix; a null corrects nothing and may only stand at a column of the rows asked about.
Result<std::vector<app::ColumnText>> corrections(const Question& question, const std::vector<Body>& columns) {
  if (columns.size() > 1) return fail(Errc::bad_data, "give one object of columns", "columns");
  if (columns.empty()) return std::vector<app::ColumnText>{};
  std::vector<KnownKey> known;
  for (const Record& row : question.rows) {
    const auto keys = row_keys(kind_of(row));
    known.insert(known.end(), keys.begin(), keys.end());
  }
  STEELYARD_TRY(columns[0].expect_only(known));
  return columns[0].rest();
}

}  // namespace

Result<Response> post_answers(Exchange& x) {
  STEELYARD_TRY_ASSIGN(Body body, x.body());
  const auto id = parse_int(body.take("id").value_or(""));
  if (!id) return fail(Errc::bad_data, "say which question: its number", "id");
  const std::string answer = body.take("answer").value_or("");
  const auto columns = body.take_objects("columns");
  STEELYARD_TRY_ASSIGN(const auto question, x.context().store.question(*id));
  if (!question || question->athlete != x.athlete().athlete) {
    return fail(Errc::no_input, fmt::format("there is no question {} about {}", *id, x.athlete().athlete), "id");
  }
  if (answer == "keep") {
    STEELYARD_TRY(app::keep(x.context(), *id));
  } else if (answer == "drop") {
    STEELYARD_TRY(app::drop(x.context(), *id));
  } else if (answer == "fix") {
    STEELYARD_TRY_ASSIGN(const auto corrected, corrections(*question, columns));
    STEELYARD_TRY(app::fix(x.context(), *id, corrected));
  } else {
    return fail(Errc::bad_data, not_a_word(answer, "an answer", std::array{"keep"sv, "fix"sv, "drop"sv}), "answer");
  }
  return stored(x, question->date, question->rows.size(), 0);
}

Result<Response> post_days_off(Exchange& x) {
  STEELYARD_TRY_ASSIGN(Body body, x.body());
  std::vector<app::ColumnText> cells{{"athlete", x.athlete().athlete}};
  const auto said = body.rest();
  cells.insert(cells.end(), said.begin(), said.end());
  STEELYARD_TRY_ASSIGN(const Record row, app::row_of(x.context(), RecordKind::days_off, cells));
  STEELYARD_TRY_ASSIGN(const std::size_t asked, app::store_rows(x.context(), "off", std::span(&row, 1)));
  return stored(x, std::get<DaysOff>(row).from, 1, asked);
}

Result<Response> post_clearances(Exchange& x) {
  STEELYARD_TRY_ASSIGN(Body body, x.body());
  STEELYARD_TRY_ASSIGN(const Day day, x.day_in(body));
  const auto caution = body.take("caution");
  if (!caution) return fail(Errc::bad_data, "say which caution: its id in today's call", "caution");
  return clear(x, body, day, *caution);
}

Result<Response> post_week_decisions(Exchange& x) {
  STEELYARD_TRY_ASSIGN(Body body, x.body());
  const std::string week = body.take("week").value_or("");
  const std::string code = body.take("athlete").value_or("");
  const std::string decision = body.take("decision").value_or("");
  const std::string note = body.take("note").value_or("");
  const auto parsed = parse_iso_week(week);
  if (!parsed) return fail(Errc::bad_data, parsed.error().what, "week");
  STEELYARD_TRY_ASSIGN(const auto athlete, x.context().store.athlete(code));
  if (!athlete || !app::may_see(x.caller, *athlete)) {
    return fail(Errc::not_allowed, "this athlete is not in your group", "athlete");
  }
  x.saw(code);
  STEELYARD_TRY_ASSIGN(const WeekVerdict verdict,
                       app::decide_week(x.context(), *parsed, code, decision, note, app::by_words(x.caller)));
  std::string json;
  report::JsonWriter writer(json);
  writer.begin_object().field("schema", 1).field("week", format_iso_week(*parsed)).field("athlete", code);
  writer.field("decision", decision).field("note", note).field("by", verdict.by).field("at", verdict.at);
  writer.field("plan", "unchanged").end_object();
  return json_response(std::move(json), 201);
}

Result<Response> post_ingest(Exchange& x) {
  app::IngestOptions options;
  const app::Caller& caller = x.caller;
  options.may_write = [&](const Athlete* there, const Record& row) {
    if (caller.role == app::Role::owner) return true;
    const auto* athlete = std::get_if<Athlete>(&row);
    const auto* period = std::get_if<Period>(&row);
    if (caller.role == app::Role::lifter) {
      if (there == nullptr || !app::may_see(caller, *there)) return false;
      return athlete == nullptr || athlete->group == there->group;  // who coaches a lifter is not the lifter's to say
    }
    // What is shared is the lifter's to say.
    if (athlete != nullptr && there != nullptr && athlete->share != there->share) return false;
    if (caller.group.empty()) return true;
    if (period != nullptr && period->athlete.empty()) return period->group == caller.group;
    if (athlete != nullptr && athlete->group != caller.group) return false;
    return there != nullptr ? app::may_see(caller, *there) : athlete != nullptr;
  };
  app::IngestOutcome outcome;
  STEELYARD_TRY_ASSIGN(auto file, app::ingest_text(x.context(), x.query("name").value_or("body"), x.request.body,
                                                   options, &outcome.new_lifts));
  const bool wrong = file.has_errors();
  outcome.files.push_back(std::move(file));
  if (!wrong) return json_response(app::ingest_json(outcome), 201);
  std::string json;
  report::JsonWriter writer(json);
  writer.begin_object().field("type", "about:blank").field("title", phrase(422)).field("status", 422);
  writer.field("detail", "the file has errors; nothing was stored").field("code", "bad_data");
  writer.key("outcome").raw(app::ingest_json(outcome)).end_object();
  Response response = json_response(std::move(json), 422);
  response.headers = {{"content-type", "application/problem+json"}};
  return response;
}

}  // namespace steelyard::serve
