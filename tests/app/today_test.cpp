// Answers and where they come from. Sources: the contract (`today`, `why`, `week`); the zone database of the machine
// (Berlin is UTC+1 in November, Auckland UTC+13).
#include "steelyard/app/today.hpp"

#include "app/bench.hpp"
#include "steelyard/app/check.hpp"
#include "steelyard/app/models.hpp"
#include "steelyard/app/settings.hpp"
#include "steelyard/app/zone.hpp"
#include "steelyard/report/json.hpp"

namespace steelyard::app {
namespace {

class Answers : public Bench {
 protected:
  Answers() {
    add_lifter();
    read("athlete,lift,from,training_max\na1,squat,2026-01-01,150\n");
    read("athlete,date,lift,kind,sets,reps,percent,minutes\na1,2026-11-23,squat,heavy,3,4,82.5,75\n");
  }
};

TEST_F(Answers, TodayKeepsTheCallForWhy) {
  EXPECT_EQ(why(context, lifter(), k_today).error().code, Errc::no_input);
  const auto call = today(context, lifter(), k_today);
  ASSERT_TRUE(call) << call.error().text();
  ASSERT_EQ(call->calls.size(), 1U);
  EXPECT_EQ(call->calls[0].lift, "squat");
  const auto kept = why(context, lifter(), k_today);
  ASSERT_TRUE(kept);
  EXPECT_EQ(kept->json, report::today_json(*call));
  EXPECT_EQ(kept->model_digest, context.models.digest);
}

TEST_F(Answers, AnotherUnitIsForTheSentencesOfOneAnswerOnly) {
  const auto own = today(context, lifter(), k_today).value();
  const auto shown = today(context, lifter(), k_today, Unit::lb).value();
  EXPECT_NE(own.say.front().find(" kg"), std::string::npos) << own.say.front();
  EXPECT_NE(shown.say.front().find(" lb"), std::string::npos) << shown.say.front();
  EXPECT_EQ(shown.say.front().find(" kg"), std::string::npos);
  EXPECT_EQ(shown.calls[0].weight_kg, own.calls[0].weight_kg);
  EXPECT_EQ(why(context, lifter(), k_today)->json, report::today_json(own));
}

TEST_F(Answers, TheSameInputsGiveTheSameAnswer) {
  const auto first = report::today_json(today(context, lifter(), k_today).value());
  const auto second = report::today_json(today(context, lifter(), k_today).value());
  EXPECT_EQ(first, second);
}

TEST_F(Answers, WhyStillTellsWhatWasSaidBeforeALaterEntry) {
  const auto before = report::today_json(today(context, lifter(), k_today).value());
  read("athlete,date,pain\na1,2026-11-23,knee-right:6:sharp\n");
  EXPECT_EQ(why(context, lifter(), k_today)->json, before);
  const auto after = report::today_json(today(context, lifter(), k_today).value());
  EXPECT_NE(after, before);
  EXPECT_EQ(why(context, lifter(), k_today)->json, after);
}

// "done" would write the plan's sets over those that were entered.
TEST_F(Answers, ADayOfWhichTheSetsAreThereIsNotAskedAbout) {
  read("athlete,date,lift,sets,reps,weight\na1,2026-11-23,squat,2,4,122.5\n");
  EXPECT_EQ(mark_done(context, lifter(), k_today, k_today).error().code, Errc::no_input);
  ASSERT_EQ(log().sets.size(), 1U);
  EXPECT_EQ(log().sets[0].sets, 2);
}

TEST_F(Answers, CompareSpeaksOfAPlannedLiftOnly) {
  const auto comparison = compare(context, lifter(), k_today, std::nullopt);
  ASSERT_TRUE(comparison) << comparison.error().text();
  EXPECT_EQ(comparison->lift, "squat");
  EXPECT_FALSE(comparison->options.empty());
  EXPECT_EQ(compare(context, lifter(), k_today, "bench").error().code, Errc::no_input);
}

TEST_F(Answers, WhyRepeatsAComparisonAsItWasMade) {
  EXPECT_EQ(why(context, lifter(), k_today, "compare").error().code, Errc::no_input);
  const auto comparison = compare(context, lifter(), k_today, std::nullopt);
  ASSERT_TRUE(comparison) << comparison.error().text();
  const auto kept = why(context, lifter(), k_today, "compare");
  ASSERT_TRUE(kept) << kept.error().text();
  EXPECT_EQ(kept->json, report::compare_json(*comparison));
  EXPECT_FALSE(kept->text.empty());
}

TEST_F(Answers, WeekIsTheLastFullOneUnlessNamed) {
  EXPECT_EQ(format_iso_week(week(context, {})->week), "2026-W47");  // asked on the Monday of week 48
  EXPECT_EQ(format_iso_week(week(context, {.today = *parse_day("2026-11-22")})->week), "2026-W47");  // its Sunday
  EXPECT_EQ(format_iso_week(week(context, {.today = *parse_day("2026-11-21")})->week), "2026-W46");
  EXPECT_EQ(format_iso_week(week(context, {.week = IsoWeek{2026, 40}})->week), "2026-W40");
  EXPECT_EQ(week(context, {.week = IsoWeek{2026, 49}}).error().code, Errc::usage);
  EXPECT_EQ(week(context, {.group = "nobody"}).error().code, Errc::no_input);
}

TEST(Zone, TodayIsWhereTheAthleteLives) {
  const Instant late{std::chrono::sys_days{std::chrono::year{2026} / 11 / 23} + std::chrono::hours{23}};
  EXPECT_EQ(format_day(today_in("", late).value()), "2026-11-23");
  EXPECT_EQ(format_day(today_in("Europe/Berlin", late).value()), "2026-11-24");
  EXPECT_EQ(format_day(today_in("Pacific/Auckland", late - std::chrono::hours{12}).value()), "2026-11-24");
}

TEST(Zone, NeverLeavesTheZoneDatabase) {
  for (const char* name :
       {"../../etc/passwd", "/etc/passwd", "Europe/../Europe/Berlin", "Nowhere/City", "Europe//Berlin"}) {
    const auto rule = rule_of_zone(name);
    ASSERT_FALSE(rule) << name;
    EXPECT_EQ(rule.error().code, Errc::bad_data) << name;
  }
}

TEST(FindModels, ReadsTheShippedOnesAndRefusesAFolderWithoutAny) {
  const auto models = find_models(std::nullopt);
  ASSERT_TRUE(models) << models.error().text();
  EXPECT_EQ(models->digest, testing::shipped_models().digest);
  EXPECT_EQ(find_models("/nowhere").error().code, Errc::no_input);
  EXPECT_EQ(find_models(STEELYARD_SOURCE_DIR "/tests").error().code, Errc::no_input);
}

TEST(OpenStore, SaysThatAServerIsNotAvailable) {
  EXPECT_EQ(open_store("postgresql://host/db").error().code, Errc::unavailable);
}

}  // namespace
}  // namespace steelyard::app
