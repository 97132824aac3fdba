#pragma once
/// A connection with its prepared statements: what a store and its entries work with.

#include "store/reader.hpp"

namespace steelyard::store {

struct Connection {
  explicit Connection(Database& database) : db(database), questions(db), reader(db, questions) {}

  template <class R>
  [[nodiscard]] Rows<R>& rows_of() {
    return rows.of<R>(db);
  }

  Database& db;
  PerKind<Rows> rows;
  Questions questions;
  Reader reader;
  bool entry_is_open = false;
  bool saved_in_entry = false;  ///< calls, states and the like were written while the entry was open
};

}  // namespace steelyard::store
