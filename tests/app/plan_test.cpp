// The written plan and what a call writes into it. Source: the contract's `plan` and `decide` commands.
#include "steelyard/app/plan.hpp"

#include <algorithm>

#include "app/bench.hpp"
#include "steelyard/app/decide.hpp"
#include "steelyard/app/record.hpp"
#include "steelyard/app/today.hpp"

namespace steelyard::app {
namespace {

const Day k_monday = k_today;
const Day k_wednesday = k_today + Days{2};
const Day k_friday = k_today + Days{4};

class Plans : public Bench {
 protected:
  Plans() {
    add_lifter();
    read(
        "athlete,date,lift,kind,sets,reps,percent,minutes,note\n"
        "a1,2026-11-23,squat,heavy,3,4,82.5,75,belt on\n"
        "a1,2026-11-23,bench,volume,4,8,65,,\n"
        "a1,2026-11-25,squat,speed,8,2,70,55,\n");
  }
  std::vector<PlanRow> on(Day day) {
    std::vector<PlanRow> rows;
    for (const PlanRow& row : log().plan) {
      if (row.date == day) rows.push_back(row);
    }
    return rows;
  }
  /// Equal in everything but day and order.
  static bool same_content(PlanRow a, const PlanRow& b) {
    a.date = b.date;
    a.position = b.position;
    return a == b;
  }
};

TEST_F(Plans, MoveKeepsTheContentOfEveryRow) {
  const auto before = on(k_monday);
  const auto moved = move_plan(context, lifter(), k_monday, k_friday, std::nullopt, false);
  ASSERT_TRUE(moved) << moved.error().text();
  EXPECT_TRUE(on(k_monday).empty());
  const auto after = on(k_friday);
  ASSERT_EQ(after.size(), before.size());
  for (std::size_t i = 0; i < after.size(); ++i) EXPECT_TRUE(same_content(before[i], after[i])) << i;
}

TEST_F(Plans, MoveOfOneLiftLeavesTheOthers) {
  ASSERT_TRUE(move_plan(context, lifter(), k_monday, k_friday, "bench", false));
  ASSERT_EQ(on(k_monday).size(), 1U);
  EXPECT_EQ(on(k_monday)[0].lift, "squat");
  EXPECT_EQ(on(k_friday).at(0).lift, "bench");
}

TEST_F(Plans, MoveOntoADayWithTheSameLiftNeedsASwap) {
  const auto refused = move_plan(context, lifter(), k_monday, k_wednesday, "squat", false);
  ASSERT_FALSE(refused);
  EXPECT_NE(refused.error().what.find("--swap"), std::string::npos);
  ASSERT_TRUE(move_plan(context, lifter(), k_monday, k_wednesday, "squat", true));
  EXPECT_EQ(on(k_wednesday).at(0).kind, DayKind::heavy);
  EXPECT_EQ(on(k_wednesday).at(0).note, "belt on");
  const auto monday = on(k_monday);
  EXPECT_TRUE(std::any_of(monday.begin(), monday.end(), [](const PlanRow& r) { return r.kind == DayKind::speed; }));
  EXPECT_EQ(log().plan.size(), 3U);
}

TEST_F(Plans, MoveRefusesAnEmptyDay) {
  EXPECT_EQ(move_plan(context, lifter(), k_friday, k_monday, std::nullopt, false).error().code, Errc::no_input);
}

TEST_F(Plans, CopyWeekGoesWeekdayByWeekdayAndNeverOverAPlanUnasked) {
  const IsoWeek from = iso_week(k_monday);
  const IsoWeek to = iso_week(k_monday + Days{7});
  ASSERT_TRUE(copy_week(context, lifter(), from, to, false));
  EXPECT_EQ(on(k_monday + Days{7}).size(), 2U);
  EXPECT_TRUE(same_content(on(k_wednesday).at(0), on(k_wednesday + Days{7}).at(0)));
  EXPECT_EQ(copy_week(context, lifter(), from, to, false).error().code, Errc::usage);
  const std::string before = digest();
  ASSERT_TRUE(copy_week(context, lifter(), from, to, true));
  EXPECT_EQ(log().plan.size(), 6U);
  EXPECT_EQ(digest(), before);
}

TEST_F(Plans, BlockWritesTheWeeksAfterTheFirstAndNeverOverAPlanUnasked) {
  const IsoWeek first = iso_week(k_monday);
  const auto rows = plan_block(context, lifter(), first, false);
  ASSERT_TRUE(rows) << rows.error().text();
  EXPECT_EQ(rows->rows.size(), 9U);  // three rows of the first week, three weeks after it
  EXPECT_EQ(on(k_monday + Days{21}).size(), 2U);
  EXPECT_EQ(plan_block(context, lifter(), first, false).error().code, Errc::usage);
  const std::string before = digest();
  ASSERT_TRUE(plan_block(context, lifter(), first, true));
  EXPECT_EQ(digest(), before);
  EXPECT_EQ(plan_block(context, lifter(), iso_week(k_monday + Days{70}), false).error().code, Errc::no_input);
}

TEST_F(Plans, SetReadsThePrescriptionAndRefusesWhatIsNone) {
  const auto row =
      set_plan(context, lifter(),
               {.date = k_friday, .lift = "squat", .kind = "volume", .work = "4x10@65", .minutes = "75", .note = ""});
  ASSERT_TRUE(row) << row.error().text();
  EXPECT_EQ(row->sets, 4);
  EXPECT_EQ(row->reps, 10);
  EXPECT_EQ(row->percent, 65);
  for (const char* work : {"4", "4x", "x10@65", "4x10@65@70", "4x10@200", "four x ten"}) {
    const auto wrong =
        set_plan(context, lifter(),
                 {.date = k_friday, .lift = "squat", .kind = "volume", .work = work, .minutes = "", .note = ""});
    EXPECT_FALSE(wrong) << work;
  }
}

TEST_F(Plans, ShowGivesTheRowsAndTheDaysOffOfTheSpan) {
  read("athlete,from,to,reason\na1,2026-11-20,2026-11-23,travel\na1,2026-12-20,2026-12-23,holiday\n");
  const auto view = show_plan(context, lifter(), k_monday, k_wednesday).value();
  EXPECT_EQ(view.rows.size(), 3U);
  ASSERT_EQ(view.days_off.size(), 1U);
  EXPECT_EQ(view.days_off[0].reason, OffReason::travel);
}

// ------------------------------------------------------------------------------------------ decisions
class Decisions : public Plans {
 protected:
  Decisions() { read("athlete,lift,from,training_max\na1,squat,2026-01-01,150\na1,bench,2026-01-01,100\n"); }
};

TEST_F(Decisions, FollowWritesTheCallIntoThePlanAndKeepsTheDecision) {
  read("athlete,date,sleep_hours,symptoms\na1,2026-11-23,7,fever\n");  // no training with fever
  const auto call = today(context, lifter(), k_monday).value();
  ASSERT_NE(call.calls.at(0).call.kind, DayKind::heavy);
  const auto written = follow(context, lifter(), k_monday, std::nullopt);
  ASSERT_TRUE(written) << written.error().text();
  const auto planned = on(k_monday);
  const auto squat = std::find_if(planned.begin(), planned.end(), [](const PlanRow& r) { return r.lift == "squat"; });
  ASSERT_NE(squat, planned.end());
  EXPECT_EQ(squat->kind, call.calls[0].call.kind);
  EXPECT_EQ(squat->note, "belt on");
  ASSERT_FALSE(log().decisions.empty());
  EXPECT_TRUE(log().decisions[0].follows);
}

TEST_F(Decisions, FollowOfAMoveWritesBothDays) {
  std::string checks = "athlete,date,sleep_hours,sleep_quality,soreness,fatigue,stress,mood,sore_regions\n";
  for (int ago = 28; ago > 0; --ago) checks += "a1," + format_day(k_monday - Days{ago}) + ",7.5,5,2,2,3,5,\n";
  read(checks + "a1,2026-11-23,7.5,5,6,3,3,5,quads:6\n");  // very sore movers: no heavy squats
  const auto call = today(context, lifter(), k_monday).value();
  const LiftCall& squat = call.calls.at(0);
  ASSERT_TRUE(squat.move) << "the call should move the heavy day";
  ASSERT_TRUE(follow(context, lifter(), k_monday, "squat"));
  const auto there = on(squat.move->to_date);
  ASSERT_EQ(std::count_if(there.begin(), there.end(), [](const PlanRow& r) { return r.lift == "squat"; }), 1);
  EXPECT_EQ(there.at(0).kind, squat.move->kind);
  EXPECT_EQ(there.at(0).percent, 82.5);  // the content of the planned heavy day
  EXPECT_EQ(there.at(0).note, "belt on");
  const auto here = on(k_monday);
  const auto row = std::find_if(here.begin(), here.end(), [](const PlanRow& r) { return r.lift == "squat"; });
  ASSERT_NE(row, here.end());
  EXPECT_EQ(row->kind, squat.call.kind);
}

TEST_F(Decisions, OverrideKeepsTheReasonAndLeavesThePlan) {
  const auto before = on(k_monday);
  const auto kept = override_call(context, lifter(), k_monday, "squat", "the bar flew", "squat 130 3x4 @7");
  ASSERT_TRUE(kept) << kept.error().text();
  EXPECT_EQ(on(k_monday), before);
  const auto sets = log().sets;
  ASSERT_EQ(sets.size(), 1U) << "the next morning knows what was done";
  EXPECT_EQ(sets[0].weight_kg, 130);
  ASSERT_EQ(log().decisions.size(), 1U);
  EXPECT_FALSE(log().decisions[0].follows);
  EXPECT_EQ(log().decisions[0].reason, "the bar flew");
  EXPECT_EQ(override_call(context, lifter(), k_monday, "curl", "x", "").error().code, Errc::no_input);
}

TEST_F(Decisions, AnAliasNamesTheLiftWhereverOneIsNamed) {
  EXPECT_TRUE(compare(context, lifter(), k_monday, "Back squat"));
  EXPECT_TRUE(after_warmup(context, lifter(), k_monday, "Back squat", 7));
  EXPECT_TRUE(override_call(context, lifter(), k_monday, "sq", "the bar flew", ""));
  ASSERT_TRUE(on(k_friday).empty());
  EXPECT_TRUE(move_plan(context, lifter(), k_monday, k_friday, "squats", false));
  EXPECT_EQ(on(k_friday).size(), 1U);
}

TEST_F(Decisions, AStopIsNeitherFollowedNorOverridden) {
  read("athlete,date,symptoms\na1,2026-11-23,chest-pressure\n");
  const auto before = on(k_monday);
  for (const auto& refused :
       {follow(context, lifter(), k_monday, std::nullopt).map([](const auto&) {}),
        override_call(context, lifter(), k_monday, std::nullopt, "feel fine", "").map([](const auto&) {})}) {
    ASSERT_FALSE(refused);
    EXPECT_EQ(refused.error().code, Errc::not_allowed);
    EXPECT_NE(refused.error().text().find("--cleared"), std::string::npos);
  }
  EXPECT_EQ(on(k_monday), before);
  EXPECT_TRUE(log().decisions.empty());
}

TEST_F(Decisions, WhyRepeatsTheCallThatWasFollowed) {
  read("athlete,date,sleep_hours,symptoms\na1,2026-11-23,7,fever\n");
  ASSERT_TRUE(today(context, lifter(), k_monday));
  const auto first = why(context, lifter(), k_monday, "today").value();
  ASSERT_TRUE(follow(context, lifter(), k_monday, std::nullopt));
  ASSERT_TRUE(today(context, lifter(), k_monday));
  EXPECT_EQ(why(context, lifter(), k_monday, "today").value().text, first.text);
}

/// A morning whose call takes weight or sets off the planned heavy squats: sore movers, and enough checks to know.
class FollowedCuts : public Decisions {
 protected:
  FollowedCuts() {
    std::string checks = "athlete,date,sleep_hours,sleep_quality,soreness,fatigue,stress,mood,sore_regions\n";
    for (int ago = 28; ago > 0; --ago) checks += "a1," + format_day(k_monday - Days{ago}) + ",7.5,5,2,2,3,5,\n";
    read(checks + "a1,2026-11-23,5,2,6,6,6,2,quads:6\n");
  }
  Prescription squat_called() {
    const auto call = today(context, lifter(), k_monday).value();
    return call.calls.at(0).call;
  }
};

TEST_F(FollowedCuts, UndoOfAFollowedCallArmsTheLimitsAgain) {
  const auto before = on(k_monday);
  const Prescription cut = squat_called();
  ASSERT_TRUE(follow(context, lifter(), k_monday, std::nullopt));
  ASSERT_NE(on(k_monday), before);
  ASSERT_FALSE(log().decisions.empty());
  ASSERT_TRUE(undo(context).value());
  EXPECT_EQ(on(k_monday), before);
  EXPECT_TRUE(log().decisions.empty());
  EXPECT_EQ(squat_called(), cut);
}

TEST_F(FollowedCuts, ANewPlanOfThatDayIsNoFollowedCallAnyMore) {
  ASSERT_TRUE(follow(context, lifter(), k_monday, std::nullopt));
  const auto follows = [&](std::string_view lift) {
    const auto all = log().decisions;
    return std::any_of(all.begin(), all.end(), [&](const Decision& d) { return d.follows && d.lift == lift; });
  };
  ASSERT_TRUE(follows("squat") && follows("bench"));
  context.now += std::chrono::minutes{1};
  const PlanItem anew{
      .date = k_monday, .lift = "squat", .kind = "heavy", .work = "3x4@82.5", .minutes = "", .note = ""};
  ASSERT_TRUE(set_plan(context, lifter(), anew));
  EXPECT_FALSE(follows("squat"));
  EXPECT_TRUE(follows("bench"));
}

TEST_F(Decisions, OnlyAnOpenCautionCanBeCleared) {
  EXPECT_EQ(clear_caution(context, lifter(), k_monday, "chest", ClearedBy::mistake, "").error().code, Errc::no_input);
  read("athlete,date,symptoms\na1,2026-11-23,chest-pressure\n");
  const auto call = today(context, lifter(), k_monday).value();
  ASSERT_FALSE(call.cautions.empty());
  const auto cleared = clear_caution(context, lifter(), k_monday, call.cautions[0].id, ClearedBy::practitioner, "seen");
  ASSERT_TRUE(cleared) << cleared.error().text();
  ASSERT_EQ(log().clearances.size(), 1U);
  EXPECT_EQ(log().clearances[0].caution, call.cautions[0].id);
}

}  // namespace
}  // namespace steelyard::app
