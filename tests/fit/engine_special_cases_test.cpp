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

constexpr double k_half_ln_2_pi = 0.91893853320467274;

struct Likelihood {
  double sum = 0;
  int terms = 0;
  double log_scale2 = 0;  ///< sum of ln of the squared scales over H
  double squares = 0;     ///< sum of squared errors over those
};

/// Terms from the first year that can be forecast; the first step of time lies before the first year.
Likelihood likelihood(const Engine& engine, double h, bool drift_first = true) {
  auto state = engine.start();
  Likelihood l;
  bool first = true;
  for (const double y : nile()) {
    if (!first || drift_first) engine.drift(state, 1);
    first = false;
    if (const auto f = engine.forecast(state, level())) {
      l.sum += log_density(*f, y);
      l.log_scale2 += std::log(f->scale2 / h);
      l.squares += (y - f->mean) * (y - f->mean) / (f->scale2 / h);
      ++l.terms;
    }
    engine.update(state, level(), y);
  }
  return l;
}

TEST(EngineOnTheNile, GivesTheExactDiffuseLogLikelihood) {
  const auto l = likelihood(local_level(15099, 1469.1), 15099);
  EXPECT_EQ(l.terms, 99);
  EXPECT_NEAR(l.sum, -632.5456251156736, 1e-8);                   // published -632.5456
  EXPECT_NEAR(l.sum - k_half_ln_2_pi, -633.4645636488783, 1e-8);  // in print also with the constant of year 1
}

TEST(EngineOnTheNile, GivesTheApproximateDiffuseLogLikelihood) {
  // published -641.5856: start at level 0 with variance 1e7, all 100 terms
  const double h = 15099;
  const Prior prior{.terms = 1, .mean = {0}, .precision = {{{h / 1e7}}}, .n = 1, .d = 1};
  const auto engine = Engine::random_walk(prior, {{{1469.1 / h}}}).value().with_known_noise(h);
  const auto l = likelihood(engine, h, false);
  EXPECT_EQ(l.terms, 100);
  EXPECT_NEAR(l.sum, -641.5855784594153, 1e-8);
}

TEST(EngineOnTheNile, IsMostLikelyAtThePublishedVariances) {
  // Durbin & Koopman 2012, ch. 2: H = 15098.52 and Q = 1469.18 (in print also 15099 and 1469.1); found here by halving
  // steps along both axes
  double h = 15000;
  double q = 1500;
  const auto at = [](double x, double y) { return likelihood(local_level(x, y), x).sum; };
  double best = at(h, q);
  for (double step = 0.1; step > 2e-6;) {
    bool better = false;
    for (const auto& [x, y] : {std::pair{h * (1 + step), q}, std::pair{h * (1 - step), q}, std::pair{h, q * (1 + step)},
                               std::pair{h, q * (1 - step)}}) {
      const double l = at(x, y);
      if (l <= best) continue;
      best = l;
      h = x;
      q = y;
      better = true;
      break;
    }
    if (!better) step /= 2;
  }
  EXPECT_NEAR(h, 15098.52, 0.5);
  EXPECT_NEAR(q, 1469.18, 0.5);  // the top is flat: 1e-9 of the likelihood is 1e-4 of Q
  EXPECT_NEAR(best, -632.5456251, 1e-6);
}

TEST(EngineOnTheNile, GivesTheConcentratedLogLikelihood) {
  // Durbin & Koopman 2012, table 2.1 (from memory): without constants, -495.68 at q = 1 and -492.07 at q = 0.0973
  struct Case {
    double q;
    double value;
  };
  for (const auto& c : {Case{1.0, -495.6851045458624}, Case{0.0973, -492.07071031763167}}) {
    const auto l = likelihood(local_level(1, c.q), 1);
    const double noise = l.squares / l.terms;
    EXPECT_NEAR(-0.5 * l.terms * std::log(noise) - 0.5 * l.log_scale2, c.value, 1e-7) << c.q;
  }
}

TEST(EngineOnTheNile, MeetsTheSmoothedLevelsFromBothEndsOfTime) {
  // the level of a year by its past and itself, and by its future alone, weighed by their precision, is the smoothed
  // one: 1111.668319, 834.763259, 798.370293 with variances 4032.157942, 2326.756870, 4032.157942 in years 1, 50, 100
  struct Case {
    std::size_t year;
    double level;
    double variance;
  };
  const auto engine = local_level(15099, 1469.1);
  const auto flow = nile();
  for (const auto& c :
       {Case{1, 1111.668319, 4032.157942}, Case{50, 834.763259, 2326.75687}, Case{100, 798.370293, 4032.157942}}) {
    auto past = engine.start();
    for (std::size_t i = 0; i < c.year; ++i) {
      engine.drift(past, 1);
      engine.update(past, level(), flow[i]);
    }
    auto future = engine.start();
    for (std::size_t i = flow.size(); i > c.year; --i) {
      engine.update(future, level(), flow[i - 1]);
      engine.drift(future, 1);
    }
    const auto before = *engine.coefficient(past, 0);
    const auto after = engine.coefficient(future, 0);
    const double w = after ? 1 / after->scale2 : 0;
    const double precision = 1 / before.scale2 + w;
    EXPECT_NEAR(1 / precision, c.variance, 1e-5) << c.year;
    EXPECT_NEAR((before.mean / before.scale2 + (after ? w * after->mean : 0)) / precision, c.level, 1e-5) << c.year;
  }
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

/// -2 log likelihood of the sleep study with given variance components: every reaction time as forecast from the
/// earlier ones of the same person.
double deviance(double a, double b, double c, double residual) {
  const double determinant = a * b - c * c;
  Prior prior{.terms = 2, .mean = {251.405104848, 10.46728596}, .precision = {}, .n = 1, .d = 1};
  prior.precision[0][0] = residual * b / determinant;
  prior.precision[1][1] = residual * a / determinant;
  prior.precision[0][1] = prior.precision[1][0] = -residual * c / determinant;
  const auto engine = Engine::forgetting(prior, discount(1)).value().with_known_noise(residual);
  std::map<int, EngineState> people;
  double sum = 0;
  for (const auto& r : sleepstudy()) {
    auto& state = people.try_emplace(r.subject, engine.start()).first->second;
    sum -= 2 * log_density(engine.update(state, {.x = {1, r.day}}, r.ms).value(), r.ms);
  }
  return sum;
}

TEST(EngineWithKnownNoise, GivesTheMaximumLikelihoodOfTheSleepStudy) {
  // Bates et al. 2015, J Stat Softw 67(1): by maximum likelihood 565.5, 32.68, 654.94; -2 log likelihood 1751.939,
  // AIC 1763.939 and BIC 1783.097 with six parameters and 180 rows (digits recomputed)
  const double best = deviance(565.477, 32.68179, 11.05512, 654.9457);
  EXPECT_NEAR(best, 1751.939344, 1e-5);
  EXPECT_NEAR(best + 2 * 6, 1763.939344, 1e-5);
  EXPECT_NEAR(best + 6 * std::log(180.0), 1783.097086, 1e-5);
  for (const double off : {0.97, 1.03}) {
    EXPECT_GT(deviance(565.477 * off, 32.68179, 11.05512, 654.9457), best);
    EXPECT_GT(deviance(565.477, 32.68179 * off, 11.05512, 654.9457), best);
    EXPECT_GT(deviance(565.477, 32.68179, 11.05512 * off, 654.9457), best);
    EXPECT_GT(deviance(565.477, 32.68179, 11.05512, 654.9457 * off), best);
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
