// Sources: the contract's list of routes; RFC 9110 sections 8.8.3 (ETag), 13.1.2 (If-None-Match), 15.5.6 (405 names the
// allowed methods); the IETF draft "The Idempotency-Key HTTP Header Field" (same key, other request: 422).
#include "serve/routes.hpp"
#include "service.hpp"
#include "steelyard/app/plan.hpp"
#include "steelyard/app/show.hpp"
#include "steelyard/app/today.hpp"

namespace steelyard::serve {
namespace {

class ApiTest : public ServiceBench {
 protected:
  ApiTest() { add_people(); }
};

TEST_F(ApiTest, TodayIsByteByByteTheJsonOfTheCommandLine) {
  const Response response = get("/v1/athletes/a1/today?date=2026-11-23");
  ASSERT_EQ(response.status, 200) << response.body;
  const auto call = app::today(context, store->athlete("a1").value().value(), app::k_today).value();
  EXPECT_EQ(response.body, report::today_json(call) + '\n');
  EXPECT_EQ(header(response, "content-type"), "application/json");
}

TEST_F(ApiTest, WithoutADateItIsTheDayWhereTheAthleteLives) {
  read("athlete,time_zone\nz1,Pacific/Auckland\n", "more.csv");
  context.now = Instant{std::chrono::sys_days{std::chrono::year{2026} / 11 / 23} + std::chrono::hours{12}};
  EXPECT_EQ(text(get("/v1/athletes/z1/today"), "date"), "2026-11-24");  // 01:00 on the 24th there
  EXPECT_EQ(text(get("/v1/athletes/a1/today"), "date"), "2026-11-23");
}

TEST_F(ApiTest, EveryReadOfTheContractAnswers) {
  for (const std::string what : {"today", "loads", "strength", "compare", "ahead", "marks", "plan", "morning"}) {
    const Response response = get("/v1/athletes/a1/" + what + "?date=2026-11-23");
    EXPECT_EQ(response.status, 200) << what << response.body;
    EXPECT_EQ(json(response).at("schema").as_int64(), 1) << what;
  }
  EXPECT_EQ(get("/v1/athletes/a1/why?date=2026-11-23").status, 200);
  EXPECT_EQ(get("/v1/athletes/a1/why?date=2026-11-22").status, 404);
  EXPECT_EQ(get("/v1/athletes/a1/questions").status, 200);
  EXPECT_EQ(get("/v1/week?week=2026-W47").status, 200);
  EXPECT_EQ(json(get("/v1/athletes")).at("athletes").as_array().size(), 3U);
  EXPECT_EQ(get("/healthz").status, 200);
  const Response page = get("/v1/athletes/a1/report?date=2026-11-23");
  EXPECT_EQ(header(page, "content-type"), "text/html; charset=utf-8");
  EXPECT_NE(page.body.find("a1"), std::string::npos);
  EXPECT_EQ(page.body.find("<script"), std::string::npos) << "the policy sent with it forbids them";
}

TEST_F(ApiTest, ASessionWithoutAPartReplacesNoOtherOneAndTakesItsSetsAlong) {
  read("athlete,date,kind,minutes,rpe\na1,2026-11-23,other,140,3\n", "hike.csv");
  const std::string session =
      R"({"date": "2026-11-23", "kind": "heavy", "minutes": 61, "rpe": 7,
          "sets": [{"lift": "squat", "sets": 2, "reps": 5, "weight": 60}]})";
  const Response held = post("/v1/athletes/a1/sessions", session);
  ASSERT_EQ(held.status, 201) << held.body;
  EXPECT_EQ(json(held).at("questions").as_int64(), 1);
  ASSERT_EQ(log().sessions.size(), 1U);
  EXPECT_EQ(log().sessions[0].minutes, 140);
  EXPECT_TRUE(log().sets.empty()) << "they are not the hike's";
  ASSERT_EQ(log().questions.size(), 1U);
  const std::string keep = R"({"id": )" + std::to_string(log().questions[0].id) + R"(, "answer": "keep"})";
  ASSERT_EQ(post("/v1/athletes/a1/answers", keep).status, 201);
  ASSERT_EQ(log().sessions.size(), 2U);
  EXPECT_EQ(log().sessions[1].minutes, 61);
  ASSERT_EQ(log().sets.size(), 1U);
  EXPECT_EQ(log().sets[0].part, 2);
}

