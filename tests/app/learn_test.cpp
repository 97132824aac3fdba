// What was learned, through the store. Sources: the contract (`marks`, `marks --csv`, `strength`); states are a cache,
// so that answers with and without them are the same.
#include "steelyard/app/learn.hpp"

#include <gmock/gmock.h>

#include "app/bench.hpp"
#include "app/learned.hpp"
#include "app/span.hpp"
#include "learn/simulated.hpp"
#include "steelyard/app/today.hpp"
#include "steelyard/report/json.hpp"
#include "steelyard/report/learned.hpp"

namespace steelyard::app {
namespace {

using ::testing::HasSubstr;

class Learned : public Bench {
 protected:
  Learned() { put(sim_); }

  void put(const testing::Simulated& sim) {
    auto entry = store->begin("test", k_now).value();
    const auto add = [&](const auto& rows) {
      for (const auto& row : rows) EXPECT_TRUE(entry->put(row));
    };
    EXPECT_TRUE(entry->put(sim.log.athlete));
    add(sim.log.maxes);
    add(sim.log.plan);
    add(sim.log.sessions);
    add(sim.log.sets);
    add(sim.log.checks);
    EXPECT_TRUE(entry->commit());
  }
  static testing::Simulated simulated(const std::string& name, std::uint64_t seed) {
    testing::Truth truth;
    truth.days = 200;
    return testing::Simulator(truth, seed).live(name);
  }
  std::string call(Day day) { return report::today_json(today(context, lifter(), day).value()); }

