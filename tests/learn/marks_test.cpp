#include "steelyard/learn/marks.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "learn/simulated.hpp"

namespace steelyard::learn {
namespace {

using ::testing::HasSubstr;
using testing::shipped_models;

Scored scored(double low, double high, double observed, double crps, double pit) {
  return {.line = {.date = day_from_number(20000),
                   .target = "soreness",
                   .made_on = day_from_number(19999),
                   .mean = (low + high) / 2,
                   .low80 = low,
                   .high80 = high,
                   .observed = observed},
          .has_scores = true,
          .crps = crps,
          .crps_usual28 = 0.5,
          .crps_last = 0.75,
          .crps_ewma = 0.25,
          .pit = pit};
}

TEST(MarkSums, MakesMeansByHand) {
  MarkSums sums;
  sums.add(scored(2, 4, 3, 0.25, 0.5));
  sums.add(scored(2, 4, 5, 0.5, 0.99));
  Scored alone = scored(1, 2, 7, 9, 1);
  alone.has_scores = false;  // a plain forecast was missing: not marked
  sums.add(alone);
  const Marks marks = sums.marks("a");
  ASSERT_EQ(marks.targets.size(), 1U);
  const TargetMarks& t = marks.targets[0];
  EXPECT_EQ(t.n, 2);
  EXPECT_DOUBLE_EQ(t.crps.value(), 0.375);
  EXPECT_DOUBLE_EQ(t.mae.value(), 1);
  EXPECT_DOUBLE_EQ(t.crps_usual28.value(), 0.5);
  EXPECT_DOUBLE_EQ(t.crps_last.value(), 0.75);
  EXPECT_DOUBLE_EQ(t.crps_ewma.value(), 0.25);
  EXPECT_DOUBLE_EQ(t.skill_vs_usual28.value(), 0.25);
  EXPECT_DOUBLE_EQ(t.cover80.value(), 0.5);
  EXPECT_EQ(t.pit[5], 1);
  EXPECT_EQ(t.pit[9], 1);
}

TEST(MarkSums, JoinsASquad) {
  MarkSums a;
  a.add(scored(2, 4, 3, 0.25, 0.5));
  MarkSums b;
  b.add(scored(2, 4, 5, 0.5, 0.99));
  a.join(b);
  const Marks marks = a.marks("");
  EXPECT_EQ(marks.athletes, 2);
  EXPECT_EQ(marks.targets[0].n, 2);
  EXPECT_DOUBLE_EQ(marks.targets[0].crps.value(), 0.375);
}

TEST(MarkSums, SaysWhereTheMeanOf28DaysSpeaks) {
  const Learner learner = Learner::make(shipped_models()).value();
  MarkSums sums;
  sums.add(scored(2, 4, 3, 0.25, 0.5));
  LearnedState state;
  state.items[static_cast<std::size_t>(Item::soreness)].tally = {
      .n = 20, .learner = 8, .usual28 = 7.9, .scatter = 0.0036};  // 0.1 is 1.67 times the root
  sums.finish(state, learner);
  EXPECT_EQ(sums.marks("a").targets[0].stepped_back, 1);
  EXPECT_THAT(sums.marks("a").say.at(0), HasSubstr("that mean speaks in its place"));
  auto& tally = state.items[static_cast<std::size_t>(Item::soreness)].tally;
  tally.n = 19;  // too few to compare
  sums.finish(state, learner);
  EXPECT_TRUE(sums.marks("a").say.empty());
  tally.n = 20;
  tally.scatter = 0.01;  // a difference of one standard error is chance
  sums.finish(state, learner);
  EXPECT_TRUE(sums.marks("a").say.empty());
}

// Stepping back shows in the forecasts themselves: mean and 80 % limits of the last 28 days' values.
TEST(MarkSums, ScoresWhatTheLifterWasTold) {
  Models models = shipped_models();
  models.response.items.noise_sd = 4;  // a learner that is far too unsure
  models.response.items.noise_weight = 100;
  models.response.items.spread_gain = 0;
  testing::Truth truth;
  truth.days = 200;
  truth.always_same = true;
  const auto sim = testing::Simulator(truth, 3).live();
  LearnedState state;
  int stepped = 0;
  Learner::make(models).value().walk(sim.log, sim.last, state, [&](const Scored& s) {
    if (!s.stepped_back || s.line.target != "mood") return;
    ++stepped;
    EXPECT_DOUBLE_EQ(s.crps, s.crps_usual28);
    EXPECT_NEAR(s.line.high80 - s.line.low80, 2 * 1.2815515655446004 * 0.3, 1e-12);
  });
  EXPECT_GT(stepped, 50);
}

}  // namespace
}  // namespace steelyard::learn
