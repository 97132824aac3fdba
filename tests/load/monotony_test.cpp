/// Session-RPE load, monotony and strain. Method: Foster 1998, Med Sci Sports Exerc 30:1164-1168 (load = CR-10 x
/// minutes; monotony = mean / SD of seven days; strain = week's load x monotony). Daily loads of the three rugby weeks:
/// published, PMC10230214 Table 2; monotony and strain of them computed from the formula with either SD.
#include <gtest/gtest.h>

#include <cmath>

#include "load/support.hpp"

namespace steelyard::load {
namespace {

using testing::k_monday;

TEST(SessionLoad, IsTheRatingTimesTheMinutes) {
  // 3.5 x 72 = 252 (computed; one decimal of RPE is allowed).
  AthleteLog log;
  log.sessions = {testing::session(k_monday, 72, 3.5)};
  EXPECT_DOUBLE_EQ(*figures(series_of(log, 1, shipped()), shipped()).at(0).load_au, 252.0);
}

TEST(SessionLoad, OfTwoSessionsOnOneDayAddsUp) {
  // 7 x 75 + 4 x 30 = 645 (computed).
  AthleteLog log;
  log.sessions = {testing::session(k_monday, 75, 7), testing::session(k_monday, 30, 4)};
  log.sessions[1].part = 2;
  EXPECT_DOUBLE_EQ(*figures(series_of(log, 1, shipped()), shipped()).at(0).load_au, 645.0);
}

struct Week {
  const char* name;
  std::vector<double> loads;
  double weekly;
  double monotony_sample;
  double monotony_population;
  double strain_sample;
  double strain_population;
};

class PublishedWeek : public ::testing::TestWithParam<Week> {};

TEST_P(PublishedWeek, HasTheMonotonyAndStrainOfEitherSd) {
  const Week& week = GetParam();
  for (const Sd sd : {Sd::sample, Sd::population}) {
    const auto all = figures_of(week.loads, model_with(sd, EwmaStart::first_load));
    const DayFigures& last = all.at(6);
    const bool sample = sd == Sd::sample;
    const double m = sample ? week.monotony_sample : week.monotony_population;
    const double strain = sample ? week.strain_sample : week.strain_population;
    ASSERT_TRUE(last.acute7_au && last.monotony && last.week_strain_au) << sd_name(sd);
    EXPECT_DOUBLE_EQ(*last.acute7_au, week.weekly);
    EXPECT_NEAR(*last.monotony, m, 1e-9 * m) << sd_name(sd);
    EXPECT_NEAR(*last.week_strain_au, strain, 1e-9 * strain) << sd_name(sd);
    EXPECT_FALSE(all.at(5).acute7_au) << "six days are no week";
    EXPECT_FALSE(all.at(5).monotony);
  }
}

INSTANTIATE_TEST_SUITE_P(Monotony, PublishedWeek,
                         ::testing::Values(Week{"RugbyBlock1",
                                                {600, 750, 200, 750, 800, 0, 0},
                                                3100,
                                                1.2188142515688707,
                                                1.3164698539903161,
                                                3778.3241798634986,
                                                4081.05654736998},
                                           Week{"RugbyBlock2",
                                                {800, 600, 300, 800, 500, 650, 0},
                                                3650,
                                                1.8075731415825054,
                                                1.9524021373337823,
                                                6597.641966776144,
                                                7126.267801268305},
                                           Week{"RugbyBlock3",
                                                {650, 600, 0, 700, 600, 0, 0},
                                                2550,
                                                1.0638090195927028,
                                                1.149045068101299,
                                                2712.712999961392,
                                                2930.064923658312},
                                           Week{"FourSessions",
                                                {420, 0, 360, 0, 560, 240, 0},
                                                1580,
                                                0.9765000409743557,
                                                1.0547405929232416,
                                                1542.870064739482,
                                                1666.4901368187218}),
                         [](const auto& week_info) { return std::string(week_info.param.name); });

TEST(Monotony, CountsRestDaysAsZeroAndNeverDropsThem) {
  // Without its two rest days block 1 reads 2.515 (the wrong value, computed); with them 1.219.
  const std::vector<double> week{600, 750, 200, 750, 800, 0, 0};
  const auto known = figures_of(week, model_with(Sd::sample, EwmaStart::first_load));
  EXPECT_NEAR(*known.back().monotony, 1.2188142515688707, 1e-9);

  const std::vector<double> trained{600, 750, 200, 750, 800};
  EXPECT_NEAR(*monotony(trained, Sd::sample).value, 2.5154665603940964, 1e-9) << "what dropping them would give";
  const auto log = testing::log_of(trained);
  const auto unlogged = figures(series_of(log, 7, shipped()), shipped());
  ASSERT_EQ(unlogged.size(), 7U);
  EXPECT_EQ(unlogged.back().status, DayStatus::unlogged);
  EXPECT_FALSE(unlogged.back().monotony) << "two days of which nothing is known";
  EXPECT_FALSE(unlogged.back().week_strain_au);
  EXPECT_FALSE(unlogged.back().no_variation);
}

TEST(Monotony, OfTheTwoConventionsDiffersByTheRootOfSevenSixths) {
  // sqrt(7/6) = 1.0801234497346435 for a full week (computed).
  const std::vector<double> week{600, 750, 200, 750, 800, 0, 0};
  EXPECT_NEAR(*monotony(week, Sd::population).value / *monotony(week, Sd::sample).value, 1.0801234497346435, 1e-12);
  EXPECT_NEAR(monotony(week, Sd::sample).mean, 442.85714285714283, 1e-9);
  EXPECT_NEAR(monotony(week, Sd::sample).sd, 363.35080779297783, 1e-9);
  EXPECT_NEAR(monotony(week, Sd::population).sd, 336.3974811233319, 1e-9);
}

TEST(Monotony, OfSevenEqualDaysIsUndefinedAndSaysSo) {
  for (const double load : {300.0, 0.0}) {
    const auto all = figures_of(std::vector<double>(7, load), shipped());
    EXPECT_DOUBLE_EQ(*all.back().acute7_au, 7 * load);
    EXPECT_FALSE(all.back().monotony);
    EXPECT_FALSE(all.back().week_strain_au);
    EXPECT_TRUE(all.back().no_variation);
  }
  // A decimal that doubles cannot hold must not leave a spread of rounding errors behind.
  EXPECT_FALSE(monotony(std::vector<double>(7, 0.1 * 3), Sd::sample).value);
}

TEST(Monotony, OfAPublishedMeanAndSdIsThePublishedRatio) {
  // Volume load with mean 790 and SD 897: 0.88 (published, BMJ Military Health, Table 1). The table prints no daily
  // values: three equal days, one smaller and three of rest are made to have that mean and SD.
  const double big = 790 + (14220 + std::sqrt(14220.0 * 14220 - 48 * 2661546.0)) / 24;
  const double small = 7 * 790 - 3 * big;
  const std::vector<double> week{big, 0, big, 0, big, small, 0};
  const auto m = monotony(week, Sd::sample);
  ASSERT_NEAR(m.mean, 790, 1e-9);
  ASSERT_NEAR(m.sd, 897, 1e-6);
  EXPECT_NEAR(*m.value, 0.88, 0.005);
}

TEST(Monotony, NamesOfTheConventionsAreThoseOfTheModelFile) {
  EXPECT_EQ(sd_name(Sd::sample), "sample");
  EXPECT_EQ(sd_name(Sd::population), "population");
  EXPECT_EQ(ewma_start_name(EwmaStart::first_load), "first-load");
  EXPECT_EQ(ewma_start_name(EwmaStart::mean_of_first_28), "mean-of-first-28");
}

}  // namespace
}  // namespace steelyard::load
