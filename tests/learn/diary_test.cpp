// Forecasts of the next morning over invented diaries of teams, read as a stranger reads them: a mean and an 80 %
// interval, scored as a normal against the normal of the last 28 days.

#include "learn/diary.hpp"

#include <gtest/gtest.h>

#include <map>

#include "params/shipped_models.hpp"
#include "steelyard/fit/scores.hpp"
#include "steelyard/learn/learner.hpp"

namespace steelyard::learn {
namespace {

using testing::shipped_models;

struct Sum {
  double ours = 0;
  double usual28 = 0;
  int covered = 0;
  int n = 0;
  [[nodiscard]] double gain() const { return 1 - ours / usual28; }
  [[nodiscard]] double coverage() const { return static_cast<double>(covered) / n; }
};

/// Normal(mean, sample SD of at least 0.3) of the values of the 28 days before, seven or more of them.
std::optional<fit::Forecast> plain(const AthleteLog& log, Day day, const std::optional<double> Check::*item) {
  std::vector<double> values;
  for (const Check& c : log.checks) {
    if (c.date < day && c.date >= day - Days{28} && c.*item) values.push_back(*(c.*item));
  }
  if (values.size() < 7) return std::nullopt;
  double mean = 0;
  for (const double x : values) mean += x / static_cast<double>(values.size());
  double squares = 0;
  for (const double x : values) squares += (x - mean) * (x - mean);
  const double sd = std::max(0.3, std::sqrt(squares / static_cast<double>(values.size() - 1)));
  return fit::Forecast{.mean = mean, .scale2 = sd * sd};
}

std::map<std::string, Sum> team(const testing::Team& team, int players, std::uint64_t seed) {
  const std::map<std::string, std::optional<double> Check::*> items{
      {"soreness", &Check::soreness}, {"fatigue", &Check::fatigue}, {"stress", &Check::stress}};
  const Learner learner = Learner::make(shipped_models()).value();
  std::map<std::string, Sum> sums;
  for (int i = 0; i < players; ++i) {
    const AthleteLog log = testing::Diary(team, seed + static_cast<std::uint64_t>(i)).keep("p");
    LearnedState state;
    learner.walk(log, log.checks.back().date, state, [&](const Scored& s) {
      const auto usual = plain(log, s.line.date, items.at(s.line.target));
      if (!usual) return;
      const double y = s.line.observed.value();
      Sum& sum = sums[s.line.target];
      sum.ours += fit::crps_normal(s.line.mean, (s.line.high80 - s.line.low80) / (2 * 1.2815515655446004), y);
      sum.usual28 += fit::crps_normal(usual->mean, std::sqrt(usual->scale2), y);
      sum.covered += y >= s.line.low80 && y <= s.line.high80 ? 1 : 0;
      ++sum.n;
    });
  }
  return sums;
}

void expect(const std::map<std::string, Sum>& sums, double soreness, double fatigue, double stress) {
  for (const auto& [item, sum] : sums) {
    ::testing::Test::RecordProperty(item, std::to_string(sum.gain()) + " covers " + std::to_string(sum.coverage()));
    EXPECT_GT(sum.coverage(), 0.78) << item;
    EXPECT_LT(sum.coverage(), 0.9) << item;
  }
  EXPECT_GT(sums.at("soreness").gain(), soreness);
  EXPECT_GT(sums.at("fatigue").gain(), fatigue);
  EXPECT_GT(sums.at("stress").gain(), stress);
}

TEST(TeamDiary, IsForecastBetterThanByTheLast28Days) {
  expect(team({}, 30, 100), 0.05, 0.02, 0.022);
}

TEST(TeamDiary, OfSevenPointsAndMoreNoiseToo) {
  expect(team({.top = 7, .soreness = 0.6, .fatigue = 0.3, .noise = 0.8, .drift = 0.03}, 30, 200), 0.04, 0.02, 0.022);
}

TEST(TeamDiary, OfPeopleWhoRepeatThemselvesToo) {
  expect(team({.soreness = 0.3, .noise = 0.5, .missing = 0.45, .repeating = 0.4}, 30, 300), 0.05, 0.02, 0.022);
}

// Where nothing follows anything there is nothing to gain, and little may be lost.
TEST(TeamDiary, OfNoiseAloneLosesNothing) {
  expect(team({.top = 7, .soreness = 0, .fatigue = 0, .carry = 0, .noise = 0.8, .drift = 0, .shift = 0}, 30, 400), 0, 0,
         0);
}

// Who writes every sixth morning has no 28-day mean; each value from the eighth on is forecast all the same.
TEST(TeamDiary, OfSomebodyWhoWritesSeldomIsForecastFromTheLongRun) {
  AthleteLog log = testing::Diary({.missing = 0}, 7).keep("p");
  int kept = 0;
  std::erase_if(log.checks, [&](const Check&) { return kept++ % 6 != 0; });
  int forecasts = 0;
  LearnedState state;
  Learner::make(shipped_models()).value().walk(log, log.checks.back().date, state, [&](const Scored& s) {
    if (s.line.target != "soreness") return;
    ++forecasts;
    EXPECT_FALSE(s.has_scores);
    EXPECT_FALSE(s.stepped_back);
    EXPECT_LT(s.line.low80, s.line.mean);
  });
  EXPECT_EQ(forecasts, static_cast<int>(log.checks.size()) - 7);
}

}  // namespace
}  // namespace steelyard::learn
