// Rows entered by command. Sources: the contract's columns and ranges; 1 lb = 0.45359237 kg exactly.
#include "steelyard/app/record.hpp"

#include "app/bench.hpp"
#include "steelyard/app/check.hpp"

namespace steelyard::app {
namespace {

class Records : public Bench {
 protected:
  Records() { add_lifter(); }
};

TEST_F(Records, AddsChangesAndRefusesAthletes) {
  const std::vector<ColumnText> typed{{"units", "lb"}, {"weekdays", "tue thu"}, {"group", "club"}};
  const auto added = add_athlete(context, "b2", typed);
  ASSERT_TRUE(added) << added.error().text();
  EXPECT_EQ(added->units, Unit::lb);
  EXPECT_EQ(add_athlete(context, "b2", typed).error().code, Errc::usage);
  EXPECT_EQ(add_athlete(context, "b 3", {}).error().code, Errc::bad_data);
  const std::vector<ColumnText> unborn{{"birth_year", "2030"}};
  EXPECT_EQ(add_athlete(context, "b4", unborn).error().text(),
            "birth_year 2030 has not come yet; allowed: a year up to 2026");

  const std::vector<ColumnText> change{{"group", "juniors"}};
  const auto changed = set_athlete(context, "b2", change);
  ASSERT_TRUE(changed) << changed.error().text();
  EXPECT_EQ(changed->group, "juniors");
  EXPECT_EQ(changed->units, Unit::lb);  // what was not named stays
  EXPECT_EQ(changed->weekdays, added->weekdays);
  EXPECT_EQ(set_athlete(context, "nobody", change).error().code, Errc::no_input);
}

TEST_F(Records, FindsTheLoneAthleteThenTheOneOfTheSettings) {
  EXPECT_EQ(find_athlete(context, std::nullopt, std::nullopt)->athlete, "a1");
  ASSERT_TRUE(add_athlete(context, "b2", {}));
  EXPECT_EQ(find_athlete(context, std::nullopt, std::nullopt).error().code, Errc::usage);
  EXPECT_EQ(find_athlete(context, std::nullopt, "b2")->athlete, "b2");
  EXPECT_EQ(find_athlete(context, "a1", "b2")->athlete, "a1");
  const auto typo = find_athlete(context, "b22", std::nullopt);
  ASSERT_FALSE(typo);
  EXPECT_NE(typo.error().what.find("did you mean 'b2'?"), std::string::npos) << typo.error().what;
}

TEST_F(Records, WritesATrainingMaxInTheUnitThatWasTyped) {
  const auto max = set_max(context, lifter(), "squat", "350", Unit::lb, k_today);
  ASSERT_TRUE(max) << max.error().text();
  EXPECT_DOUBLE_EQ(max->training_max_kg, 350 * 0.45359237);
  EXPECT_EQ(set_max(context, lifter(), "squat", "0", std::nullopt, k_today).error().where, "training_max");
  EXPECT_EQ(log().maxes.size(), 1U);
}

TEST_F(Records, WritesDaysOffAndTellsWhichReasonsThereAre) {
  ASSERT_TRUE(set_days_off(context, lifter(), k_today, k_today + Days{6}, "holiday"));
  EXPECT_EQ(log().days_off.at(0).to, k_today + Days{6});
  const auto wrong = set_days_off(context, lifter(), k_today, k_today, "holliday");
  ASSERT_FALSE(wrong);
  EXPECT_NE(wrong.error().what.find("holiday"), std::string::npos) << wrong.error().what;
  EXPECT_EQ(set_days_off(context, lifter(), k_today, k_today - Days{1}, "holiday").error().code, Errc::bad_data);
}

TEST_F(Records, UndoTakesTheLastEntryBackAndNotMore) {
  const std::string before = digest();
  ASSERT_TRUE(set_days_off(context, lifter(), k_today, k_today, "travel"));
  EXPECT_NE(digest(), before);
  const auto undone = undo(context);
  ASSERT_TRUE(undone && *undone);
  EXPECT_EQ((*undone)->source, "off");
  EXPECT_EQ(digest(), before);
}

// ------------------------------------------------------------------------------------------ shorthand
TEST_F(Records, LogsASessionUnderstoodFromShorthand) {
  auto parsed = understand(context, lifter(), k_today, "squat 140 3x5 @8, bench 100x5x3, 75 min, rpe 7", std::nullopt);
  ASSERT_TRUE(parsed) << parsed.error().text();
  ASSERT_TRUE(log_session(context, *parsed, std::nullopt));
  const auto stored = log();
  ASSERT_EQ(stored.sessions.size(), 1U);
  EXPECT_EQ(stored.sessions[0].minutes, 75);
  EXPECT_EQ(stored.sessions[0].rpe, 7);
  ASSERT_FALSE(stored.sets.empty());
  EXPECT_EQ(stored.sets[0].weight_kg, 140);
  const std::string before = digest();
  ASSERT_TRUE(log_session(context, *parsed, std::nullopt));  // the same once more
  EXPECT_EQ(digest(), before);
}

TEST_F(Records, AsksForThePartWhenTheDayHasAnotherSession) {
  const auto first = understand(context, lifter(), k_today, "squat 140 3x5, 75 min, rpe 7", std::nullopt);
  const auto other = understand(context, lifter(), k_today, "bench 100 3x5, 40 min, rpe 6", std::nullopt);
  ASSERT_TRUE(first && other);
  ASSERT_TRUE(log_session(context, *first, std::nullopt));
  EXPECT_EQ(log_session(context, *other, std::nullopt).error().code, Errc::usage);
  EXPECT_EQ(log().sessions.size(), 1U);
  ASSERT_TRUE(log_session(context, *other, 2));
  EXPECT_EQ(log().sessions.size(), 2U);
  const auto corrected = log_session(context, *other, 1);
  ASSERT_TRUE(corrected);
  EXPECT_TRUE(corrected->replaced);
  EXPECT_EQ(log().sessions[0].minutes, 40);
}

// ------------------------------------------------------------------------------------------ morning check
class Mornings : public Records {
 protected:
  Mornings() {
    std::string text = "athlete,date,sleep_hours,sleep_quality,soreness,fatigue,stress,mood\n";
    for (int ago = 10; ago > 0; --ago) {
      text += "a1," + format_day(k_today - Days{ago}) + (ago % 2 == 0 ? ",7,5,2,3,3,5\n" : ",7.5,5,3,3,3,6\n");
    }
    read(text);
    read(
        "athlete,date,lift,kind,sets,reps,percent,minutes\n"
        "a1,2026-11-20,squat,heavy,3,4,82.5,75\na1,2026-11-20,bench,volume,4,8,65,\n");
  }
};

TEST_F(Mornings, UsualIsOwnMeanToTheStepOfTheQuestion) {
  const auto morning = morning_of(context, lifter(), k_today).value();
  EXPECT_EQ(morning.usual.at("sleep_hours"), 7.5);  // mean 7.25, to the nearest half (ties away from zero)
  EXPECT_EQ(morning.usual.at("soreness"), 3);       // mean 2.5
  EXPECT_EQ(morning.usual.at("fatigue"), 3);
}

TEST_F(Mornings, AsksAboutAPlannedSessionUntilItIsAnswered) {
  const auto morning = morning_of(context, lifter(), k_today).value();
  ASSERT_EQ(morning.unentered.size(), 1U);
  EXPECT_EQ(morning.unentered[0].date, *parse_day("2026-11-20"));
  EXPECT_EQ(morning.unentered[0].plan.at(0).lift, "squat");
  ASSERT_TRUE(mark_done(context, lifter(), *parse_day("2026-11-20"), k_today));
  EXPECT_TRUE(morning_of(context, lifter(), k_today)->unentered.empty());
  const auto stored = log();
  ASSERT_EQ(stored.sessions.size(), 1U);
  EXPECT_EQ(stored.sessions[0].minutes, 75);
  EXPECT_FALSE(stored.sessions[0].rpe);  // not said is not zero
  ASSERT_EQ(stored.sets.size(), 2U);
  EXPECT_EQ(stored.sets[0].percent, 82.5);
  EXPECT_EQ(mark_missed(context, lifter(), *parse_day("2026-11-20"), k_today).error().code, Errc::no_input);
}

TEST_F(Mornings, DidNotTrainIsADayOff) {
  ASSERT_TRUE(mark_missed(context, lifter(), *parse_day("2026-11-20"), k_today));
  ASSERT_EQ(log().days_off.size(), 1U);
  EXPECT_EQ(log().days_off[0].reason, OffReason::missed);
  EXPECT_TRUE(morning_of(context, lifter(), k_today)->unentered.empty());
}

TEST_F(Mornings, ADayToComeIsNeitherDoneNorMissed) {
  const Day tomorrow = k_today + Days{1};
  read("athlete,date,lift,kind,sets,reps,percent\na1,2026-11-24,squat,heavy,3,4,82.5\n");
  EXPECT_EQ(mark_done(context, lifter(), tomorrow, k_today).error().code, Errc::usage);
  EXPECT_EQ(mark_missed(context, lifter(), tomorrow, k_today).error().code, Errc::usage);
  EXPECT_TRUE(log().sessions.empty());
  EXPECT_TRUE(log().days_off.empty());
  EXPECT_TRUE(mark_done(context, lifter(), tomorrow, tomorrow));
}

TEST_F(Mornings, AUsualMorningStoresTheUsualValuesAndOnlyWhatWasAsked) {
  ASSERT_TRUE(store_check(context, lifter(), k_today, {}, true));
  const Check stored = log().checks.back();
  EXPECT_EQ(stored.date, k_today);
  EXPECT_EQ(stored.sleep_hours, 7.5);
  EXPECT_FALSE(stored.resting_hr);
}

TEST_F(Mornings, ASecondCheckAddsToTheFirst) {
  const std::vector<ColumnText> first{{"sleep_hours", "6"}, {"soreness", "4"}};
  const std::vector<ColumnText> second{{"pain", "knee-right:3:dull"}};
  ASSERT_TRUE(store_check(context, lifter(), k_today, first, false));
  ASSERT_TRUE(store_check(context, lifter(), k_today, second, true));
  const Check stored = log().checks.back();
  EXPECT_EQ(stored.sleep_hours, 6);  // the usual does not overwrite what was entered
  EXPECT_EQ(stored.soreness, 4);
  EXPECT_EQ(stored.mood, 6);
  ASSERT_EQ(stored.pain.size(), 1U);
}

TEST_F(Mornings, ANightWithoutSleepHasNoUsualQualityWheneverItWasEntered) {
  const std::vector<ColumnText> typed{{"sleep_hours", "0"}};
  ASSERT_TRUE(store_check(context, lifter(), k_today, typed, false));
  ASSERT_TRUE(store_check(context, lifter(), k_today, {}, true));
  const Check stored = log().checks.back();
  EXPECT_EQ(stored.sleep_hours, 0);
  EXPECT_FALSE(stored.sleep_quality);
  EXPECT_EQ(stored.mood, 6);
  EXPECT_EQ(open_questions(), 0U);
}

TEST_F(Mornings, RefusesAnEmptyCheckAndAValueOutsideItsRange) {
  EXPECT_EQ(store_check(context, lifter(), k_today, {}, false).error().code, Errc::usage);
  const std::vector<ColumnText> typed{{"soreness", "8"}};
  const auto refused = store_check(context, lifter(), k_today, typed, false);
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().code, Errc::bad_data);
  EXPECT_EQ(refused.error().where, "soreness");
}

}  // namespace
}  // namespace steelyard::app
