#pragma once
/// The tables of a store file and how older files become newer ones.

#include "store/sqlite.hpp"

namespace steelyard::store {

/// Marks the file as ours ("SYAR").
inline constexpr int k_application_id = 0x53594152;
/// Version of the tables that this program writes; kept in the file as user_version.
inline constexpr int k_schema_version = 2;

/// Looks at the file without changing it.
/// errors  bad_data (somebody else's database, or a newer store)
[[nodiscard]] Result<void> check_identity(Database& db);

/// Brings an empty or an older file to k_schema_version, in one transaction.
[[nodiscard]] Result<void> migrate(Database& db);

}  // namespace steelyard::store
