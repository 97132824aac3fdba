#pragma once
/// A lifter's own usual value and scatter of anything that is entered more or less daily.

#include <functional>
#include <optional>
#include <span>
#include <vector>

#include "steelyard/base/day.hpp"

namespace steelyard::series {

struct Dated {
  Day date{};
  double value = 0;
};

/// shape       n values behind it
/// definition  arithmetic mean and sample SD (n - 1); the day that is judged is never among the values
/// domain      n >= 1; sd is 0 for n = 1
struct Usual {
  double mean = 0;
  double sd = 0;
  int n = 0;

  /// (value - mean) / max(sd, floor): a spread of zero never divides.
  [[nodiscard]] double deviation(double value, double floor) const {
    return (value - mean) / (sd > floor ? sd : floor);
  }
};

/// Values of the `days` before `day`; none = there are none.
/// accuracy  two passes; NIST StRD univariate sets to 1e-9 (tests/series/usual_test.cpp)
[[nodiscard]] std::optional<Usual> usual(std::span<const Dated> values, Day day, int days);

/// The same over plain numbers, all of them.
[[nodiscard]] std::optional<Usual> moments(std::span<const double> values);

/// The middle value, or the mean of the two middle ones; none for no values. cost  sorts a copy
[[nodiscard]] std::optional<double> median(std::vector<double> values);

}  // namespace steelyard::series
