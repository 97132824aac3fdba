#pragma once
/// A copy of a whole database file, taken at one moment and compared before it gets its name.

#include "steelyard/store/care.hpp"
#include "store/sqlite.hpp"

namespace steelyard::store {

/// See back_up_file. `from` must not be inside a transaction.
[[nodiscard]] Result<CopyReceipt> copy_database(SqliteDatabase& from, const std::string& to, bool overwrite);

}  // namespace steelyard::store
