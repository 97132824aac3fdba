#pragma once
/// Load figures of an athlete of whom every day is known: the same definitions as load::figures, in a form for millions
/// of athlete-days.

#include <span>
#include <vector>

#include "steelyard/domain/figures.hpp"
#include "steelyard/params/models.hpp"
#include "steelyard/report/csv.hpp"

namespace steelyard::app {

class DenseLoads {
 public:
  explicit DenseLoads(const LoadModel& model) : model_(model) {}

  /// Adds the figures of every day to `sums` (not rows and tonnage); the result is the last day's.
  /// shape     loads: one value a calendar day, no gaps; first: the day of loads[0]
  /// domain    not empty, values >= 0
  /// accuracy  equal to load::figures to 1e-12 relative (tests/app/dense_loads_test.cpp)
  /// cost      O(days); about 20 ns a day
  DayFigures add(std::span<const double> loads, Day first, report::LoadSums& sums);

 private:
  const LoadModel& model_;
  std::vector<double> week_;  ///< sum of the seven days up to each day, kept to make the 28-day sums
};

}  // namespace steelyard::app
