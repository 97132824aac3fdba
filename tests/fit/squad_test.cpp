#include "steelyard/fit/squad.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <random>
#include <vector>

#include "fit/reference_data.hpp"

namespace steelyard::fit {
namespace {

std::vector<PersonSums> sleepstudy_sums() {
  std::map<int, PersonSums> people;
  for (const auto& r : sleepstudy()) people[r.subject].add({.x = {1, r.day}}, r.ms);
  std::vector<PersonSums> all;
  for (const auto& [subject, sums] : people) all.push_back(sums);
  return all;
}

// Reaction ~ Days + (Days | Subject) by REML: documented example of a mixed-model package for R (251.405, 10.467;
// variances 612.10, 35.07, 654.94; criterion 1743.6), recomputed to more digits.
TEST(SquadPrior, ReproducesTheSleepStudysVarianceComponents) {
  const auto people = sleepstudy_sums();
  ASSERT_EQ(people.size(), 18U);
  const auto found = squad_prior(2, people, {}).value();
  EXPECT_EQ(found.convergence, Convergence::converged);
  EXPECT_NEAR(found.reml_criterion, 1743.6282720, 1e-5);
  EXPECT_NEAR(found.mean[0], 251.405104848, 1e-6);
  EXPECT_NEAR(found.mean[1], 10.467285960, 1e-6);
  EXPECT_NEAR(std::sqrt(found.covariance[0][0]), 24.7406580, 1e-4 * 24.74);
  EXPECT_NEAR(std::sqrt(found.covariance[1][1]), 5.9221377, 1e-4 * 5.92);
  EXPECT_NEAR(found.covariance[0][1] / std::sqrt(found.covariance[0][0] * found.covariance[1][1]), 0.0655512, 1e-4);
  EXPECT_NEAR(std::sqrt(found.noise_variance), 25.5917957, 1e-4 * 25.59);
  // standard errors 6.8246 and 1.5458: in this balanced layout the variance of the mean is (Sigma + sigma^2
  // (X'X)^-1)/18
  const auto& xx = people[0].xx;
  const double determinant = xx[0][0] * xx[1][1] - xx[0][1] * xx[1][0];
  EXPECT_NEAR(std::sqrt((found.covariance[0][0] + found.noise_variance * xx[1][1] / determinant) / 18), 6.8245967,
              1e-3);
  EXPECT_NEAR(std::sqrt((found.covariance[1][1] + found.noise_variance * xx[0][0] / determinant) / 18), 1.5457896,
              2e-4);
}

TEST(SquadPrior, GivesAnEngineThePublishedPartialPooling) {
  // BLUPs of subjects 308 (+2.25855, +9.19898) and 335 (-0.33367, -10.75217)
  const auto found = squad_prior(2, sleepstudy_sums(), {}).value();
  Forgetting never;
  never.discount.fill(1);
  const auto engine =
      Engine::forgetting(found.prior(2, 6).value(), never).value().with_known_noise(found.noise_variance);
  std::map<int, EngineState> people;
  for (const auto& r : sleepstudy()) {
    engine.update(people.try_emplace(r.subject, engine.start()).first->second, {.x = {1, r.day}}, r.ms);
  }
  EXPECT_NEAR(engine.means(people.at(308))[0] - found.mean[0], 2.25855, 0.002);
  EXPECT_NEAR(engine.means(people.at(308))[1] - found.mean[1], 9.19898, 0.002);
  EXPECT_NEAR(engine.means(people.at(335))[0] - found.mean[0], -0.33367, 0.002);
  EXPECT_NEAR(engine.means(people.at(335))[1] - found.mean[1], -10.75217, 0.002);
}

TEST(SquadPrior, OfABalancedOneWayLayoutIsTheAnalysisOfVariance) {
  // three people, two values each: 1 3, 5 7, 12 14. Within mean square 2; between mean square 2 x variance of the means
  // 2, 6, 13 (31) = 62; REML for balanced data: noise 2, spread (62 - 2)/2 = 30, mean 7 (Searle, Casella, McCulloch
  // 1992, ch. 3)
  std::vector<PersonSums> people(3);
  const double y[3][2] = {{1, 3}, {5, 7}, {12, 14}};
  for (std::size_t i = 0; i < 3; ++i) {
    for (const double value : y[i]) people[i].add({.x = {1}}, value);
  }
  const auto found = squad_prior(1, people, {}).value();
  EXPECT_NEAR(found.mean[0], 7, 1e-10);
  EXPECT_NEAR(found.noise_variance, 2, 1e-7);
  EXPECT_NEAR(found.covariance[0][0], 30, 1e-5);
}

TEST(SquadPrior, FindsTheSpreadOfAnInventedSquad) {
  std::mt19937_64 random(11);
  std::normal_distribution<double> draw;
  std::vector<PersonSums> people(60);
  const double mean[4] = {1, -0.5, 2, 0};
  const double sd[4] = {4, 0.5, 1, 0.25};
  for (auto& person : people) {
    double theta[4] = {};
    for (std::size_t i = 0; i < 4; ++i) theta[i] = mean[i] + sd[i] * draw(random);
    for (int day = 0; day < 80; ++day) {
      const Row row{.x = {1, draw(random), draw(random), draw(random)}};
      double y = 3 * draw(random);
      for (std::size_t i = 0; i < 4; ++i) y += theta[i] * row.x[i];
      person.add(row, y);
    }
  }
  for (const bool correlated : {true, false}) {
    const auto found = squad_prior(4, people, {.correlated = correlated, .tolerance = 1e-7}).value();
    for (std::size_t i = 0; i < 4; ++i) {
      EXPECT_NEAR(found.mean[i], mean[i], 3 * sd[i] / std::sqrt(60.0) + 0.15) << i;
      EXPECT_NEAR(std::sqrt(found.covariance[i][i]), sd[i], 0.3 * sd[i] + 0.12) << i;  // SE of an SD of 60: 9 %
    }
    EXPECT_NEAR(found.noise_variance, 9, 0.8);
    EXPECT_EQ(found.covariance[0][1] == 0, !correlated);
  }
}

TEST(SquadPrior, RefusesTooFewLiftersAndWhatIsNotDetermined) {
  const auto people = sleepstudy_sums();
  EXPECT_EQ(squad_prior(2, std::span(people).first(2), {}).error().code, Errc::usage);
  EXPECT_EQ(squad_prior(0, people, {}).error().code, Errc::usage);
  std::vector<PersonSums> same_day(4);
  for (auto& person : same_day) {
    for (int i = 0; i < 5; ++i) person.add({.x = {1, 2}}, i);
  }
  EXPECT_EQ(squad_prior(2, same_day, {}).error().code, Errc::failed);
}

TEST(SquadPrior, GivesNoPriorWhereNobodyDiffers) {
  auto found = squad_prior(2, sleepstudy_sums(), {}).value();
  EXPECT_TRUE(found.prior(2, 6));
  found.covariance[1] = {};
  found.covariance[0][1] = 0;
  EXPECT_EQ(found.prior(2, 6).error().code, Errc::failed);
}

TEST(SquadPrior, SaysWhenItDidNotConverge) {
  const auto found = squad_prior(2, sleepstudy_sums(), {.most_iterations = 3}).value();
  EXPECT_EQ(found.convergence, Convergence::out_of_iterations);
  EXPECT_EQ(found.iterations, 3);
}

}  // namespace
}  // namespace steelyard::fit
