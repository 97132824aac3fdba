#pragma once
/// Load figures of an athlete of whom every day is known, day after day: the same definitions as load::figures, in a
/// form for millions of athlete-days that keeps no more than the days which the next figures need.

#include <algorithm>
#include <array>
#include <cstddef>

#include "steelyard/domain/figures.hpp"
#include "steelyard/params/models.hpp"
#include "steelyard/report/csv.hpp"

namespace steelyard::app {

/// What the figures of every athlete share.
class RollingModel {
 public:
  explicit RollingModel(const LoadModel& model);

 private:
  friend class RollingLoads;
  double acute_ = 0;         ///< weight of a day in the acute EWMA
  double chronic_ = 0;       ///< and in the chronic one
  double divisor_ = 0;       ///< of the squares that make the variance of seven days
  bool first_load_ = false;  ///< the EWMA start from the first day's load, else from the mean of 28 days
};

/// unit      loads in AU
/// accuracy  equal to load::figures to 1e-12 relative (tests/app/load_tables_test.cpp)
/// cost      some 1.2 kB an athlete, however many days; some 10 ns a day
class RollingLoads {
 public:
  /// Adds to a day's load; days between that got nothing are zero.
  /// shape   day: a day number
  /// result  false = a day before those that can still be added to, which are the last seven at least: nothing was done
  [[nodiscard]] bool add(int day, double load, const RollingModel& model) {
    const int at = day - open_;
    if (at < 0) return is_empty() ? start(day, load) : false;
    if (at >= static_cast<int>(k_room)) return add_far(day, load, model);
    days_[k_history + static_cast<std::size_t>(at)] += load;
    pending_ = std::max(pending_, static_cast<std::size_t>(at) + 1);
    return true;
  }

  /// No day follows: the last day's figures.   domain  something was added
  DayFigures finish(const RollingModel& model);

  /// Over all days so far; whole only after finish(). Without rows and tonnage.
  [[nodiscard]] const report::LoadSums& sums() const { return sums_; }

 private:
  static constexpr std::size_t k_week = 7;
  static constexpr std::size_t k_month = 28;
  static constexpr std::size_t k_history = k_month - 1;
  static constexpr std::size_t k_room = 128 - k_history;

  [[nodiscard]] bool is_empty() const { return pending_ == 0; }
  bool start(int day, double load);
  bool add_far(int day, double load, const RollingModel& model);
  void settle(std::size_t count, const RollingModel& model, DayFigures* last);
  void settle_ewma(std::size_t count, const RollingModel& model, DayFigures* last);
  void settle_weeks(std::size_t count, const RollingModel& model, DayFigures* last);

  int open_ = k_never;  ///< day number of the first pending day
  std::size_t pending_ = 0;
  double ewma_acute_ = 0;
  double ewma_chronic_ = 0;
  report::LoadSums sums_;  ///< of the settled days
  /// The last 27 settled days (zero before the first one), the pending ones behind them, and zeros behind those.
  std::array<double, k_history + k_room> days_{};

  static constexpr int k_never = 1 << 30;
};

}  // namespace steelyard::app
