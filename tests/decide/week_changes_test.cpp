/// Agreeing signals, silence, load, strength and the squad as a whole. What is expected is common practice.

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "params/shipped_models.hpp"
#include "week_club.hpp"

namespace steelyard::testing {
namespace {

using ::testing::AllOf;
using ::testing::AnyOf;
using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;
using ::testing::SizeIs;

WeekReview review(const std::vector<Lifter>& lifters) {
  std::vector<AthleteLog> logs;
  for (const Lifter& lifter : lifters) logs.push_back(lifter.log());
  return decide::review_week(logs, iso_week(k_sunday), k_sunday, "club", shipped_models());
}

struct Outcome {
  std::vector<std::string> kinds;  ///< of the flag
  std::string watch;
  std::string because;
};

Outcome outcome(const Lifter& lifter) {
  const WeekReview r = review({lifter});
  Outcome o;
  if (!r.flags.empty()) {
    o.kinds = r.flags.front().kinds;
    for (const auto& sentence : r.flags.front().because) o.because += sentence + "\n";
  }
  if (!r.watch.empty()) o.watch = r.watch.front().because;
  return o;
}

Lifter lifter() {
  return Lifter("a1");
}

TEST(WeekSignals, TwoThatAgreeFlagAndOneAloneIsWatched) {
  const Outcome two = outcome(lifter().week(&Check::sleep_hours, -1.5).week(&Check::fatigue, 1.5));
  EXPECT_THAT(two.kinds, ElementsAre("signals"));
  EXPECT_THAT(two.because, AllOf(HasSubstr("6 h a night, usually 7.5 h"), HasSubstr("Fatigue 4.5 of 7, usually 3")));
  const Outcome one = outcome(lifter().week(&Check::sleep_hours, -1.5));
  EXPECT_THAT(one.kinds, IsEmpty());
  EXPECT_THAT(one.watch, HasSubstr("the bar decides"));
  const Outcome little = outcome(lifter().week(&Check::sleep_hours, -0.5).week(&Check::fatigue, 0.5));
  EXPECT_THAT(little.kinds, IsEmpty());
  EXPECT_THAT(little.watch, IsEmpty());
}

TEST(WeekSignals, FatigueMoodAndStressAreOneSource) {
  EXPECT_THAT(outcome(lifter().week(&Check::fatigue, 1.5).week(&Check::mood, -1.2).week(&Check::stress, 1.5)).kinds,
              IsEmpty());
}

Lifter with_instruments() {
  return lifter().edit([](AthleteLog& log) {
    for (Check& c : log.checks) c.resting_hr = 55, c.hrv_ms = 70, c.jump_cm = 38;
  });
}

// Heart rate and its variability are one source, the jump is another (common practice).
TEST(WeekSignals, OfInstrumentsCountBySource) {
  const Outcome heart = outcome(with_instruments().week(&Check::resting_hr, 11).week(&Check::hrv_ms, -25));
  EXPECT_THAT(heart.kinds, IsEmpty());
  EXPECT_THAT(heart.watch, AllOf(HasSubstr("Resting heart rate 66 beats a minute in 3 of the last 3 mornings, usually "
                                           "55. Heart-rate variability 45 ms"),
                                 HasSubstr("One sign alone")));
  const Outcome both = outcome(with_instruments().week(&Check::resting_hr, 11).week(&Check::jump_cm, -5));
  EXPECT_THAT(both.kinds, ElementsAre("signals"));
  EXPECT_THAT(both.because, HasSubstr("Jump 33 cm in 3 of the last 3 mornings, usually 38."));
}

TEST(WeekSignals, OfAHardWeekByPlanAreTheJumpButNotTheHeart) {
  const auto in_camp = [](Lifter lifter) {
    lifter.edit([](AthleteLog& log) {
      log.periods.push_back(
          {.athlete = "a1", .group = {}, .from = k_monday, .to = k_sunday, .intent = Intent::camp, .note = {}});
    });
    return outcome(lifter).watch;
  };
  EXPECT_THAT(in_camp(with_instruments().week(&Check::jump_cm, -5)), HasSubstr("Expected in a hard stretch by plan"));
  EXPECT_THAT(in_camp(with_instruments().week(&Check::resting_hr, 11)), HasSubstr("One sign alone"));
}

TEST(WeekSignals, OneBadNightIsNotAWeek) {
  const Outcome o = outcome(lifter().on(3, [](Check& c) { c.sleep_hours = 3; }).on(4, [](Check& c) { c.mood = 2; }));
  EXPECT_THAT(o.kinds, IsEmpty());
  EXPECT_THAT(o.watch, IsEmpty());
}

TEST(WeekSignals, SorenessThatIsStillLowIsNone) {
  EXPECT_THAT(outcome(lifter().week(&Check::soreness, 2)).watch, HasSubstr("Soreness 4.5"));
  auto low = lifter();  // usually 1.5
  low.edit([](AthleteLog& log) {
    for (Check& c : log.checks) c.soreness = *c.soreness - 1;
  });
  EXPECT_THAT(outcome(low.week(&Check::soreness, 1.2)).watch, IsEmpty());
}

TEST(WeekSignals, ASlowBarInTheLastSessionsCounts) {
  auto slow = lifter();
  slow.bar(2, 0.96).bar(4, 0.96);
  EXPECT_THAT(outcome(slow).kinds, IsEmpty());
  EXPECT_THAT(outcome(slow).watch, HasSubstr("slower than usual"));
  EXPECT_THAT(outcome(slow.week(&Check::sleep_hours, -1.5)).kinds, ElementsAre("signals"));
  EXPECT_THAT(outcome(lifter().bar(2, 0.92).bar(4, 0.92)).kinds, ElementsAre("strength")) << "clear enough alone";
  EXPECT_THAT(outcome(lifter().bar(4, 0.96)).watch, IsEmpty()) << "one slow day is none";
  auto once = lifter();  // squats once this week, far too slow
  const Outcome o = outcome(once.no_sessions(k_monday + Days{1}, k_sunday).bar(0, 0.93));
  EXPECT_THAT(o.kinds, IsEmpty());
  EXPECT_THAT(o.watch, HasSubstr("slower than usual"));
}

TEST(WeekSignals, APlannedHardWeekMayTire) {
  auto planned = lifter();
  planned.minutes(1, 1.5, true).week(&Check::soreness, 2).week(&Check::fatigue, 1.5);
  const Outcome o = outcome(planned);
  EXPECT_THAT(o.kinds, IsEmpty());
  EXPECT_THAT(o.watch, AllOf(HasSubstr("by plan"), HasSubstr("as planned")));
  EXPECT_THAT(outcome(lifter().minutes(1, 1.5, false).week(&Check::soreness, 2).week(&Check::fatigue, 1.5)).kinds,
              ElementsAre("signals"));
  EXPECT_THAT(outcome(planned.week(&Check::sleep_hours, -1.5)).kinds, ElementsAre("signals"))
      << "short nights are no part of the plan";
}

TEST(WeekSignals, ADeclaredCampExplainsAsThePlanDoes) {
  auto camp = lifter();
  camp.minutes(1, 1.5, false).week(&Check::soreness, 2).week(&Check::fatigue, 1.5);
  camp.edit([](AthleteLog& log) {
    log.periods.push_back(
        {.athlete = {}, .group = "club", .from = k_monday, .to = k_sunday, .intent = Intent::camp, .note = {}});
  });
  EXPECT_THAT(outcome(camp).kinds, IsEmpty());
  camp.edit([](AthleteLog& log) {  // a camp that begins after the week explains nothing
    log.periods.front().from = k_sunday + Days{1};
    log.periods.front().to = k_sunday + Days{7};
  });
  EXPECT_THAT(outcome(camp).kinds, ElementsAre("signals"));
}

TEST(WeekSignals, WithoutAnOwnUsualNothingIsCompared) {
  auto fresh = lifter();
  fresh.edit([](AthleteLog& log) {
    const auto early = [](const auto& row) { return row.date < k_monday; };
    std::erase_if(log.checks, early);
    std::erase_if(log.sessions, early);
    std::erase_if(log.sets, early);
  });
  EXPECT_THAT(outcome(fresh).watch, HasSubstr("own usual is not known yet"));
  fresh.week(&Check::sleep_hours, -1.5).week(&Check::fatigue, 1.5);
  EXPECT_THAT(outcome(fresh).kinds, IsEmpty());
  fresh.week(&Check::sleep_hours, -2).week(&Check::fatigue, 2);  // 4 h and 6.5 of 7: below any floor
  EXPECT_THAT(outcome(fresh).kinds, ElementsAre("signals"));
  EXPECT_THAT(
      review({Lifter("new").edit([](AthleteLog& log) { log = {.athlete = {.athlete = "new"}}; })}).watch.at(0).because,
      HasSubstr("No entries yet"));
}

// 5 h and 6 of 7 are the levels of models/limits.toml; below the one, from the other on.
TEST(WeekSignals, AFixedLevelIsJudgedAsInTheMorning) {
  const auto fresh = [](double hours, double fatigue) {
    auto lifter = Lifter("a1").checks([&](Check& c) { c.sleep_hours = hours, c.fatigue = fatigue; });
    lifter.edit([](AthleteLog& log) { std::erase_if(log.checks, [](const Check& c) { return c.date < k_monday; }); });
    return outcome(lifter);
  };
  EXPECT_THAT(fresh(5, 5.9).watch, Not(AnyOf(HasSubstr("Slept"), HasSubstr("Fatigue"))));
  EXPECT_THAT(fresh(4.9, 5.9).watch, HasSubstr("Slept 4.9 h a night"));
  EXPECT_THAT(fresh(5, 6).watch, HasSubstr("Fatigue 6 of 7"));
}

TEST(WeekSilence, FlagsWhoUsuallyWrites) {
  const Outcome silent = outcome(lifter().silent_from(1));
  EXPECT_THAT(silent.kinds, ElementsAre("silent"));
  EXPECT_THAT(silent.because, HasSubstr("since Monday"));
  EXPECT_THAT(outcome(lifter().silent_from(4)).kinds, ElementsAre("silent")) << "three days of a daily writer";
  EXPECT_THAT(outcome(lifter().silent_from(5)).kinds, IsEmpty());
  EXPECT_THAT(outcome(lifter().silent_from(1).off(k_monday + Days{1}, k_sunday, OffReason::travel)).kinds, IsEmpty());
}

TEST(WeekSilence, IsExplainedByTheDaysOffItCoversOnly) {
  const Outcome monday_off = outcome(lifter().silent_from(0).off(k_monday, k_monday, OffReason::travel));
  EXPECT_THAT(monday_off.kinds, ElementsAre("silent")) << "six days more";
  EXPECT_THAT(outcome(lifter().silent_from(3).off(k_monday + Days{3}, k_monday + Days{4}, OffReason::travel)).kinds,
              IsEmpty())
      << "two days are not too many";
}

TEST(WeekSilence, NeverFlagsWhoNeverWrites) {
  auto rare = lifter();
  rare.edit(
      [](AthleteLog& log) { std::erase_if(log.checks, [](const Check& c) { return weekday_index(c.date) != 0; }); });
  EXPECT_THAT(outcome(rare.silent_from(1)).kinds, IsEmpty());
  EXPECT_THAT(outcome(rare).watch, HasSubstr("own usual is not known"));
}

TEST(WeekStrength, SameWeightsAtHigherEffortForTwoWeeks) {
  EXPECT_THAT(outcome(lifter().harder_sets(1, 2)).kinds, ElementsAre("strength"));
  EXPECT_THAT(outcome(lifter().harder_sets(0.5, 1)).kinds, IsEmpty());
}

TEST(WeekStrength, ANewTrainingMaxIsNoLoss) {
  auto raised = lifter();
  raised.edit([](AthleteLog& log) {
    log.maxes.push_back({.athlete = "a1", .lift = "squat", .from = k_monday - Days{7}, .training_max_kg = 168});
  });
  EXPECT_THAT(outcome(raised).kinds, IsEmpty());
}

TEST(WeekLoad, AnUnplannedJumpNamesItsSessions) {
  const WeekReview r = review({lifter().minutes(1, 1.6, false)});
  ASSERT_THAT(r.flags, SizeIs(1));
  EXPECT_THAT(r.flags[0].kinds, ElementsAre("load"));
  EXPECT_THAT(r.flags[0].because[0], AllOf(HasSubstr("2160 AU"), HasSubstr("1350 AU")));
  EXPECT_THAT(r.flags[0].caused_by, Contains(HasSubstr("Heavy session on Monday, 720 AU")));
  const Outcome planned = outcome(lifter().minutes(1, 1.6, true));
  EXPECT_THAT(planned.kinds, IsEmpty());
  EXPECT_THAT(planned.watch, HasSubstr("as planned"));
  EXPECT_THAT(outcome(lifter().minutes(1, 1.2, false)).kinds, IsEmpty()) << "within the band";
}

// The highest seven days in a row need not be a calendar week: Friday and the Monday after it carry 900 AU each, which
// with Wednesday's 450 makes 2250, while no calendar week has more than 1800.
TEST(WeekLoad, NamesTheHighestSevenDaysThatDecided) {
  auto high = lifter().minutes(1, 1.75, false);
  high.week(&Check::fatigue, 3);
  high.edit([](AthleteLog& log) {
    for (Session& s : log.sessions) {
      if (s.date == k_monday - Days{38} || s.date == k_monday - Days{35}) s.minutes = 150;
    }
  });
  EXPECT_THAT(outcome(high).because, HasSubstr("at most 2250 AU"));
}

TEST(WeekLoad, HalvedBeforeAFixtureIsFlagged) {
  const Day match = k_sunday + Days{6};
  const auto halved = [] { return lifter().minutes(3, 0.5, false); };
  const Outcome o = outcome(halved().off(match, match, OffReason::match));
  EXPECT_THAT(o.kinds, ElementsAre("underload"));
  EXPECT_THAT(o.because, AllOf(HasSubstr("50 % of the usual week"), HasSubstr("for 3 weeks"), HasSubstr("Saturday")));
  EXPECT_THAT(outcome(halved()).kinds, IsEmpty());
  EXPECT_THAT(outcome(halved()).watch, HasSubstr("nobody has said why"));
  EXPECT_THAT(outcome(halved().off(match + Days{14}, match + Days{14}, OffReason::match)).kinds, IsEmpty());
  EXPECT_THAT(outcome(lifter().minutes(1, 0.5, true).off(match, match, OffReason::match)).kinds, IsEmpty())
      << "the plan asked for it";
}

TEST(WeekLoad, ATaperIsNoLossOfLoad) {
  const auto meet = [](Lifter l) { return l.athlete([](Athlete& a) { a.meet_date = k_sunday + Days{8}; }); };
  const Outcome taper = outcome(meet(lifter().minutes(2, 0.5, false)));
  EXPECT_THAT(taper.kinds, IsEmpty());
  EXPECT_THAT(taper.watch, IsEmpty());
  EXPECT_THAT(outcome(meet(lifter().minutes(3, 0.5, false))).kinds, ElementsAre("underload"))
      << "too early for a taper";
}

TEST(WeekMonotony, NeedsMoodOrPerformanceBesideIt) {
  EXPECT_THAT(outcome(lifter().same_every_day()).kinds, IsEmpty());
  EXPECT_THAT(outcome(lifter().same_every_day().week(&Check::sleep_hours, -1.5)).kinds, IsEmpty());
  const Outcome o = outcome(lifter().same_every_day().week(&Check::mood, -1.2));
  EXPECT_THAT(o.kinds, ElementsAre("monotony"));
  EXPECT_THAT(o.because, HasSubstr("2.3 times its scatter"));  // 6 equal days of 7: sqrt(36/7) = 2.27
  EXPECT_THAT(outcome(lifter().week(&Check::mood, -1.2)).kinds, IsEmpty());
}

TEST(WeekReturn, FirstWeekAfterDaysOff) {
  const auto away = [](int days) {
    return lifter()
        .no_sessions(k_monday - Days{days}, k_monday - Days{1})
        .off(k_monday - Days{days}, k_monday - Days{1}, OffReason::holiday);
  };
  EXPECT_THAT(outcome(away(12)).kinds, ElementsAre("returned"));
  EXPECT_THAT(outcome(away(12)).because, HasSubstr("12 days off (holiday)"));
  EXPECT_THAT(outcome(away(4)).kinds, IsEmpty());
  auto ramp = away(12);
  ramp.edit([](AthleteLog& log) {
    log.periods.push_back(
        {.athlete = "a1", .group = {}, .from = k_monday, .to = k_sunday, .intent = Intent::ramp, .note = {}});
  });
  EXPECT_THAT(outcome(ramp).kinds, IsEmpty());
  EXPECT_THAT(outcome(ramp).watch, HasSubstr("by a plan that builds up"));
}

std::vector<std::string> flagged(const WeekReview& r) {
  std::vector<std::string> codes;
  for (const WeekFlag& flag : r.flags) codes.push_back(flag.athlete);
  return codes;
}

TEST(WeekSquad, EverybodyLowIsOneEvent) {
  auto c = club(6);
  for (Lifter& l : c) l.week(&Check::sleep_hours, -1.2).week(&Check::mood, -1.2).week(&Check::fatigue, 1.2);
  const WeekReview all = review(c);
  EXPECT_THAT(all.flags, IsEmpty());
  ASSERT_THAT(all.squad, SizeIs(1));
  EXPECT_THAT(all.squad[0], AllOf(HasSubstr("The whole squad"), HasSubstr("1.2 h less"), HasSubstr("lighter week")));

  c[3].week(&Check::sleep_hours, -2).week(&Check::fatigue, 2);
  c[1].week(&Check::sleep_hours, -0.4).week(&Check::fatigue, 0.4).week(&Check::mood, -0.4);
  const WeekReview two = review(c);
  EXPECT_THAT(flagged(two), ElementsAre("a4"));
  ASSERT_THAT(two.watch, SizeIs(1));
  EXPECT_EQ(two.watch[0].athlete, "a2");
  EXPECT_THAT(two.watch[0].because, HasSubstr("further down than the squad"));
}

TEST(WeekSquad, ThreeOfSixOrThreeInAllAreNoSquadEvent) {
  auto six = club(6);
  for (std::size_t i = 0; i < 3; ++i) six[i].week(&Check::sleep_hours, -1.5).week(&Check::mood, -1.5);
  EXPECT_THAT(review(six).squad, IsEmpty());
  EXPECT_THAT(flagged(review(six)), ElementsAre("a1", "a2", "a3"));
  auto three = club(3);
  for (Lifter& l : three) l.week(&Check::sleep_hours, -1.5).week(&Check::mood, -1.5);
  EXPECT_THAT(flagged(review(three)), SizeIs(3));
}

TEST(WeekSquad, GroupsDoNotExplainEachOther) {
  auto c = club(8);
  for (std::size_t i = 0; i < 4; ++i) {
    c[i].week(&Check::sleep_hours, -1.2).week(&Check::mood, -1.2).athlete([](Athlete& a) { a.group = "juniors"; });
  }
  const WeekReview r = review(c);
  EXPECT_THAT(r.flags, IsEmpty());
  EXPECT_THAT(r.squad, ElementsAre(HasSubstr("The whole group juniors")));
}

TEST(WeekSquad, ALoadThatRoseForEverybodyIsSaidOnce) {
  auto c = club(5);
  for (Lifter& l : c) l.minutes(1, 1.6, false);
  const WeekReview all = review(c);
  EXPECT_THAT(all.flags, IsEmpty());
  EXPECT_THAT(all.squad, ElementsAre(HasSubstr("60 % above usual")));
  c[2].minutes(1, 1.5, false);
  EXPECT_THAT(flagged(review(c)), ElementsAre("a3"));
}

}  // namespace
}  // namespace steelyard::testing
