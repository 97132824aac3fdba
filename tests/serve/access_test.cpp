// Who may see and change what. Sources: the contract (a lifter their own entries, a coach their group); RFC 6750
// section 3 (401 with WWW-Authenticate); the Fetch standard's Origin and Sec-Fetch-Site headers; RFC 6265bis for the
// cookie.
#include "serve/gate.hpp"
#include "service.hpp"

namespace steelyard::serve {
namespace {

class Access : public ServiceBench {
 protected:
  Access() { add_people(); }
};

TEST_F(Access, IsFreeOnThisMachineUntilTheFirstTokenIsMade) {
  EXPECT_EQ(get("/v1/athletes/a1/plan").status, 200);
  EXPECT_EQ(text(get("/v1/login"), "role"), "owner");
  const auto token = app::issue_token(context, {.role = app::Role::lifter, .athlete = "a1"}).value();
  const Response refused = get("/v1/athletes/a1/plan");
  EXPECT_EQ(refused.status, 401);
  EXPECT_EQ(header(refused, "www-authenticate").substr(0, 6), "Bearer");
  ASSERT_TRUE(app::revoke_token(context, token.id));
  EXPECT_EQ(get("/v1/athletes/a1/plan").status, 401) << "revoking the last token must not open the door";
}

TEST_F(Access, WithoutTokensIsNotGivenToOtherNamesOfThisMachine) {
  EXPECT_EQ(get("/v1/athletes/a1/plan", {{"host", "evil.example:8080"}}).status, 403);
  EXPECT_EQ(get("/v1/athletes/a1/plan", {{"host", "[::1]:8080"}}).status, 200);
  EXPECT_EQ(get("/v1/athletes/a1/plan", {{"host", ""}}).status, 403);
}

TEST_F(Access, WithoutTokensIsNotGivenToOtherMachinesWhateverHostTheyName) {
  for (const char* peer : {"127.0.0.1", "127.8.0.1", "::1", "::ffff:127.0.0.1"}) {
    EXPECT_EQ(send({.method = "GET", .target = "/v1/athletes", .headers = {}, .body = {}, .peer = peer}).status, 200)
        << peer;
  }
  for (const char* peer : {"192.0.2.7", "2001:db8::1", "::ffff:192.0.2.7", ""}) {
    EXPECT_EQ(send({.method = "GET", .target = "/v1/athletes", .headers = {}, .body = {}, .peer = peer}).status, 403)
        << peer;
  }
}

TEST_F(Access, OfALifterEndsAtTheirOwnEntries) {
  const Headers a1 = with(lifter_token("a1"));
  EXPECT_EQ(get("/v1/athletes/a1/plan", a1).status, 200);
  EXPECT_EQ(get("/v1/athletes/a2/plan", a1).status, 403);
  EXPECT_EQ(get("/v1/athletes/nobody/plan", a1).status, 403) << "who is stored is not theirs to know";
  EXPECT_EQ(get("/v1/week", a1).status, 403);
  EXPECT_EQ(json(get("/v1/athletes", a1)).at("athletes").as_array().size(), 1U);
  const std::string bar = R"({"lift": "squat", "percent": 60, "speed": 0.6})";
  EXPECT_EQ(post("/v1/athletes/a2/bar", bar, a1).status, 403);
  EXPECT_EQ(post("/v1/athletes/a1/bar", bar, a1).status, 201);
}

TEST_F(Access, OfACoachEndsAtTheGroupAndAtWhatIsShared) {
  const Headers coach = with(coach_token("club"));
  EXPECT_EQ(get("/v1/athletes/a2/today", coach).status, 200);
  EXPECT_EQ(get("/v1/athletes/b1/today", coach).status, 403);
  EXPECT_EQ(get("/v1/week?week=2026-W47", coach).status, 200);
  EXPECT_EQ(get("/v1/week?week=2026-W47&group=other", coach).status, 403);
  EXPECT_EQ(get("/v1/athletes/a2/questions", coach).status, 403) << "words of notes are not shared by default";
  read("athlete,group,share\na2,club,load pain\n", "share.csv");
  EXPECT_EQ(get("/v1/athletes/a2/loads", coach).status, 200);
  EXPECT_EQ(get("/v1/athletes/a2/today", coach).status, 403);
  const Headers everybody = with(coach_token(""));
  EXPECT_EQ(get("/v1/athletes/b1/today", everybody).status, 200);
  EXPECT_EQ(json(get("/v1/athletes", coach)).at("athletes").as_array().size(), 2U);
}

TEST_F(Access, OfAFileIsThatOfItsRows) {
  const std::string of_a2 = "athlete,date,minutes,rpe\na2,2026-11-20,75,7\n";
  EXPECT_EQ(post("/v1/ingest", of_a2, with(lifter_token("a1"))).status, 422);
  EXPECT_EQ(post("/v1/ingest", of_a2, with(coach_token("other"))).status, 422);
  EXPECT_EQ(post("/v1/ingest", of_a2, with(lifter_token("a2"))).status, 201);
  const std::string move = "athlete,group\na2,other\n";
  EXPECT_EQ(post("/v1/ingest", move, with(lifter_token("a2"))).status, 422) << "who coaches is not the lifter's to say";
  EXPECT_EQ(post("/v1/ingest", move, with(coach_token("other"))).status, 422) << "a coach would take a lifter over";
  EXPECT_EQ(post("/v1/ingest", "athlete,group\nc9,other\n", with(coach_token("other"))).status, 201);
}

TEST_F(Access, WhatIsSharedIsTheLiftersToSay) {
  read("athlete,group,share\na2,club,load\n", "share.csv");
  const std::string opened = "athlete,group,share\na2,club,load checks pain notes\n";
  const std::string by_default = "athlete,group\na2,club\n";
  for (const char* group : {"club", ""}) {
    const Headers coach = with(coach_token(group));
    EXPECT_EQ(post("/v1/ingest", opened, coach).status, 422) << group;
    EXPECT_EQ(post("/v1/ingest", by_default, coach).status, 422) << "the default shares more than the load";
    EXPECT_EQ(get("/v1/athletes/a2/questions", coach).status, 403);
    EXPECT_EQ(post("/v1/ingest", "athlete,name,group,share\na2,Wren,club,load\n", coach).status, 201);
  }
  EXPECT_EQ(post("/v1/ingest", opened, with(lifter_token("a2"))).status, 201);
}

TEST_F(Access, ACheckThatACoachEntersAnswersNoMoreThanIsShared) {
  read("athlete,group,share\na2,club,load\n", "share.csv");
  const std::string check = R"({"date": "2026-11-23", "soreness": 6})";
  const Headers coach = with(coach_token("club"));
  const Response answer = post("/v1/athletes/a2/checks", check, coach);
  ASSERT_EQ(answer.status, 201) << answer.body;
  EXPECT_EQ(json(answer).at("stored").as_int64(), 1);
  EXPECT_FALSE(json(answer).as_object().contains("calls")) << answer.body;
  EXPECT_TRUE(json(post("/v1/athletes/a1/checks", check, coach)).as_object().contains("calls")) << "shared by default";
  EXPECT_TRUE(json(post("/v1/athletes/a2/checks", check, with(lifter_token("a2")))).as_object().contains("calls"));
}

TEST_F(Access, EndsWithTheTokensTime) {
  const auto token = app::issue_token(context, {.role = app::Role::lifter, .athlete = "a1", .days = 2}).value();
  EXPECT_EQ(get("/v1/athletes/a1/plan", with(token.secret)).status, 200);
  context.now += std::chrono::hours{48};
  EXPECT_EQ(get("/v1/athletes/a1/plan", with(token.secret)).status, 401);
}

TEST_F(Access, ByThePageTakesACookieThatNoScriptAndNoOtherSiteGets) {
  const std::string token = lifter_token("a1");
  const Response in = post("/v1/login", "{\"token\": \"" + token + "\"}");
  ASSERT_EQ(in.status, 200) << in.body;
  const std::string set = header(in, "set-cookie");
  EXPECT_NE(set.find("HttpOnly"), std::string::npos);
  EXPECT_NE(set.find("SameSite=Strict"), std::string::npos);
  EXPECT_EQ(set.find("Secure"), std::string::npos) << "no TLS here";
  EXPECT_EQ(set.find(token), std::string::npos) << "the token itself stays out of the browser's store";
  const Headers cookie{{"cookie", set.substr(0, set.find(';'))}};
  EXPECT_EQ(text(get("/v1/login", cookie), "athlete"), "a1");
  const std::string bar = R"({"lift": "squat", "percent": 60, "speed": 0.6})";
  const auto from = [&](Headers more) {
    more.insert(more.end(), cookie.begin(), cookie.end());
    return post("/v1/athletes/a1/bar", bar, more).status;
  };
  EXPECT_EQ(from({{"origin", "https://evil.example"}}), 403);
  EXPECT_EQ(from({{"origin", "null"}}), 403);
  EXPECT_EQ(from({{"sec-fetch-site", "cross-site"}}), 403);
  EXPECT_EQ(from({{"sec-fetch-site", "same-site"}}), 403);
  EXPECT_EQ(from({{"origin", "http://localhost:8080"}}), 201);
  EXPECT_EQ(from({{"sec-fetch-site", "same-origin"}}), 201);
  Request out{.method = "DELETE", .target = "/v1/login", .headers = cookie, .body = {}, .peer = {}};
  EXPECT_EQ(send(out).status, 204);
  EXPECT_EQ(get("/v1/login", cookie).status, 401);
  EXPECT_EQ(get("/v1/login", with(token)).status, 200) << "the token itself stays";
}

TEST_F(Access, BehindTlsMarksTheCookieSecure) {
  Api behind(ApiOptions{.open_here = false, .secure = true});
  const Request request{.method = "POST",
                        .target = "/v1/login",
                        .headers = {{"content-type", "application/json"}},
                        .body = "{\"token\": \"" + lifter_token("a1") + "\"}",
                        .peer = "10.0.0.9"};
  EXPECT_NE(header(behind.handle(request, &context), "set-cookie").find("; Secure"), std::string::npos);
}

TEST_F(Access, ChangesFromAnotherSiteAreRefusedAlsoWithoutTokens) {
  const std::string bar = R"({"lift": "squat", "percent": 60, "speed": 0.6})";
  EXPECT_EQ(post("/v1/athletes/a1/bar", bar, {{"origin", "https://evil.example"}}).status, 403);
  EXPECT_TRUE(log().bar.empty());
}

TEST_F(Access, IsSlowedForWhoTriesTokens) {
  const std::string good = lifter_token("a1");
  const std::string wrong(43, 'x');
  for (int i = 0; i < 5; ++i) EXPECT_EQ(get("/v1/login", with(wrong)).status, 401) << i;
  const Response slowed = get("/v1/login", with(wrong));
  EXPECT_EQ(slowed.status, 429);
  EXPECT_EQ(header(slowed, "retry-after"), "1");
  EXPECT_EQ(post("/v1/login", "{\"token\": \"" + good + "\"}").status, 429) << "the log-in counts the same tries";
  context.now += std::chrono::seconds{1};
  EXPECT_EQ(get("/v1/login", with(wrong)).status, 401);
  EXPECT_EQ(header(get("/v1/login", with(wrong)), "retry-after"), "2");
  context.now += std::chrono::hours{1};
  EXPECT_EQ(get("/v1/login", with(good)).status, 200);
}

TEST_F(Access, BehindAProxyThePeerIsWhatTheProxyWroteLast) {
  const ApiOptions behind{.behind_proxy = true};
  const auto peer = [&](const Headers& headers) {
    return peer_of({.method = "GET", .target = "/", .headers = headers, .body = {}, .peer = "127.0.0.1"}, behind);
  };
  EXPECT_EQ(peer({}), "127.0.0.1");
  EXPECT_EQ(peer({{"x-forwarded-for", "9.9.9.9, 192.0.2.1"}}), "192.0.2.1");
  EXPECT_EQ(peer({{"x-forwarded-for", "9.9.9.9"}, {"x-forwarded-for", "192.0.2.1"}}), "192.0.2.1");
}

TEST_F(Access, LeavesALineAndNoValues) {
  const auto token = app::issue_token(context, {.role = app::Role::coach, .group = "club"}).value();
  ASSERT_EQ(post("/v1/athletes/a1/checks", R"({"date": "2026-11-23", "soreness": 6})", with(token.secret)).status, 201);
  EXPECT_EQ(get("/v1/athletes/a1/loads", with(token.secret)).status, 200);
  EXPECT_EQ(get("/v1/week?week=2026-W48", with(token.secret)).status, 200);
  ASSERT_TRUE(store->service().add_accesses(api.take_accesses()));
  const auto lines = store->service().accesses("a1").value();
  ASSERT_EQ(lines.size(), 3U);
  EXPECT_EQ(lines[0].what, "POST /v1/athletes/{a}/checks");
  EXPECT_EQ(lines[0].token, token.id);
  EXPECT_EQ(lines[0].status, 201);
  EXPECT_EQ(lines[1].what, "GET /v1/athletes/{a}/loads");
  EXPECT_EQ(lines[2].what, "GET /v1/week");
  const std::string metrics = api.metrics().text();
  EXPECT_EQ(metrics.find("a1"), std::string::npos);
  EXPECT_EQ(metrics.substr(metrics.size() - 6), "# EOF\n");
}

TEST_F(Access, IsGoneWithTheAthlete) {
  const std::string token = lifter_token("a1");
  EXPECT_EQ(get("/v1/athletes/a1/loads", with(token)).status, 200);
  ASSERT_TRUE(store->service().add_accesses(api.take_accesses()));
  ASSERT_TRUE(store->erase("a1"));
  EXPECT_TRUE(store->service().accesses("a1").value().empty());
  EXPECT_EQ(get("/v1/login", with(token)).status, 401);
}

TEST_F(Access, StaysClosedWhenTheOnlyOneWithATokenIsErased) {
  const auto token =
      app::issue_token(context, {.role = app::Role::lifter, .athlete = "a1", .note = "a1's phone"}).value();
  ASSERT_TRUE(store->erase("a1"));
  EXPECT_EQ(get("/v1/athletes/a2/plan").status, 401);
  EXPECT_EQ(get("/v1/athletes/a2/plan", with(token.secret)).status, 401);
  const auto left = app::list_tokens(context).value();
  ASSERT_EQ(left.size(), 1U);
  EXPECT_EQ(left[0].athlete + left[0].note, "") << "a digest of a random number tells of nobody";
  EXPECT_TRUE(left[0].revoked);
}

TEST_F(Access, KeepsDigestsOfSecretsOnly) {
  // SHA-256("abc"), FIPS 180-4, examples of NIST: ba7816bf 8f01cfea 414140de 5dae2223 b00361a3 96177a9c b410ff61
  // f20015ad
  EXPECT_EQ(app::content_digest("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  const std::string secret = lifter_token("a1");
  EXPECT_EQ(secret.size(), 43U);  // 256 bits at 6 a letter
  EXPECT_NE(secret, lifter_token("a1"));
  const auto tokens = store->service().tokens().value();
  EXPECT_EQ(tokens.size(), 2U);
  for (const auto& token : tokens) {
    EXPECT_EQ(token.hash.size(), 32U);
    EXPECT_EQ(token.hash.find(secret), std::string::npos);
  }
}

}  // namespace
}  // namespace steelyard::serve
