/// Acute:chronic ratios. Definitions and algebra: Windt & Gabbett 2019, Br J Sports Med 53:988; Lolli et al. 2019,
/// 53:921 (coupling); Williams et al. 2017, 51:209 (EWMA). Values are computed from those formulas unless marked
/// published.
#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "load/support.hpp"

namespace steelyard::load {
namespace {

const std::vector<double> k_last_week_half_more = [] {
  std::vector<double> loads = repeated({300, 0, 400, 0, 350, 0, 500}, 3);
  for (const double load : {450, 0, 600, 0, 525, 0, 750}) loads.push_back(load);
  return loads;
}();

std::vector<double> six_then_ten() {
  std::vector<double> loads(21, 6.0);
  loads.insert(loads.end(), 7, 10.0);
  return loads;
}

TEST(CoupledFromUncoupled, IsTheInverseOfThePublishedRelation) {
  // R_u = 3 R_c / (4 - R_c): pairs of R_c and R_u.
  const double pairs[][2] = {{0.8, 0.7500000000000001}, {1.0, 1.0}, {1.3, 1.4444444444444444}, {1.5, 1.8}, {2.0, 3.0}};
  for (const auto& [coupled, uncoupled] : pairs) {
    EXPECT_NEAR(coupled_from_uncoupled(uncoupled), coupled, 1e-12 * coupled);
  }
  EXPECT_EQ(coupled_from_uncoupled(0), 0);
}

TEST(Ratios, OfRandomSeriesKeepTheAlgebraOfCoupling) {
  std::mt19937 random(1);
  std::uniform_real_distribution<double> load(0, 900);
  std::bernoulli_distribution rests(0.4);
  for (int i = 0; i < 1000; ++i) {
    std::vector<double> loads(28);
    for (double& x : loads) x = rests(random) ? 0 : load(random);
    const auto last = figures_of(loads, shipped()).back();
    ASSERT_TRUE(last.ratio_coupled && last.ratio_uncoupled);
    const double c = *last.ratio_coupled;
    const double u = *last.ratio_uncoupled;
    ASSERT_NEAR(c, 4 * u / (u + 3), 1e-12 * std::max(1.0, c));
    ASSERT_NEAR(u, 3 * c / (4 - c), 1e-12 * std::max(1.0, u) * 4 / (4 - c));
    ASSERT_LT(c, 4);
    double acute = 0;
    double all = 0;
    for (std::size_t k = 0; k < 28; ++k) {
      all += loads[k];
      if (k >= 21) acute += loads[k];
    }
    ASSERT_NEAR(c, acute / (all / 4), 1e-12 * std::max(1.0, c));
  }
}

TEST(Ratios, WithAllLoadInTheLastWeekReachTheCeilingAndUncoupledIsUndefined) {
  std::vector<double> loads(21, 0.0);
  loads.insert(loads.end(), 7, 100.0);
  const auto last = figures_of(loads, shipped()).back();
  EXPECT_NEAR(*last.ratio_coupled, 4, 1e-12);
  EXPECT_FALSE(last.ratio_uncoupled);
}

TEST(Ratios, WithoutAnyLoadAreUndefined) {
  const auto last = figures_of(std::vector<double>(28, 0.0), shipped()).back();
  EXPECT_EQ(last.state, RatioState::known);
  EXPECT_FALSE(last.ratio_coupled);
  EXPECT_FALSE(last.ratio_uncoupled);
  EXPECT_FALSE(last.ratio_ewma);
  EXPECT_EQ(last.acute7_au, 0.0);
}

TEST(Ratios, CoupleAcuteWithChronicByHalfInSimulatedAthletes) {
  // Independent days: correlation 1/sqrt(4) with the coupled chronic load, 0 with the uncoupled one; 0.52 in a
  // published simulation of 1000 athletes (Windt & Gabbett 2019 after Lolli).
  constexpr int athletes = 20000;
  const LoadModel model = shipped();
  std::mt19937 random(7);
  std::uniform_real_distribution<double> load(0, 600);
  series::DaySeries series;
  series.first_entry = testing::k_monday;
  for (int d = 0; d < 28; ++d) {
    series.days.push_back(
        {.date = testing::k_monday + Days{d}, .status = DayStatus::trained, .load_au = 0, .parts = {}});
  }
  struct Sums {
    double x = 0, y = 0, xx = 0, yy = 0, xy = 0;
    void add(double a, double b) { x += a, y += b, xx += a * a, yy += b * b, xy += a * b; }
    [[nodiscard]] double correlation(double n) const {
      return (n * xy - x * y) / std::sqrt((n * xx - x * x) * (n * yy - y * y));
    }
  };
  Sums coupled;
  Sums uncoupled;
  for (int i = 0; i < athletes; ++i) {
    for (auto& day : series.days) day.load_au = load(random);
    const auto last = figures(series, model, false).back();
    coupled.add(*last.acute7_au, *last.chronic28_au);
    uncoupled.add(*last.acute7_au, *last.acute7_au / *last.ratio_uncoupled);
  }
  EXPECT_NEAR(coupled.correlation(athletes), 0.5, 0.02);
  EXPECT_NEAR(coupled.correlation(athletes), 0.52, 0.03) << "published";
  EXPECT_NEAR(uncoupled.correlation(athletes), 0.0, 0.02);
}

TEST(EwmaAlpha, IsTwoOverNPlusOne) {
  EXPECT_NEAR(ewma_alpha(7), 0.25, 1e-12);
  EXPECT_NEAR(ewma_alpha(28), 0.06896551724137931, 1e-12);
  EXPECT_NEAR(std::log(0.5) / std::log(1 - ewma_alpha(7)), 2.409420839653209, 1e-9);  // half-life, days
  EXPECT_NEAR(std::log(0.5) / std::log(1 - ewma_alpha(28)), 9.699933247466864, 1e-9);
}

TEST(Ewma, ReproducesThePublishedRollingAndEwmaRatiosOfOneAthlete) {
  // 1.43 and 1.25 (published, Williams et al. 2017; the series of 21 days at 6 and 7 at 10 is inferred from both).
  const auto last = figures_of(six_then_ten(), model_with(Sd::sample, EwmaStart::first_load)).back();
  EXPECT_NEAR(*last.ratio_coupled, 1.43, 0.005);
  EXPECT_NEAR(*last.ratio_ewma, 1.25, 0.005);
  EXPECT_NEAR(*last.ratio_coupled, 1.4285714285714286, 1e-9);
  EXPECT_NEAR(*last.ratio_uncoupled, 1.6666666666666667, 1e-9);
  EXPECT_NEAR(*last.ewma_acute_au, 9.466064453125, 1e-9);
  EXPECT_NEAR(*last.ewma_chronic_au, 7.574393458684133, 1e-9);
  EXPECT_NEAR(*last.ratio_ewma, 1.2497455413109078, 1e-9);
}

TEST(Ewma, StartedAtTheMeanOfTheFirst28DaysFollowsItsClosedForm) {
  // E[0] = 7 for both; after 21 days at 6 and 7 at 10, E = 10 - (4 - (1 - a)^21) (1 - a)^7 (computed by hand).
  const auto all = figures_of(six_then_ten(), model_with(Sd::sample, EwmaStart::mean_of_first_28));
  const auto closed = [](double a) { return 10 - (4 - std::pow(1 - a, 21)) * std::pow(1 - a, 7); };
  EXPECT_NEAR(*all.back().ewma_acute_au, closed(0.25), 1e-9);
  EXPECT_NEAR(*all.back().ewma_chronic_au, closed(2.0 / 29), 1e-9);
  EXPECT_FALSE(all.at(26).ratio_ewma) << "nothing is shown before day 28";
  EXPECT_FALSE(all.at(26).ewma_acute_au);
}

TEST(Ewma, StartedAtTheFirstLoadIsShownFromDayOne) {
  // First steps for 300, 0, 400, 0 (computed).
  const auto all = figures_of(std::vector<double>{300, 0, 400, 0}, model_with(Sd::sample, EwmaStart::first_load));
  const double acute[] = {300.0, 225.0, 268.75, 201.5625};
  const double chronic[] = {300.0, 279.3103448275862, 287.6337693222355, 267.79695764483995};
  for (std::size_t i = 0; i < 4; ++i) {
    EXPECT_NEAR(*all.at(i).ewma_acute_au, acute[i], 1e-12 * acute[i]) << i;
    EXPECT_NEAR(*all.at(i).ewma_chronic_au, chronic[i], 1e-12 * chronic[i]) << i;
    EXPECT_EQ(all.at(i).state, RatioState::too_short) << "shown, but no ratio decides yet";
  }
}

TEST(Ratios, OfFourTrainingDaysAWeekWithTheLastWeekHalfMore) {
  const auto last = figures_of(k_last_week_half_more, model_with(Sd::sample, EwmaStart::first_load)).back();
  EXPECT_NEAR(*last.acute7_au / 7, 332.14285714285717, 1e-9);
  EXPECT_NEAR(*last.chronic28_au / 7, 249.10714285714286, 1e-9) << "weekly, so divided by seven";
  EXPECT_NEAR(*last.ratio_coupled, 1.3333333333333333, 1e-9);
  EXPECT_NEAR(*last.ratio_uncoupled, 1.5, 1e-9);
  EXPECT_NEAR(*last.ewma_acute_au, 362.59479182830177, 1e-6);
  EXPECT_NEAR(*last.ewma_chronic_au, 282.25322502988337, 1e-6);
  EXPECT_NEAR(*last.ratio_ewma, 1.2846435741873712, 1e-9);
  EXPECT_NEAR(*last.week_change_percent, 50, 1e-9);
}

TEST(Ratios, OfAnyConstantLoadAreOne) {
  for (const EwmaStart start : {EwmaStart::first_load, EwmaStart::mean_of_first_28}) {
    const auto last = figures_of(std::vector<double>(28, 250.0), model_with(Sd::sample, start)).back();
    EXPECT_NEAR(*last.ratio_coupled, 1, 1e-12);
    EXPECT_NEAR(*last.ratio_uncoupled, 1, 1e-12);
    EXPECT_NEAR(*last.ratio_ewma, 1, 1e-12) << ewma_start_name(start);
  }
}

TEST(Ratios, AreTooShortBeforeDay28) {
  const auto all = figures_of(repeated({300, 0, 400, 0, 350, 0, 500}, 4), shipped());
  for (std::size_t day = 0; day < 27; ++day) {
    EXPECT_EQ(all[day].state, RatioState::too_short) << day;
    EXPECT_FALSE(all[day].ratio_coupled || all[day].ratio_uncoupled || all[day].chronic28_au) << day;
  }
  EXPECT_EQ(all[27].state, RatioState::known);
  EXPECT_TRUE(all[27].ratio_coupled);
}

TEST(Ratios, CountTheirAgeFromTheFirstEntryEverNotFromTheDaysShown) {
  auto log = testing::log_of(repeated({300, 0, 400, 0, 350, 0, 500}, 8));
  const Day from = testing::k_monday + Days{28};
  const auto series = series::day_series(log, from, from + Days{27}, std::nullopt, shipped());
  EXPECT_EQ(figures(series, shipped()).front().state, RatioState::too_short) << "only one day of it was loaded";
  EXPECT_EQ(figures(series, shipped()).back().state, RatioState::known);
}

TEST(WeekChange, NeedsAWeekBeforeIt) {
  const auto all = figures_of(repeated({300, 0, 400, 0, 350, 0, 500}, 2), shipped());
  EXPECT_FALSE(all[12].week_change_percent);
  EXPECT_NEAR(*all[13].week_change_percent, 0, 1e-12);
}

TEST(OwnHistory, HighestOfEightWeeksLeavesTheLastSevenDaysOut) {
  // 700 AU a week for twelve weeks but a week of 1400; the day judged is the last.
  const auto judged = [](int week_of_spike) {
    std::vector<double> loads(84, 100.0);
    for (int d = 0; d < 7; ++d) loads[static_cast<std::size_t>(7 * week_of_spike + d)] = 200;
    return figures_of(loads, shipped()).back();
  };
  EXPECT_EQ(judged(11).highest8_au, 700.0) << "the week under review is not its own high";
  EXPECT_EQ(judged(11).acute7_au, 1400.0);
  EXPECT_EQ(judged(10).highest8_au, 1400.0);
  EXPECT_EQ(judged(5).highest8_au, 1400.0);
  EXPECT_EQ(judged(0).highest8_au, 700.0) << "eleven weeks back is forgotten";
}

TEST(OwnHistory, PercentileIsTheShareOfEarlierWeeksNotAboveThisOne) {
  // Weekly sums rise day by day: the last is above all before it. Then a week that only some of them exceed.
  std::vector<double> loads;
  for (int d = 1; d <= 60; ++d) loads.push_back(d);
  EXPECT_EQ(figures_of(loads, shipped()).back().percentile26, 100.0);
  loads.insert(loads.end(), 7, 30.0);
  // Earlier sums: 7 a - 21 for a = 7..60 (54 of them), then six on the way from 399 to 210. Not above 210: a <= 33
  // (27).
  const auto last = figures_of(loads, shipped()).back();
  ASSERT_EQ(last.acute7_au, 210.0);
  EXPECT_NEAR(*last.percentile26, 100.0 * 27 / 60, 1e-9);
}

}  // namespace
}  // namespace steelyard::load
