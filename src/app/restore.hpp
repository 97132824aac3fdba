#pragma once
/// Columns in doubt, put back into the row that is stored without them.

#include <algorithm>
#include <string>
#include <type_traits>
#include <vector>

#include "steelyard/domain/fields.hpp"
#include "steelyard/domain/log.hpp"

namespace steelyard::app {

/// Copies the named columns of `entered` to `stored`.
template <class R>
void restore(R& stored, const R& entered, const std::vector<std::string>& fields) {
  visit_fields(
      [&]<class T>(const Column& column, T& member) {
        if (std::find(fields.begin(), fields.end(), column.name) == fields.end()) return;
        visit_fields(
            [&]<class U>(const Column& other, const U& value) {
              if constexpr (std::is_same_v<T, U>) {
                if (other.name == column.name) member = value;
              }
            },
            entered);
      },
      stored);
}

/// True for rows of one key.
template <class R>
[[nodiscard]] bool same_place(const R& a, const R& b) {
  bool same = a.date == b.date;
  if constexpr (requires { a.part; }) same = same && a.part.value_or(1) == b.part.value_or(1);
  if constexpr (requires { a.position; }) same = same && a.position == b.position;
  return same;
}

/// Brings a held row back into a log: its columns into the stored row, or the whole row. No fields = the whole row.
inline void as_entered(AthleteLog& log, const Record& row, const std::vector<std::string>& fields) {
  const auto into = [&]<class R>(std::vector<R>& rows, const R& held) {
    for (R& stored : rows) {
      if (same_place(stored, held)) return restore(stored, held, fields);
    }
    if (fields.empty()) rows.push_back(held);
  };
  if (const auto* session = std::get_if<Session>(&row)) into(log.sessions, *session);
  if (const auto* set = std::get_if<SetRow>(&row)) into(log.sets, *set);
  if (const auto* check = std::get_if<Check>(&row)) into(log.checks, *check);
}

}  // namespace steelyard::app
