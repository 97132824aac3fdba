#pragma once
/// Daily load figures of one athlete: what `loads` shows.
/// unit  AU = session RPE (CR-10) x minutes

#include <algorithm>
#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "steelyard/base/day.hpp"

namespace steelyard {

/// open: the day under way, which no figure counts. unlogged: not known, which is not zero.
enum class DayStatus { trained, open, rest, unlogged };
enum class RatioState { too_short, known, uncertain };

/// At the end of one calendar day; of the open day only yesterday's state. Absent = not defined or known, never zero.
struct DayFigures {
  Day date{};
  DayStatus status = DayStatus::unlogged;
  std::optional<double> load_au;  ///< 0 on a rest day, absent on an open or unlogged one
  bool estimated = false;         ///< some session of the day had no minutes or no RPE

  std::optional<double> acute7_au;        ///< sum over t-6 .. t
  std::optional<double> chronic28_au;     ///< sum over t-27 .. t, divided by 4: AU a week
  std::optional<double> ratio_coupled;    ///< acute7 / chronic28
  std::optional<double> ratio_uncoupled;  ///< acute7 / (sum over t-27 .. t-7, divided by 3)
  std::optional<double> ewma_acute_au;    ///< AU a day, N = 7
  std::optional<double> ewma_chronic_au;  ///< AU a day, N = 28
  std::optional<double> ratio_ewma;
  std::optional<double> monotony;             ///< mean / SD of the 7 days; which SD: LoadParams
  bool no_variation = false;                  ///< the SD of the 7 days is zero: monotony has no value
  std::optional<double> week_strain_au;       ///< acute7 x monotony
  std::optional<double> week_change_percent;  ///< acute7 against acute7 of seven days before
  std::optional<double> percentile26;  ///< share (%) of the last 26 weeks' 7-day sums that are not above this one
  std::optional<double> highest8_au;   ///< highest 7-day sum of the eight weeks that end seven days before
  int unlogged_of_28 = 0;
  std::optional<double> ratio_low;  ///< least and greatest coupled ratio when unlogged days were 0 or usual
  std::optional<double> ratio_high;
  RatioState state = RatioState::too_short;
};

[[nodiscard]] inline std::span<const DayFigures> last_days(std::span<const DayFigures> days, std::size_t n) {
  return days.last(std::min(n, days.size()));
}

/// One session's part in a day's load.
struct LoadPart {
  Day date{};
  int part = 1;
  std::string kind;
  double load_au = 0;
  bool estimated = false;
};

/// What an unlogged day usually carries: the median of that weekday over the last weeks, and its least and greatest.
/// unit  AU
struct UsualLoad {
  Day date{};
  double usual_au = 0;
  double low_au = 0;
  double high_au = 0;
};

struct LoadReport {
  std::string athlete;
  std::vector<DayFigures> days;
  std::string sd_name;                 ///< "sample" or "population"
  std::string ewma_start;              ///< "mean-of-first-28" or "first-load"
  std::vector<UsualLoad> usual_loads;  ///< of the unlogged days, ascending; of the store only
};

/// Barbell work of one lift on one day.
struct LiftDay {
  Day date{};
  std::string lift;
  int lifts = 0;                       ///< repetitions done
  double tonnage_kg = 0;               ///< of sets with a weight
  std::optional<double> mean_percent;  ///< of the training max, weighted by repetitions
  int hard_sets = 0;                   ///< RPE >= 7, or no RPE and >= 75 % (models/load.toml)
  double dose = 0;                     ///< sum of reps x (kg / training max)^2 x effort; see load/bar_work.hpp
  std::optional<double> top_percent;   ///< heaviest set
  std::optional<double> e1rm_kg;       ///< the session's estimated one-repetition maximum
  std::optional<double> e1rm_sd_kg;
};

}  // namespace steelyard
