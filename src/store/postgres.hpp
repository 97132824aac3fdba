#pragma once
/// The driver for PostgreSQL, by libpq. It is a module of its own that is loaded for a postgresql:// address only.

#include <memory>
#include <string>

#include "store/database.hpp"

namespace steelyard::store {

/// How the program asks the module for a connection; the module's only name is k_postgres_entry.
using OpenPostgres = void (*)(const std::string& url, std::chrono::milliseconds wait,
                              Result<std::unique_ptr<Database>>& opened);
inline constexpr const char* k_postgres_entry = "steelyard_open_postgres";

}  // namespace steelyard::store
