#pragma once
/// What a report on paper or on a page holds: the answers of one day, and the figures behind their charts.

#include <optional>
#include <string>
#include <vector>

#include "steelyard/domain/ahead.hpp"
#include "steelyard/domain/call.hpp"
#include "steelyard/domain/figures.hpp"
#include "steelyard/domain/learned.hpp"
#include "steelyard/domain/week.hpp"

namespace steelyard {

/// An item of the morning check against the lifter's own usual at that time.
struct ItemDay {
  Day date{};
  std::optional<double> value;
  std::optional<double> usual;     ///< mean of the days before; none = not known yet
  std::optional<double> usual_sd;  ///< sample SD of the same days
};
struct ItemTrend {
  std::string item;  ///< column of the check
  std::vector<ItemDay> days;
};

struct LifterReport {
  std::string athlete;
  std::string name;
  DayCall call;
  Comparison comparison;
  Ahead ahead;
  LoadReport loads;
  StrengthReport strength;
  std::vector<ItemTrend> items;
};

struct SquadLifter {
  std::string athlete;
  LoadReport loads;
  std::optional<int> days_since_entry;  ///< none = nothing was ever entered
};

struct SquadReport {
  Day date{};
  WeekReview week;
  std::vector<SquadLifter> lifters;
};

/// The coming days of one lifter, for the wall and for a calendar. No health content.
struct WallLifter {
  std::string athlete;
  std::optional<Unit> units;  ///< the athlete's own; none = kg
  std::vector<AheadDay> days;
  bool stopped = false;  ///< not to train before somebody was seen; what for stands nowhere here
};

struct WallSheet {
  std::string group;
  Day from{};
  std::vector<WallLifter> lifters;
};

}  // namespace steelyard
