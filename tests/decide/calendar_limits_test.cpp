/// Limits that come from the calendar, where they speak and where they just do not. Values: models/limits.toml with the
/// sources named there; the rules are common coaching practice. The lifter is invented (limit_case.hpp).
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "decide/limit_case.hpp"

namespace steelyard::decide {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;

TEST(Spacing, HeavyDeadliftsOfYesterdayEndHeavySquats) {
  Case c;
  c.also_did(1, "deadlift", 3, 3, 160, 8);
  const LiftCall call = c.squat();
  expect_broken(call, "spacing");
  EXPECT_EQ(limit(call, "spacing").measured, 24);
  EXPECT_LE(call.call.percent, 75);
  expect_as_planned(c.bench(), "spacing");
}

TEST(Spacing, OfTwoDaysIsEnoughAndLightDeadliftsAreNone) {
  Case two_days;
  two_days.also_did(2, "deadlift", 3, 3, 160, 8);
  expect_as_planned(two_days.squat(), "spacing");
  Case light;
  light.also_did(1, "deadlift", 2, 5, 120, 6);
  expect_as_planned(light.squat(), "spacing");
}

TEST(Spacing, OfAnOlderLifterHoldsThreeDaysWhileTheMoversAreStillSore) {
  Case c;
  c.log().athlete.birth_year = 2026 - 66;
  c.also_did(2, "squat", 4, 8, 105, 8);
  expect_as_planned(c.squat(), "spacing-masters");
  c.morning.sore_regions = {{"quads", 4}};
  expect_broken(c.squat(), "spacing-masters");
  EXPECT_LE(c.squat().call.percent, 75);
  c.log().athlete.birth_year = 2026 - 50;
  EXPECT_EQ(c.squat().actions, k_as_planned);
}

TEST(Comeback, GoesByTheLengthOfTheBreak) {
  // Up to 7 days nothing; 8-14 about 5 % and a set less; 15-28 half the sets at three quarters; longer light work only.
  const auto squat = [](int days) {
    Case c;
    c.off(days, 1, OffReason::holiday);
    return c.squat();
  };
  EXPECT_EQ(squat(6).actions, k_as_planned);
  expect_broken(squat(10), "comeback");
  EXPECT_EQ(squat(10).call.sets, 2);
  EXPECT_EQ(squat(10).call.percent, 77.5);
  expect_broken(squat(20), "comeback");
  EXPECT_LE(squat(20).call.sets, 2);
  EXPECT_LE(squat(20).call.percent, 0.75 * 82.5);
  expect_broken(squat(40), "comeback");
  EXPECT_TRUE(squat(40).call.kind == DayKind::light);
  EXPECT_LE(squat(40).call.percent, 60);
}

// Whoever writes down sets and no sessions has trained.
TEST(Comeback, NeedsABreakAndSetsAreNone) {
  Case c;
  std::erase_if(c.log().sessions, [](const Session& s) { return s.date >= k_heavy_day - Days{21}; });
  expect_as_planned(c.squat(), "comeback");
  EXPECT_FALSE(limit(c.squat(), "comeback").measured);
}

TEST(Comeback, OfABreakThatNobodyDeclaredIsCarefulAndAsks) {
  Case c;
  c.off(10, 1, OffReason::holiday);
  c.log().days_off.clear();
  std::erase_if(c.log().checks, [](const Check& check) { return check.date >= k_heavy_day - Days{10}; });
  EXPECT_FALSE(limit(c.squat(), "comeback").held);
  EXPECT_EQ(c.squat().confidence, Confidence::low);
  EXPECT_THAT(c.day().say, Contains(HasSubstr("Did you train?")));
}

TEST(Illness, KeepsTheFirstFourDaysAfterFeverShortAndEasy) {
  const auto squat = [](int days_ago) {
    Case c;
    c.check_of(days_ago).symptoms = {"fever"};
    return c.squat();
  };
  expect_broken(squat(1), "illness");
  EXPECT_LE(reps(squat(1)), 6);
  EXPECT_LE(squat(1).call.percent, 75);
  expect_broken(squat(4), "illness");
  expect_as_planned(squat(5), "illness");
}

TEST(Meet, EndsHeavySquatsAWeekBeforeAndEverythingHardAroundIt) {
  // Last heavy squat 7 to 10 days out, then 80 % at most; last 3 days light; after it rest, then an easy week
  // (Pritchard et al. 2016, Travis et al. 2021; the rest common practice).
  const auto squat = [](int days) {
    Case c;
    c.log().athlete.meet_date = k_heavy_day + Days{days};
    return c.squat();
  };
  expect_as_planned(squat(30), "meet");
  expect_as_planned(squat(7), "meet");
  expect_broken(squat(6), "meet");
  EXPECT_LE(squat(6).call.percent, 80);
  expect_broken(squat(3), "meet");
  EXPECT_LE(squat(3).call.percent, 60);
  EXPECT_EQ(squat(-1).call.kind, DayKind::rest);
  EXPECT_EQ(squat(-5).call.kind, DayKind::light);
  expect_as_planned(squat(-8), "meet");
}

TEST(Match, KeepsTheLegsFreshTheDayBeforeAndLeavesTheBenchAlone) {
  Case c;
  c.off(-1, -1, OffReason::match);
  expect_broken(c.squat(), "match");
  EXPECT_LE(c.squat().call.percent, 75);
  EXPECT_NE(c.squat().call.kind, DayKind::volume);
  expect_as_planned(c.bench(), "match");
  Case later;
  later.off(-2, -2, OffReason::match);
  expect_as_planned(later.squat(), "match");
}

TEST(Exposure, AMissedHeavyDayComesFirstAfterEightDaysWithoutOne) {
  Case c(k_speed_day);
  c.off(2, 2, OffReason::missed);
  LiftCall call = c.squat();
  EXPECT_FALSE(limit(call, "exposure").held);
  EXPECT_EQ(limit(call, "exposure").measured, 9);
  EXPECT_EQ(call.actions, std::vector{Action::swap_to_heavy});
  EXPECT_EQ(call.call, (Prescription{DayKind::heavy, 3, 4, 82.5}));

  c.morning.sleep_hours = 5;
  EXPECT_EQ(c.squat().actions, k_as_planned) << "any sign ends the wish";
}

TEST(Exposure, WithinEightDaysTheSpeedDayStands) {
  Case c(k_speed_day);
  c.off(2, 2, OffReason::missed);
  c.also_did(6, "squat", 3, 3, 135, 8);
  expect_as_planned(c.squat(), "exposure");
}

TEST(Exposure, ADayOfWhichNobodyKnowsIsNotAMissedOne) {
  Case c(k_speed_day);
  c.off(2, 2, OffReason::missed);
  c.log().days_off.clear();
  expect_as_planned(c.squat(), "exposure");
}

TEST(Match, KeepsTheLegsEasyTheDayAfterAsWell) {
  Case c;
  c.off(1, 1, OffReason::match);
  expect_broken(c.squat(), "match");
  EXPECT_EQ(limit(c.squat(), "match").measured, -1);
  EXPECT_THAT(limit(c.squat(), "match").say, HasSubstr("was yesterday"));
  EXPECT_EQ(c.bench().actions, k_as_planned);
  Case two;
  two.off(2, 2, OffReason::match);
  expect_as_planned(two.squat(), "match");
}

TEST(Meet, HoldsForVariantsAndOnTheDayItself) {
  Case c;
  c.log().athlete.meet_date = k_heavy_day + Days{5};
  AthleteLog log = c.builder.with(c.morning);
  for (PlanRow& row : log.plan) {
    if (row.date == k_heavy_day && row.lift == "squat") row.lift = "paused-squat";
  }
  const DayCall call = call_for(log, k_heavy_day, shipped_models());
  EXPECT_FALSE(limit(call.calls.at(0), "meet").held) << "the meet knows the squat";
  log.athlete.meet_date = k_heavy_day;
  const DayCall meet = call_for(log, k_heavy_day, shipped_models());
  EXPECT_EQ(meet.calls.at(0).call.kind, DayKind::rest);
  EXPECT_THAT(meet.say.front(), HasSubstr("Today is the meet"));
  log.athlete.meet_date = k_heavy_day + Days{2};
  EXPECT_THAT(call_for(log, k_heavy_day + Days{1}, shipped_models()).say.front(), HasSubstr("The meet is tomorrow"));
}

/// Two weeks, 41 to 60 % less volume over them, weights kept (Bosquet et al. 2007, found; shares common practice): of
/// 4 x 10, at most 30 in the first week and 20 in the second.
TEST(Taper, BringsWrittenLongWorkDownAndLeavesTheHeavyWork) {
  const auto friday = [](int days, int sets = 4) {
    Case c(k_monday + Days{88});
    c.log().athlete.meet_date = k_monday + Days{88 + days};
    for (PlanRow& row : c.log().plan) {
      if (row.date == k_monday + Days{88} && row.lift == "squat") row.sets = sets;
    }
    return c.squat();
  };
  expect_as_planned(friday(15), "taper");
  expect_broken(friday(14), "taper");
  EXPECT_EQ(reps(friday(14)), 30);
  EXPECT_EQ(friday(14).call.percent, 65);
  EXPECT_EQ(reps(friday(7)), 20);
  expect_as_planned(friday(10, 3), "taper");  // what was written for a taper stands
  Case heavy;
  heavy.log().athlete.meet_date = k_heavy_day + Days{10};
  expect_as_planned(heavy.squat(), "taper");
}

/// Over 28 days off: a new training max is found over two weeks (common practice), so the old figures say nothing.
TEST(Comeback, OfMoreThanFourWeeksShowsNoStrengthFromBeforeTheBreak) {
  Case c;
  ASSERT_TRUE(c.squat().expected);
  c.off(40, 1, OffReason::holiday);
  EXPECT_FALSE(c.squat().expected);
  const auto options = compare(c.builder.with(c.morning), k_heavy_day, std::nullopt, shipped_models()).options;
  for (const Option& o : options) {
    EXPECT_FALSE(o.expected_percent) << o.name;
    EXPECT_FALSE(o.heavy_on && *o.heavy_on > k_heavy_day) << o.name;
  }
}

// A tournament from yesterday to tomorrow: today is in the middle of it.
TEST(Match, OfSeveralDaysKeepsTheLegsEasyOnEachOfThem) {
  for (const auto& [first, last] : {std::pair{1, -1}, {2, 0}, {0, -2}}) {
    SCOPED_TRACE(first);
    Case c;
    c.off(first, last, OffReason::match);
    expect_broken(c.squat(), "match");
    EXPECT_EQ(limit(c.squat(), "match").measured, 0);
    EXPECT_THAT(limit(c.squat(), "match").say, HasSubstr("The match is today"));
    EXPECT_EQ(c.bench().actions, k_as_planned);
  }
}

// 60 hours are more than two days: Wednesday would stand two days before Friday's heavy deadlifts.
TEST(Spacing, OfMoreThanTwoDaysIsKeptByWhatIsMoved) {
  Case c;
  c.morning.minutes_available = 10;
  Models models = shipped_models();
  ASSERT_TRUE(call_for(c.builder.with(c.morning), k_heavy_day, models).calls[0].move);
  models.limits.spacing.heavy_hours = 60;
  const auto move = call_for(c.builder.with(c.morning), k_heavy_day, models).calls[0].move;
  EXPECT_TRUE(!move || move->to_date != k_heavy_day + Days{2});
}

TEST(Spacing, OfAnOlderLifterIsSaidInOneDayOrInSeveral) {
  Case c;
  c.log().athlete.birth_year = 2026 - 66;
  c.also_did(1, "squat", 4, 8, 105, 8);
  c.morning.sore_regions = {{"quads", 4}};
  EXPECT_THAT(limit(c.squat(), "spacing-masters").say, HasSubstr("1 day after the last hard squat work"));
}

// The plan is written to this Sunday and nobody said on which weekdays training is possible: the week that is not
// written is like the last written one, for `today` as for `ahead`.
TEST(Move, FindsAPlaceInAWeekThatIsNotWrittenYet) {
  using enum DayKind;
  const Pattern pattern{{0, 55, 5, {{"squat", speed, 8, 2, 70, 6}}},
                        {2, 75, 7, {{"squat", heavy, 3, 4, 82.5, 8}}},
                        {4, 75, 7, {{"squat", volume, 4, 10, 65, 8}, {"deadlift", heavy, 3, 4, 80, 7.5}}}};
  LogBuilder builder(pattern, k_speed_day, 12);
  builder.log().athlete.weekdays = {};
  std::erase_if(builder.log().plan, [](const PlanRow& row) { return row.date > k_speed_day + Days{4}; });
  Check morning = builder.usual_morning();
  morning.minutes_available = 10;
  const auto move = call_for(builder.with(morning), k_speed_day, shipped_models()).calls.at(0).move;
  ASSERT_TRUE(move);
  EXPECT_EQ(move->to_date, k_speed_day + Days{5}) << "Monday, in place of its speed work";
}

}  // namespace
}  // namespace steelyard::decide
