// Answers to questions. Sources: the contract's `questions` command; each expectation is what the person said.
#include "steelyard/app/questions.hpp"

#include "app/bench.hpp"

namespace steelyard::app {
namespace {

class Questions : public Bench {
 protected:
  Questions() { add_lifter(); }
  std::int64_t only_id() {
    const auto open = list_questions(context, "a1").value();
    EXPECT_EQ(open.size(), 1U);
    return open.empty() ? 0 : open[0].id;
  }
  static constexpr std::string_view k_check = "athlete,date,sleep_hours,sleep_quality\na1,2026-11-17,0,6\n";
  void ask_about_sleep() { read(k_check); }
  void ask_about_a_set() {
    read("athlete,lift,from,training_max\na1,squat,2026-01-01,150\n");
    read(k_sets);
  }
  static constexpr std::string_view k_sets =
      "athlete,date,lift,reps,weight\na1,2026-11-16,squat,5,100\na1,2026-11-16,squat,5,275\n";
};

TEST_F(Questions, KeepBringsTheValueBackAndTheFileStaysAnswered) {
  ask_about_sleep();
  ASSERT_TRUE(keep(context, only_id()));
  EXPECT_EQ(log().checks.at(0).sleep_hours, 0);
  EXPECT_EQ(open_questions(), 0U);
  const std::string before = digest();
  EXPECT_EQ(read(k_check).asked, 0U);
  EXPECT_EQ(digest(), before);
}

TEST_F(Questions, FixStoresTheCorrectedValueAndTheFileDoesNotUndoIt) {
  ask_about_sleep();
  const std::vector<ColumnText> typed{{"sleep_hours", "7.5"}};
  ASSERT_TRUE(fix(context, only_id(), typed));
  EXPECT_EQ(log().checks.at(0).sleep_hours, 7.5);
  read(k_check);
  EXPECT_EQ(log().checks.at(0).sleep_hours, 7.5);
  EXPECT_EQ(open_questions(), 0U);
}

TEST_F(Questions, DropLeavesTheValueBlankForGood) {
  ask_about_sleep();
  ASSERT_TRUE(drop(context, only_id()));
  read(k_check);
  EXPECT_FALSE(log().checks.at(0).sleep_hours);
  EXPECT_EQ(open_questions(), 0U);
}

TEST_F(Questions, FixOfASetReadsTheUnitThatWasMeant) {
  ask_about_a_set();
  const std::vector<ColumnText> typed{{"unit", "lb"}};
  const auto fixed = fix(context, only_id(), typed);
  ASSERT_TRUE(fixed) << fixed.error().text();
  const auto sets = log().sets;
  ASSERT_EQ(sets.size(), 2U);
  EXPECT_DOUBLE_EQ(sets[1].weight_kg.value_or(0), 275 * 0.45359237);
  EXPECT_EQ(sets[1].unit, Unit::lb);
  const std::string before = digest();
  read(k_sets);
  EXPECT_EQ(digest(), before);
}

TEST_F(Questions, KeepOfASetBringsItsWeightBackInItsPlace) {
  ask_about_a_set();
  ASSERT_TRUE(keep(context, only_id()));
  const auto sets = log().sets;
  ASSERT_EQ(sets.size(), 2U);
  EXPECT_EQ(sets[0].weight_kg, 100);
  EXPECT_EQ(sets[1].weight_kg, 275);
}

TEST_F(Questions, KeepOfADoubledSessionCountsBoth) {
  const std::string_view file = "athlete,date,minutes,rpe\na1,2026-11-16,60,7\na1,2026-11-16,60,7\n";
  read(file);
  ASSERT_EQ(log().sessions.size(), 1U);
  ASSERT_TRUE(keep(context, only_id()));
  EXPECT_EQ(log().sessions.size(), 2U);
  const std::string before = digest();
  EXPECT_EQ(read(file).asked, 0U);
  EXPECT_EQ(digest(), before);
}

TEST_F(Questions, ASecondSessionIsKeptAsOneOrTakenAsACorrection) {
  read("athlete,date,minutes,rpe\na1,2026-11-16,75,7\n");
  read("athlete,date,minutes,rpe\na1,2026-11-16,30,4\n");
  ASSERT_TRUE(keep(context, only_id()));
  ASSERT_EQ(log().sessions.size(), 2U);
  EXPECT_EQ(log().sessions[1].minutes, 30);

  read("athlete,date,minutes,rpe\na1,2026-11-18,75,7\n");
  read("athlete,date,minutes,rpe\na1,2026-11-18,80,7\n");
  ASSERT_TRUE(fix(context, only_id(), {}));
  ASSERT_EQ(log().sessions.size(), 3U);
  EXPECT_EQ(log().sessions[2].minutes, 80);
}

TEST_F(Questions, AFixStaysOnItsDayAndWithItsAthlete) {
  read("athlete\nb1\n");
  read("athlete,date,sleep_hours,sleep_quality\na1,2026-11-16,8,6\n");
  ask_about_sleep();
  const std::string before = digest();
  const auto id = only_id();
  for (const char* column : {"date", "athlete", "part"}) {
    const std::string value = std::string_view(column) == "date" ? "2026-11-16" : "b1";
    const std::vector<ColumnText> typed{{"sleep_hours", "7"}, {column, value}};
    const auto refused = fix(context, id, typed);
    ASSERT_FALSE(refused) << column;
    EXPECT_EQ(refused.error().code, Errc::usage);
    EXPECT_EQ(refused.error().where, column);
  }
  EXPECT_EQ(digest(), before);
  EXPECT_EQ(open_questions(), 1U);
}

TEST_F(Questions, RefuseWhatMakesNoSense) {
  ask_about_sleep();
  const auto id = only_id();
  EXPECT_EQ(keep(context, 999).error().code, Errc::no_input);
  EXPECT_EQ(fix(context, id, {}).error().code, Errc::usage);
  const std::vector<ColumnText> range{{"sleep_hours", "25"}};
  const auto refused = fix(context, id, range);
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().code, Errc::bad_data);
  EXPECT_EQ(refused.error().where, "sleep_hours");
  const std::vector<ColumnText> unknown{{"slep_hours", "7"}};
  const auto typo = fix(context, id, unknown);
  ASSERT_FALSE(typo);
  EXPECT_NE(typo.error().what.find("sleep_hours"), std::string::npos) << typo.error().what;
  ASSERT_TRUE(drop(context, id));
  EXPECT_EQ(drop(context, id).error().code, Errc::not_allowed);
}

TEST_F(Questions, UndoOpensAnAnsweredQuestionAgain) {
  ask_about_sleep();
  ASSERT_TRUE(keep(context, only_id()));
  ASSERT_TRUE(undo(context).value());
  EXPECT_EQ(open_questions(), 1U);
  EXPECT_FALSE(log().checks.at(0).sleep_hours);
}

}  // namespace
}  // namespace steelyard::app