TEST_F(ApiTest, AReadIsNotSentAgainToWhoHasIt) {
  const Response first = get("/v1/athletes/a1/plan?date=2026-11-23");
  const std::string tag = header(first, "etag");
  ASSERT_FALSE(tag.empty());
  for (const std::string& sent : {tag, "\"other\", " + tag, "W/" + tag, std::string("*")}) {
    const Response again = get("/v1/athletes/a1/plan?date=2026-11-23", {{"if-none-match", sent}});
    EXPECT_EQ(again.status, 304) << sent;
    EXPECT_EQ(again.body, "");
  }
  EXPECT_EQ(get("/v1/athletes/a1/plan?date=2026-11-23", {{"if-none-match", "\"other\""}}).status, 200);
  read("athlete,date,lift,kind\na1,2026-11-24,bench,light\n", "plan2.csv");
  EXPECT_EQ(get("/v1/athletes/a1/plan?date=2026-11-23", {{"if-none-match", tag}}).status, 200);
}

TEST_F(ApiTest, UnknownAddressesMethodsAndParametersAreToldApart) {
  EXPECT_EQ(get("/v1/nothing").status, 404);
  EXPECT_EQ(get("/v1/athletes/nobody/today").status, 404);
  const Response wrong = post("/v1/athletes/a1/today", "{}");
  EXPECT_EQ(wrong.status, 405);
  EXPECT_EQ(header(wrong, "allow"), "GET");
  const Response typo = get("/v1/athletes/a1/today?dat=2026-11-23");
  EXPECT_EQ(typo.status, 400);
  EXPECT_EQ(text(typo, "detail"), "'dat' is not known here; did you mean 'date'?");
  EXPECT_EQ(text(get("/v1/athletes/a1/today?date=2026-02-30"), "where"), "date");
}

TEST_F(ApiTest, ASpanThatEndsBeforeItBeginsIsRefused) {
  for (const std::string what : {"plan", "loads"}) {
    const std::string path = "/v1/athletes/a1/" + what;
    const Response turned = get(path + "?date=2026-11-23&from=2026-11-23&to=2026-11-22");
    EXPECT_EQ(turned.status, 400) << what << turned.body;
    EXPECT_EQ(text(turned, "where"), "to");
    EXPECT_EQ(
        text(turned, "detail"),
        "the span from 2026-11-23 to 2026-11-22 ends before it begins; allowed: a last day on or after the first");
    EXPECT_EQ(get(path + "?date=2026-11-23&from=2026-11-23&to=2026-11-23").status, 200) << what;
  }
  // One end alone is set against what the other is then.
  EXPECT_EQ(get("/v1/athletes/a1/plan?date=2026-11-23&to=2026-11-01").status, 400);
  EXPECT_EQ(get("/v1/athletes/a1/plan?date=2026-11-23&from=2027-01-01").status, 400);
  EXPECT_EQ(text(get("/v1/athletes/a1/plan?week=2026-W48&from=2026-11-23"), "where"), "week");
  const Response days =
      post("/v1/athletes/a1/days-off", R"({"from": "2026-12-02", "to": "2026-12-01", "reason": "holiday"})");
  EXPECT_EQ(days.status, 422) << days.body;
}

TEST_F(ApiTest, ACheckIsStoredAndAnsweredWithTheCall) {
  const Response response = post("/v1/athletes/a1/checks",
                                 R"({"date": "2026-11-23", "sleep_hours": 7.5, "soreness": 2,
                                     "pain": ["knee-right:5:sharp"], "note": "fell, on the stairs"})");
  ASSERT_EQ(response.status, 201) << response.body;
  EXPECT_EQ(text(response, "athlete"), "a1");
  ASSERT_EQ(log().checks.size(), 1U);
  EXPECT_EQ(log().checks[0].sleep_hours, 7.5);
  EXPECT_EQ(log().checks[0].pain, (std::vector<PainEntry>{{"knee-right", 5, PainKind::sharp}}));
  EXPECT_EQ(log().checks[0].note, "fell, on the stairs");
}

