#pragma once
/// Wording that the call and its full account share.

#include <optional>
#include <string>
#include <string_view>

#include "steelyard/domain/call.hpp"

namespace steelyard::report {

[[nodiscard]] std::string_view action_phrase(Action action);  ///< "as planned", "fewer sets"
/// decimals  none = to the last digit
[[nodiscard]] std::string limit_line(const LimitResult& limit, std::optional<int> decimals);
[[nodiscard]] std::string coverage_text(const Coverage& coverage);

}  // namespace steelyard::report
