#pragma once
/// The next two weeks: what to do on which day, and what cannot be had.

#include <optional>
#include <string>
#include <vector>

#include "steelyard/domain/call.hpp"

namespace steelyard {

struct AheadLift {
  std::string lift;
  Prescription work;
  std::optional<double> weight_kg;
  std::optional<DayKind> planned;  ///< kind written for that day; none = nothing written
  bool changed = false;            ///< another kind than written, or a day without a written one
};

struct AheadDay {
  Day date{};
  bool available = true;
  std::string note;  ///< "meet", "match", "holiday", or empty
  std::vector<AheadLift> lifts;
};

struct Ahead {
  std::string athlete;
  Day from{};
  std::vector<AheadDay> days;        ///< 14 calendar days, today first
  std::vector<std::string> missing;  ///< sentences: what was wanted and has no place, and why
  std::vector<std::string> say;
};

}  // namespace steelyard