TEST_F(ApiTest, AWrongValueNamesItsColumnAndStoresNothing) {
  const Response response = post("/v1/athletes/a1/checks", R"({"date": "2026-11-23", "soreness": 9})");
  EXPECT_EQ(response.status, 422);
  EXPECT_EQ(text(response, "where"), "soreness");
  EXPECT_EQ(text(response, "code"), "bad_data");
  EXPECT_TRUE(log().checks.empty());
  EXPECT_EQ(post("/v1/athletes/a1/checks", "{\"soreness\": ").status, 422);
  EXPECT_EQ(post("/v1/athletes/a1/checks", R"({"sorenes": 2})").status, 400);
}

TEST_F(ApiTest, AKeyThatIsNotKnownIsRefusedWhateverItsValue) {
  read("athlete,date,minutes,rpe\na1,2026-11-20,75,7\n", "one.csv");
  const std::string before = digest();
  for (const Route& route : routes()) {
    if (route.method != "POST" || (route.body.empty() && !route.row)) continue;
    std::string path(route.path);
    if (const auto at = path.find("{a}"); at != std::string::npos) path.replace(at, 3, "a1");
    for (const std::string value : {"null", "false", "true", "1", "\"x\"", "{}", "[]", "[{\"a\": 1}]"}) {
      const Response response = post(path, "{\"nonsense\": " + value + "}");
      EXPECT_EQ(response.status, 400) << path << ' ' << value << response.body;
      EXPECT_EQ(text(response, "where"), "nonsense");
      EXPECT_NE(text(response, "detail").find("; allowed: "), std::string::npos) << response.body;
    }
  }
  const std::string sets = R"({"date": "2026-11-23", "sets": [{"lift": "squat", "reps": 3, "nonsense": null}]})";
  EXPECT_EQ(text(post("/v1/athletes/a1/sets", sets), "where"), "nonsense");
  EXPECT_EQ(text(post("/v1/athletes/a1/sessions", sets), "where"), "nonsense");
  EXPECT_EQ(digest(), before);
}

TEST_F(ApiTest, AKnownKeyTakesItsOwnKindOfValueAndNullSaysNothing) {
  EXPECT_EQ(text(post("/v1/athletes/a1/checks", R"({"soreness": true})"), "detail"),
            "soreness takes a text or a number");
  EXPECT_EQ(text(post("/v1/athletes/a1/checks", R"({"usual": "yes"})"), "detail"), "usual takes true or false");
  EXPECT_EQ(text(post("/v1/athletes/a1/sets", R"({"sets": "3x5"})"), "detail"), "sets takes a list of objects");
  ASSERT_EQ(post("/v1/athletes/a1/checks", R"({"date": "2026-11-23", "soreness": 2, "fatigue": 3})").status, 201);
  ASSERT_EQ(post("/v1/athletes/a1/checks", R"({"date": "2026-11-23", "soreness": null, "mood": 4})").status, 201);
  ASSERT_EQ(log().checks.size(), 1U);
  EXPECT_EQ(log().checks[0].soreness, 2);
  EXPECT_EQ(log().checks[0].mood, 4);
}

TEST_F(ApiTest, ABodyCannotBeAboutSomebodyElseThanThePath) {
  const std::string row = R"("athlete": "a2", "date": "2026-11-23", "lift": "squat", "percent": 60, "speed": 0.6)";
  EXPECT_EQ(text(post("/v1/athletes/a1/bar", "{" + row + "}"), "where"), "athlete");
  const std::string set = R"({"date": "2026-11-23", "sets": [{"athlete": "a2", "lift": "squat", "reps": 3}]})";
  EXPECT_EQ(text(post("/v1/athletes/a1/sets", set), "where"), "athlete");
  EXPECT_EQ(text(post("/v1/athletes/a1/checks", R"({"athlete": "a2", "soreness": 3})"), "where"), "athlete");
  const auto other = store->log("a2", *parse_day("2020-01-01"), *parse_day("2030-01-01")).value();
  EXPECT_TRUE(other.bar.empty() && other.sets.empty() && other.checks.empty());
}