  testing::Simulated sim_ = simulated("a1", 1);
  Day session_ = sim_.log.sets.back().date;  ///< a planned squat day at the end
};

TEST_F(Learned, TodayStandsOnWhatWasLearned) {
  const auto made = today(context, lifter(), session_).value();
  ASSERT_EQ(made.calls.size(), 1U);
  ASSERT_TRUE(made.calls[0].expected);
  EXPECT_TRUE(made.calls[0].expected->learned);
  EXPECT_FALSE(made.calls[0].expected->shares.empty());
}

TEST_F(Learned, AnswersTheSameFromKeptStatesAndFromNothing) {
  const std::string first = call(session_);
  ASSERT_TRUE(store->state("a1", "learned", session_ - Days{1}).value());
  EXPECT_EQ(call(session_), first);  // from the state of the day before
  ASSERT_TRUE(store->drop_states("a1", session_ - Days{5}));
  EXPECT_EQ(call(session_), first);  // from an older one and the days after it
  ASSERT_TRUE(store->drop_states("a1", k_first_day));
  EXPECT_EQ(call(session_), first);
}

TEST_F(Learned, ForgetsStatesThatAnEarlierEntryTouches) {
  const std::string first = call(session_);
  Check check = sim_.log.checks[sim_.log.checks.size() / 2];
  check.soreness = check.soreness == 7 ? 1 : 7;
  auto entry = store->begin("late", k_now).value();
  ASSERT_TRUE(entry->put(check));
  ASSERT_TRUE(entry->commit());
  const auto newest = store->state("a1", "learned", session_).value();
  EXPECT_TRUE(!newest || newest->date < check.date);
  const std::string second = call(session_);
  EXPECT_NE(second, first);
  ASSERT_TRUE(store->drop_states("a1", k_first_day));
  EXPECT_EQ(call(session_), second);
}

TEST_F(Learned, DoesNotTrustStatesOfOtherModels) {
  const std::string first = call(session_);
  auto state = store->state("a1", "learned", session_).value().value();
  state.model_digest = "of another model";
  state.bytes = "nonsense";
  ASSERT_TRUE(store->save_states({state}));
  EXPECT_EQ(call(session_), first);
}

TEST(KeptDays, AreEachDayThenEachWeekThenEachQuarter) {
  const Day last = *parse_day("2026-11-22");
  const auto days = kept_days(last - Days{600}, last);
  int recent = 0;
  int weekly = 0;
  int older = 0;
  for (const Day day : days) {
    const int age = days_between(day, last);
    ++(age < 15 ? recent : age < 182 ? weekly : older);
  }
  EXPECT_EQ(recent, 15);
  EXPECT_NEAR(weekly, 24, 1);
  EXPECT_NEAR(older, 418 / 91.0, 1);
}

TEST_F(Learned, ThinsOutStatesAsDaysGoBy) {
  for (int back = 40; back >= 0; --back)
    ASSERT_TRUE(
        learned_today(context, *log_around(context, lifter().athlete, sim_.last - Days{back}), sim_.last - Days{back}));
  int states = 0;
  for (std::optional<Day> day = sim_.last; day;) {
    const auto state = store->state("a1", "learned", *day).value();
    day = state ? std::optional(state->date - Days{1}) : std::nullopt;
    states += state ? 1 : 0;
  }
  EXPECT_LE(states, 15 + 6 + 26 + 3);  // at most a week's more than the days that are kept
}

TEST_F(Learned, KeepsForecastsBeforeTheFactAndMarksThem) {
  // What was told that morning, before a correction of an earlier day changes what would be told now.
  const auto remade = marks(context, lifter(), sim_.last).value();
  const auto last = std::find_if(remade.lines.rbegin(), remade.lines.rend(),
                                 [](const ForecastLine& l) { return l.target == "strength:squat"; });
  ASSERT_NE(last, remade.lines.rend());
  auto kept = store::StoredForecast{.athlete = "a1",
                                    .date = last->date,
                                    .target = "strength:squat",
                                    .made_on = last->date,
                                    .mean = 140,
                                    .low80 = 138,
                                    .high80 = 142,
                                    .observed = std::nullopt};
  ASSERT_TRUE(store->save_forecasts({kept}));
  const auto marked = marks(context, lifter(), sim_.last).value();
  const auto line = std::find_if(marked.lines.begin(), marked.lines.end(), [&](const ForecastLine& l) {
    return l.date == last->date && l.target == "strength:squat";
  });
  ASSERT_NE(line, marked.lines.end());
  EXPECT_EQ(line->mean, 140);
  EXPECT_EQ(line->low80, 138);
}

TEST_F(Learned, TodayKeepsItsForecastUnlessTheSessionIsDone) {
  ASSERT_TRUE(today(context, lifter(), session_));
  EXPECT_TRUE(store->forecasts("a1").value().empty());  // the sets of that day are there already
  auto entry = store->begin("test", k_now).value();
  PlanRow tomorrow = sim_.log.plan.back();
  tomorrow.date = sim_.last + Days{1};
  ASSERT_TRUE(entry->put(tomorrow));
  ASSERT_TRUE(entry->commit());
  ASSERT_TRUE(today(context, lifter(), sim_.last + Days{1}));
  const auto kept = store->forecasts("a1").value();
  ASSERT_EQ(kept.size(), 1U);
  EXPECT_EQ(kept[0].target, "strength:squat");
  EXPECT_EQ(kept[0].made_on, sim_.last + Days{1});
  EXPECT_LT(kept[0].low80, kept[0].mean);
  EXPECT_FALSE(kept[0].observed);
}

TEST_F(Learned, MarksHaveTheKeysOfTheContract) {
  const auto marked = marks(context, lifter(), sim_.last).value();
  const std::string json = report::marks_json(marked.marks);
  for (const char* key : {"\"strength:squat\":{\"n\":", "\"soreness\":{\"n\":", "\"crps\":", "\"crps_usual28\":",
                          "\"crps_last\":", "\"crps_ewma\":", "\"skill_vs_usual28\":", "\"cover80\":", "\"pit\":["}) {
    EXPECT_THAT(json, HasSubstr(key));
  }
  std::string csv(report::marks_csv_header());
  EXPECT_EQ(csv, "athlete,date,target,made_on,mean,low80,high80,observed\n");
  for (const ForecastLine& line : marked.lines) {
    EXPECT_EQ(line.athlete, "a1");
    EXPECT_EQ(line.made_on, line.target.starts_with("strength:") ? line.date : line.date - Days{1});
  }
}

TEST_F(Learned, SquadMarksAreTheSumOfItsAthletes) {
  put(simulated("a2", 2));
  const auto athletes = store->athletes().value();
  const auto both = marks_of_squad(context, athletes, sim_.last).value();
  const auto one = marks(context, athletes[0], sim_.last).value();
  const auto two = marks(context, athletes[1], sim_.last).value();
  EXPECT_EQ(both.lines.size(), one.lines.size() + two.lines.size());
  const auto n = [](const Marks& m) {
    return std::find_if(m.targets.begin(), m.targets.end(), [](const auto& t) { return t.target == "soreness"; })->n;
  };
  EXPECT_EQ(n(both.marks), n(one.marks) + n(two.marks));
}

TEST_F(Learned, StrengthShowsEverySessionAndWhatItWasExpectedToBe) {
  const auto report = strength(context, lifter(), sim_.last).value();
  ASSERT_EQ(report.lifts.size(), 1U);
  EXPECT_EQ(report.lifts[0].lift, "squat");
  EXPECT_EQ(static_cast<int>(report.lifts[0].days.size()), report.lifts[0].sessions);
  EXPECT_GT(report.lifts[0].sessions, 20);
  EXPECT_FALSE(report.lifts[0].worth.empty());
}

TEST_F(Learned, SquadPriorNeedsEnoughLiftersAndServesThoseWhoBeginLater) {
  const auto few = learn_squad(context, store->athletes().value(), sim_.last).value();
  EXPECT_THAT(few.say.at(0), HasSubstr("no squad prior"));
  EXPECT_TRUE(few.squad.empty());
  for (std::uint64_t i = 2; i <= 9; ++i) put(simulated("a" + std::to_string(i), i));
  const auto nine = learn_squad(context, store->athletes().value(), sim_.last).value();
  EXPECT_THAT(nine.say.at(0), HasSubstr("starts from the squad"));
  EXPECT_EQ(nine.squad.size(), k_causes);
  EXPECT_EQ(learner_for(context, sim_.last).value().digest, context.models.digest);
  EXPECT_NE(learner_for(context, sim_.last + Days{1}).value().digest, context.models.digest);
}

TEST_F(Learned, LearnsEverybodyAfresh) {
  const std::string first = call(session_);
  EXPECT_EQ(learn_all(context, store->athletes().value(), session_).value(), 1U);
  EXPECT_TRUE(store->state("a1", "learned", session_ - Days{1}).value());
  EXPECT_EQ(call(session_), first);
}

}  // namespace
}  // namespace steelyard::app
