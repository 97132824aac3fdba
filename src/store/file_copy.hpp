#pragma once
/// A copy of a whole database file, taken at one moment and compared before it gets its name.

#include <string_view>

#include "steelyard/store/care.hpp"
#include "store/sqlite.hpp"

namespace steelyard::store {

/// Stands between a copy's name and the number of the process while the copy is made.
inline constexpr std::string_view k_part = ".part-";

/// See back_up_file. `from` must not be inside a transaction.
[[nodiscard]] Result<CopyReceipt> copy_database(SqliteDatabase& from, const std::string& to, bool overwrite);

}  // namespace steelyard::store
