#include "steelyard/learn/learner.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <map>

#include "learn/simulated.hpp"

namespace steelyard::learn {
namespace {

using testing::shipped_models;
using testing::Simulated;
using testing::Simulator;
using testing::Truth;

Learner learner() {
  return Learner::make(shipped_models()).value();
}

Truth half_a_year() {
  Truth truth;
  truth.days = 170;
  truth.bar_speed = true;
  return truth;
}

std::vector<Scored> forecasts(const AthleteLog& log, Day last) {
  std::vector<Scored> all;
  LearnedState state;
  learner().walk(log, last, state, [&](const Scored& s) { all.push_back(s); });
  return all;
}

// A state that was saved and loaded on any day and walked on is the state of one walk, to the last bit.
TEST(Learner, WalksInPiecesAsInOne) {
  const Learner l = learner();
  for (const std::uint64_t seed : {1U, 2U, 3U}) {
    Truth truth = half_a_year();
    truth.checks = seed == 3 ? 0.3 : 0.9;  // many gaps, which are judged later
    const Simulated sim = Simulator(truth, seed).live();
    LearnedState whole;
    l.walk(sim.log, sim.last, whole);
    LearnedState pieces;
    int step = 1;
    for (Day day = sim.last - Days{truth.days - 1}; day < sim.last; day += Days{step}) {
      // what is entered later is not there yet
      AthleteLog known = sim.log;
      std::erase_if(known.checks, [&](const Check& c) { return c.date > day; });
      std::erase_if(known.sessions, [&](const Session& s) { return s.date > day; });
      std::erase_if(known.sets, [&](const SetRow& s) { return s.date > day; });
      if (pieces.through) {  // the store hands out only what lies not too far back
        const Day from = *pieces.through - Days{k_days_before};
        std::erase_if(known.checks, [&](const Check& c) { return c.date < from; });
        std::erase_if(known.sessions, [&](const Session& s) { return s.date < from; });
        std::erase_if(known.sets, [&](const SetRow& s) { return s.date < from; });
        std::erase_if(known.bar, [&](const BarSpeed& b) { return b.date < from; });
        known.first_entry = sim.log.checks.front().date;
      }
      l.walk(known, day, pieces);
      pieces = l.load(l.save(pieces)).value();
      step = step % 5 + 1;
    }
    l.walk(sim.log, sim.last, pieces);
    EXPECT_EQ(l.save(pieces), l.save(whole)) << seed;
  }
}

// Everything dated after day t is changed beyond recognition: no forecast for t or before moves.
TEST(Learner, SeesNothingOfTheFuture) {
  for (const std::uint64_t seed : {4U, 5U}) {
    Truth truth = half_a_year();
    truth.checks = seed == 5 ? 0.4 : 0.9;
    const Simulated sim = Simulator(truth, seed).live();
    const auto before = forecasts(sim.log, sim.last);
    for (const int back : {100, 61, 40, 3}) {
      const Day t = sim.last - Days{back};
      AthleteLog changed = sim.log;
      for (Check& c : changed.checks) {
        if (c.date > t) c.soreness = c.fatigue = c.stress = 7, c.sleep_hours = 2, c.mood = std::nullopt;
      }
      std::erase_if(changed.sessions, [&](const Session& s) { return s.date > t && weekday_index(s.date) != 0; });
      for (SetRow& s : changed.sets) {
        if (s.date > t) s.weight_kg = *s.weight_kg + 30;
      }
      for (BarSpeed& b : changed.bar) {
        if (b.date > t) b.speed_m_s = 0.2;
      }
      std::erase_if(changed.plan, [&](const PlanRow& p) { return p.date > t; });
      changed.maxes.push_back({.athlete = "sim", .lift = "squat", .from = t + Days{1}, .training_max_kg = 90});
      const auto after = forecasts(changed, sim.last);
      std::size_t compared = 0;
      for (std::size_t i = 0; i < before.size() && before[i].line.date <= t; ++i, ++compared) {
        ASSERT_LT(i, after.size());
        ASSERT_EQ(before[i].line.target, after[i].line.target);
        ASSERT_EQ(before[i].line.date, after[i].line.date);
        ASSERT_EQ(before[i].line.mean, after[i].line.mean) << before[i].line.target << format_day(before[i].line.date);
        ASSERT_EQ(before[i].line.low80, after[i].line.low80);
        ASSERT_EQ(before[i].line.high80, after[i].line.high80);
      }
      EXPECT_GT(compared, 50U);
      EXPECT_NE(after.size(), before.size());  // the change did reach the walk
    }
  }
}

// The day itself: what comes in the session must not be in its forecast; what comes in the morning must not be in that
// of the evening before.
TEST(Learner, SeesNothingOfWhatItForecasts) {
  const Simulated sim = Simulator(half_a_year(), 6).live();
  const auto before = forecasts(sim.log, sim.last);
  const Day session = sim.log.sets.back().date;
  AthleteLog changed = sim.log;
  changed.sets.back().weight_kg = *changed.sets.back().weight_kg * 1.1;
  changed.sets.back().rpe = 9.5;
  const auto after = forecasts(changed, sim.last);
  const auto check = sim.log.checks.back().date;
  changed.checks.back().soreness = 7;
  const auto third = forecasts(changed, sim.last);
  int seen = 0;
  for (std::size_t i = 0; i < before.size(); ++i) {
    if (before[i].line.target == "strength:squat" && before[i].line.date == session) {
      EXPECT_EQ(before[i].line.mean, after[i].line.mean);
      EXPECT_NE(before[i].line.observed, after[i].line.observed);
      EXPECT_EQ(before[i].line.made_on, session);
      ++seen;
    }
    if (before[i].line.target == "soreness" && before[i].line.date == check) {
      EXPECT_EQ(after[i].line.mean, third[i].line.mean);
      EXPECT_EQ(before[i].line.made_on, check - Days{1});
      ++seen;
    }
  }
  EXPECT_EQ(seen, 2);
}

// The evening before, nobody knows yet that a day without entries will turn out to have been rest: a declared day off
// is known, and forecast differently.
TEST(Learner, DoesNotTakeTonightsSilenceForRest) {
  Simulated sim = Simulator(half_a_year(), 16).live();
  const auto with_check = [&](Day d) {
    return std::any_of(sim.log.checks.begin(), sim.log.checks.end(), [&](const Check& c) { return c.date == d; });
  };
  const auto is_planned = [&](Day d) {
    return std::any_of(sim.log.plan.begin(), sim.log.plan.end(), [&](const PlanRow& p) { return p.date == d; });
  };
  Day silent = sim.last - Days{1};
  while (is_planned(silent) || !with_check(silent) || !with_check(silent + Days{1})) silent -= Days{1};
  std::erase_if(sim.log.checks, [&](const Check& c) { return c.date == silent; });
  const auto soreness_after = [&](const AthleteLog& log) {
    for (const Scored& s : forecasts(log, sim.last)) {
      if (s.line.target == "soreness" && s.line.date == silent + Days{1}) return s.line.mean;
    }
    return 0.0;
  };
  AthleteLog off = sim.log;
  off.days_off.push_back({.athlete = "sim", .from = silent, .to = silent, .reason = OffReason::planned});
  EXPECT_GT(soreness_after(sim.log), soreness_after(off));  // taken as usual, so more sore than after a day off
  EXPECT_GT(soreness_after(off), 0);                        // there is one
}

// A new training max changes the percentages, not the reference: the estimates before and after are on one scale.
TEST(Learner, KeepsItsReferenceWhenTheTrainingMaxChanges) {
  Simulated sim = Simulator(half_a_year(), 7).live();
  const Learner l = learner();
  LearnedState before;
  l.walk(sim.log, sim.last, before);
  sim.log.maxes.push_back({.athlete = "sim", .lift = "squat", .from = sim.last - Days{30}, .training_max_kg = 120});
  LearnedState after;
  l.walk(sim.log, sim.last, after);
  EXPECT_EQ(before.lifts.front().reference_kg, 150);
  EXPECT_EQ(after.lifts.front().reference_kg, 150);
}

TEST(Learner, TakesTheFirstEstimateAsReferenceWithoutATrainingMax) {
  Simulated sim = Simulator(half_a_year(), 8).live();
  sim.log.maxes.clear();
  const auto all = forecasts(sim.log, sim.last);
  double first = 0;
  for (const Scored& s : all) {
    if (first == 0 && s.line.target == "strength:squat") first = *s.line.observed;
  }
  LearnedState state;
  learner().walk(sim.log, sim.last, state);
  EXPECT_NEAR(state.lifts.front().reference_kg.value(), first, 1e-9);
  EXPECT_GT(state.lifts.front().sessions, 20);
}

// Usual work is the mean of 28 known days and never changes again.
TEST(Learner, FreezesTheUsualWork) {
  const Simulated sim = Simulator(half_a_year(), 9).live();
  const Learner l = learner();
  LearnedState state;
  std::optional<double> frozen;
  for (Day day = sim.log.checks.front().date; day <= sim.last; day += Days{1}) {
    l.walk(sim.log, day, state);
    if (state.lifts.empty()) continue;
    const auto& work = state.lifts.front().work;
    if (frozen) {
      EXPECT_EQ(work.usual, frozen);
    }
    if (work.usual && !frozen) {
      frozen = work.usual;
      EXPECT_EQ(work.known_days, 28);
    }
  }
  EXPECT_TRUE(frozen);
}

// Every item the same for months: no spread divides by zero, and a mean of 28 days that cannot be beaten speaks.
TEST(Learner, LivesWithReportersWhoAlwaysSayTheSame) {
  Truth truth = half_a_year();
  truth.always_same = true;
  const Simulated sim = Simulator(truth, 10).live();
  for (const Scored& s : forecasts(sim.log, sim.last)) {
    ASSERT_TRUE(std::isfinite(s.line.mean) && std::isfinite(s.crps));
    ASSERT_LT(s.line.low80, s.line.high80);
    if (s.line.target == "soreness") {
      EXPECT_NEAR(s.line.mean, 4, 0.2);
    }
  }
}

TEST(Learner, LivesWithoutChecks) {
  Truth truth = half_a_year();
  truth.checks = 0;
  truth.bar_speed = false;
  const Simulated sim = Simulator(truth, 11).live();
  int strength = 0;
  for (const Scored& s : forecasts(sim.log, sim.last)) {
    EXPECT_EQ(s.line.target, "strength:squat");
    ++strength;
  }
  EXPECT_GT(strength, 20);
}

TEST(Learner, RefusesDamagedStates) {
  const Simulated sim = Simulator(half_a_year(), 12).live();
  const Learner l = learner();
  LearnedState state;
  l.walk(sim.log, sim.last, state);
  const std::string bytes = l.save(state);
  for (const std::size_t cut : {std::size_t{0}, std::size_t{1}, std::size_t{30}, bytes.size() / 2, bytes.size() - 1}) {
    EXPECT_EQ(l.load(bytes.substr(0, cut)).error().code, Errc::bad_data) << cut;
  }
  EXPECT_FALSE(l.load(bytes + "x"));
}

// ---------------------------------------------------------------------------------------------- today
Today today_of(const Simulated& sim, Day day) {
  const Learner l = learner();
  LearnedState state;
  l.walk(sim.log, day - Days{1}, state);
  return l.today(sim.log, day, state);
}

TEST(LearnerToday, IsTheForecastThatIsMarkedLater) {
  const Simulated sim = Simulator(half_a_year(), 13).live();
  const Day day = sim.log.sets.back().date;
  const Today today = today_of(sim, day);
  ASSERT_NE(today.find("squat"), nullptr);
  const ExpectedStrength& e = today.find("squat")->expected;
  for (const Scored& s : forecasts(sim.log, sim.last)) {
    if (s.line.target != "strength:squat" || s.line.date != day) continue;
    EXPECT_NEAR(e.percent / 100 * 150, s.line.mean, 1e-9);
    EXPECT_NEAR(e.low80 / 100 * 150, s.line.low80, 0.01);
    EXPECT_NEAR(e.high80 / 100 * 150, s.line.high80, 0.01);
  }
}

TEST(LearnerToday, SharesAddUpToTheForecast) {
  const Simulated sim = Simulator(half_a_year(), 14).live();
  const Today today = today_of(sim, sim.log.sets.back().date);
  double sum = 0;
  for (const Share& share : today.find("squat")->expected.shares) sum += share.percent;
  EXPECT_NEAR(sum, 100 * std::log(today.find("squat")->expected.percent / 100), 1e-9);
}

TEST(LearnerToday, SaysNothingBeforeSixSessions) {
  const Simulated sim = Simulator(half_a_year(), 15).live();
  Day sixth{};
  int n = 0;
  for (const Scored& s : forecasts(sim.log, sim.last)) {
    if (s.line.target == "strength:squat" && ++n == 6) sixth = s.line.date;
  }
  for (const PlanRow& row : sim.log.plan) {
    const bool speaks = today_of(sim, row.date).find("squat") != nullptr;
    if (row.date <= sixth) {
      EXPECT_FALSE(speaks) << format_day(row.date);
    }
    if (row.date > sixth) {
      EXPECT_TRUE(speaks) << format_day(row.date);
      break;
    }
  }
}

}  // namespace
}  // namespace steelyard::learn
