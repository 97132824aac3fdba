#pragma once
/// The coach's review of one week.
/// definition  Each athlete is compared with themselves and with the squad. Order of flags: 1 stop signs, pain,
///             distress; 2 two or more agreeing signals; 3 silence of someone who usually writes; 4 one unexplained:
///             strength loss, load jump with complete data, load halved before a fixture; 5 monotony with mood or
///             performance off; 6 returned from days off. What the plan or a declared period explains goes on the
///             watch list or nowhere.

#include <span>
#include <string_view>

#include "steelyard/domain/log.hpp"
#include "steelyard/domain/week.hpp"
#include "steelyard/params/models.hpp"

namespace steelyard::decide {

/// `last_known`: the last day of which anything can be known (today, for a week under way).
[[nodiscard]] WeekReview review_week(std::span<const AthleteLog> logs, IsoWeek week, Day last_known,
                                     std::string_view group, const Models& models);

}  // namespace steelyard::decide
