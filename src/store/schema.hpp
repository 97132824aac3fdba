#pragma once
/// The tables of a store and how older stores become newer ones.

#include <functional>

#include "store/database.hpp"

namespace steelyard::store {

/// Version of the tables that this program writes.
inline constexpr int k_schema_version = 7;
/// The oldest version of a program that may go on working with these tables on a server: a migration that only adds
/// leaves it, so that programs of neighbouring versions can serve one store while they are replaced one by one.
/// Version 5 moves a column's contents: an older program beside it would write what was called where a reason belongs.
inline constexpr int k_least_version = 5;

/// The order in which the entries behind the rows of `touches` were finished. 0 stands where a program of version 5 wrote
/// into a file that a newer one had brought forward meanwhile; a number that is drawn is never less than the entry's.
inline constexpr const char* k_touch_order = "case when done > entry then done else entry end";

/// Looks at the store without changing it.
/// errors  bad_data (somebody else's database, or a newer store)
[[nodiscard]] Result<void> check_identity(Database& db);

/// Brings an empty or an older store to k_schema_version, in one transaction. Of an older one `keep` makes a copy before
/// anything is changed, while nobody else writes.
[[nodiscard]] Result<void> migrate(Database& db, const std::function<Result<void>()>& keep = {});

/// Puts the words of the database in the places {key}, {long} .. of statements that make tables.
[[nodiscard]] std::string in_words_of(const Dialect& dialect, const char* sql);

}  // namespace steelyard::store
