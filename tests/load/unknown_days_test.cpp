/// What an unlogged day does to the figures: unknown is not zero. The rules are the project's own; cases computed by
/// hand.
#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "load/support.hpp"

namespace steelyard::load {
namespace {

using testing::k_monday;

constexpr int k_days = 84;

/// Twelve weeks of 100 AU a day; the days named (counted back from the last, 0 = the last) are planned, have a check
/// and no session: nobody knows whether they were trained.
std::vector<DayFigures> daily_hundred(const std::set<int>& unlogged) {
  AthleteLog log;
  for (int d = 0; d < k_days; ++d) {
    const Day date = k_monday + Days{d};
    if (unlogged.contains(k_days - 1 - d)) {
      log.checks.push_back(testing::check(date));
      log.plan.push_back(testing::planned(date));
    } else {
      log.sessions.push_back(testing::session(date, 100, 1));
    }
  }
  return figures(series_of(log, k_days, shipped()), shipped());
}

TEST(UnknownDays, OneInTheWeekWithholdsTheSumsOverIt) {
  const auto last = daily_hundred({3}).back();
  EXPECT_FALSE(last.acute7_au || last.chronic28_au || last.monotony || last.week_strain_au || last.week_change_percent);
  EXPECT_FALSE(last.no_variation) << "not known is not the same as alike";
  EXPECT_EQ(last.unlogged_of_28, 1);
}

TEST(UnknownDays, AnOlderOneLeavesTheWeekAndWithholdsTheMonth) {
  const auto last = daily_hundred({10}).back();
  EXPECT_EQ(last.acute7_au, 700.0);
  EXPECT_FALSE(last.chronic28_au);
}

TEST(UnknownDays, CornersThatAgreeLeaveTheRatioKnownWithTheDayAtItsUsual) {
  // One of the last 7 and one older: acute 600 or 700, older 2000 or 2100.
  const auto last = daily_hundred({2, 20}).back();
  EXPECT_EQ(last.state, RatioState::known);
  EXPECT_EQ(last.unlogged_of_28, 2);
  EXPECT_NEAR(*last.ratio_low, 4 * 600.0 / (600 + 2100), 1e-12);
  EXPECT_NEAR(*last.ratio_high, 4 * 700.0 / (700 + 2000), 1e-12);
  EXPECT_NEAR(*last.ratio_coupled, 1, 1e-12);
  EXPECT_NEAR(*last.ratio_uncoupled, 1, 1e-12);
}

TEST(UnknownDays, CornersInDifferentBandsWithholdEveryRatio) {
  // Two of the last 7 and three older: acute 500 or 700, older 1800 or 2100. 4 x 500 / 2600 = 0.77 lies below the band
  // of 0.8 to 1.3, 4 x 700 / 2500 = 1.12 inside it.
  const auto last = daily_hundred({1, 4, 9, 16, 23}).back();
  EXPECT_EQ(last.state, RatioState::uncertain);
  EXPECT_NEAR(*last.ratio_low, 4 * 500.0 / 2600, 1e-12);
  EXPECT_NEAR(*last.ratio_high, 4 * 700.0 / 2500, 1e-12);
  EXPECT_FALSE(last.ratio_coupled || last.ratio_uncoupled || last.ratio_ewma || last.ewma_acute_au);
}

TEST(UnknownDays, FewerThanTwentyOneKnownDaysWithholdTheRatioEvenWhereAllCornersAgree) {
  // Weekends are always rest, so that an unlogged weekend day changes no corner: eight of them leave 20 days known.
  const auto last_with = [](int unlogged) {
    AthleteLog log;
    for (int d = 0; d < k_days; ++d) {
      const Day date = k_monday + Days{d};
      if (weekday_index(date) < 5) {
        log.sessions.push_back(testing::session(date, 100, 1));
        continue;
      }
      log.checks.push_back(testing::check(date));
      if (d >= k_days - 28 && unlogged-- > 0) log.plan.push_back(testing::planned(date));
    }
    return figures(series_of(log, k_days, shipped()), shipped()).back();
  };
  EXPECT_EQ(last_with(8).unlogged_of_28, 8);
  EXPECT_EQ(last_with(8).state, RatioState::uncertain);
  EXPECT_FALSE(last_with(8).ratio_coupled);
  EXPECT_NEAR(*last_with(8).ratio_low, *last_with(8).ratio_high, 1e-12);
  EXPECT_EQ(last_with(7).state, RatioState::known);
  EXPECT_NEAR(*last_with(7).ratio_coupled, 1, 1e-12);
}

TEST(UnknownDays, ASessionThatCannotBeEstimatedIsUnknownNotZero) {
  AthleteLog log = testing::log_of(std::vector<double>(28, 100.0));
  log.sessions.back().minutes = std::nullopt;
  log.sessions.back().kind = DayKind::sport;
  const auto last = figures(series_of(log, 28, shipped()), shipped()).back();
  EXPECT_EQ(last.status, DayStatus::trained);
  EXPECT_FALSE(last.load_au || last.acute7_au);
  EXPECT_EQ(last.unlogged_of_28, 1);
}

TEST(WhatRaised, NamesTheSessionsAboveTheUsualOfTheirWeekdayLargestExcessFirst) {
  // Mondays and Wednesdays of 300 AU; in the last week Monday 300, Wednesday 600, Saturday 400 of sport.
  AthleteLog log;
  const Day last_monday = k_monday + Days{56};
  for (int week = 0; week < 8; ++week) {
    for (const int d : {0, 2}) log.sessions.push_back(testing::session(k_monday + Days{7 * week + d}, 50, 6));
    log.checks.push_back(testing::check(k_monday + Days{7 * week + 5}));
  }
  log.sessions.push_back(testing::session(last_monday, 50, 6));
  log.sessions.push_back(testing::session(last_monday + Days{2}, 100, 6));
  log.sessions.push_back(testing::session(last_monday + Days{5}, 50, 8, DayKind::sport));
  log.checks.push_back(testing::check(last_monday + Days{6}));
  const auto series = series_of(log, 63, shipped());
  const auto raised = what_raised(series, last_monday + Days{6}, shipped());
  ASSERT_EQ(raised.size(), 2U);
  EXPECT_EQ(raised[0].date, last_monday + Days{5});
  EXPECT_EQ(raised[0].load_au, 400);
  EXPECT_EQ(raised[0].kind, "sport");
  EXPECT_EQ(raised[1].date, last_monday + Days{2});
  EXPECT_EQ(raised[1].load_au, 600);
  EXPECT_TRUE(what_raised(series, last_monday - Days{1}, shipped()).empty()) << "an ordinary week";
}

TEST(WhatRaised, OfTwoSessionsTheUsualCoversTheFirst) {
  AthleteLog log;
  for (int week = 0; week < 8; ++week) log.sessions.push_back(testing::session(k_monday + Days{7 * week}, 50, 6));
  const Day monday = k_monday + Days{56};
  log.sessions.push_back(testing::session(monday, 50, 6));
  log.sessions.push_back(testing::session(monday, 40, 5));
  log.sessions.back().part = 2;
  const auto raised = what_raised(series_of(log, 57, shipped()), monday, shipped());
  ASSERT_EQ(raised.size(), 1U);
  EXPECT_EQ(raised[0].part, 2);
  EXPECT_EQ(raised[0].load_au, 200);
}

// "open: the day under way, which no figure counts" (the contract): a lifter without a gap has no unlogged day, and the
// figures stay those of yesterday.
TEST(OpenDay, HasNoFigures) {
  AthleteLog log;
  for (int d = 0; d < k_days; ++d) log.sessions.push_back(testing::session(k_monday + Days{d}, 100, 1));
  const Day open = k_monday + Days{k_days};
  const auto all = figures(series::day_series(log, k_monday, open, open, shipped()), shipped());
  ASSERT_EQ(all.size(), static_cast<std::size_t>(k_days) + 1);
  const DayFigures& last = all.back();
  EXPECT_EQ(last.status, DayStatus::open);
  EXPECT_FALSE(last.load_au || last.acute7_au || last.chronic28_au || last.monotony || last.week_strain_au);
  EXPECT_FALSE(last.ratio_coupled || last.ratio_uncoupled || last.ratio_ewma || last.ratio_low || last.ratio_high);
  EXPECT_FALSE(last.ewma_acute_au || last.ewma_chronic_au || last.percentile26 || last.highest8_au);
  EXPECT_EQ(last.unlogged_of_28, 0);
  EXPECT_EQ(last.state, RatioState::known) << "as it was yesterday";
  const auto to_yesterday = figures(series::day_series(log, k_monday, open - Days{1}, open, shipped()), shipped());
  EXPECT_EQ(all[all.size() - 2].ratio_ewma, to_yesterday.back().ratio_ewma);
}

// The eight weeks that end seven days before day t begin with t-62, so the first sum of seven days inside ends at t-56.
TEST(Highest8, LooksBackOnEightWholeWeeks) {
  const auto highest = [](int days_ago) {
    AthleteLog log;
    for (int d = 0; d < k_days; ++d)
      log.sessions.push_back(testing::session(k_monday + Days{d}, d == k_days - 1 - days_ago ? 200 : 100, 1));
    return figures(series_of(log, k_days, shipped()), shipped()).back().highest8_au;
  };
  EXPECT_EQ(highest(6), 700) << "inside the week itself";
  EXPECT_EQ(highest(7), 800);
  EXPECT_EQ(highest(62), 800);
  EXPECT_EQ(highest(63), 700) << "before the eight weeks";
}

}  // namespace
}  // namespace steelyard::load
