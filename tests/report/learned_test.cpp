// What was learned, as a person reads it and as programs read it. Keys and columns: the contract (`marks`).
#include "steelyard/report/learned.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "steelyard/base/text.hpp"

namespace steelyard::report {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

Marks marks_of_two() {
  Marks marks{.athlete = "a1"};
  marks.targets.push_back({.target = "sleep_quality",
                           .n = 4,
                           .crps = 0.5,
                           .mae = 0.75,
                           .crps_usual28 = 0.625,
                           .crps_last = 1,
                           .crps_ewma = 0.5,
                           .skill_vs_usual28 = 0.2,
                           .cover80 = 0.75,
                           .pit = {1, 0, 2, 0, 0, 1, 0, 0, 0, 0}});
  marks.targets.push_back({.target = "strength:bench"});
  marks.say.emplace_back("A sentence.");
  return marks;
}

TEST(MarksJson, HasTheKeysOfTheContract) {
  EXPECT_EQ(
      marks_json(marks_of_two()),
      R"({"schema":1,"athlete":"a1","athletes":1,"sleep_quality":{"n":4,"crps":0.5,"mae":0.75,"crps_usual28":0.625,)"
      R"("crps_last":1,"crps_ewma":0.5,"skill_vs_usual28":0.2,"cover80":0.75,"pit":[1,0,2,0,0,1,0,0,0,0],)"
      R"("stepped_back":0},"strength:bench":{"n":0,"crps":null,"mae":null,"crps_usual28":null,"crps_last":null,)"
      R"("crps_ewma":null,"skill_vs_usual28":null,"cover80":null,"pit":[0,0,0,0,0,0,0,0,0,0],"stepped_back":0},)"
      R"("say":["A sentence."]})");
}

TEST(MarksText, LeavesOutWhatIsNotMarked) {
  const std::string text = marks_text(marks_of_two(), {});
  EXPECT_THAT(text, HasSubstr("sleep quality"));
  EXPECT_THAT(text, HasSubstr("20 %"));
  EXPECT_THAT(text, HasSubstr("A sentence."));
  EXPECT_THAT(text, Not(HasSubstr("bench")));
}

TEST(MarksCsv, IsALineAForecast) {
  std::string out(marks_csv_header());
  append_marks_csv(out, {.athlete = "a1",
                         .date = *parse_day("2026-03-02"),
                         .target = "soreness",
                         .made_on = *parse_day("2026-03-01"),
                         .mean = 2.5,
                         .low80 = 1.25,
                         .high80 = 4,
                         .observed = 3});
  append_marks_csv(out, {.athlete = "a1",
                         .date = *parse_day("2026-03-02"),
                         .target = "strength:squat",
                         .made_on = *parse_day("2026-03-02"),
                         .mean = 140,
                         .low80 = 136,
                         .high80 = 144.5,
                         .observed = std::nullopt});
  EXPECT_EQ(out,
            "athlete,date,target,made_on,mean,low80,high80,observed\n"
            "a1,2026-03-02,soreness,2026-03-01,2.5,1.25,4,3\n"
            "a1,2026-03-02,strength:squat,2026-03-02,140,136,144.5,\n");
}

StrengthReport strength() {
  LiftStrength squat{.lift = "squat", .sessions = 5, .training_max_kg = 100};
  for (int i = 0; i < 5; ++i) {
    squat.days.push_back({.date = *parse_day("2026-03-02") + Days{2 * i},
                          .expected_kg = 100,
                          .low80_kg = 97,
                          .high80_kg = 103,
                          .estimated_kg = 99.0 + i});
  }
  squat.now = ExpectedStrength{.percent = 98, .low80 = 95, .high80 = 101, .sessions = 5, .learned = true};
  squat.worth.push_back(
      {.item = "sleep", .mean = -0.2, .low80 = -0.6, .high80 = 0.2, .sessions = 41, .say = "41 nights."});
  squat.say.emplace_back("Too few entries yet for mood (3 of 20).");
  return {.athlete = "a1", .date = *parse_day("2026-03-12"), .lifts = {squat}};
}

TEST(StrengthText, ShowsSessionsChartAndSentences) {
  const std::string text = strength_text(strength(), {});
  EXPECT_THAT(text, HasSubstr("Squat: 5 sessions with an estimate"));
  EXPECT_THAT(text, HasSubstr("Expected today: 98 % of the training max, 95 to 101 on four of five such days"));
  EXPECT_THAT(text, HasSubstr("97 to 103"));
  EXPECT_THAT(text, HasSubstr("- 41 nights."));
  EXPECT_THAT(text, HasSubstr("Too few entries yet for mood"));
  EXPECT_THAT(strength_text(strength(), {.units = Unit::lb}), HasSubstr("(lb)"));
  for (const auto line : split(text, '\n')) EXPECT_LE(display_width(line), 80U) << line;
}

TEST(StrengthText, SaysThatNothingIsKnown) {
  EXPECT_THAT(strength_text({.athlete = "a1"}, {}), HasSubstr("nothing is known about strength"));
}

TEST(StrengthJson, KeepsEveryDay) {
  const std::string json = strength_json(strength());
  EXPECT_THAT(json,
              HasSubstr(R"({"date":"2026-03-02","estimated_kg":99,"expected_kg":100,"low80_kg":97,"high80_kg":103})"));
  EXPECT_THAT(json, HasSubstr(R"("worth":[{"item":"sleep","percent":-0.2,"low80":-0.6,"high80":0.2,"sessions":41,)"));
}

TEST(LearnText, NamesWhoSpeaks) {
  LearnReport report{.athlete = "a1", .through = *parse_day("2026-03-12")};
  report.targets.push_back({.target = "mood", .observations = 30, .scored = 23, .noise_sd = 0.7, .steps_back = true});
  const std::string text = learn_text(report, {});
  EXPECT_THAT(text, HasSubstr("Learned from entries up to Thursday 2026-03-12."));
  EXPECT_THAT(text, HasSubstr("28-day mean"));
  EXPECT_THAT(learn_json(report),
              HasSubstr(R"("through":"2026-03-12","targets":[{"target":"mood","observations":30,)"));
}

}  // namespace
}  // namespace steelyard::report
