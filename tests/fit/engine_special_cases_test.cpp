// Published special cases of the engine: the local level model, discounting, partial pooling, least squares.

#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <vector>

#include "fit/reference_data.hpp"
#include "steelyard/fit/engine.hpp"

namespace steelyard::fit {
namespace {

Forgetting discount(double each) {
  Forgetting f;
  f.discount.fill(each);
  return f;
}

Row level() {
  return {.x = {1}};
}

Engine local_level(double h, double q) {
  return Engine::random_walk(Prior::vague(1), {{{q / h}}}).value().with_known_noise(h);
}

// ------------------------------------------------------------------------------------------------ published special
// cases Local level model of the Nile with H = 15099, Q = 1469.1 (Durbin & Koopman 2012, ch. 2). Log-likelihood: exact
// diffuse, terms of years 2..100; filtered levels and variances recomputed by an independent program.

TEST(EngineOnTheNile, GivesTheExactDiffuseLogLikelihood) {
  const auto engine = local_level(15099, 1469.1);
  auto state = engine.start();
  double sum = 0;
  int terms = 0;
  for (const double y : nile()) {
    engine.drift(state, 1);
    if (const auto f = engine.forecast(state, level())) {
      sum += log_density(*f, y);
      ++terms;
    }
    engine.update(state, level(), y);
  }
  EXPECT_EQ(terms, 99);
  EXPECT_NEAR(sum, -632.5456251156736, 1e-8);  // published -632.5456
}

TEST(EngineOnTheNile, GivesTheFilteredLevelsAndTheSteadyGain) {
  const auto engine = local_level(15099, 1469.1);
  auto state = engine.start();
  std::vector<Coefficient> levels;
  for (const double y : nile()) {
    engine.drift(state, 1);
    engine.update(state, level(), y);
    levels.push_back(engine.coefficient(state, 0).value());
  }
  EXPECT_NEAR(levels[0].mean, 1120.0, 1e-9);
  EXPECT_NEAR(levels[1].mean, 1140.927839934822, 1e-8);
  EXPECT_NEAR(levels[2].mean, 1072.7985295274439, 1e-8);
  EXPECT_NEAR(levels[99].mean, 798.3702926083641, 1e-8);
  EXPECT_NEAR(levels[0].scale2, 15099.0, 1e-7);
  EXPECT_NEAR(levels[1].scale2, 7899.7363793969125, 1e-7);
  EXPECT_NEAR(levels[2].scale2, 5781.46993870002, 1e-7);
  EXPECT_NEAR(levels[99].scale2, 4032.157941808477, 1e-7);
  EXPECT_NEAR(levels[99].scale2 / 15099, 0.2670480126, 1e-9);  // gain = filtered variance / H
}

TEST(EngineOnTheNile, KeepsTheLevelAndWidensOverMissingYears) {
  const auto engine = local_level(15099, 1469.1);
  auto state = engine.start();
  const auto flow = nile();
  double sum = 0;
  for (std::size_t year = 1; year <= flow.size(); ++year) {
    engine.drift(state, 1);
    const bool missing = (year >= 21 && year <= 40) || (year >= 61 && year <= 80);
    if (!missing) {
      if (const auto f = engine.forecast(state, level())) sum += log_density(*f, flow[year - 1]);
      engine.update(state, level(), flow[year - 1]);
    }
    if (year == 20 || year == 40) {
      EXPECT_NEAR(engine.coefficient(state, 0)->mean, 1026.1415550709821, 1e-7);
      EXPECT_NEAR(engine.coefficient(state, 0)->scale2, year == 20 ? 4032.1961601072726 : 33414.19616010726, 1e-6);
    }
  }
  EXPECT_NEAR(engine.coefficient(state, 0)->mean, 798.3151146180785, 1e-7);
  EXPECT_NEAR(sum, -380.5870627753038, 1e-8);
}

TEST(EngineOnTheNile, TakesTwentyMissingYearsInOneStep) {
  const auto engine = local_level(15099, 1469.1);
  auto by_year = engine.start();
  auto at_once = engine.start();
  const auto flow = nile();
  for (std::size_t i = 0; i < 20; ++i) {
    engine.drift(by_year, 1);
    engine.update(by_year, level(), flow[i]);
  }
  at_once = by_year;
  for (int i = 0; i < 20; ++i) engine.drift(by_year, 1);
  engine.drift(at_once, 20);
  EXPECT_NEAR(engine.coefficient(at_once, 0)->scale2, engine.coefficient(by_year, 0)->scale2, 1e-7);
  EXPECT_NEAR(engine.coefficient(at_once, 0)->mean, engine.coefficient(by_year, 0)->mean, 1e-8);
}

TEST(EngineSteadyState, HasTheGainOfTheLocalLevelModel) {
  // K = (sqrt(q^2 + 4q) - q)/2, q = Q/H (Muth 1960; Harvey 1989)
  struct Case {
    double q;
    double gain;
    double predicted;
  };
  for (const auto& c :
       {Case{0.1, 0.27015621187164246, 0.37015621187164244}, Case{0.5, 0.5, 1.0},
        Case{1.0, 0.6180339887498949, 1.618033988749895}, Case{2.0, 0.7320508075688772, 2.732050807568877}}) {
    const auto engine = local_level(3.0, 3.0 * c.q);
    auto state = engine.start();
    for (int i = 0; i < 200; ++i) {
      engine.drift(state, 1);
      engine.update(state, level(), 1);
    }
    EXPECT_NEAR(engine.coefficient(state, 0)->scale2 / 3.0, c.gain, 1e-12) << c.q;
    engine.drift(state, 1);
    EXPECT_NEAR(engine.coefficient(state, 0)->scale2 / 3.0, c.predicted, 1e-12) << c.q;
    const double before = engine.coefficient(state, 0)->mean;
    engine.update(state, level(), before + 10);
    EXPECT_NEAR((engine.coefficient(state, 0)->mean - before) / 10, c.gain, 1e-12) << c.q;
  }
}

TEST(EngineWithDiscount, ReachesTheGainOneMinusDiscount) {
  // West & Harrison 1997: a level with discount delta and no prior has gain (1 - delta)/(1 - delta^t)
  const double delta = 0.9;
  const auto engine = Engine::forgetting(Prior::vague(1), discount(delta)).value();
  auto state = engine.start();
  for (int t = 1; t <= 300; ++t) {
    const double before = t <= 2 ? 0 : engine.coefficient(state, 0)->mean;
    engine.drift(state, 1);
    const double y = 5 + std::sin(t);
    engine.update(state, level(), y);
    if (t > 2) {
      EXPECT_NEAR((engine.coefficient(state, 0)->mean - before) / (y - before), (1 - delta) / (1 - std::pow(delta, t)),
                  1e-10)
          << t;
    }
  }
}

TEST(EngineWithKnownNoise, GivesTheBestLinearUnbiasedPredictionsOfTheSleepStudy) {
  // Reaction ~ Days + (Days | Subject), REML: fixed effects 251.405105 and 10.467286, SDs 24.74066 and 5.922138,
  // correlation 0.0655512, residual 25.5917957 (published example of a mixed-model package for R; Bates et al. 2015)
  const double residual = 654.94001;
  const double a = 612.1002;
  const double b = 35.07171;
  const double c = 9.60441;
  const double determinant = a * b - c * c;
  Prior prior{.terms = 2, .mean = {251.405104848, 10.46728596}, .precision = {}, .n = 1, .d = 1};
  prior.precision[0][0] = residual * b / determinant;
  prior.precision[1][1] = residual * a / determinant;
  prior.precision[0][1] = prior.precision[1][0] = -residual * c / determinant;
  const auto engine = Engine::forgetting(prior, discount(1)).value().with_known_noise(residual);
  std::map<int, EngineState> people;
  for (const auto& r : sleepstudy()) {
    auto& state = people.try_emplace(r.subject, engine.start()).first->second;
    engine.update(state, {.x = {1, r.day}}, r.ms);
  }
  struct Published {
    int subject;
    double intercept;
    double slope;
  };
  for (const auto& person : {Published{308, 2.25855, 9.19898}, Published{309, -40.39874, -8.61968},
                             Published{335, -0.33367, -10.75217}, Published{337, 34.89049, 8.62827}}) {
    const auto& state = people.at(person.subject);
    EXPECT_NEAR(engine.coefficient(state, 0)->mean - prior.mean[0], person.intercept, 0.002) << person.subject;
    EXPECT_NEAR(engine.coefficient(state, 1)->mean - prior.mean[1], person.slope, 0.002) << person.subject;
  }
}

TEST(EngineWithoutPrior, IsThePooledRegressionOfTheSleepStudy) {
  // ordinary least squares over all 180 rows: 251.4051048485, 10.4672859596, sigma 47.7147197438
  const auto engine = Engine::forgetting(Prior::vague(2), discount(1)).value();
  auto state = engine.start();
  for (const auto& r : sleepstudy()) engine.update(state, {.x = {1, r.day}}, r.ms);
  EXPECT_NEAR(engine.coefficient(state, 0)->mean, 251.4051048485, 1e-8);
  EXPECT_NEAR(engine.coefficient(state, 1)->mean, 10.4672859596, 1e-9);
  EXPECT_NEAR(std::sqrt(engine.noise_variance(state).value()), 47.7147197438, 1e-9);
}

TEST(EngineWithKnownNoise, ShrinksANormalMeanAsByHand) {
  // prior N(3, 1), four observations of mean 5 and variance 4: posterior N(4, 0.5)
  Prior prior{.terms = 1, .mean = {3}, .precision = {{{4}}}, .n = 1, .d = 1};
  const auto engine = Engine::forgetting(prior, discount(1)).value().with_known_noise(4);
  auto state = engine.start();
  for (const double y : {4.0, 6.0, 3.0, 7.0}) engine.update(state, level(), y);
  EXPECT_NEAR(engine.coefficient(state, 0)->mean, 4, 1e-12);
  EXPECT_NEAR(engine.coefficient(state, 0)->scale2, 0.5, 1e-12);
}

}  // namespace
}  // namespace steelyard::fit
