#pragma once
/// A connection with its prepared statements: what a store and its entries work with.

#include "store/reader.hpp"

namespace steelyard::store {

template <class Kinds>
struct AllRows;
template <class... Kinds>
struct AllRows<std::variant<Kinds...>> {
  explicit AllRows(Database& db) : of_kind(((void)sizeof(Kinds), db)...) {}
  std::tuple<Rows<Kinds>...> of_kind;
};

struct Connection {
  explicit Connection(Database& database) : db(database), rows(db), questions(db), reader(db, questions) {}

  template <class R>
  [[nodiscard]] Rows<R>& rows_of() {
    return std::get<Rows<R>>(rows.of_kind);
  }

  Database& db;
  AllRows<Record> rows;
  Questions questions;
  Reader reader;
  bool entry_is_open = false;
  bool saved_in_entry = false;  ///< calls, states and the like were written while the entry was open
};

}  // namespace steelyard::store
