#include "steelyard/series/usual.hpp"

#include <algorithm>
#include <cmath>

namespace steelyard::series {

std::optional<Usual> moments(std::span<const double> values) {
  if (values.empty()) return std::nullopt;
  const auto n = static_cast<double>(values.size());
  // Differences from the first value keep the digits that a sum of large, nearly equal numbers would lose.
  const double origin = values.front();
  double sum = 0;
  for (const double x : values) sum += x - origin;
  const double shift = sum / n;
  double squares = 0;
  double rest = 0;
  for (const double x : values) {
    const double d = (x - origin) - shift;
    squares += d * d;
    rest += d;
  }
  Usual result{.mean = origin + shift, .sd = 0, .n = static_cast<int>(values.size())};
  if (values.size() > 1) result.sd = std::sqrt(std::max(0.0, squares - rest * rest / n) / (n - 1));
  return result;
}

std::optional<Usual> usual(std::span<const Dated> values, Day day, int days) {
  std::vector<double> window;
  for (const Dated& v : values) {
    if (v.date < day && v.date >= day - Days{days}) window.push_back(v.value);
  }
  return moments(window);
}

std::optional<double> median(std::vector<double> values) {
  if (values.empty()) return std::nullopt;
  std::sort(values.begin(), values.end());
  const std::size_t half = values.size() / 2;
  return values.size() % 2 == 1 ? values[half] : (values[half - 1] + values[half]) / 2;
}

}  // namespace steelyard::series
