#include "steelyard/report/text.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdlib>
#include <fstream>
#include <sstream>

#include "report/examples.hpp"
#include "steelyard/report/ahead.hpp"

/// Whole outputs for invented records, compared with tests/golden/report. STEELYARD_REWRITE_GOLDEN=1 writes them anew;
/// the difference is then reviewed by eye.

namespace steelyard::report {
namespace {

using testing::HasSubstr;
using testing::Not;

void expect_golden(const std::string& name, const std::string& text) {
  const std::string path = std::string(STEELYARD_SOURCE_DIR) + "/tests/golden/report/" + name;
  if (std::getenv("STEELYARD_REWRITE_GOLDEN") != nullptr) std::ofstream(path, std::ios::binary) << text;
  std::ifstream file(path, std::ios::binary);
  ASSERT_TRUE(file) << path;
  std::ostringstream expected;
  expected << file.rdbuf();
  EXPECT_EQ(text, expected.str());
}

constexpr Look k_ascii{};
constexpr Look k_unicode{.color = false, .unicode = true, .width = 80, .units = Unit::kg};
constexpr Look k_pounds{.color = true, .unicode = false, .width = 60, .units = Unit::lb};

TEST(TodayText, GivesTheSentenceThenReasonsThenNumbers) {
  expect_golden("today.ascii.txt", today_text(examples::short_night(), k_ascii, examples::bands()));
  expect_golden("today.unicode.txt", today_text(examples::short_night(), k_unicode, examples::bands()));
}

TEST(TodayText, ShowsPoundsButKilogramPlatesAsTheyAre) {
  const std::string text = today_text(examples::short_night(), k_pounds);
  expect_golden("today.pounds.txt", text);
  EXPECT_THAT(text, HasSubstr("275.5 lb"));  // 125 kg / 0.45359237 = 275.578 lb, to the nearest half
  EXPECT_THAT(text, HasSubstr("2 x 25 + 2.5 kg"));
}

TEST(TodayText, HoldsNothingButTheStopAndItsTwoExits) {
  const std::string text = today_text(examples::stopped(), k_ascii, examples::bands());
  expect_golden("stopped.ascii.txt", text);
  EXPECT_THAT(text, HasSubstr("steelyard decide --cleared hot-swollen-calf --by practitioner --athlete"));
  EXPECT_THAT(text, HasSubstr("steelyard decide --cleared hot-swollen-calf --by mistake --athlete"));
  for (const char* other : {"warm-up", "planned", "pain-low-back", "expected", "quads"}) {
    EXPECT_THAT(text, Not(HasSubstr(other)));
  }
}

TEST(TodayText, WrapsTheCommandsOfAStopAsAShellTakesThem) {
  DayCall call = examples::stopped();
  call.athlete = "anna-from-the-harbour";
  call.cautions.front().id = "breathless-in-effort";
  for (const int width : {40, 60, 80}) {
    std::string text = today_text(call, {.color = false, .unicode = false, .width = width, .units = Unit::kg});
    for (std::size_t at = 0; (at = text.find(" \\\n", at)) != std::string::npos;) {  // what the shell makes of it
      text.replace(at, text.find_first_not_of(' ', at + 3) - at, " ");
    }
    for (const std::string by : {"practitioner", "mistake"}) {
      EXPECT_THAT(text, HasSubstr("    steelyard decide --cleared breathless-in-effort --by " + by +
                                  " --athlete anna-from-the-harbour\n"));
    }
  }
}

TEST(TodayText, LeavesNoWordOfAStopOut) {
  const std::string text = today_text(examples::stopped(), k_ascii);
  EXPECT_THAT(text, HasSubstr("Tell a parent or guardian and the supervising adult."));
}

TEST(TodayText, DoesNotMixAnEmergencyWithAnythingLess) {
  DayCall call = examples::stopped();
  call.cautions.insert(call.cautions.begin(), {"fainted",
                                               Urgency::now,
                                               "Stop. Go to an emergency department now.",
                                               "common practice",
                                               {},
                                               examples::day(3, 2)});
  call.say.insert(call.say.begin(), "Stop. Go to an emergency department now.");
  for (const Question& question : call.questions) call.say.push_back(question.say);
  const std::string text = today_text(call, k_ascii);
  EXPECT_TRUE(text.starts_with("Stop. Go to an emergency department now.\n"));
  EXPECT_THAT(text, HasSubstr("--cleared fainted --by mistake"));
  EXPECT_THAT(text, Not(HasSubstr("calf")));
  EXPECT_THAT(text, Not(HasSubstr("Body mass")));
}

TEST(WhyText, RepeatsEveryFigure) {
  expect_golden("why.ascii.txt", why_text(examples::short_night(), k_ascii));
}

TEST(CompareText, PutsOptionsBesideEachOther) {
  expect_golden("compare.ascii.txt", compare_text(examples::options(), k_ascii));
  expect_golden("compare.unicode.txt", compare_text(examples::options(), k_unicode));
}

TEST(WeekText, ListsFlagsInOrder) {
  expect_golden("week.ascii.txt", week_text(examples::week(), k_ascii));
}

TEST(WeekText, SaysWhenNobodyNeedsALook) {
  WeekReview quiet = examples::week();
  quiet.flags.clear();
  EXPECT_TRUE(week_text(quiet, k_ascii).starts_with("Nobody needs a look this week.\n"));
}

TEST(LoadsText, ShowsBarsTableAndFormulas) {
  expect_golden("loads.ascii.txt", loads_text(examples::loads(), k_ascii));
  expect_golden("loads.unicode.txt", loads_text(examples::loads(), k_unicode));
}

TEST(LoadsText, SaysWhatAGapLeavesOpen) {
  const std::string text = loads_text(examples::loads_with_a_gap(), k_ascii);
  expect_golden("loads-gap.ascii.txt", text);
  EXPECT_TRUE(text.starts_with("The last 7 days carry at least 1280 AU; 1 day is not logged.\n"));  // 525 + 275 + 480
}

TEST(LoadsText, GivesNoRatioWhileItIsUncertain) {
  LoadReport report = examples::loads_with_a_gap();
  for (DayFigures& day : report.days) {
    if (day.unlogged_of_28 > 0)
      day.state = RatioState::uncertain, day.ratio_coupled.reset(), day.ratio_uncoupled.reset();
  }
  const std::string text = loads_text(report, k_ascii);
  EXPECT_THAT(text, HasSubstr("No ratio is given."));
  EXPECT_THAT(text, HasSubstr("it decides nothing."));
}

TEST(LoadsText, ComparesMonotonyWithThatOfEqualDays) {
  // k equal days of seven have monotony sqrt(6 k / (7 (7 - k))) with the sample SD: 0.80 for 3, 1.07 for 4
  EXPECT_THAT(loads_text(examples::loads(), k_ascii), HasSubstr("3 days of equal load a week give 0.80"));
  LoadReport four = examples::loads();
  four.days[41].load_au = 100;
  EXPECT_THAT(loads_text(four, k_ascii), HasSubstr("4 days of equal load a week give 1.07"));
}

TEST(QuestionsText, NamesTheThreeAnswers) {
  expect_golden("questions.ascii.txt", questions_text(examples::questions(), k_ascii));
}

// A day that nobody has written down yet repeats the last written week and is not called planned.
TEST(AheadText, NamesADayThatIsOnlyRepeated) {
  Ahead ahead{.athlete = "ada", .from = Day{Days{20780}}, .days = {}, .missing = {}, .say = {"Two weeks."}};
  const Prescription heavy{.kind = DayKind::heavy, .sets = 3, .reps = 4, .percent = 82.5};
  const auto against = [&](std::optional<DayKind> planned, bool changed) {
    AheadDay day{.date = ahead.from, .available = true, .note = {}, .lifts = {}};
    day.lifts.push_back({.lift = "squat", .work = heavy, .weight_kg = {}, .planned = planned, .changed = changed});
    ahead.days = {day};
    return ahead_text(ahead, {.width = 100});
  };
  EXPECT_THAT(against(DayKind::heavy, false), HasSubstr("as planned"));
  EXPECT_THAT(against(DayKind::speed, true), HasSubstr("planned: speed"));
  EXPECT_THAT(against(std::nullopt, false), HasSubstr("as in the last written week"));
  EXPECT_THAT(against(std::nullopt, true), HasSubstr("not on the plan"));
}

}  // namespace
}  // namespace steelyard::report
