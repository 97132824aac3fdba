#pragma once
/// Entries that are held aside, and the answers to them.

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "steelyard/app/record.hpp"

namespace steelyard::app {

/// Open questions of one athlete, or of all.
[[nodiscard]] Result<std::vector<Question>> list_questions(Context& context, const std::optional<std::string>& athlete);

/// The entry counts as it came. A second session of a day is stored as one.
/// errors  all three: no_input (no such question), not_allowed (it was answered before)
[[nodiscard]] Result<Question> keep(Context& context, std::int64_t id);
/// The entry counts with the columns as given here. A second session of a day takes the place of the first.
/// errors  usage (nothing was corrected, or athlete, date or part), bad_data with where = column
[[nodiscard]] Result<Question> fix(Context& context, std::int64_t id, std::span<const ColumnText> typed);
/// What was in doubt stays out for good.
[[nodiscard]] Result<Question> drop(Context& context, std::int64_t id);

}  // namespace steelyard::app
