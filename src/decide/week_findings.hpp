#pragma once
/// What the review says about one athlete: findings that flag, reasons to watch, what is not known.

#include <string>
#include <vector>

#include "week_facts.hpp"

namespace steelyard::decide {

/// Order among flags; the hundreds are the order of the rules, the rest orders within one rule.
namespace week_rank {
inline constexpr int now = 100;
inline constexpr int today = 110;
inline constexpr int distress = 120;
inline constexpr int pain = 130;
inline constexpr int mood = 140;
inline constexpr int ill = 150;
inline constexpr int signals = 200;  ///< less one for each signal: more of them come first
inline constexpr int silent = 300;
inline constexpr int single = 400;
inline constexpr int monotony = 500;
inline constexpr int returned = 600;
}  // namespace week_rank

struct Finding {
  int rank = 0;
  std::string kind;  ///< of WeekFlag::kinds
  std::vector<std::string> because;
  std::string next_step;
};

struct Findings {
  std::vector<Finding> flags;
  std::vector<std::string> watch;  ///< sentences
};

/// Stop signs, pain, distress, illness.
void find_health(const WeekFacts& f, Findings& out);
/// Signals that agree, one alone, monotony.
void find_signals(const WeekFacts& f, Findings& out);
/// Silence, load against plan and fixture, return from days off, own usual not known.
void find_changes(const WeekFacts& f, Findings& out);

[[nodiscard]] std::vector<std::string> not_known(const WeekFacts& f, const Findings& findings);
/// Sessions that lifted the week, the largest first.
[[nodiscard]] std::vector<std::string> named_sessions(const WeekFacts& f);

/// "Fatigue 5 of 7, usually 3"
[[nodiscard]] std::string spoken_item(const ItemWeek& item);
/// "squats and deadlifts" among `closed` that this athlete does.
[[nodiscard]] std::string spoken_closed(const WeekFacts& f, const std::vector<std::string>& closed);

/// Takes what most of a squad share out of everybody's items and loads, and says it.
/// definition  athletes of one group are one squad; from four athletes on of whom the same item is known, if two of
///             three moved in the bad direction and the median moved clearly. The median is what is common.
[[nodiscard]] std::vector<std::string> take_out_common(std::vector<WeekFacts>& squad);
/// True if this athlete is further down than the squad on the items the squad moved on, by more than one standard error
/// of their mean in own SDs.
[[nodiscard]] bool somewhat_below_squad(const WeekFacts& f);

}  // namespace steelyard::decide