TEST_F(ApiTest, ASessionComesWithItsSetsOrInShorthand) {
  ASSERT_EQ(post("/v1/athletes/a1/sessions",
                 R"({"date": "2026-11-20", "kind": "heavy", "minutes": 75, "rpe": 7,
                     "sets": [{"lift": "squat", "sets": 3, "reps": 5, "weight": 140, "rpe": 8}]})")
                .status,
            201);
  ASSERT_EQ(
      post("/v1/athletes/a1/sessions", R"({"date": "2026-11-21", "text": "bench 100 3x5 @8, 60 min, rpe 6"})").status,
      201);
  ASSERT_EQ(log().sessions.size(), 2U);
  EXPECT_EQ(log().sessions[1].minutes, 60);
  ASSERT_EQ(log().sets.size(), 2U);
  EXPECT_EQ(log().sets[0].weight_kg, 140);
  EXPECT_EQ(log().sets[1].lift, "bench");
  ASSERT_EQ(
      post("/v1/athletes/a1/sets", R"({"date": "2026-11-20", "sets": [{"lift": "squat", "reps": 3, "weight": 150}]})")
          .status,
      201);
  ASSERT_EQ(log().sets.size(), 2U);
  EXPECT_EQ(log().sets[0].weight_kg, 150);
}

TEST_F(ApiTest, TheOtherChangesReachTheStore) {
  EXPECT_EQ(
      post("/v1/athletes/a1/bar", R"({"date": "2026-11-23", "lift": "squat", "percent": 60, "speed": 0.6})").status,
      201);
  EXPECT_EQ(log().bar.size(), 1U);
  EXPECT_EQ(
      post("/v1/athletes/a1/days-off", R"({"from": "2026-12-24", "to": "2026-12-31", "reason": "holiday"})").status,
      201);
  EXPECT_EQ(log().days_off.size(), 1U);
  EXPECT_EQ(
      post("/v1/athletes/a1/decisions", R"({"date": "2026-11-23", "override": "felt good", "did": "3x3"})").status,
      201);
  EXPECT_EQ(log().decisions.size(), 1U);
  EXPECT_EQ(post("/v1/athletes/a1/decisions", R"({"date": "2026-11-23"})").status, 422);
  EXPECT_EQ(post("/v1/athletes/a1/clearances", R"({"date": "2026-11-23", "caution": "x", "by": "mistake"})").status,
            404);
  EXPECT_EQ(post("/v1/week/decisions", R"({"week": "2026-W47", "athlete": "a1", "decision": "accept"})").status, 201);
  EXPECT_EQ(post("/v1/week/decisions", R"({"week": "2026-W47", "athlete": "a1", "decision": "ignore"})").status, 201);
  const auto decided = json(get("/v1/week/decisions?week=2026-W47")).at("decisions").as_array();
  ASSERT_EQ(decided.size(), 1U);
  EXPECT_EQ(decided[0].at("decision").as_string(), "ignore");
}

TEST_F(ApiTest, TheWeekShowsWhatWasDecidedOnItsLinesByWhomAndWhen) {
  read(
      "athlete,date,pain\na1,2026-11-16,knee-right:1:dull\na1,2026-11-18,knee-right:3:dull\n"
      "a1,2026-11-21,knee-right:5:dull\n",
      "checks.csv");
  const auto week = [&] { return json(get("/v1/week?week=2026-W47&date=2026-11-23")).at("flags").at(0); };
  ASSERT_EQ(week().at("athlete").as_string(), "a1");
  EXPECT_TRUE(week().at("decided").is_null());
  const std::string line = R"("week": "2026-W47", "athlete": "a1")";
  EXPECT_EQ(text(post("/v1/week/decisions", "{" + line + R"(, "decision": "change"})"), "where"), "note");
  const auto token = with(coach_token("club"));
  const Response kept =
      post("/v1/week/decisions", "{" + line + R"(, "decision": "change", "note": "off until Friday"})", token);
  ASSERT_EQ(kept.status, 201) << kept.body;
  EXPECT_EQ(text(kept, "plan"), "unchanged");
  const auto decided = json(get("/v1/week?week=2026-W47&date=2026-11-23", token)).at("flags").at(0).at("decided");
  EXPECT_EQ(decided.at("decision").as_string(), "change");
  EXPECT_EQ(decided.at("note").as_string(), "off until Friday");
  EXPECT_EQ(decided.at("by").as_string(), "by the coach of club (token 1)");
  EXPECT_EQ(decided.at("at").as_string(), "2026-11-23T06:00:00Z");
  EXPECT_EQ(json(get("/v1/week/decisions?week=2026-W47", token)).at("decisions").at(0).at("at"), decided.at("at"));
  const std::string page = get("/v1/week?week=2026-W47&date=2026-11-23&as=html", token).body;
  EXPECT_NE(
      page.find("changed by the coach of club (token 1) on <span class=\"day\">2026-11-23</span>: off until Friday"),
      std::string::npos)
      << page;
}

