/// The days ahead: the order of kinds, and on each day the limits that are known today. Rules: common practice, values
/// of models/limits.toml. The lifter is the invented one of limits_test.cpp.
#include "steelyard/decide/ahead.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "decide/build_log.hpp"
#include "params/shipped_models.hpp"
#include "steelyard/decide/call.hpp"
#include "steelyard/decide/rotation.hpp"

namespace steelyard::decide {
namespace {

using namespace steelyard::testing;
using ::testing::AllOf;
using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::Not;

constexpr Day k_today = k_monday + Days{84};

/// Two written weeks ahead of an ordinary Monday.
AthleteLog lifter() {
  LogBuilder builder(heavy_speed_volume(), k_today, 12);
  AthleteLog log = builder.with(builder.usual_morning());
  std::erase_if(log.plan, [](const PlanRow& row) { return row.date > k_today; });
  const auto last_week = log.plan;
  for (int week = 1; week <= 2; ++week) {
    for (PlanRow row : last_week) {
      const int back = days_between(row.date, k_today);
      if (back < 1 || back > 7) continue;
      row.date += Days{7 * week};
      if (row.date > k_today) log.plan.push_back(row);
    }
  }
  std::stable_sort(log.plan.begin(), log.plan.end(),
                   [](const PlanRow& a, const PlanRow& b) { return a.date < b.date; });
  return log;
}

Ahead ahead_of(const AthleteLog& log) {
  return look_ahead(log, k_today, call_for(log, k_today, shipped_models()), shipped_models());
}

const AheadLift* find(const Ahead& ahead, int day, std::string_view lift) {
  for (const AheadLift& one : ahead.days.at(static_cast<std::size_t>(day)).lifts) {
    if (one.lift == lift) return &one;
  }
  return nullptr;
}
const AheadLift* find(Ahead&&, int, std::string_view) = delete;  // what it would point into is gone

TEST(LookAhead, LeavesAPlanAloneThatHoldsItsLimits) {
  const Ahead ahead = ahead_of(lifter());
  EXPECT_THAT(ahead.say, Contains(HasSubstr("holds every limit that is known today")));
  for (const AheadDay& day : ahead.days) {
    for (const AheadLift& lift : day.lifts) EXPECT_FALSE(lift.changed) << format_day(day.date) << " " << lift.lift;
  }
  const AheadLift* heavy = find(ahead, 7, "squat");
  ASSERT_NE(heavy, nullptr);
  EXPECT_EQ(heavy->work, (Prescription{.kind = DayKind::heavy, .sets = 3, .reps = 4, .percent = 82.5}));
}

TEST(LookAhead, KeepsTheFirstWeeksAfterABreakEasy) {
  AthleteLog log = lifter();
  const Day from = k_today - Days{16};
  std::erase_if(log.sessions, [&](const Session& s) { return s.date >= from; });
  std::erase_if(log.sets, [&](const SetRow& s) { return s.date >= from; });
  log.days_off.push_back({.athlete = "ada", .from = from, .to = k_today - Days{1}, .reason = OffReason::holiday});
  const Ahead ahead = ahead_of(log);
  const AheadLift* heavy = find(ahead, 7, "squat");
  ASSERT_NE(heavy, nullptr);
  EXPECT_TRUE(heavy->changed);
  EXPECT_LT(heavy->work.percent, 82.5);
  EXPECT_THAT(ahead.say, Contains(HasSubstr("16 days off")));
  EXPECT_THAT(ahead.say, Not(Contains(HasSubstr("holds every limit"))));
}

TEST(LookAhead, LeavesALiftOutWhileItsPainIsOpen) {
  AthleteLog log = lifter();
  log.checks.back().pain = {{"knee-right", 5, PainKind::sharp}};
  const Ahead ahead = ahead_of(log);
  const AheadLift* squat = find(ahead, 2, "squat");
  ASSERT_NE(squat, nullptr);
  EXPECT_EQ(squat->work.kind, DayKind::rest);
  const AheadLift* bench = find(ahead, 2, "bench");
  ASSERT_NE(bench, nullptr);
  EXPECT_FALSE(bench->changed);
}

TEST(LookAhead, TakesTheTrainingMaxOfThatDayAndOfAVariantsParent) {
  AthleteLog log = lifter();
  log.maxes.push_back({.athlete = "ada", .lift = "squat", .from = k_today + Days{12}, .training_max_kg = 500});
  const auto max =
      std::find_if(log.maxes.begin(), log.maxes.end(), [](const TrainingMax& t) { return t.lift == "squat"; });
  ASSERT_NE(max, log.maxes.end());
  const double old_max = max->training_max_kg;
  for (PlanRow& row : log.plan) {
    if (row.date == k_today + Days{4} && row.lift == "squat") row.lift = "front-squat";
  }
  const Ahead ahead = ahead_of(log);
  EXPECT_NEAR(*find(ahead, 2, "squat")->weight_kg, 0.7 * old_max, 2.5);
  ASSERT_NE(find(ahead, 4, "front-squat"), nullptr);
  EXPECT_TRUE(find(ahead, 4, "front-squat")->weight_kg);
}

TEST(LookAhead, KeepsHeavyWorkAwayFromAMatchOnBothSides) {
  AthleteLog log = lifter();
  log.days_off.push_back(
      {.athlete = "ada", .from = k_today + Days{6}, .to = k_today + Days{6}, .reason = OffReason::match});
  const Ahead ahead = ahead_of(log);
  const AheadLift* after = find(ahead, 7, "squat");
  EXPECT_TRUE(after == nullptr || after->work.kind != DayKind::heavy);
}

// Last heavy squats so many days before, and over the taper this share of the sets that are not written but repeated:
// models/limits.toml [meet], with the sources named there.
TEST(LookAhead, TapersTowardsAMeetAndNamesTheLastHeavyDays) {
  AthleteLog log = lifter();
  std::erase_if(log.plan, [](const PlanRow& row) { return row.date > k_today; });
  const auto& meet = shipped_models().limits.meet;
  const Day day = k_today + Days{20};
  log.athlete.meet_date = day;
  const Ahead ahead = ahead_of(log);
  const Day last = day - Days{meet.last_heavy_days.at("squat")[0]};
  EXPECT_THAT(ahead.say, Contains(AllOf(HasSubstr("20 days to the meet"), HasSubstr("squats " + format_day(last)))));
  int tapered = 0;
  for (const AheadDay& one : ahead.days) {
    for (const AheadLift& lift : one.lifts) {
      if (lift.lift == "squat" && lift.work.kind == DayKind::heavy) {
        EXPECT_LE(one.date, last);
      }
      if (lift.work.kind == DayKind::heavy || one.date == k_today) continue;
      const auto usual = std::find_if(log.plan.rbegin(), log.plan.rend(), [&](const PlanRow& row) {
        return row.lift == lift.lift && row.kind == lift.work.kind;
      });
      if (usual == log.plan.rend() || days_between(one.date, day) > meet.taper_days) continue;
      EXPECT_EQ(lift.work.sets, std::round(*usual->sets * meet.taper_volume_share)) << format_day(one.date);
      ++tapered;
    }
  }
  EXPECT_GT(tapered, 0);
}

TEST(LookAhead, LaysNothingOutWhileAStopIsOpenOrNothingIsWritten) {
  AthleteLog stopped = lifter();
  stopped.checks.back().symptoms = {"chest-pressure"};
  EXPECT_THAT(ahead_of(stopped).say, Contains(HasSubstr("nothing is laid out until it is cleared")));
  EXPECT_THAT(ahead_of({.athlete = {.athlete = "new"}}).say, Contains(HasSubstr("enter a plan first")));
}

TEST(Rotation, GivesADayToWhoeverHasWrittenNoPlan) {
  AthleteLog log = lifter();
  log.plan.clear();
  log.athlete.weekdays = {};
  fill_from_rotation(log, k_today, shipped_models());
  EXPECT_TRUE(log.plan.empty()) << "nobody knows on which days";
  for (const int day : {0, 2, 4}) log.athlete.weekdays.add(day);
  fill_from_rotation(log, k_today, shipped_models());
  const DayCall call = call_for(log, k_today, shipped_models());
  ASSERT_FALSE(call.calls.empty());
  EXPECT_EQ(call.calls[0].lift, "squat");
  EXPECT_EQ(call.calls[0].call.kind, DayKind::heavy);
  EXPECT_THAT(call.say, Contains(HasSubstr("No plan is written")));
  std::vector<DayKind> squats;
  for (const PlanRow& row : log.plan) {
    if (row.lift == "squat" && row.date < k_today + Days{7}) squats.push_back(row.kind);
  }
  EXPECT_EQ(squats, (std::vector{DayKind::heavy, DayKind::speed, DayKind::volume})) << "day-kinds.toml, three days";
}

TEST(Rotation, IsSilentOnceAPlanIsWritten) {
  AthleteLog log = lifter();
  for (const int day : {0, 2, 4}) log.athlete.weekdays.add(day);
  const auto before = log.plan;
  fill_from_rotation(log, k_today, shipped_models());
  EXPECT_EQ(log.plan, before);
}

// Three lifts of one spacing group are searched over; what is left out is said.
TEST(LookAhead, SaysWhichLiftsItDoesNotLayOut) {
  AthleteLog log = lifter();
  const std::size_t before = log.plan.size();
  for (std::size_t i = 0; i < before; ++i) {
    if (log.plan[i].lift != "squat" || log.plan[i].kind != DayKind::volume) continue;
    for (const char* lift : {"front-squat", "deficit-deadlift"}) {
      PlanRow row = log.plan[i];
      row.lift = lift;
      log.plan.push_back(std::move(row));
    }
  }
  PlanRow curl = log.plan.front();
  curl.date = k_today + Days{2};
  curl.lift = "curl";
  log.plan.push_back(curl);
  std::stable_sort(log.plan.begin(), log.plan.end(),
                   [](const PlanRow& a, const PlanRow& b) { return a.date < b.date; });
  const Ahead ahead = ahead_of(log);
  EXPECT_THAT(ahead.missing, Contains(AllOf(HasSubstr("eficit deadlifts"), HasSubstr("not laid out"))));
  EXPECT_THAT(ahead.say, Contains(HasSubstr("Accessories are not laid out")));
  EXPECT_THAT(ahead.say, Not(Contains(HasSubstr("holds every limit"))));
}

// A cut never rounds up to the plan's weight (DEVELOPERS, D-029: `ahead` and that morning agree).
TEST(LookAhead, RoundsACutDownAsThatMorningDoes) {
  AthleteLog log = lifter();
  for (TrainingMax& max : log.maxes) {
    if (max.lift == "squat") max.training_max_kg = 137.5;
  }
  const Day from = k_today - Days{10};
  std::erase_if(log.sessions, [&](const Session& s) { return s.date >= from; });
  std::erase_if(log.sets, [&](const SetRow& s) { return s.date >= from; });
  log.days_off.push_back({.athlete = "ada", .from = from, .to = k_today - Days{1}, .reason = OffReason::holiday});
  std::erase_if(log.plan, [](const PlanRow& row) { return row.date == k_today; });
  for (PlanRow& row : log.plan) {  // the first heavy day after the holiday is that of Wednesday
    if (row.date == k_today + Days{2} && row.lift == "squat") {
      row.kind = DayKind::heavy;
      row.sets = 3;
      row.reps = 4;
      row.percent = 82.5;
    }
  }
  const Ahead ahead = ahead_of(log);
  const AheadLift* cut = find(ahead, 2, "squat");
  ASSERT_NE(cut, nullptr);
  ASSERT_EQ(cut->work.percent, 77.5);
  EXPECT_EQ(cut->weight_kg, 105) << "106.6 kg, and 107.5 would be nearer";
}

}  // namespace
}  // namespace steelyard::decide
