#pragma once
/// What is known before a session: the morning's items and the first warm-up against the lifter's own usual, and the
/// set as prescribed.

#include <optional>
#include <string_view>

#include "learn/day_table.hpp"
#include "steelyard/fit/rep_max.hpp"
#include "steelyard/fit/strength_response.hpp"

namespace steelyard::learn {

[[nodiscard]] std::optional<double> value_of(const Check& check, Item item);

/// Values of an item in the 28 days that end before `day`; nothing under fit::k_least_values.
[[nodiscard]] std::optional<series::Usual> usual_of(const DayTable& table, Item item, Day day);
/// The last value in the same days.
[[nodiscard]] std::optional<double> last_of(const DayTable& table, Item item, Day day);

/// Hours of sleep in the 28 days before; nothing under fit::k_least_values.
[[nodiscard]] std::optional<series::Usual> usual_sleep(const DayTable& table, Day day);

/// Items and bar speed of that morning as deviations. An item that this lifter does not enter (no usual) is 0, so that
/// its absence does not widen the forecast; one that is missing today is none.
[[nodiscard]] fit::ResponseInputs morning_inputs(const DayTable& table, Day day, std::string_view lift);

/// Percent, repetitions and error of the set as prescribed: by the plan row, else by the heaviest sets that were done
/// without their RPE. False: neither says a percent.
[[nodiscard]] bool add_prescription(const DayTable& table, const PlanRow* plan, const LiftSession* session,
                                    std::optional<double> reference_kg, const fit::RepMax& curve,
                                    fit::ResponseInputs& inputs);

/// SD of an observation for the regression. Of a single's SD one half (of its variance) belongs to the day and does not
/// grow with the repetitions; on invented lifters of eight kinds this gains 1 % CRPS over the set's error alone.
[[nodiscard]] double with_the_day(double sd_percent, const StrengthModel& model);

/// Causes that the inputs really know, as bits.
[[nodiscard]] unsigned entered_causes(const DayTable& table, Day day, std::string_view lift,
                                      const fit::ResponseInputs& inputs);

}  // namespace steelyard::learn
