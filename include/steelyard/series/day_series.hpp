#pragma once
/// The calendar grid of one athlete's session load: every day trained, rest, open or unlogged.
/// shape       one value a calendar day, ascending, no gaps
/// unit        AU = session RPE (CR-10) x minutes; a day's load is the sum over its sessions
/// definition  trained: a session or sets that day. open: the day under way. rest (a known zero): a declared day off
///             other than a match, or a day without planned session that has a morning check or lies in a gap of at
///             most `rest_gap_days` between two days with entries. Everything else is unlogged: not known, which is
///             not zero. A session without minutes or RPE, also one of which only the sets were entered, takes the
///             missing part from the athlete's own median of the same day kind over the last `usual_weeks`, else from
///             its sets, and is marked estimated.
/// source      session RPE: Foster 1998, 10.1097/00005768-199807000-00023; the status rules are ours

#include <optional>
#include <vector>

#include "steelyard/domain/figures.hpp"
#include "steelyard/domain/log.hpp"
#include "steelyard/params/models.hpp"

namespace steelyard::series {

/// unknown: an unlogged day is not known. rest: every day without a session is a known zero.
enum class Gaps { unknown, rest };

struct SeriesDay {
  Day date{};
  DayStatus status = DayStatus::unlogged;
  std::optional<double> load_au;  ///< absent on open and unlogged days, and where a session cannot be estimated
  bool estimated = false;
  bool unknown_part = false;  ///< some session of the day has neither minutes nor anything to estimate them from
  std::vector<LoadPart> parts;
  [[nodiscard]] bool known() const { return load_au.has_value(); }
};

struct DaySeries {
  std::vector<SeriesDay> days;
  std::optional<Day> first_entry;  ///< earliest session, set or check ever

  [[nodiscard]] bool empty() const { return days.empty(); }
  [[nodiscard]] const SeriesDay* at(Day day) const;
};

/// Days from `from` (or the first entry, whichever is later) to `to`; a day equal to `open` is the day under way: its
/// check may end a gap, its sessions and whatever is entered for later days may not.
/// cost  O(days + rows)
[[nodiscard]] DaySeries day_series(const AthleteLog& log, Day from, Day to, std::optional<Day> open,
                                   const LoadModel& model, Gaps gaps = Gaps::unknown);

/// Median of the known loads of that weekday over the `usual_weeks` before `day`; none = no such day is known.
[[nodiscard]] std::optional<double> usual_load(const DaySeries& series, Day day, const LoadModel& model);

}  // namespace steelyard::series
