#include "steelyard/fit/impulse.hpp"

#include <gtest/gtest.h>

#include <vector>

namespace steelyard::fit {
namespace {

// Published fit of Clarke & Skiba 2013, Adv Physiol Educ 37:134-152: p0 262 W, k1 0.18, k2 0.23, time constants 36 and
// 21 days.
constexpr double k_p0 = 262;
constexpr double k_k1 = 0.18;
constexpr double k_k2 = 0.23;

/// The published sum out of our response.
double published_sum(double response, double kept) {
  return response * kept / (1 - kept);
}

TEST(ImpulseResponse, IsBanistersSumOnAnotherScale) {
  // loads 100 0 150 0 200 0 0, acting from the next day on; days 1-8 worked out from the sum by an independent program
  const std::vector<double> load{100, 0, 150, 0, 200, 0, 0};
  const std::vector<double> fitness{0.0,
                                    97.26044771163484,
                                    94.59594689067654,
                                    237.89511303038458,
                                    231.37785201745177,
                                    419.5600302010072,
                                    408.0659637925699,
                                    396.8867833434512};
  const std::vector<double> fatigue{0.0,
                                    95.34969548334767,
                                    90.91564428767131,
                                    229.7123332000397,
                                    219.03001019393082,
                                    399.54383870375375,
                                    380.963833526507,
                                    363.247855169212};
  const std::vector<double> performance{262.0,
                                        257.57645062692427,
                                        258.1166722541574,
                                        251.98728370946012,
                                        253.27111101853723,
                                        245.6257225343179,
                                        247.83019177156595,
                                        249.89261431290242};
  const double kept_g = kept_per_day(36);
  const double kept_h = kept_per_day(21);
  double g = 0;
  double h = 0;
  for (std::size_t day = 0; day < performance.size(); ++day) {
    const double sum_g = published_sum(g, kept_g);
    const double sum_h = published_sum(h, kept_h);
    EXPECT_NEAR(sum_g, fitness[day], 1e-9);
    EXPECT_NEAR(sum_h, fatigue[day], 1e-9);
    EXPECT_NEAR(k_p0 + k_k1 * sum_g - k_k2 * sum_h, performance[day], 1e-9);
    if (day < load.size()) {
      g = next_response(g, load[day], kept_g);
      h = next_response(h, load[day], kept_h);
    }
  }
}

TEST(ImpulseResponse, OfTheSameEveningIsTheSumThatHoldsTheDaysOwnLoad) {
  // the other convention in print (Banister 1991): the load of day t is in the sums of day t; the same loads
  const std::vector<double> load{100, 0, 150, 0, 200, 0, 0};
  const std::vector<double> fitness{100.0,
                                    97.26044771163484,
                                    244.59594689067654,
                                    237.89511303038458,
                                    431.3778520174518,
                                    419.5600302010072,
                                    408.0659637925699};
  const std::vector<double> fatigue{
      100.0,           95.34969548334767, 240.9156442876713, 229.7123332000397, 419.0300101939308, 399.54383870375375,
      380.963833526507};
  const std::vector<double> performance{257.0,
                                        257.57645062692427,
                                        250.61667225415738,
                                        251.98728370946012,
                                        243.27111101853723,
                                        245.6257225343179,
                                        247.83019177156595};
  const double kept_g = kept_per_day(36);
  const double kept_h = kept_per_day(21);
  double g = 0;
  double h = 0;
  for (std::size_t day = 0; day < load.size(); ++day) {
    g = next_response(g, load[day], kept_g);
    h = next_response(h, load[day], kept_h);
    const double evening_g = published_sum(g, kept_g) / kept_g;  // the morning after, one night back
    const double evening_h = published_sum(h, kept_h) / kept_h;
    EXPECT_NEAR(evening_g, fitness[day], 1e-9);
    EXPECT_NEAR(evening_h, fatigue[day], 1e-9);
    EXPECT_NEAR(k_p0 + k_k1 * evening_g - k_k2 * evening_h, performance[day], 1e-9);
  }
}

TEST(ImpulseResponse, OfUnchangedTrainingIsTheDoseItself) {
  // 100 a day for ever: the sums are w/(e^(1/tau) - 1), 3550.2314785 and 2050.3968104, performance 429.4503997
  const double kept_g = kept_per_day(36);
  const double kept_h = kept_per_day(21);
  double g = 0;
  double h = 0;
  for (int day = 0; day < 2000; ++day) {
    g = next_response(g, 100, kept_g);
    h = next_response(h, 100, kept_h);
  }
  EXPECT_NEAR(g, 100, 1e-9);
  EXPECT_NEAR(h, 100, 1e-9);
  EXPECT_NEAR(published_sum(g, kept_g), 3550.2314785046697, 1e-7);
  EXPECT_NEAR(published_sum(h, kept_h), 2050.3968104004593, 1e-7);
  EXPECT_NEAR(k_p0 + k_k1 * published_sum(g, kept_g) - k_k2 * published_sum(h, kept_h), 429.45039973873486, 1e-7);
}

}  // namespace
}  // namespace steelyard::fit
