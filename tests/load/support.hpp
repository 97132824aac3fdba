#pragma once
/// Figures as a user gets them: entries in, one line a day out.

#include <span>
#include <vector>

#include "params/shipped_models.hpp"
#include "series/rows.hpp"
#include "steelyard/load/figures.hpp"

namespace steelyard::load {

inline LoadModel model_with(Sd sd, EwmaStart start) {
  LoadModel model = testing::shipped_models().load;
  model.monotony.sd = sd;
  model.ewma.start = start;
  return model;
}

inline LoadModel shipped() {
  return testing::shipped_models().load;
}

inline series::DaySeries series_of(const AthleteLog& log, int days, const LoadModel& model) {
  return series::day_series(log, testing::k_monday, testing::k_monday + Days{days - 1}, std::nullopt, model);
}

/// Figures of days whose loads are all known, 0 = rest.
inline std::vector<DayFigures> figures_of(std::span<const double> loads, const LoadModel& model) {
  return figures(series_of(testing::log_of(loads), static_cast<int>(loads.size()), model), model);
}

inline std::vector<double> repeated(std::vector<double> week, int times) {
  std::vector<double> all;
  for (int i = 0; i < times; ++i) all.insert(all.end(), week.begin(), week.end());
  return all;
}

}  // namespace steelyard::load
