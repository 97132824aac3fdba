#include "app/rolling_loads.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "steelyard/load/figures.hpp"

namespace steelyard::app {
namespace {

std::optional<double> over(double numerator, double denominator) {
  if (denominator <= 0) return std::nullopt;
  return numerator / denominator;
}

double sum_of_week(const double* day) {
  return ((day[0] + day[1]) + (day[2] + day[3])) + ((day[4] + day[5]) + day[6]);
}

/// Sum of squared differences from the mean of seven days. Taken from the first day's value, so that seven equal days
/// give exactly zero.
double squares_of_week(const double* day) {
  double sum = 0;
  double square = 0;
  for (std::size_t k = 1; k < 7; ++k) {
    const double d = day[k] - day[0];
    sum += d;
    square += d * d;
  }
  return square - sum * sum / 7;
}

}  // namespace

RollingModel::RollingModel(const LoadModel& model)
    : acute_(load::ewma_alpha(model.ewma.acute_days)),
      chronic_(load::ewma_alpha(model.ewma.chronic_days)),
      divisor_(model.monotony.sd == Sd::sample ? 6.0 : 7.0),
      first_load_(model.ewma.start == EwmaStart::first_load) {}

bool RollingLoads::start(int day, double load) {
  open_ = day;
  pending_ = 1;
  days_[k_history] = load;
  return true;
}

bool RollingLoads::add_far(int day, double load, const RollingModel& model) {
  while (day - open_ >= static_cast<int>(k_room)) {
    pending_ = k_room;
    settle(k_room - k_week, model, nullptr);
  }
  return add(day, load, model);
}

DayFigures RollingLoads::finish(const RollingModel& model) {
  DayFigures last;
  last.date = day_from_number(open_ + static_cast<int>(pending_) - 1);
  last.load_au = days_[k_history + pending_ - 1];
  last.status = DayStatus::trained;
  settle(pending_, model, &last);
  return last;
}

/// Takes the first `count` pending days into the sums; `last`: the figures of the last of them. The first time, they
/// are all days there are or at least 28.
void RollingLoads::settle(std::size_t count, const RollingModel& model, DayFigures* last) {
  settle_ewma(count, model, last);
  settle_weeks(count, model, last);
  sums_.days += static_cast<std::int64_t>(count);
  std::copy(days_.begin() + static_cast<std::ptrdiff_t>(count),
            days_.begin() + static_cast<std::ptrdiff_t>(k_history + pending_), days_.begin());
  std::fill(days_.begin() + static_cast<std::ptrdiff_t>(k_history + pending_ - count),
            days_.begin() + static_cast<std::ptrdiff_t>(k_history + pending_), 0.0);
  pending_ -= count;
  open_ += static_cast<int>(count);
}

void RollingLoads::settle_ewma(std::size_t count, const RollingModel& model, DayFigures* last) {
  const double* const day = &days_[k_history];
  const auto before = static_cast<std::size_t>(sums_.days);
  const std::size_t hidden = model.first_load_ ? 0 : k_history;  // days until the figures are shown
  if (before == 0) {
    const std::size_t used = model.first_load_ ? 1 : std::min(count, k_month);
    double sum = 0;
    for (std::size_t i = 0; i < used; ++i) sum += day[i];
    ewma_acute_ = ewma_chronic_ = sum / static_cast<double>(used);
  }
  double acute = ewma_acute_;
  double chronic = ewma_chronic_;
  report::LoadSums sums = sums_;
  const bool is_start = before == 0 && model.first_load_;
  for (std::size_t i = 0; i < count; ++i) {
    sums.load += day[i];
    if (i > 0 || !is_start) {
      acute += model.acute_ * (day[i] - acute);
      chronic += model.chronic_ * (day[i] - chronic);
    }
    if (before + i < hidden) continue;
    sums.ewma_a += acute;
    sums.ewma_c += chronic;
    sums.ewma_r += chronic > 0 ? acute / chronic : 0;
  }
  ewma_acute_ = acute;
  ewma_chronic_ = chronic;
  sums_ = sums;
  if (last == nullptr || before + count <= hidden) return;
  last->ewma_acute_au = ewma_acute_;
  last->ewma_chronic_au = ewma_chronic_;
  last->ratio_ewma = over(ewma_acute_, ewma_chronic_);
}

void RollingLoads::settle_weeks(std::size_t count, const RollingModel& model, DayFigures* last) {
  constexpr std::size_t k_three_weeks = 3 * k_week;
  std::array<double, k_three_weeks + k_room> week;  // sum of the seven days up to each day, from 21 days before
  for (std::size_t i = 0; i < k_three_weeks + count; ++i) week[i] = sum_of_week(&days_[i]);
  std::array<double, k_room> monotony;
  for (std::size_t i = 0; i < count; ++i) {
    const double variance = squares_of_week(&days_[i + k_three_weeks]) / model.divisor_;
    const bool varies = variance > 0;
    const double value = week[i + k_three_weeks] / 7 / std::sqrt(varies ? variance : 1);
    monotony[i] = varies ? value : 0;
  }
  const auto before = static_cast<std::size_t>(sums_.days);
  const std::size_t first_week = k_week - 1 - std::min(k_week - 1, before);
  const std::size_t first_month = k_history - std::min(k_history, before);
  report::LoadSums sums = sums_;
  for (std::size_t i = first_week; i < count; ++i) {
    const double sum7 = week[i + k_three_weeks];
    sums.acute += sum7;
    sums.monotony += monotony[i];
    sums.strain += monotony[i] * sum7;
  }
  std::array<double, k_room> months;
  std::array<double, k_room> coupled;
  std::array<double, k_room> uncoupled;
  for (std::size_t i = first_month; i < count; ++i) {
    const double sum7 = week[i + k_three_weeks];
    const double older = week[i + 2 * k_week] + week[i + k_week] + week[i];
    const double month = sum7 + older;
    coupled[i] = month > 0 ? 4 * sum7 / (month > 0 ? month : 1) : 0;
    uncoupled[i] = older > 0 ? sum7 / ((older > 0 ? older : 1) / 3) : 0;
    months[i] = month;
  }
  for (std::size_t i = first_month; i < count; ++i) {
    sums.chronic += months[i] / 4;
    sums.acwr += coupled[i];
    sums.acwr_unc += uncoupled[i];
  }
  sums_ = sums;
  if (last == nullptr || count <= first_week) return;
  const std::size_t i = count - 1;
  const double sum7 = week[i + k_three_weeks];
  last->acute7_au = sum7;
  last->no_variation = !(squares_of_week(&days_[i + k_three_weeks]) > 0);
  if (!last->no_variation) {
    last->monotony = monotony[i];
    last->week_strain_au = sum7 * monotony[i];
  }
  if (count <= first_month) return;
  const double older = week[i + 2 * k_week] + week[i + k_week] + week[i];
  last->chronic28_au = (sum7 + older) / 4;
  last->ratio_coupled = over(4 * sum7, sum7 + older);
  last->ratio_uncoupled = over(sum7, older / 3);
  last->ratio_low = last->ratio_high = last->ratio_coupled;
  last->state = RatioState::known;
}

}  // namespace steelyard::app
