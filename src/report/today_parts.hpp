#pragma once
/// Wording that the call and its full account share.

#include <string>
#include <string_view>

#include "steelyard/domain/call.hpp"

namespace steelyard::report {

[[nodiscard]] std::string_view action_phrase(Action action);  ///< "as planned", "fewer sets"
/// decimals  at most
[[nodiscard]] std::string limit_line(const LimitResult& limit, std::string_view name, int decimals);
[[nodiscard]] std::string coverage_text(const Coverage& coverage);

}  // namespace steelyard::report
