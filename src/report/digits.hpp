#pragma once
/// Numbers as JSON and CSV carry them: the shortest digits that read back as the same number.

#include <array>
#include <charconv>
#include <string>

namespace steelyard::report {

template <class Number>
void append_number(std::string& out, Number number) {
  std::array<char, 40> buffer{};
  const auto result = std::to_chars(buffer.data(), buffer.data() + buffer.size(), number);
  out.append(buffer.data(), result.ptr);
}

}  // namespace steelyard::report
