#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <numeric>
#include <regex>

#include "params/shipped_models.hpp"

namespace steelyard {
namespace {

using ::testing::ElementsAre;
using testing::shipped_file;
using testing::shipped_models;

/// Epley 1985: repetitions to failure at a percentage.
double epley_reps(double percent) {
  return 30 * (100 / percent - 1);
}

// Every number stands beside its unit and meaning.
TEST(Files, ExplainEveryKey) {
  const std::regex key("[a-z_.]+ = .*");
  for (const auto name : {"load.toml", "strength.toml", "day-kinds.toml", "limits.toml", "response.toml"}) {
    std::istringstream lines(shipped_file(name).text);
    for (std::string line; std::getline(lines, line);) {
      if (!std::regex_match(line, key) || line.starts_with("source = ") || line.starts_with("say = ")) continue;
      EXPECT_TRUE(line.find(" # ") != std::string::npos) << name << ": " << line;
    }
  }
}

TEST(Load, AveragesOverSevenAndTwentyEightDays) {  // Williams et al. 2017
  const auto& ewma = shipped_models().load.ewma;
  EXPECT_EQ(ewma.acute_days, 7);
  EXPECT_EQ(ewma.chronic_days, 28);
  EXPECT_EQ(ewma.start, EwmaStart::mean_of_first_28);
  EXPECT_EQ(shipped_models().load.monotony.sd, Sd::sample);
}

TEST(Load, CallsTheBandThatOfTheCoupledRatio) {  // Gabbett 2016, from memory
  EXPECT_EQ(shipped_models().load.ratio.band_low, 0.8);
  EXPECT_EQ(shipped_models().load.ratio.band_high, 1.3);
}

TEST(Load, WeighsSetsNearFailureMore) {
  const auto& effort = shipped_models().load.effort;
  EXPECT_TRUE(std::is_sorted(effort.factor.begin(), effort.factor.end()));
  const auto at = std::find(effort.rpe.begin(), effort.rpe.end(), 8) - effort.rpe.begin();
  EXPECT_EQ(effort.factor.at(static_cast<std::size_t>(at)), 1);
}

// Haff & Triplett (eds) 2016, ch. 17: rows 1 to 10 found on a secondary page, 11, 12 and 15 from memory.
TEST(Strength, HoldsTheHandbookTable) {
  const auto& table = shipped_models().strength.handbook;
  EXPECT_THAT(table.reps, ElementsAre(1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 15));
  EXPECT_THAT(table.percent, ElementsAre(100, 95, 93, 90, 87, 85, 83, 80, 77, 75, 70, 67, 65));
}

double sd_of(double reps, double rir) {
  const auto& e = shipped_models().strength.error;
  return e.s0 + e.s1 * std::max(0.0, rir - 1) + e.s2 * std::max(0.0, reps - 3);
}

// One repetition is 100 / 30 % of the weight (Epley). Hackett et al. 2017: an error of about 1 repetition with 0 to 5
// left, of more than 2 with 7 to 10 left. Grgic et al. 2020: retest CV 4.2 % at the median.
TEST(Strength, ErrorFollowsThePublishedAccuracyOfRepetitionsLeft) {
  EXPECT_LT(sd_of(1, 0), 4.2);
  EXPECT_GT(sd_of(1, 0), 1);
  const double one_rep_off = std::hypot(sd_of(1, 0), 100.0 / 30);
  EXPECT_NEAR(sd_of(1, 3) / one_rep_off, 1, 0.15);
  EXPECT_GT(sd_of(1, 8), std::hypot(sd_of(1, 0), 2 * 100.0 / 30));
}

// 100 kg x 5 and x 10 by seven published formulas (Epley, Brzycki, Lombardi, O'Conner, Wathan, Mayhew, Lander).
TEST(Strength, ErrorIsNoSmallerThanTheSpreadOfPublishedCurves) {
  const auto spread = [](const std::array<double, 7>& e1rm) {
    const double mean = std::accumulate(e1rm.begin(), e1rm.end(), 0.0) / 7;
    double squares = 0;
    for (const double x : e1rm) squares += (x - mean) * (x - mean);
    return 100 * std::sqrt(squares / 6) / mean;
  };
  EXPECT_GE(sd_of(5, 0),
            std::hypot(sd_of(1, 0), spread({116.6667, 112.5, 117.4619, 112.5, 116.5825, 119.0107, 113.7089})));
  EXPECT_GE(sd_of(10, 0),
            std::hypot(sd_of(1, 0), spread({133.3333, 133.3333, 125.8925, 125, 134.7467, 130.9343, 134.0704})));
}

// Common practice: heavy 3 x 3-5 at 80-85 %, volume 3-5 x 8-12 at 60-75 %, speed 6-12 x 1-3 at 60-75 %.
TEST(DayKinds, LieInTheUsualRanges) {
  const auto& kinds = shipped_models().day_kinds.kinds;
  const auto is = [](const Range& r, double low, double high) { return r.low == low && r.high == high; };
  EXPECT_TRUE(is(kinds.at(DayKind::heavy).percent, 80, 85));
  EXPECT_EQ(kinds.at(DayKind::heavy).usual_sets, 3);
  EXPECT_TRUE(is(kinds.at(DayKind::volume).sets, 3, 5) && is(kinds.at(DayKind::volume).reps, 8, 12));
  EXPECT_TRUE(is(kinds.at(DayKind::volume).percent, 60, 75));
  EXPECT_TRUE(is(kinds.at(DayKind::speed).sets, 6, 12) && is(kinds.at(DayKind::speed).reps, 1, 3));
  EXPECT_TRUE(is(kinds.at(DayKind::speed).percent, 60, 75));
  EXPECT_TRUE(is(shipped_models().day_kinds.before_meet.percent, 85, 95));
}

// Epley 1985: what is usually written must leave the repetitions that the target RPE asks for.
TEST(DayKinds, UsualWorkIsPossibleOnTheRepMaxCurve) {
  for (const auto& [kind, k] : shipped_models().day_kinds.kinds) {
    EXPECT_LE(k.usual_reps + (10 - k.target_rpe), epley_reps(k.usual_percent)) << static_cast<int>(kind);
  }
}

// Prilepin, in Laputin & Oleshko 1982, from memory: 10 to 20 lifts at 80-85 %, 12 to 24 at 70-75 %.
TEST(DayKinds, UsualHeavyAndSpeedWorkHasAClassicNumberOfLifts) {
  const auto lifts = [](DayKind kind) {
    const auto& k = shipped_models().day_kinds.kinds.at(kind);
    return k.usual_sets * k.usual_reps;
  };
  EXPECT_GE(lifts(DayKind::heavy), 10);
  EXPECT_LE(lifts(DayKind::heavy), 20);
  EXPECT_GE(lifts(DayKind::speed), 12);
  EXPECT_LE(lifts(DayKind::speed), 24);
}

// Bosquet et al. 2007, Wang et al. 2023: two weeks, volume down by 41 to 60 %.
TEST(Limits, TaperLiesInThePublishedWindow) {
  const auto& meet = shipped_models().limits.meet;
  EXPECT_EQ(meet.taper_days, 14);
  EXPECT_GE(100 * (1 - meet.taper_volume_share), 41);
  EXPECT_LE(100 * (1 - meet.taper_volume_share), 60);
}

// Pritchard et al. 2016, Travis et al. 2021: squat 7 to 10 days, deadlift 7 to 10 and more, bench under 7.
TEST(Limits, LastHeavyDaysAreThoseOfPublishedTapers) {
  const auto& days = shipped_models().limits.meet.last_heavy_days;
  EXPECT_THAT(days.at("squat"), ElementsAre(7, 10));
  EXPECT_THAT(days.at("deadlift"), ElementsAre(7, 14));
  EXPECT_THAT(days.at("bench"), ElementsAre(4, 7));
}

// Thomee 1997, Silbernagel et al. 2007, from memory: up to 3 of 10 under watch, above 5 too much.
TEST(Limits, PainRuleIsNoLaxerThanThePublishedOne) {
  const auto& pain = shipped_models().limits.pain;
  EXPECT_LE(pain.watch_high, 3);
  EXPECT_LE(pain.any_stop, 5);
  EXPECT_LE(pain.sharp_stop, pain.any_stop);
}

// Gonzalez-Badillo et al. 2016, Moran-Navarro et al. 2017, Helland et al. 2020: jump and speed back by 24 to 48 h.
TEST(Limits, HeavyWorkKeepsTwoDaysApart) {
  EXPECT_EQ(shipped_models().limits.spacing.heavy_hours, 48);
  EXPECT_GE(shipped_models().limits.spacing.masters_hours, 48);
}

/// Share of the former work (sets x weight) allowed in one session after a break.
double share_after(int days_off, int session) {
  for (const auto& s : shipped_models().limits.comeback.steps) {
    if (days_off >= s.from_days && days_off <= s.to_days && session <= s.sessions) {
      return s.light_only ? 0 : s.sets_share * s.percent_share;
    }
  }
  return 1;
}

// Caterisano et al. 2019, figures from memory: 50, 30, 20 and 10 % less in weeks 1 to 4 of the return, so at most 70 %
// of the earlier volume in week 2. Three sessions a week.
TEST(Limits, ReturnAfterThreeWeeksStaysUnderThePublishedRamp) {
  EXPECT_LE(share_after(21, 1), 0.5);
  EXPECT_LE(share_after(21, 3), 0.5);
  EXPECT_LE(share_after(21, 4), 0.7);
  EXPECT_LE(share_after(21, 6), 0.7);
  EXPECT_EQ(share_after(21, 10), 1);
}

// Common practice: up to a week off changes nothing, beyond four weeks a new training max is found.
TEST(Limits, ReturnDependsOnTheLengthOfTheBreak) {
  const auto& steps = shipped_models().limits.comeback.steps;
  EXPECT_EQ(steps.front().from_days, 8);
  EXPECT_EQ(steps.front().sets_less, 1);
  EXPECT_EQ(steps.front().percent_less, 5);
  EXPECT_EQ(steps.back().from_days, 29);
  EXPECT_TRUE(steps.back().light_only);
}

TEST(Limits, SmallestChangeHasTheSmallestDistance) {
  const auto& d = shipped_models().limits.distance;
  EXPECT_LT(d.set_step, d.exchange);
  EXPECT_LT(d.exchange, d.swap);
  EXPECT_LT(d.swap, d.light);
  EXPECT_LT(d.light, d.rest);
}

// A learner made without files is the shipped one.
TEST(Response, IsThatOfTheInitialisers) {
  const LearnModel plain;
  const LearnModel& shipped = shipped_models().response;
  EXPECT_EQ(shipped.strength.tau_fitness, plain.strength.tau_fitness);
  EXPECT_EQ(shipped.strength.tau_tiredness, plain.strength.tau_tiredness);
  EXPECT_EQ(shipped.strength.mean, plain.strength.mean);
  EXPECT_EQ(shipped.strength.sd, plain.strength.sd);
  EXPECT_EQ(shipped.strength.discount, plain.strength.discount);
  EXPECT_EQ(shipped.strength.noise_sd, plain.strength.noise_sd);
  EXPECT_EQ(shipped.strength.noise_discount, plain.strength.noise_discount);
  EXPECT_EQ(shipped.strength.single_sd, plain.strength.single_sd);
  EXPECT_EQ(shipped.items.tau, plain.items.tau);
  EXPECT_EQ(shipped.items.mean, plain.items.mean);
  EXPECT_EQ(shipped.items.sd, plain.items.sd);
  EXPECT_EQ(shipped.items.discount, plain.items.discount);
  EXPECT_EQ(shipped.items.load_effect, plain.items.load_effect);
  EXPECT_EQ(shipped.items.noise_sd, plain.items.noise_sd);
  EXPECT_EQ(shipped.items.noise_weight, plain.items.noise_weight);
  EXPECT_EQ(shipped.items.noise_discount, plain.items.noise_discount);
  EXPECT_EQ(shipped.items.spread_gain, plain.items.spread_gain);
  EXPECT_EQ(shipped.evidence.tight, plain.evidence.tight);
  EXPECT_EQ(shipped.evidence.worse_by_se, plain.evidence.worse_by_se);
}

// Banister et al. 1975: both responses, the fast below the slow; Morton et al. 1990, Hellard et al. 2006: slow
// constants of 17 to 59 days; Moran-Navarro et al. 2017: back within 24 to 72 h, so some constant of at most 3 days.
TEST(Response, TimeConstantsLieInThePublishedRanges) {
  const auto& m = shipped_models().response.strength;
  EXPECT_LT(*std::max_element(m.tau_tiredness.begin(), m.tau_tiredness.end()),
            *std::min_element(m.tau_fitness.begin(), m.tau_fitness.end()));
  EXPECT_GE(m.tau_fitness.front(), 10);
  EXPECT_LE(m.tau_fitness.back(), 60);
  EXPECT_LE(m.tau_tiredness.front(), 3);
}

// Craven et al. 2022: a short night costs strength about 3 %; at two own SD that is inside the prior's 95 % interval.
TEST(Response, PriorOfSleepHoldsThePublishedLoss) {
  const auto& m = shipped_models().response.strength;
  const auto sleep = static_cast<std::size_t>(Cause::sleep);
  EXPECT_LT(std::abs(3.0 / 2 - m.mean[sleep]), 2 * m.sd[sleep]);
}

}  // namespace
}  // namespace steelyard
