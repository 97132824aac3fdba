// The search for the order of kinds against trying every order. source: exhaustive enumeration, hand-made cases

#include "decide/order_search.hpp"

#include <gtest/gtest.h>

#include <cstdint>

namespace steelyard::decide {
namespace {

constexpr std::array k_all{DayKind::heavy, DayKind::volume, DayKind::speed, DayKind::light, DayKind::rest};

/// splitmix64: the same numbers on every machine.
class Numbers {
 public:
  explicit Numbers(std::uint64_t seed) : state_(seed) {}
  int below(int n) {
    std::uint64_t z = (state_ += 0x9e3779b97f4a7c15ULL);
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ULL;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebULL;
    return static_cast<int>((z ^ (z >> 31)) % static_cast<std::uint64_t>(n));
  }

 private:
  std::uint64_t state_;
};

OrderProblem random_problem(Numbers& numbers, int lifts, int days) {
  OrderProblem p{.lifts = lifts, .apart = 2, .days_since_heavy = 1 + numbers.below(4)};
  p.weeks.resize(2);
  for (int d = 0; d < days; ++d) {
    OrderDay day{.available = numbers.below(3) != 0, .week = d < days / 2 ? 0 : 1};
    for (std::size_t l = 0; l < static_cast<std::size_t>(lifts); ++l) {
      day.lifts[l].planned = k_all[static_cast<std::size_t>(numbers.below(5))];
      day.lifts[l].may_heavy = numbers.below(5) != 0;
      day.lifts[l].may_volume = numbers.below(6) != 0;
    }
    p.days.push_back(day);
  }
  for (auto& week : p.weeks) {
    for (std::size_t l = 0; l < static_cast<std::size_t>(lifts); ++l) {
      for (int& count : week[l]) count = numbers.below(3) == 0 ? 1 : 0;
    }
  }
  return p;
}

/// True if no lift gets more of a kind than is wanted and nothing stands on a day that is not available.
bool is_allowed(const OrderProblem& p, const std::vector<std::array<DayKind, k_order_lifts>>& days) {
  auto left = p.weeks;
  for (std::size_t d = 0; d < days.size(); ++d) {
    for (std::size_t l = 0; l < static_cast<std::size_t>(p.lifts); ++l) {
      if (days[d][l] == DayKind::rest) continue;
      if (!p.days[d].available) return false;
      if (--left[static_cast<std::size_t>(p.days[d].week)][l][static_cast<std::size_t>(days[d][l])] < 0) return false;
    }
  }
  return true;
}

OrderCost brute_force(const OrderProblem& p) {
  const std::size_t cells = p.days.size() * static_cast<std::size_t>(p.lifts);
  std::vector<std::size_t> digits(cells, 0);
  std::vector<std::array<DayKind, k_order_lifts>> days(p.days.size());
  OrderCost best{1 << 20, 0, 0, 0};
  for (;;) {
    for (std::size_t c = 0; c < cells; ++c) {
      days[c / static_cast<std::size_t>(p.lifts)][c % static_cast<std::size_t>(p.lifts)] = k_all[digits[c]];
    }
    if (is_allowed(p, days)) best = std::min(best, cost_of(p, days));
    std::size_t at = 0;
    while (at < cells && ++digits[at] == k_all.size()) digits[at++] = 0;
    if (at == cells) return best;
  }
}

TEST(BestOrder, CostsNoMoreThanAnyOtherOrderOfOneLift) {
  Numbers numbers(7);
  for (int i = 0; i < 60; ++i) {
    const OrderProblem p = random_problem(numbers, 1, 6);
    const Order order = best_order(p);
    EXPECT_EQ(order.cost, brute_force(p)) << "problem " << i;
    EXPECT_EQ(order.cost, cost_of(p, order.days)) << "problem " << i;
    EXPECT_TRUE(is_allowed(p, order.days)) << "problem " << i;
  }
}

TEST(BestOrder, CostsNoMoreThanAnyOtherOrderOfTwoLifts) {
  Numbers numbers(11);
  for (int i = 0; i < 30; ++i) {
    const OrderProblem p = random_problem(numbers, 2, 3);
    const Order order = best_order(p);
    EXPECT_EQ(order.cost, brute_force(p)) << "problem " << i;
    EXPECT_EQ(order.cost, cost_of(p, order.days)) << "problem " << i;
  }
}

OrderProblem three_days_a_week() {
  OrderProblem p{.lifts = 1};
  p.weeks = {{Wanted{1, 1, 1, 0}}, {Wanted{1, 1, 1, 0}}};
  for (int d = 0; d < 14; ++d) p.days.push_back({.available = d % 7 == 0 || d % 7 == 2 || d % 7 == 4, .week = d / 7});
  for (int week = 0; week < 2; ++week) {
    const auto monday = static_cast<std::size_t>(7 * week);
    p.days[monday].lifts[0].planned = DayKind::heavy;
    p.days[monday + 2].lifts[0].planned = DayKind::speed;
    p.days[monday + 4].lifts[0].planned = DayKind::volume;
  }
  return p;
}

TEST(BestOrder, KeepsAPlanThatHoldsEverything) {
  const Order order = best_order(three_days_a_week());
  EXPECT_EQ(order.cost, (OrderCost{0, 0, 0, 0}));
  EXPECT_LT(order.looked_at, 100);  // found on the first way down
}

TEST(BestOrder, KeepsTheHeavyDayAndDropsTheLeast) {
  // Monday is lost: three kinds, two days. The speed day is the one that goes (common practice).
  OrderProblem p = three_days_a_week();
  p.days[0].available = false;
  const Order order = best_order(p);
  EXPECT_EQ(order.cost[0], 0);
  EXPECT_EQ(order.cost[1], 2);  // the weight of one speed day
  const bool heavy_kept = order.days[2][0] == DayKind::heavy || order.days[4][0] == DayKind::heavy;
  EXPECT_TRUE(heavy_kept);
}

TEST(BestOrder, NeverSqueezesTwoHeavyDaysTogether) {
  // Friday and Saturday are all that is left for heavy squats and heavy deadlifts: one of them has to wait.
  OrderProblem p{.lifts = 2};
  p.weeks = {{Wanted{1, 0, 0, 0}, Wanted{1, 0, 0, 0}}};
  for (int d = 0; d < 7; ++d) p.days.push_back({.available = d == 4 || d == 5, .week = 0});
  const Order order = best_order(p);
  EXPECT_EQ(order.cost[0], 0);
  EXPECT_EQ(order.cost[1], 8);  // the weight of one heavy day
}

TEST(BestOrder, StaysSmallForThreeLiftsOnSixDaysAWeek) {
  OrderProblem p{.lifts = 3, .days_since_heavy = 1};
  p.weeks = {{Wanted{1, 1, 1, 0}, Wanted{1, 1, 0, 0}, Wanted{1, 1, 1, 0}},
             {Wanted{1, 1, 1, 0}, Wanted{1, 1, 0, 0}, Wanted{1, 1, 1, 0}}};
  for (int d = 0; d < 13; ++d) p.days.push_back({.available = d % 7 != 6, .week = d < 6 ? 0 : 1});
  const std::array<std::array<DayKind, 3>, 6> plan{{{DayKind::heavy, DayKind::rest, DayKind::volume},
                                                    {DayKind::rest, DayKind::heavy, DayKind::speed},
                                                    {DayKind::speed, DayKind::rest, DayKind::rest},
                                                    {DayKind::volume, DayKind::rest, DayKind::heavy},
                                                    {DayKind::rest, DayKind::volume, DayKind::rest},
                                                    {DayKind::rest, DayKind::rest, DayKind::rest}}};
  for (std::size_t d = 0; d < p.days.size(); ++d) {
    for (std::size_t l = 0; l < 3; ++l) p.days[d].lifts[l].planned = plan[d % 7 % 6][l];
  }
  const Order order = best_order(p);
  EXPECT_EQ(order.cost[0], 0);
  EXPECT_LT(order.looked_at, 2'000'000);
}

}  // namespace
}  // namespace steelyard::decide
