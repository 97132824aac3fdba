/// What a call says about habits: overrides that keep going one way, a written training max beside what the sessions
/// show, and what to do before the first loaded set. Common practice; the logs are invented.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "decide/build_log.hpp"
#include "params/shipped_models.hpp"
#include "steelyard/decide/call.hpp"
#include "steelyard/fit/distribution.hpp"

namespace steelyard::decide {
namespace {

using namespace steelyard::testing;
using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::Not;

constexpr Day k_today = k_monday + Days{84};  // heavy squats, then bench presses

AthleteLog lifter() {
  static const LogBuilder builder(heavy_speed_volume(), k_today, 8);
  return builder.with(builder.usual_morning());
}

/// Overrides of heavy squats on the last Mondays; on each the plan was done in full, which is what the builder logs.
AthleteLog overridden(int times) {
  AthleteLog log = lifter();
  for (int i = 1; i <= times; ++i) {
    log.decisions.push_back({.athlete = "ada",
                             .date = k_today - Days{7 * i},
                             .lift = "squat",
                             .follows = false,
                             .called = "trim-sets",
                             .reason = "felt fine",
                             .done = "the plan"});
  }
  return log;
}

std::vector<std::string> said(const AthleteLog& log, const learn::Today* learned = nullptr) {
  return call_for(log, k_today, shipped_models(), learned).say;
}

TEST(Overrides, AreNamedWhenTheyKeepGoingOneWay) {
  EXPECT_THAT(said(overridden(4)), Not(Contains(HasSubstr("overrides"))));
  EXPECT_THAT(said(overridden(5)), Contains(HasSubstr("5 of your last 5 overrides of squats did the plan in full")));
  EXPECT_THAT(said(overridden(5)), Contains(HasSubstr("Nothing is changed by itself")));
  AthleteLog less = overridden(5);
  for (SetRow& set : less.sets) {
    if (set.lift == "squat") set.sets = 1;
  }
  EXPECT_THAT(said(less), Contains(HasSubstr("5 of your last 5 overrides of squats did less than the plan")));
}

/// Who does what was called, only otherwise, says nothing about the limits; who does less than that, something about
/// the plan.
TEST(Overrides, OfACallThatWasThePlanDoNotSayThatTheLimitsAreTight) {
  AthleteLog log = overridden(6);
  for (Decision& d : log.decisions) d.called = "run-as-planned";
  EXPECT_THAT(said(log), Not(Contains(HasSubstr("overrides"))));
  for (SetRow& set : log.sets) {
    if (set.lift == "squat") set.sets = 1;
  }
  EXPECT_THAT(said(log), Contains(HasSubstr("6 of your last 6 overrides of squats did less than the plan")));
}

// What was tried and failed was not done: advice that the limits are tight would point the wrong way.
TEST(Overrides, CountOnlyRepetitionsThatWereDone) {
  AthleteLog log = overridden(5);
  for (SetRow& set : log.sets) {
    if (set.lift == "squat") set.missed = set.sets * set.reps;
  }
  EXPECT_THAT(said(log), Not(Contains(HasSubstr("did the plan in full"))));
  EXPECT_THAT(said(log), Contains(HasSubstr("5 of your last 5 overrides of squats did less than the plan")));
}

TEST(Overrides, WithoutWhatWasDoneAreNotCounted) {
  AthleteLog log = overridden(6);
  std::erase_if(log.sets, [](const SetRow& set) { return set.lift == "squat"; });
  EXPECT_THAT(said(log), Not(Contains(HasSubstr("overrides"))));
}

/// A call that was followed is the plan of the day: asked again, it stands.
TEST(FollowedCall, IsNotCutASecondTime) {
  AthleteLog log = lifter();
  log.checks.back().sore_regions = {{"quads", 5}};
  log.checks.back().sleep_hours = 4;
  const LiftCall first = call_for(log, k_today, shipped_models()).calls[0];
  ASSERT_NE(first.call, first.planned);
  for (PlanRow& row : log.plan) {
    if (row.date != k_today || row.lift != "squat") continue;
    row.kind = first.call.kind;
    row.sets = first.call.sets;
    row.reps = first.call.reps;
    row.percent = first.call.percent;
  }
  EXPECT_NE(call_for(log, k_today, shipped_models()).calls[0].actions, std::vector{Action::run_as_planned})
      << "a plan that nobody followed is cut";
  log.decisions.push_back(
      {.athlete = "ada", .date = k_today, .lift = "squat", .follows = true, .called = "", .reason = "", .done = ""});
  for (const Action action : first.actions) log.decisions.back().called += std::string(action_code(action)) + " ";
  const LiftCall again = call_for(log, k_today, shipped_models()).calls[0];
  EXPECT_EQ(again.actions, std::vector{Action::run_as_planned});
  EXPECT_EQ(again.call, first.call);
  EXPECT_EQ(again.weight_kg, first.weight_kg);
  log.checks.back().symptoms = {"chest-pressure"};
  EXPECT_EQ(call_for(log, k_today, shipped_models()).calls[0].actions, std::vector{Action::stop_refer});
}

/// 30 minutes: 12 to warm up and 3 x 5 for the heavy squats (models); 3 are left, too few for a set of bench presses.
TEST(Minutes, AreSharedByTheLiftsOfTheDayTheMainOneFirst) {
  AthleteLog log = lifter();
  log.checks.back().minutes_available = 30;
  const DayCall call = call_for(log, k_today, shipped_models());
  EXPECT_EQ(call.calls[0].actions, std::vector{Action::run_as_planned});
  EXPECT_EQ(call.calls[1].actions, std::vector{Action::rest});
  log.checks.back().minutes_available = 36;  // 9 are left: two sets of 4
  EXPECT_EQ(call_for(log, k_today, shipped_models()).calls[1].call.sets, 2);
  log.checks.back().minutes_available = 43;
  EXPECT_EQ(call_for(log, k_today, shipped_models()).calls[1].actions, std::vector{Action::run_as_planned});
}

TEST(DayOff, OfTodayClosesTheDay) {
  AthleteLog log = lifter();
  log.days_off.push_back({.athlete = "ada", .from = k_today - Days{1}, .to = k_today, .reason = OffReason::holiday});
  const DayCall call = call_for(log, k_today, shipped_models());
  EXPECT_EQ(call.calls[0].actions, std::vector{Action::rest});
  EXPECT_THAT(call.say, Contains(HasSubstr("You entered a day off for today (holiday)")));
  log.days_off.back().to = k_today - Days{1};
  EXPECT_NE(call_for(log, k_today, shipped_models()).calls[0].actions, std::vector{Action::rest});
}

TEST(Overrides, OfBothKindsSayNothingAndChangeNoFigure) {
  AthleteLog mixed = overridden(6);
  for (SetRow& set : mixed.sets) {
    if (set.lift == "squat" && set.date >= k_today - Days{21}) set.sets = 1;
  }
  EXPECT_THAT(said(mixed), Not(Contains(HasSubstr("overrides"))));
  const auto with = call_for(overridden(5), k_today, shipped_models());
  const auto without = call_for(lifter(), k_today, shipped_models());
  EXPECT_EQ(with.calls[0].call, without.calls[0].call);
  EXPECT_NE(with.inputs_digest, without.inputs_digest);
}

learn::Today expecting(double percent) {
  learn::LiftToday squat{.lift = "squat", .sessions = 30};
  squat.expected = {.percent = percent, .low80 = percent - 3, .high80 = percent + 3, .sessions = 30, .learned = true};
  return {.lifts = {squat}};
}

TEST(TrainingMax, IsSetBesideWhatTheSessionsShow) {
  const auto usual = expecting(106);  // the written 160 kg are 94 % of that
  EXPECT_THAT(said(lifter(), &usual), Not(Contains(HasSubstr("written training max"))));
  const auto strong = expecting(125);  // 160 kg are 80 %
  EXPECT_THAT(
      said(lifter(), &strong),
      Contains(HasSubstr("Your sessions of squats show about 200 kg for a single (195 kg to 205 kg); the written "
                         "training max is 160 kg, 80 % of that. Percentages are easier than they look")));
  const auto weak = expecting(90);
  EXPECT_THAT(said(lifter(), &weak), Contains(HasSubstr("harder than they look")));
  auto guess = weak;
  guess.lifts[0].expected.sessions = 5;
  EXPECT_THAT(said(lifter(), &guess), Not(Contains(HasSubstr("written training max"))));
}

TEST(Preparation, NamesTheLiftsOwnStepsAndEasesWhatIsSore) {
  const auto& lifts = shipped_models().lifts;
  AthleteLog log = lifter();
  EXPECT_EQ(call_for(log, k_today, shipped_models()).calls[0].prepare, lifts.find("squat")->warmup);
  log.checks.back().sore_regions = {{"quads-left", 4}, {"chest", 5}, {"hips", 3}};
  auto expected = lifts.find("squat")->warmup;
  expected.push_back("left quads: " +
                     lifts.mobility.at("quads"));  // the chest is no part of a squat; hips are as usual
  EXPECT_EQ(call_for(log, k_today, shipped_models()).calls[0].prepare, expected);
}

/// Heavy squats of 3 x 4 at 82.5 % need 82.5 (1 + 5/30) = 96.25 % of the training max to end at RPE 9 (Epley 1985).
learn::Today with_margin(double mean_percent, double sd_points, double of_today, double past) {
  learn::LiftToday squat{.lift = "squat", .sessions = 30};
  squat.expected = {
      .percent = mean_percent, .low80 = mean_percent - 3, .high80 = mean_percent + 3, .sessions = 30, .learned = true};
  squat.margin.strength =
      fit::Mixture::of({.mean = 100 * std::log(mean_percent / 100), .scale2 = sd_points * sd_points});
  squat.margin.percent = 82.5;
  squat.margin.reps = 4;
  squat.margin.of_today = of_today;
  for (int i = 0; i < 5; ++i) squat.margin.past[0].add(past);
  return {.lifts = {squat}};
}

const LimitResult& margin_of(const DayCall& call) {
  const auto& limits = call.calls[0].limits;
  return *std::find_if(limits.begin(), limits.end(), [](const LimitResult& l) { return l.id == "margin"; });
}

TEST(MarginLimit, SpeaksOfTheChanceToPassTheCap) {
  // The normal distribution: half of such days lie below their mean.
  const auto even = with_margin(96.25, 3, -4, 10);
  const DayCall call = call_for(lifter(), k_today, shipped_models(), &even);
  EXPECT_NEAR(*margin_of(call).measured, 50, 1e-6);
  EXPECT_FALSE(margin_of(call).held);
  EXPECT_EQ(call.calls[0].actions, std::vector{Action::trim_intensity});
  EXPECT_EQ(call.calls[0].call.percent, 80);  // 80 (1 + 5/30) = 93.3: z = 100 ln(93.3/96.25) / 3 = -1.03, 15 %
  EXPECT_THAT(call.say, Contains(HasSubstr("ends above RPE 9 is 50 % today, on a usual morning 9 %")));  // z = -4/3
}

TEST(MarginLimit, LeavesAPlanThatIsHeavyEveryDayAndALifterItDoesNotKnow) {
  const auto every_day = with_margin(96.25, 3, 0, 10);  // nothing about today
  EXPECT_TRUE(margin_of(call_for(lifter(), k_today, shipped_models(), &every_day)).held);
  const auto always = with_margin(96.25, 3, -4, 45);  // own median 45 %: five points are not ten
  EXPECT_TRUE(margin_of(call_for(lifter(), k_today, shipped_models(), &always)).held);
  auto few = with_margin(96.25, 3, -4, 10);
  few.lifts[0].sessions = 5;
  const DayCall call = call_for(lifter(), k_today, shipped_models(), &few);
  EXPECT_TRUE(margin_of(call).held);
  EXPECT_FALSE(margin_of(call).measured);
  const auto low = with_margin(99.9, 3, -4, 1);  // z = -1.24: 11 %, and 1 % usually
  EXPECT_TRUE(margin_of(call_for(lifter(), k_today, shipped_models(), &low)).held);
}

}  // namespace
}  // namespace steelyard::decide
