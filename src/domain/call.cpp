#include "steelyard/domain/call.hpp"

#include <array>

namespace steelyard {

using namespace std::string_view_literals;

std::string_view action_code(Action action) {
  constexpr std::array codes{"run-as-planned"sv,  "trim-sets"sv,      "trim-intensity"sv,
                             "swap-to-heavy"sv,   "swap-to-volume"sv, "swap-to-speed"sv,
                             "light-technique"sv, "rest"sv,           "stop-refer"sv};
  return codes[static_cast<std::size_t>(action)];
}

std::string_view urgency_word(Urgency urgency) {
  constexpr std::array words{"now"sv, "today"sv, "soon"sv, "watch"sv};
  return words[static_cast<std::size_t>(urgency)];
}

std::string_view confidence_word(Confidence confidence) {
  constexpr std::array words{"high"sv, "medium"sv, "low"sv};
  return words[static_cast<std::size_t>(confidence)];
}

}  // namespace steelyard
