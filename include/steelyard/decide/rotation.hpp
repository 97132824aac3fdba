#pragma once
/// Days for a lifter who has written no plan: the rotation of day-kinds.toml over the weekdays of training.
/// shape       rows from today to the end of the week after next, of one main lift of each spacing group that has a
///             training max; sets, repetitions and percent stay blank and are filled like those of a plan
/// definition  nothing is added once a row was written for the last four weeks or later; a followed call is none

#include <string_view>

#include "steelyard/domain/log.hpp"
#include "steelyard/params/models.hpp"

namespace steelyard::decide {

inline constexpr std::string_view k_rotation_note = "from the rotation";

void fill_from_rotation(AthleteLog& log, Day today, const Models& models);

}  // namespace steelyard::decide
