#pragma once
/// Numbers as bytes, least significant first, on every machine alike; doubles bit for bit (IEEE 754).

#include <algorithm>
#include <array>
#include <bit>
#include <cstdint>
#include <string>
#include <string_view>
#include <utility>

namespace steelyard::fit {

class ByteWriter {
 public:
  void byte(std::uint8_t value) { bytes_.push_back(static_cast<char>(value)); }
  void number(double value) {
    const auto bits = std::bit_cast<std::uint64_t>(value);
    for (unsigned i = 0; i < 8; ++i) byte(static_cast<std::uint8_t>(bits >> (8 * i)));
  }
  void text(std::string_view text) { bytes_.append(text); }
  [[nodiscard]] std::string bytes() && { return std::move(bytes_); }

 private:
  std::string bytes_;
};

/// Reads back in the same order. Reading past the end gives zeros; callers check the length first.
class ByteReader {
 public:
  explicit ByteReader(std::string_view bytes) : bytes_(bytes) {}
  std::uint8_t byte() {
    if (at_ >= bytes_.size()) return 0;
    return static_cast<std::uint8_t>(bytes_[at_++]);
  }
  double number() {
    const std::string_view eight = text(8);
    std::array<char, 8> in_order{};
    std::copy(eight.begin(), eight.end(), in_order.begin());
    std::uint64_t bits = 0;
    for (unsigned i = 0; i < 8; ++i)
      bits |= static_cast<std::uint64_t>(static_cast<std::uint8_t>(in_order[i])) << (8 * i);
    return std::bit_cast<double>(bits);
  }
  std::string_view text(std::size_t size) {
    const auto part = bytes_.substr(at_, size);
    at_ += part.size();
    return part;
  }

 private:
  std::string_view bytes_;
  std::size_t at_ = 0;
};

}  // namespace steelyard::fit
