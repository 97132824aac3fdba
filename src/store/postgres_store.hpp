#pragma once
/// Opens PostgreSQL stores with settings that only tests need to change.

#include "steelyard/store/store.hpp"
#include "store/database.hpp"

namespace steelyard::store {

/// A connection to a database, whatever it holds.
[[nodiscard]] Result<std::unique_ptr<Database>> connect_postgres(const std::string& url,
                                                                 std::chrono::milliseconds wait);
/// A connection to a database whose tables are of this program's version; they are made if there are none.
[[nodiscard]] Result<std::unique_ptr<Database>> open_postgres_database(const std::string& url,
                                                                       std::chrono::milliseconds wait);

}  // namespace steelyard::store
