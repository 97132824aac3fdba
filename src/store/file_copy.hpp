#pragma once
/// A copy of a whole database file, taken at one moment and compared before it gets its name.

#include "steelyard/store/care.hpp"
#include "store/sqlite.hpp"

namespace steelyard::store {

/// See back_up_file. `from` must not be inside a transaction.
[[nodiscard]] Result<CopyReceipt> copy_database(SqliteDatabase& from, const std::string& to, bool overwrite);

/// Before an older file is brought forward, keeps it beside itself as FILE.before-VERSION, with the version that it
/// will have. A new file and one in memory need no copy.
[[nodiscard]] Result<void> keep_before_migration(SqliteDatabase& db);

}  // namespace steelyard::store
