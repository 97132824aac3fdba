#pragma once
/// The next two weeks as text and as JSON.

#include <string>

#include "steelyard/domain/ahead.hpp"
#include "steelyard/report/look.hpp"

namespace steelyard::report {

[[nodiscard]] std::string ahead_text(const Ahead& ahead, const Look& look);

/// {"schema", "athlete", "from", "days": [{"date", "available", "note", "lifts": [{"lift", "kind", "sets", "reps",
/// "percent", "weight_kg", "planned", "changed"}]}], "missing": [..], "say": [..]}
[[nodiscard]] std::string ahead_json(const Ahead& ahead);

}  // namespace steelyard::report
