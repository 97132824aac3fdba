// What a call takes from the learner. Source of the wording: the owner's; the numbers are invented.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "params/shipped_models.hpp"
#include "steelyard/decide/call.hpp"

namespace steelyard::decide {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::Not;
using testing::shipped_models;

const Day k_today = day_from_number(20590);

/// Eight weeks of unvaried training with a check every morning; one short night before today's heavy squats.
AthleteLog one_short_night() {
  AthleteLog log{.athlete = {.athlete = "a1"}};
  log.maxes.push_back({.athlete = "a1", .lift = "squat", .from = k_today - Days{60}, .training_max_kg = 150});
  for (int back = 56; back >= 0; --back) {
    const Day day = k_today - Days{back};
    const double turn = back % 2 == 0 ? 0.5 : -0.5;
    log.checks.push_back({.athlete = "a1",
                          .date = day,
                          .sleep_hours = back == 0 ? 5 : 7.5 + turn,
                          .sleep_quality = 4,
                          .soreness = 3 + turn,
                          .fatigue = 3 + turn,
                          .stress = 3,
                          .mood = 5});
    if (back == 0 || back % 7 == 1 || back % 7 == 3 || back % 7 == 6) continue;
    log.sessions.push_back({.athlete = "a1",
                            .date = day,
                            .part = 1,
                            .kind = DayKind::volume,
                            .minutes = 50.0 + back % 3 * 10,
                            .rpe = 5.0 + back % 2});
  }
  log.plan.push_back({.athlete = "a1",
                      .date = k_today,
                      .lift = "squat",
                      .kind = DayKind::heavy,
                      .sets = 3,
                      .reps = 4,
                      .percent = 82.5});
  return log;
}

learn::Today learned(double sleep_low, double sleep_high, int nights) {
  learn::LiftToday squat{.lift = "squat", .sessions = 45, .nights = nights};
  squat.sleep = {.mean = (sleep_low + sleep_high) / 2, .low = sleep_low, .high = sleep_high};
  squat.expected = {.percent = 97,
                    .low80 = 94,
                    .high80 = 100,
                    .shares = {{.from = "usual for this work", .percent = -2}, {.from = "sleep", .percent = -1}},
                    .sessions = 45,
                    .learned = true};
  return {.lifts = {squat}};
}

TEST(LearnedCall, StandsOnTheLearnedForecast) {
  const auto today = learned(-1, 1, 41);
  const DayCall call = call_for(one_short_night(), k_today, shipped_models(), &today);
  ASSERT_EQ(call.calls.size(), 1U);
  ASSERT_TRUE(call.calls[0].expected);
  EXPECT_EQ(call.calls[0].expected->percent, 97);
  EXPECT_EQ(call.calls[0].expected->shares.size(), 2U);
  EXPECT_TRUE(call.calls[0].expected->learned);
  EXPECT_FALSE(call_for(one_short_night(), k_today, shipped_models()).calls[0].expected);  // no sets, nothing learned
}

TEST(LearnedCall, TellsAShortNightThatHasNotMattered) {
  const auto indifferent = learned(-0.3, 0.4, 41);
  const DayCall call = call_for(one_short_night(), k_today, shipped_models(), &indifferent);
  EXPECT_EQ(call.calls[0].actions, std::vector{Action::run_as_planned});
  EXPECT_THAT(call.say, Contains(HasSubstr("but single short nights have not changed your lifting in 45 sessions: run "
                                           "the plan, the bar decides.")));
}

TEST(LearnedCall, SaysTheUsualWhileThatIsNotKnown) {
  const auto wide = learned(-0.3, 0.7, 41);
  const auto few = learned(-0.3, 0.4, 29);
  for (const learn::Today* today : {&wide, &few}) {
    const DayCall call = call_for(one_short_night(), k_today, shipped_models(), today);
    EXPECT_THAT(call.say, Contains(HasSubstr("One short night costs little strength")));
    EXPECT_THAT(call.say, Not(Contains(HasSubstr("have not changed your lifting"))));
  }
}

TEST(LearnedCall, StillWarnsOfSeveralShortNights) {
  AthleteLog log = one_short_night();
  for (Check& check : log.checks) {
    if (check.date > k_today - Days{4}) check.sleep_hours = 5;
  }
  const auto indifferent = learned(-0.3, 0.4, 41);
  const DayCall call = call_for(log, k_today, shipped_models(), &indifferent);
  EXPECT_THAT(call.say, Not(Contains(HasSubstr("have not changed your lifting"))));
  EXPECT_THAT(call.say, Contains(HasSubstr("several short nights are a warning")));
}

/// Own curve of this lifter: 0.2 log points more shown for each point of % on the bar. 97 % at 82.5 becomes
/// 97 exp(0.2 x (75 - 82.5) / 100) = 95.6 at 75 (computed by hand).
TEST(LearnedCompare, JudgesALighterOptionByItsOwnWork) {
  auto today = learned(-1, 1, 41);
  today.lifts[0].margin.percent = 82.5;
  today.lifts[0].margin.reps = 4;
  today.lifts[0].margin.per_percent = 0.2;
  AthleteLog log = one_short_night();
  log.checks.back().fatigue = 7;
  const auto options = compare(log, k_today, std::nullopt, shipped_models(), &today).options;
  ASSERT_GE(options.size(), 2U);
  EXPECT_NEAR(*options[0].expected_percent, 97, 1e-9);
  ASSERT_TRUE(options[1].chosen);
  ASSERT_EQ(options[1].today.percent, 75);
  EXPECT_NEAR(*options[1].expected_percent, 95.556, 0.001);
}

}  // namespace
}  // namespace steelyard::decide
