#pragma once
/// A range of values in a file of models, both ends included.

namespace steelyard {

struct Range {
  double low = 0;
  double high = 0;
  [[nodiscard]] bool has(double x) const { return x >= low && x <= high; }
};

}  // namespace steelyard
