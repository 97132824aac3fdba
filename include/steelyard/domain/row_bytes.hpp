#pragma once
/// The fields of a row as bytes, for a digest: the same bytes exactly for equal rows. Not a format that is stored.

#include <array>
#include <bit>
#include <cstdint>
#include <optional>
#include <string>
#include <type_traits>
#include <vector>

#include "steelyard/base/day.hpp"
#include "steelyard/domain/fields.hpp"

namespace steelyard {

class RowBytes {
 public:
  explicit RowBytes(std::string& out) : out_(out) {}

  template <class T>
  void operator()(const Column&, const T& value) {
    add(value);
  }

 private:
  void whole(std::uint64_t value) {
    const auto bytes = std::bit_cast<std::array<char, sizeof value>>(value);
    out_.append(bytes.data(), bytes.size());
  }
  void add(const std::string& value) {
    whole(value.size());
    out_ += value;
  }
  void add(double value) { whole(std::bit_cast<std::uint64_t>(value)); }
  void add(int value) { whole(static_cast<std::uint64_t>(value)); }
  void add(Day value) { add(day_number(value)); }
  void add(WeekdaySet value) {
    for (int i = 0; i < 7; ++i) out_ += value.has(i) ? '1' : '0';
  }
  void add(const SoreRegion& value) {
    add(value.region);
    add(value.level);
  }
  void add(const PainEntry& value) {
    add(value.site);
    add(value.level);
    add(value.kind);
  }
  template <class T>
  void add(const std::vector<T>& values) {
    whole(values.size());
    for (const T& value : values) add(value);
  }
  template <class T>
  void add(const std::optional<T>& value) {
    out_ += value ? '1' : '0';
    if (value) add(*value);
  }
  template <class E>
  requires std::is_enum_v<E>
  void add(E value) { add(static_cast<int>(value)); }

  std::string& out_;
};

/// Appends the row's bytes.
template <class Row>
void add_row_bytes(std::string& out, const Row& row) {
  RowBytes bytes(out);
  visit_fields(bytes, row);
}

}  // namespace steelyard
