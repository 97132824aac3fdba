#pragma once
/// Which day it is where somebody lives, by the zone database of the machine.

#include <string>
#include <string_view>

#include "steelyard/base/zone.hpp"

namespace steelyard::app {

/// The rule of a zone such as "Europe/Berlin"; an empty name is UTC. Never leaves the folder of the zone database.
/// errors  bad_data (no such zone, or not a name of one)
[[nodiscard]] Result<std::string> rule_of_zone(std::string_view name);

/// errors  as rule_of_zone
[[nodiscard]] Result<Day> today_in(std::string_view zone, Instant now);

}  // namespace steelyard::app