TEST_F(ApiTest, AQuestionIsAnsweredOnlyForItsOwnAthlete) {
  read("athlete,date,minutes,rpe\na1,2026-11-20,75,7\n", "one.csv");
  read("athlete,date,minutes,rpe\na1,2026-11-20,50,6\n", "two.csv");
  const auto asked = store->open_questions("a1").value();
  ASSERT_EQ(asked.size(), 1U);
  const std::string answer = "{\"answer\": \"drop\", \"id\": " + std::to_string(asked[0].id) + "}";
  EXPECT_EQ(post("/v1/athletes/a2/answers", answer).status, 404);
  EXPECT_EQ(post("/v1/athletes/a1/answers", answer).status, 201);
  EXPECT_EQ(open_questions(), 0U);
}

TEST_F(ApiTest, AFileIsIngestedWholeOrNotAtAll) {
  const Response good = post("/v1/ingest?name=s.csv", "athlete,date,minutes,rpe\na1,2026-11-20,75,7\n");
  EXPECT_EQ(good.status, 201) << good.body;
  EXPECT_EQ(log().sessions.size(), 1U);
  const Response bad =
      post("/v1/ingest?name=s.csv", "athlete,date,minutes,rpe\na1,2026-11-21,75,7\na1,2026-11-22,75,77\n");
  EXPECT_EQ(bad.status, 422);
  EXPECT_NE(bad.body.find("s.csv:3:rpe"), std::string::npos) << bad.body;
  EXPECT_EQ(log().sessions.size(), 1U);
}

TEST_F(ApiTest, APostWithAKeyIsDoneOnce) {
  const std::string body = R"({"lift": "squat", "date": "2026-11-23", "percent": 60, "speed": 0.6})";
  const Headers key{{"idempotency-key", "k1"}};
  const Response first = post("/v1/athletes/a1/bar", body, key);
  ASSERT_EQ(first.status, 201);
  read("athlete,date,lift,percent,speed\na1,2026-11-23,squat,60,0.7\n", "newer.csv");
  const Response second = post("/v1/athletes/a1/bar", body, key);
  EXPECT_EQ(second.status, 201);
  EXPECT_EQ(second.body, first.body);
  EXPECT_EQ(header(second, "idempotency-replayed"), "true");
  EXPECT_EQ(log().bar[0].speed_m_s, 0.7) << "the request was done again";
  EXPECT_EQ(post("/v1/athletes/a1/bar", body + " ", key).status, 422);
  EXPECT_EQ(post("/v1/athletes/a1/bar", body, {{"idempotency-key", "k2"}}).status, 201);
  EXPECT_EQ(log().bar[0].speed_m_s, 0.6);
}

TEST_F(ApiTest, AFailedPostLeavesItsKeyFree) {
  const Headers key{{"idempotency-key", "k1"}};
  EXPECT_EQ(post("/v1/athletes/a1/bar", R"({"lift": "squat", "percent": 60, "speed": 99})", key).status, 422);
  EXPECT_EQ(post("/v1/athletes/a1/bar", R"({"lift": "squat", "percent": 60, "speed": 0.6})", key).status, 201);
}

TEST_F(ApiTest, ServesThePagesFilesWithTheirTag) {
  ApiOptions options;
  options.assets = [](std::string_view path) -> std::optional<Asset> {
    if (path == "/") return Asset{"<!doctype html>", "text/html; charset=utf-8", "abc"};
    return std::nullopt;
  };
  Api with_page(options);
  Request request{.method = "GET", .target = "/", .headers = {}, .body = {}, .peer = {}};
  const Response page = with_page.handle(request, nullptr);
  EXPECT_EQ(page.status, 200);
  EXPECT_EQ(page.fixed, "<!doctype html>");
  EXPECT_EQ(header(page, "etag"), "\"abc\"");
  EXPECT_NE(header(page, "content-security-policy").find("default-src 'self'"), std::string::npos);
  request.headers = {{"if-none-match", "\"abc\""}};
  EXPECT_EQ(with_page.handle(request, nullptr).status, 304);
  request.target = "/assets/none.js";
  EXPECT_EQ(with_page.handle(request, nullptr).status, 404);
}

}  // namespace
}  // namespace steelyard::serve
