#pragma once

#include <string>
#include <string_view>

namespace steelyard::cli {

/// Text of the report room for a line that is not wrapped: its unbreakable blanks as ordinary ones.
[[nodiscard]] inline std::string spaced(std::string text) {
  constexpr std::string_view unbreakable = "\xC2\xA0";
  for (auto at = text.find(unbreakable); at != std::string::npos; at = text.find(unbreakable, at)) {
    text.replace(at, unbreakable.size(), " ");
  }
  return text;
}

}  // namespace steelyard::cli
