#pragma once
/// How the members of a record become columns of a row, and back.
/// shape  days are integers (day_number), enums their words, lists the text of one file cell, "not recorded" is NULL;
///        a text without content is '' because a blank text and no text are the same thing in the files

#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <type_traits>
#include <vector>

#include "steelyard/base/text.hpp"
#include "steelyard/domain/cells.hpp"
#include "steelyard/domain/fields.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "store/database.hpp"

namespace steelyard::store {

template <class T>
inline constexpr bool k_is_optional = false;
template <class T>
inline constexpr bool k_is_optional<std::optional<T>> = true;

enum class ColumnType { integer, real, text };

template <class T>
[[nodiscard]] constexpr ColumnType column_type() {
  if constexpr (k_is_optional<T>) {
    return column_type<typename T::value_type>();
  } else if constexpr (std::is_same_v<T, Day> || std::is_same_v<T, int>) {
    return ColumnType::integer;
  } else if constexpr (std::is_same_v<T, double>) {
    return ColumnType::real;
  } else {
    return ColumnType::text;
  }
}

inline void bind_value(Statement& s, int i, const std::string& v) {
  s.bind(i, std::string_view(v));
}
inline void bind_value(Statement& s, int i, Day v) {
  s.bind(i, v);
}
inline void bind_value(Statement& s, int i, int v) {
  s.bind(i, v);
}
inline void bind_value(Statement& s, int i, double v) {
  s.bind(i, v);
}
inline void bind_value(Statement& s, int i, WeekdaySet v) {
  s.bind_copy(i, print_weekdays(v));
}
template <class E>
requires std::is_enum_v<E>
void bind_value(Statement& s, int i, E v) {
  s.bind(i, word(v));
}
template <class T>
void bind_value(Statement& s, int i, const std::optional<T>& v) {
  if (v) {
    bind_value(s, i, *v);
  } else {
    s.bind(i, nullptr);
  }
}
template <class T>
void bind_value(Statement& s, int i, const std::vector<T>& v) {
  if (v.empty()) {
    s.bind(i, std::string_view{});
  } else if constexpr (std::is_same_v<T, double>) {
    s.bind_copy(i, print_numbers(v));
  } else if constexpr (std::is_same_v<T, std::string>) {
    s.bind_copy(i, print_list(v));
  } else if constexpr (std::is_same_v<T, SoreRegion>) {
    s.bind_copy(i, print_sore_regions(v));
  } else {
    static_assert(std::is_same_v<T, PainEntry>);
    s.bind_copy(i, print_pain(v));
  }
}

template <class T>
[[nodiscard]] bool take(Result<T> parsed, T& out) {
  if (!parsed) return false;
  out = *std::move(parsed);
  return true;
}

// Each answers whether the column held such a value; a store that nobody damaged always does.
[[nodiscard]] inline bool read_value(const Statement& s, int i, std::string& v) {
  v.assign(s.text(i));
  return true;
}
[[nodiscard]] inline bool read_value(const Statement& s, int i, Day& v) {
  v = s.day(i);
  return true;
}
[[nodiscard]] inline bool read_value(const Statement& s, int i, int& v) {
  v = static_cast<int>(s.integer(i));
  return true;
}
[[nodiscard]] inline bool read_value(const Statement& s, int i, double& v) {
  v = s.real(i);
  return true;
}
[[nodiscard]] inline bool read_value(const Statement& s, int i, WeekdaySet& v) {
  return take(parse_weekdays(s.text(i)), v);
}
template <class E>
requires std::is_enum_v<E>
[[nodiscard]] bool read_value(const Statement& s, int i, E& v) {
  const auto value = from_word<E>(s.text(i));
  if (value) v = *value;
  return value.has_value();
}
template <class T>
[[nodiscard]] bool read_value(const Statement& s, int i, std::optional<T>& v) {
  v.reset();
  return s.is_null(i) || read_value(s, i, v.emplace());
}
template <class T>
[[nodiscard]] bool read_value(const Statement& s, int i, std::vector<T>& v) {
  const std::string_view cell = s.text(i);
  v.clear();
  if (cell.empty()) return true;
  if constexpr (std::is_same_v<T, double>) {
    constexpr double k_any = std::numeric_limits<double>::max();
    return take(parse_numbers(cell, -k_any, k_any), v);
  } else if constexpr (std::is_same_v<T, std::string>) {
    // Words are not compared with today's vocabulary: what was once accepted stays readable.
    for (const auto part : split_words(cell)) v.emplace_back(part);
    return true;
  } else if constexpr (std::is_same_v<T, SoreRegion>) {
    return take(parse_sore_regions(cell), v);
  } else {
    static_assert(std::is_same_v<T, PainEntry>);
    return take(parse_pain(cell), v);
  }
}

}  // namespace steelyard::store
