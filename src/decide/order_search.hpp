#pragma once
/// Exact search for the order of kinds over a run of days: branch and bound.
/// shape       day 0 is the day after today; kinds per lift and day, rest = nothing
/// definition  cost of an order, compared from left to right: limits broken; wanted kinds missing, weighted; hard days
///             too near; cells that differ from the plan. A branch is left when its cost so far plus a lower bound of
///             the missing kinds (those that have fewer days left than they need) is not below the best order found.
/// cost        a plan that holds its limits is found at once; else the changes needed bound the depth of the search

#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "steelyard/domain/records.hpp"

namespace steelyard::decide {

inline constexpr int k_order_lifts = 3;  ///< lifts of one spacing group at most

/// What one lift may do and is meant to do on one day.
struct OrderCell {
  DayKind planned = DayKind::rest;
  bool may_heavy = true;  ///< nothing that is known today closes it
  bool may_volume = true;
};

struct OrderDay {
  bool available = true;
  int week = 0;  ///< index of the calendar week, from 0
  std::array<OrderCell, k_order_lifts> lifts{};
};

/// Counts of the kinds that can be wanted: heavy, volume, speed, light, as DayKind has them before rest.
using Wanted = std::array<int, static_cast<std::size_t>(DayKind::rest)>;

struct OrderProblem {
  int lifts = 1;
  int apart = 2;                ///< days between heavy work of the group
  int days_since_heavy = 1000;  ///< from the last heavy work, done or called today, to day 0
  std::vector<OrderDay> days;
  std::vector<std::array<Wanted, k_order_lifts>> weeks;
};

using OrderCost = std::array<int, 4>;  ///< broken, missing, spacing, changes

struct Order {
  std::vector<std::array<DayKind, k_order_lifts>> days;
  OrderCost cost{};
  std::int64_t looked_at = 0;  ///< branches entered
};

[[nodiscard]] Order best_order(const OrderProblem& problem);

/// Cost of a given order, by the definition alone (the search keeps it up step by step).
[[nodiscard]] OrderCost cost_of(const OrderProblem& problem,
                                const std::vector<std::array<DayKind, k_order_lifts>>& days);

}  // namespace steelyard::decide
