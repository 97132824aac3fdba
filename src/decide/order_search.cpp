#include "order_search.hpp"

#include <algorithm>

namespace steelyard::decide {
namespace {

constexpr std::array k_kinds{DayKind::heavy, DayKind::volume, DayKind::speed, DayKind::light};
constexpr Wanted k_weight{8, 4, 2, 1};  // of a missing kind: keep the heavy day, then the volume day

int index_of(DayKind kind) {
  return static_cast<int>(kind);
}
bool is_work(DayKind kind) {
  return kind < DayKind::rest;
}
bool is_hard(DayKind kind) {
  return kind == DayKind::heavy || kind == DayKind::volume;
}

using Choice = std::array<DayKind, k_order_lifts>;

/// What the days so far leave behind for the next one.
struct Trail {
  int since_heavy = 1000;
  bool hard_yesterday = false;
};

/// Heavy work of a lift that the plan does not have on that day, beside long work of another: what is moved takes the
/// place of other work and is not stacked on it. Of the lifts up to `last`.
bool is_stacked(const OrderDay& day, const Choice& choice, std::size_t last) {
  int hard = 0;
  bool moved_in = false;
  for (std::size_t l = 0; l <= last; ++l) {
    if (!is_hard(choice[l])) continue;
    ++hard;
    moved_in = moved_in || (choice[l] == DayKind::heavy && day.lifts[l].planned == DayKind::rest);
  }
  return moved_in && hard > 1;
}

/// Adds the cost of one day to `cost` and steps the trail.
void step(const OrderProblem& p, const OrderDay& day, const Choice& choice, Trail& trail, OrderCost& cost) {
  bool heavy = false;
  bool hard = false;
  for (std::size_t l = 0; l < static_cast<std::size_t>(p.lifts); ++l) {
    const OrderCell& cell = day.lifts[l];
    const DayKind kind = choice[l];
    if (kind != cell.planned) ++cost[3];
    if (!is_work(kind)) continue;
    if (!day.available) ++cost[0];
    if (kind == DayKind::heavy && (!cell.may_heavy || heavy)) ++cost[0];
    if (kind == DayKind::volume && !cell.may_volume) ++cost[0];
    heavy = heavy || kind == DayKind::heavy;
    hard = hard || is_hard(kind);
  }
  if (heavy && trail.since_heavy < p.apart) ++cost[0];
  if (p.lifts > 1 && is_stacked(day, choice, static_cast<std::size_t>(p.lifts) - 1)) ++cost[0];
  if (hard && trail.hard_yesterday) ++cost[2];
  trail.since_heavy = heavy ? 1 : trail.since_heavy + 1;
  trail.hard_yesterday = hard;
}

int missing_of(const Wanted& left) {
  int sum = 0;
  for (std::size_t k = 0; k < left.size(); ++k) sum += k_weight[k] * std::max(0, left[k]);
  return sum;
}

class Search {
 public:
  explicit Search(const OrderProblem& p) : p_(p), left_(p.weeks), days_left_(p.weeks.size(), 0), now_(p.days.size()) {
    for (const OrderDay& day : p.days) days_left_[static_cast<std::size_t>(day.week)] += day.available ? 1 : 0;
    best_.cost = {1 << 20, 0, 0, 0};
  }

  Order run() {
    visit(0, {.since_heavy = p_.days_since_heavy}, {});
    best_.looked_at = looked_at_;
    return best_;
  }

 private:
  /// Wanted kinds that certainly stay without a place: every day takes one kind of a lift.
  [[nodiscard]] int sure_to_miss() const {
    int sum = 0;
    for (std::size_t w = 0; w < left_.size(); ++w) {
      for (std::size_t l = 0; l < static_cast<std::size_t>(p_.lifts); ++l) {
        int room = days_left_[w];
        for (std::size_t k = 0; k < k_kinds.size(); ++k) {  // the dearest kinds take the days first
          const int wanted = std::max(0, left_[w][l][k]);
          const int placed = std::min(wanted, room);
          room -= placed;
          sum += k_weight[k] * (wanted - placed);
        }
      }
    }
    return sum;
  }

  void visit(std::size_t d, Trail trail, OrderCost cost) {
    ++looked_at_;
    OrderCost least = cost;
    least[1] += sure_to_miss();
    if (least >= best_.cost) return;
    if (d == p_.days.size()) {
      best_.cost = least;
      best_.days = now_;
      return;
    }
    choose(d, 0, trail, cost);
  }

  /// Tries every kind for lift l of day d: the planned one first, so that a sound plan is found at once.
  void choose(std::size_t d, std::size_t l, const Trail& trail, const OrderCost& cost) {
    const OrderDay& day = p_.days[d];
    const auto week = static_cast<std::size_t>(day.week);
    if (l == static_cast<std::size_t>(p_.lifts)) {
      Trail next = trail;
      OrderCost sum = cost;
      step(p_, day, now_[d], next, sum);
      days_left_[week] -= day.available ? 1 : 0;
      visit(d + 1, next, sum);
      days_left_[week] += day.available ? 1 : 0;
      return;
    }
    const auto attempt = [&](DayKind kind) {
      now_[d][l] = kind;
      if (is_stacked(day, now_[d], l)) return;  // nothing at all breaks less
      if (is_work(kind)) --left_[week][l][static_cast<std::size_t>(index_of(kind))];
      choose(d, l + 1, trail, cost);
      if (is_work(kind)) ++left_[week][l][static_cast<std::size_t>(index_of(kind))];
    };
    const DayKind planned = day.lifts[l].planned;
    const auto wanted = [&](DayKind kind) { return left_[week][l][static_cast<std::size_t>(index_of(kind))] > 0; };
    const bool plan_is_wanted = !is_work(planned) || wanted(planned);
    if (plan_is_wanted && (day.available || !is_work(planned))) attempt(planned);
    for (const DayKind kind : k_kinds) {
      if (kind != planned && day.available && wanted(kind)) attempt(kind);
    }
    if (planned != DayKind::rest) attempt(DayKind::rest);
  }

  const OrderProblem& p_;
  std::vector<std::array<Wanted, k_order_lifts>> left_;
  std::vector<int> days_left_;
  std::vector<Choice> now_;
  Order best_;
  std::int64_t looked_at_ = 0;
};

}  // namespace

OrderCost cost_of(const OrderProblem& p, const std::vector<Choice>& days) {
  OrderCost cost{};
  Trail trail{.since_heavy = p.days_since_heavy};
  auto left = p.weeks;
  for (std::size_t d = 0; d < days.size(); ++d) {
    step(p, p.days[d], days[d], trail, cost);
    for (std::size_t l = 0; l < static_cast<std::size_t>(p.lifts); ++l) {
      if (is_work(days[d][l]))
        --left[static_cast<std::size_t>(p.days[d].week)][l][static_cast<std::size_t>(index_of(days[d][l]))];
    }
  }
  for (const auto& week : left) {
    for (std::size_t l = 0; l < static_cast<std::size_t>(p.lifts); ++l) cost[1] += missing_of(week[l]);
  }
  return cost;
}

Order best_order(const OrderProblem& problem) {
  return Search(problem).run();
}

}  // namespace steelyard::decide
