#pragma once
/// Days that hold every entry, spans of days, and the sets of a part as the unit in which they are written.

#include <functional>
#include <vector>

#include "steelyard/base/day.hpp"
#include "steelyard/store/store.hpp"

namespace steelyard::app {

inline constexpr Day k_first_day{std::chrono::local_days{std::chrono::year{1900} / 1 / 1}};
inline constexpr Day k_last_day{std::chrono::local_days{std::chrono::year{2200} / 1 / 1}};

/// errors  usage (it ends before it begins), with where = to
[[nodiscard]] Result<void> check_span(Day from, Day to);

/// Writes all sets of the part to which `one` belongs again, as `change` leaves them: the store takes the sets of a
/// part as a whole.
[[nodiscard]] Result<void> rewrite_part(store::Entry& entry, const SetRow& one,
                                        const std::function<void(std::vector<SetRow>&)>& change);

}  // namespace steelyard::app
