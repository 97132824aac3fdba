#pragma once
/// Load figures of every day of a series.
/// shape       one DayFigures a day of the series, same order
/// unit        AU = session RPE x minutes
/// definition  with w[t] the load of day t and A7 its sum over t-6 .. t:
///             coupled ratio    A7 / (sum over t-27 .. t, divided by 4)
///             uncoupled ratio  A7 / (sum over t-27 .. t-7, divided by 3)
///             EWMA             E[t] = a w[t] + (1 - a) E[t-1], a = 2/(N+1), N = 7 and 28
///                              start "mean-of-first-28": E[0] = mean of the known loads of the first 28 days, shown
///                              from day 28; "first-load": E[1] = w[1], shown from day 1
///             monotony         mean / SD of the 7 days (which SD: LoadModel); strain = A7 x monotony
///             The open day has no figures; its state is that of the day before.
///             Nothing that needs N days is shown before day N after the first entry. A sum over an unlogged day is
///             absent. The ratios take an unlogged day at its usual load and are absent, state uncertain, when fewer
///             than the needed days of 28 are known or when the least and the greatest reading lie in different bands.
/// accuracy    sums are taken afresh each day: exact for whole and half numbers
/// source      Foster 1998, 10.1097/00005768-199807000-00023 (monotony, strain); Williams et al. 2017,
///             10.1136/bjsports-2016-096589 (EWMA); Windt & Gabbett 2019, 10.1136/bjsports-2017-098925 (coupling)
/// cost        O(days)

#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "steelyard/domain/figures.hpp"
#include "steelyard/params/models.hpp"
#include "steelyard/series/day_series.hpp"

namespace steelyard::load {

/// `own_history`: also the percentile of 26 weeks and the highest of 8 weeks (O(days x 182)).
[[nodiscard]] std::vector<DayFigures> figures(const series::DaySeries& series, const LoadModel& model,
                                              bool own_history = true);

/// R_c = 4 R_u / (R_u + 3). domain  ratio >= 0   source  Windt & Gabbett 2019
[[nodiscard]] double coupled_from_uncoupled(double uncoupled);

struct Monotony {
  double mean = 0;
  double sd = 0;
  std::optional<double> value;  ///< absent when the SD is zero: no variation
};
/// domain  the seven daily loads, rest days as 0
[[nodiscard]] Monotony monotony(std::span<const double> week, Sd sd);

/// Alpha of an EWMA over N days: 2 / (N + 1).
[[nodiscard]] constexpr double ewma_alpha(int days) {
  return 2.0 / (days + 1);
}

[[nodiscard]] std::string_view sd_name(Sd sd);              ///< "sample", "population"
[[nodiscard]] std::string_view ewma_start_name(EwmaStart);  ///< "mean-of-first-28", "first-load"

/// The sessions of the last seven days that lifted the week above the same part of the usual week, largest first.
[[nodiscard]] std::vector<LoadPart> what_raised(const series::DaySeries& series, Day last_day, const LoadModel& model);

}  // namespace steelyard::load
