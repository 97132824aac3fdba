#pragma once
/// The coach's review of one week over all athletes.

#include <optional>
#include <string>
#include <vector>

#include "steelyard/base/day.hpp"

namespace steelyard {

/// What a coach decided on a line of the week's list.
struct WeekVerdict {
  std::string decision;  ///< "accept", "change", "ignore"
  std::string note;      ///< what instead, or why
  std::string by;        ///< who, in words
  std::string at;        ///< moment in UTC, "2026-11-22T19:30:00Z"
};

struct WeekFlag {
  std::string athlete;
  int order = 0;                       ///< 1 = first to look at
  std::vector<std::string> kinds;      ///< "pain", "stop", "distress", "signals", "silent", "load", "strength",
                                       ///< "underload", "monotony", "returned"
  std::vector<std::string> because;    ///< sentences: figure against own usual
  std::vector<std::string> caused_by;  ///< named sessions
  std::string next_step;
  std::vector<std::string> unknown;
  std::optional<WeekVerdict> decided;  ///< the last one
};

struct WatchLine {
  std::string athlete;
  std::string because;
};

struct WeekReview {
  IsoWeek week;
  std::string group;
  std::vector<WeekFlag> flags;
  std::vector<WatchLine> watch;
  std::vector<std::string> quiet;  ///< athletes about whom nothing needs saying
  std::vector<std::string> squad;  ///< sentences about everybody at once
};

}  // namespace steelyard
