#pragma once
/// One code point at a time out of text that may be anything.

#include <cstddef>
#include <string_view>

namespace steelyard::report {

struct CodePoint {
  char32_t point = 0;
  std::size_t length = 1;  ///< bytes to go on
  bool valid = false;      ///< false: the byte belongs to no well-formed sequence
};

/// source  RFC 3629, section 4 (shortest form only, no surrogates, at most U+10FFFF)
/// domain  at < text.size()
[[nodiscard]] inline CodePoint decode(std::string_view text, std::size_t at) {
  const auto byte = [&](std::size_t i) -> char32_t { return static_cast<unsigned char>(text[i]); };
  const char32_t lead = byte(at);
  if (lead < 0x80) return {lead, 1, true};
  const std::size_t length = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : 2;
  if (lead < 0xC2 || lead > 0xF4 || at + length > text.size()) return {};
  char32_t point = lead & (0x7FU >> length);
  for (std::size_t k = 1; k < length; ++k) {
    if ((byte(at + k) & 0xC0U) != 0x80U) return {};
    point = (point << 6U) | (byte(at + k) & 0x3FU);
  }
  const bool too_long = (length == 3 && point < 0x800) || (length == 4 && point < 0x10000);
  const bool surrogate = point >= 0xD800 && point <= 0xDFFF;
  if (too_long || surrogate || point > 0x10FFFF) return {};
  return {point, length, true};
}

}  // namespace steelyard::report
