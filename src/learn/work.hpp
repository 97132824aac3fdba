#pragma once
/// Responses to work of which some days may yet turn out to have been rest.

#include <algorithm>
#include <vector>

#include "learn/day_table.hpp"
#include "steelyard/fit/impulse.hpp"
#include "steelyard/fit/scores.hpp"
#include "steelyard/learn/learner.hpp"

namespace steelyard::learn {

/// Shares kept per day of the slow and the fast responses of one target.
struct Kept {
  std::vector<double> slow;
  std::vector<double> fast;
};

struct Responses {
  std::array<double, fit::k_max_members> slow{};
  std::array<double, fit::k_max_members> fast{};
};

inline void start_work(WorkState& work, Day morning) {
  work.settled = morning;
  work.slow.fill(1);
  work.fast.fill(1);
}

inline void apply(Responses& r, const Kept& kept, std::optional<double> relative) {
  const double u = relative.value_or(1);
  for (std::size_t i = 0; i < kept.slow.size(); ++i) r.slow[i] = fit::next_response(r.slow[i], u, kept.slow[i]);
  for (std::size_t i = 0; i < kept.fast.size(); ++i) r.fast[i] = fit::next_response(r.fast[i], u, kept.fast[i]);
}

inline std::optional<double> relative(const WorkState& work, const DayWork& day, Day as_of) {
  if (!work.usual || !day.amount || day.needs > as_of) return std::nullopt;
  return *day.amount / *work.usual;
}

/// Responses on the morning of `day` from the entries up to `as_of`.
template <class Get>
Responses responses_on(const WorkState& work, const Kept& kept, Day day, Day as_of, Get get) {
  Responses r{.slow = work.slow, .fast = work.fast};
  for (Day d = work.settled; d < day; d += Days{1}) apply(r, kept, relative(work, get(d), as_of));
  return r;
}

/// Takes in for good the days before `morning` that can no longer change their meaning.
template <class Get>
void settle(WorkState& work, const Kept& kept, Day morning, int rest_gap_days, Get get) {
  for (; work.settled < morning; work.settled += Days{1}) {
    const DayWork day = get(work.settled);
    const bool known = day.amount && day.needs <= morning;
    if (day.gap && !known && days_between(work.settled, morning) <= rest_gap_days + 1) return;
    Responses r{.slow = work.slow, .fast = work.fast};
    apply(r, kept, relative(work, day, morning));
    work.slow = r.slow;
    work.fast = r.fast;
    if (work.usual || !known || !(*day.amount > 0 || work.sum > 0)) continue;
    work.sum += *day.amount;
    if (++work.known_days == fit::k_usual_days) work.usual = work.sum / fit::k_usual_days;
  }
}

}  // namespace steelyard::learn
