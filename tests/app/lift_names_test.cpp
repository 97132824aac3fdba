// A lift has many names and one code; every rule compares codes. Names: models/lifts.toml (aliases).
#include "app/bench.hpp"
#include "steelyard/app/plan.hpp"
#include "steelyard/app/record.hpp"
#include "steelyard/app/today.hpp"

namespace steelyard::app {
namespace {

const std::vector<Action> k_stop{Action::stop_refer};

class LiftNames : public Bench {
 protected:
  LiftNames() { add_lifter(); }

  /// A row as a program that kept names as they came has stored it.
  void stored_as_it_came(const std::vector<Record>& rows) {
    auto entry = store->begin("older", context.now).value();
    for (const Record& row : rows) ASSERT_TRUE(entry->put(row));
    ASSERT_TRUE(entry->commit());
  }
};

TEST_F(LiftNames, AreStoredAsCodesInEveryKindOfRow) {
  for (const LiftModel& lift : context.models.lifts.lifts) {
    for (const std::string& alias : lift.aliases) {
      read("athlete,lift,from,training_max\na1," + alias + ",2026-01-01,150\n");
      read("athlete,date,lift,kind\na1,2026-11-23," + alias + ",heavy\n");
      read("athlete,date,lift,reps,weight\na1,2026-11-20," + alias + ",5,100\n");
      read("athlete,date,lift,percent,speed\na1,2026-11-20," + alias + ",60,0.7\n");
      const AthleteLog stored = log();
      EXPECT_EQ(stored.maxes.back().lift, lift.lift) << alias;
      EXPECT_EQ(stored.plan.back().lift, lift.lift) << alias;
      EXPECT_EQ(stored.sets.back().lift, lift.lift) << alias;
      EXPECT_EQ(stored.bar.back().lift, lift.lift) << alias;
      ASSERT_TRUE(undo(context, std::nullopt) && undo(context, std::nullopt) && undo(context, std::nullopt) &&
                  undo(context, std::nullopt));
    }
  }
}

TEST_F(LiftNames, TheSameFileTwiceChangesNothing) {
  const std::string plan = "athlete,date,lift,kind\na1,2026-11-23,back-squat,heavy\na1,2026-11-23,bp,volume\n";
  read(plan);
  const std::string before = digest();
  read(plan);
  EXPECT_EQ(digest(), before);
}

TEST_F(LiftNames, OfNobodysLiftsStayAsTheyAre) {
  read("athlete,date,lift,kind\na1,2026-11-23,zercher-squat,heavy\n");
  EXPECT_EQ(log().plan.front().lift, "zercher-squat");
}

// Sharp pain of 8 in a knee closes what loads the knees, whatever the plan calls it.
TEST_F(LiftNames, DoNotEscapeAStop) {
  read("athlete,lift,from,training_max\na1,squat,2026-01-01,150\n");
  read("athlete,date,lift,kind,sets,reps,percent\na1,2026-11-23,back-squat,heavy,3,4,82.5\n");
  read("athlete,date,pain\na1,2026-11-23,knee-left:8:sharp\n");
  const auto call = today(context, lifter(), k_today);
  ASSERT_TRUE(call) << call.error().text();
  ASSERT_EQ(call->calls.size(), 1U);
  EXPECT_EQ(call->calls[0].lift, "squat");
  EXPECT_EQ(call->calls[0].actions, k_stop);
}

TEST_F(LiftNames, ThatWereStoredAsTheyCameAreReadAsCodes) {
  const PlanRow row{.athlete = "a1",
                    .date = k_today,
                    .lift = "back-squat",
                    .kind = DayKind::heavy,
                    .sets = 3,
                    .reps = 4,
                    .percent = 82.5};
  stored_as_it_came({TrainingMax{.athlete = "a1", .lift = "sq", .from = k_today - Days{60}, .training_max_kg = 150},
                     row, SetRow{.athlete = "a1", .date = k_today - Days{3}, .lift = "squats", .reps = 5}});
  const auto call = today(context, lifter(), k_today);
  ASSERT_TRUE(call) << call.error().text();
  ASSERT_EQ(call->calls.size(), 1U);
  EXPECT_EQ(call->calls[0].lift, "squat");
  EXPECT_EQ(call->calls[0].training_max_kg, 150);
  EXPECT_EQ(show_plan(context, lifter(), k_today, k_today)->rows.front().lift, "squat");

  // What is written now stands in its place, also where its key differs.
  read("athlete,date,lift,kind,sets,reps,percent\na1,2026-11-23,squat,speed,8,2,70\n");
  const auto changed = today(context, lifter(), k_today);
  ASSERT_EQ(changed->calls.size(), 1U);
  EXPECT_EQ(changed->calls[0].planned->kind, DayKind::speed);

  read("athlete,date,pain\na1,2026-11-23,knee-left:8:sharp\n");
  EXPECT_EQ(today(context, lifter(), k_today)->calls[0].actions, k_stop);
}

TEST_F(LiftNames, AreFoundByAnyNameWhereThePlanIsChanged) {
  stored_as_it_came({PlanRow{.athlete = "a1", .date = k_today, .lift = "back-squat", .kind = DayKind::heavy}});
  const auto moved = move_plan(context, lifter(), k_today, k_today + Days{1}, "sq", false);
  ASSERT_TRUE(moved) << moved.error().text();
  ASSERT_EQ(log().plan.size(), 1U);
  EXPECT_EQ(log().plan[0].lift, "squat");
  EXPECT_EQ(log().plan[0].date, k_today + Days{1});
}

}  // namespace
}  // namespace steelyard::app
