#pragma once
/// A connection with its prepared statements: what a store and its entries work with.

#include <optional>
#include <tuple>

#include "store/reader.hpp"

namespace steelyard::store {

/// Made when they are first asked for: who only reads needs none of them.
template <class Kinds>
struct AllRows;
template <class... Kinds>
struct AllRows<std::variant<Kinds...>> {
  std::tuple<std::optional<Rows<Kinds>>...> of_kind;
};

struct Connection {
  explicit Connection(Database& database) : db(database), questions(db), reader(db, questions) {}

  template <class R>
  [[nodiscard]] Rows<R>& rows_of() {
    auto& of_kind = std::get<std::optional<Rows<R>>>(rows.of_kind);
    if (!of_kind) of_kind.emplace(db);
    return *of_kind;
  }

  Database& db;
  AllRows<Record> rows;
  Questions questions;
  Reader reader;
  bool entry_is_open = false;
  bool saved_in_entry = false;  ///< calls, states and the like were written while the entry was open
};

}  // namespace steelyard::store
