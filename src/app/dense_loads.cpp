#include "app/dense_loads.hpp"

#include <algorithm>
#include <cmath>

#include "steelyard/load/figures.hpp"

namespace steelyard::app {
namespace {

constexpr std::size_t k_week = 7;
constexpr std::size_t k_month = 28;

std::optional<double> over(double numerator, double denominator) {
  if (denominator <= 0) return std::nullopt;
  return numerator / denominator;
}

/// What the EWMA start from, and the day from which on they are shown.
struct EwmaStartValue {
  double value = 0;
  std::size_t shown_from = 0;
  bool is_first_load = false;
};

EwmaStartValue start_of(std::span<const double> loads, const LoadModel& model) {
  if (model.ewma.start == EwmaStart::first_load) return {.value = loads[0], .shown_from = 0, .is_first_load = true};
  const auto first = loads.subspan(0, std::min(loads.size(), k_month));
  double sum = 0;
  for (const double load : first) sum += load;
  return {.value = sum / static_cast<double>(first.size()), .shown_from = k_month - 1, .is_first_load = false};
}

/// Sum of squared differences from the mean of seven days. Taken from the first day's value, so that seven equal days
/// give exactly zero.
double squares(const double* day) {
  double sum = 0;
  double square = 0;
  for (std::size_t k = 1; k < k_week; ++k) {
    const double d = day[k] - day[0];
    sum += d;
    square += d * d;
  }
  return square - sum * sum / 7;
}

}  // namespace

DayFigures DenseLoads::add(std::span<const double> loads, Day first, report::LoadSums& sums) {
  const std::size_t n = loads.size();
  week_.resize(n);
  const double a_acute = load::ewma_alpha(model_.ewma.acute_days);
  const double a_chronic = load::ewma_alpha(model_.ewma.chronic_days);
  const double divisor = model_.monotony.sd == Sd::sample ? 6.0 : 7.0;
  const EwmaStartValue start = start_of(loads, model_);
  double acute = start.value;
  double chronic = start.value;
  DayFigures last;
  for (std::size_t i = 0; i < n; ++i) {
    const bool is_last = i + 1 == n;
    sums.load += loads[i];
    if (i > 0 || !start.is_first_load) {
      acute += a_acute * (loads[i] - acute);
      chronic += a_chronic * (loads[i] - chronic);
    }
    if (i >= start.shown_from) {
      sums.ewma_a += acute;
      sums.ewma_c += chronic;
      if (chronic > 0) sums.ewma_r += acute / chronic;
      if (is_last) {
        last.ewma_acute_au = acute;
        last.ewma_chronic_au = chronic;
        last.ratio_ewma = over(acute, chronic);
      }
    }
    if (i + 1 < k_week) continue;
    const double* const week = &loads[i + 1 - k_week];
    const double sum7 = ((week[0] + week[1]) + (week[2] + week[3])) + ((week[4] + week[5]) + week[6]);
    week_[i] = sum7;
    sums.acute += sum7;
    const double variance = squares(week) / divisor;
    const bool varies = variance > 0;
    const double monotony = varies ? sum7 / 7 / std::sqrt(variance) : 0;
    sums.monotony += monotony;
    sums.strain += monotony * sum7;
    if (is_last) {
      last.acute7_au = sum7;
      last.no_variation = !varies;
      if (varies) {
        last.monotony = monotony;
        last.week_strain_au = sum7 * monotony;
      }
    }
    if (i + 1 < k_month) continue;
    const double older = week_[i - 7] + week_[i - 14] + week_[i - 21];
    sums.chronic += (sum7 + older) / 4;
    if (sum7 + older > 0) sums.acwr += 4 * sum7 / (sum7 + older);
    if (older > 0) sums.acwr_unc += sum7 / (older / 3);
    if (is_last) {
      last.chronic28_au = (sum7 + older) / 4;
      last.ratio_coupled = over(4 * sum7, sum7 + older);
      last.ratio_uncoupled = over(sum7, older / 3);
      last.ratio_low = last.ratio_high = last.ratio_coupled;
      last.state = RatioState::known;
    }
  }
  sums.days += static_cast<std::int64_t>(n);
  last.date = first + Days{static_cast<int>(n) - 1};
  last.load_au = loads.back();
  last.status = DayStatus::trained;
  return last;
}

}  // namespace steelyard::app
