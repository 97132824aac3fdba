#pragma once
/// One name a lift. People write "back-squat", "sq" or "squat"; whatever compares lifts compares codes.

#include <string_view>

#include "steelyard/domain/log.hpp"
#include "steelyard/params/models.hpp"

namespace steelyard::series {

/// The lift's own code, also of an alias; of a lift that nobody described the name itself.
[[nodiscard]] std::string_view code_of(const LiftsModel& lifts, std::string_view lift);
/// The lift that it is a variant of, else its own code.
[[nodiscard]] std::string_view root_of(const LiftsModel& lifts, std::string_view lift);

/// An alias becomes the code of its lift, in every column that names a lift; names that nobody described stay.
void use_lift_codes(Record& row, const LiftsModel& lifts);

/// The same in everything of a log. Maxima, planned work and bar speeds that were stored under another name give way to
/// those of the same day under the code, which are newer: what is written today is written under the code.
void use_lift_codes(AthleteLog& log, const LiftsModel& lifts);

}  // namespace steelyard::series
