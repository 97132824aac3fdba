#pragma once
/// How good forecasts were, and the plain forecasts they have to beat.
/// unit        that of the forecast quantity
/// definition  CRPS = integral over x of (F(x) - 1{x >= y})^2: absolute error for a point, smaller is better
///             PIT = F(y), uniform if forecasts are calibrated; for whole numbers a random point of F's rise over
///             y +- 1/2
///             skill = 1 - sum of CRPS / sum of the reference's CRPS over the same days
/// source      Gneiting & Raftery 2007, J Am Stat Assoc 102:359-378; Gneiting, Balabdaoui, Raftery 2007, J R Stat Soc B
///             69:243-268; Czado, Gneiting, Held 2009, Biometrics 65:1254-1261 (whole numbers)

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>

#include "steelyard/fit/distribution.hpp"
#include "steelyard/fit/mixture.hpp"

namespace steelyard::fit {

/// Of the plain forecasts: days that the own usual looks back on, and what it takes at least to know it.
inline constexpr int k_usual_days = 28;
inline constexpr int k_least_values = 7;
inline constexpr double k_least_sd = 0.3;

/// Closed form.   domain  sd > 0
[[nodiscard]] double crps_normal(double mean, double sd, double y);
/// By numerical integration where a member is not normal or there are several.   accuracy  1e-7 relative
/// domain  degrees of freedom above 1
[[nodiscard]] double crps(const Mixture& m, double y);

/// PIT of a whole number on a scale that ends at `lowest` and `highest`, by the distribution function F; u in [0, 1)
/// picks the point.
template <class F>
[[nodiscard]] double pit_whole(F cdf, int y, int lowest, int highest, double u) {
  const double from = y <= lowest ? 0 : cdf(y - 0.5);
  const double to = y >= highest ? 1 : cdf(y + 0.5);
  return from + u * (to - from);
}
/// A fixed sequence of uniform numbers in [0, 1): the same for the same seed and index on every machine.
[[nodiscard]] double uniform(std::uint64_t seed, std::uint64_t index);

/// Sums over scored forecasts.
class ScoreSum {
 public:
  /// low, high: the 80 % interval; pit as above.
  void add(double crps, double error, bool covered, double pit);

  [[nodiscard]] int count() const { return count_; }
  [[nodiscard]] double crps_sum() const { return crps_; }
  /// Means over the scored days; nothing before the first.
  [[nodiscard]] std::optional<double> mean_crps() const;
  [[nodiscard]] std::optional<double> mean_absolute_error() const;
  [[nodiscard]] std::optional<double> coverage() const;  ///< share of values inside the interval, 0-1
  [[nodiscard]] const std::array<int, 10>& pit_tenths() const { return pit_; }

 private:
  int count_ = 0;
  double crps_ = 0;
  double absolute_ = 0;
  int covered_ = 0;
  std::array<int, 10> pit_{};
};

/// Nothing while nothing is scored. Both sums must be over the same days.
[[nodiscard]] std::optional<double> skill(const ScoreSum& model, const ScoreSum& reference);

/// The three plain forecasts of tomorrow's value of one daily series. All are normal with an SD of at least 0.3.
/// domain  values in points of a 1-7 scale, in hours or in % (where 0.3 is a small SD)
class Baselines {
 public:
  /// One call a calendar day, in order; nothing = not recorded.
  void add_day(std::optional<double> value);

  /// Mean and sample SD of the last 28 days' values; nothing under 7 of them.
  [[nodiscard]] std::optional<Forecast> mean_of_28() const;
  /// The last value, with the sample SD of its own past errors; nothing under 7 values or none in the last 28 days.
  [[nodiscard]] std::optional<Forecast> last() const;
  /// The same for an exponentially weighted mean over recorded values, weight 2/(7+1).
  [[nodiscard]] std::optional<Forecast> ewma_of_7() const;

 private:
  struct Errors {
    int count = 0;
    double mean = 0;
    double squares = 0;  ///< about the mean, one-pass (Welford 1962)
    void add(double error);
    [[nodiscard]] double sd() const;
  };
  [[nodiscard]] std::optional<Forecast> about(double centre, const Errors& errors) const;

  std::array<std::optional<double>, k_usual_days> days_{};
  std::size_t next_ = 0;
  int values_ = 0;
  double last_ = 0;
  double ewma_ = 0;
  Errors last_errors_;
  Errors ewma_errors_;
};

}  // namespace steelyard::fit
