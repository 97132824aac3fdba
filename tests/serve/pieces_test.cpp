// What the web page reads beside the JSON of the command line.
#include <gtest/gtest.h>

#include "serve/service.hpp"

namespace steelyard::serve {
namespace {

class PiecesTest : public ServiceBench {
 protected:
  void SetUp() override { add_people(); }
};

TEST_F(PiecesTest, AnswersAreHtmlWithTheSameSentencesWhenAskedFor) {
  const std::string say =
      json(get("/v1/athletes/a1/today?date=2026-11-23")).at("say").as_array()[0].as_string().c_str();
  const Response piece = get("/v1/athletes/a1/today?date=2026-11-23&as=html");
  EXPECT_EQ(piece.status, 200);
  EXPECT_EQ(header(piece, "content-type"), "text/html; charset=utf-8");
  std::string html = piece.body;
  for (std::size_t at = 0; (at = html.find("\xC2\xA0", at)) != std::string::npos;) html.replace(at, 2, " ");
  for (std::size_t at = 0; (at = html.find("\xC3\x97", at)) != std::string::npos;) html.replace(at, 2, "x");
  EXPECT_NE(html.find(say), std::string::npos) << html.substr(0, 400);
  for (const char* path : {"loads", "strength", "compare", "ahead"}) {
    const Response other = get(std::string("/v1/athletes/a1/") + path + "?date=2026-11-23&as=html");
    EXPECT_EQ(other.status, 200) << path;
    EXPECT_EQ(other.body.find('{'), std::string::npos) << path;
  }
  EXPECT_EQ(header(get("/v1/week?date=2026-11-23&as=html"), "content-type"), "text/html; charset=utf-8");
}

TEST_F(PiecesTest, WeightsComeInTheUnitThatWasAskedFor) {
  // 85 % of 160 kg = 136, on the bar 135 kg = 297.6 lb (0.45359237 kg), to the nearest half 297.5
  const std::string pounds = get("/v1/athletes/a1/today?date=2026-11-23&as=html&units=lb").body;
  EXPECT_NE(pounds.find("297.5\xC2\xA0lb"), std::string::npos) << pounds;
  EXPECT_EQ(get("/v1/athletes/a1/today?as=html&units=stone").status, 400);
  EXPECT_EQ(get("/v1/athletes/a1/today?as=xml").status, 400);
}

TEST_F(PiecesTest, TheWarmupDecidesAgain) {
  const auto decision = json(get("/v1/athletes/a1/bar?date=2026-11-23&rpe=7"));
  EXPECT_EQ(decision.at("weight_kg").to_number<double>(), 127.5);  // 80 % of 160 kg = 128
  EXPECT_EQ(get("/v1/athletes/a1/bar?date=2026-11-23&rpe=11").status, 400);
  EXPECT_EQ(get("/v1/athletes/a1/bar?date=2026-11-23").status, 400);
  EXPECT_EQ(get("/v1/athletes/a1/bar?date=2026-11-24&rpe=5").status, 404);  // nothing is planned
}

TEST_F(PiecesTest, MorningsAreSetAgainstWhatWasUsualBefore) {
  std::string rows = "athlete,date,fatigue\n";
  for (int day = 1; day <= 20; ++day)
    rows += "a1,2026-11-" + std::string(day < 10 ? "0" : "") + std::to_string(day) + (day % 2 ? ",2\n" : ",4\n");
  read(rows + "a1,2026-11-23,6\n", "checks.csv");
  const auto document = json(get("/v1/athletes/a1/mornings?date=2026-11-23"));
  for (const auto& item : document.at("items").as_array()) {
    if (item.at("item").as_string() != "fatigue") continue;
    const auto& days = item.at("days").as_array();
    EXPECT_EQ(days.size(), 56U);
    EXPECT_EQ(days.back().at("value").to_number<double>(), 6);
    EXPECT_EQ(days.back().at("usual").to_number<double>(), 3);                       // ten times 2, ten times 4
    EXPECT_NEAR(days.back().at("usual_sd").to_number<double>(), 1.025978352, 1e-8);  // sqrt(20 / 19)
    EXPECT_TRUE(days[0].at("value").is_null());
    return;
  }
  FAIL() << "no fatigue";
}

TEST_F(PiecesTest, TheSquadShowsACoachTheOwnGroupThatSharesItsLoad) {
  read("athlete,group,share\na2,club,checks\n", "athletes.csv");
  const std::string coach = coach_token("club");
  const Response squad = get("/v1/squad?date=2026-11-23", with(coach));
  EXPECT_EQ(squad.status, 200);
  EXPECT_NE(squad.body.find("data-athlete=\"a1\""), std::string::npos);
  EXPECT_EQ(squad.body.find("data-athlete=\"a2\""), std::string::npos);  // does not share the load
  EXPECT_EQ(squad.body.find("data-athlete=\"b1\""), std::string::npos);  // another group
  EXPECT_EQ(get("/v1/squad", with(lifter_token("a1"))).status, 403);
}

}  // namespace
}  // namespace steelyard::serve
