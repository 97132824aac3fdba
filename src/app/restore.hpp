#pragma once
/// Columns in doubt, put back into the row that is stored without them.

#include <algorithm>
#include <string>
#include <type_traits>
#include <vector>

#include "steelyard/decide/doubts.hpp"
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

/// The row that is stored for a held row whose columns in doubt were left out; nullptr = somebody changed it since.
/// definition  sets by their content, for their positions may have moved; other rows by their key
template <class R>
[[nodiscard]] R* stored_for(std::vector<R>& rows, const R& held, const std::vector<std::string>& in_doubt) {
  for (R& row : rows) {
    if (row.date != held.date) continue;
    if constexpr (requires { row.part; }) {
      if (row.part.value_or(1) != held.part.value_or(1)) continue;
    }
    if constexpr (requires { row.position; }) {
      auto blanked = std::get<R>(decide::without_fields(held, in_doubt));
      blanked.part = row.part;
      blanked.position = row.position;
      if (!(row == blanked)) continue;
    }
    return &row;
  }
  return nullptr;
}

/// Brings a held row back into a log: its columns into the stored row, or the whole row. No fields = the whole row.
inline void as_entered(AthleteLog& log, const Record& row, const std::vector<std::string>& fields) {
  const auto into = [&]<class R>(std::vector<R>& rows, const R& held) {
    if (fields.empty()) {
      rows.push_back(held);
    } else if (R* stored = stored_for(rows, held, fields)) {
      restore(*stored, held, fields);
    }
  };
  if (const auto* session = std::get_if<Session>(&row)) into(log.sessions, *session);
  if (const auto* set = std::get_if<SetRow>(&row)) into(log.sets, *set);
  if (const auto* check = std::get_if<Check>(&row)) into(log.checks, *check);
}

}  // namespace steelyard::app
