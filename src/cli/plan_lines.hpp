#pragma once

#include <span>
#include <string>

#include "steelyard/domain/records.hpp"

namespace steelyard::cli {

/// "Mon 2026-11-23  squat  heavy 3x4 at 82.5 %, 75 min", one line a row.
[[nodiscard]] std::string plan_lines(std::span<const PlanRow> rows);

}  // namespace steelyard::cli
