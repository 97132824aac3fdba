#pragma once
/// Opens stores with settings that only tests need to change.

#include <chrono>

#include "steelyard/store/store.hpp"
#include "store/database.hpp"

namespace steelyard::store {

/// How long a write of another process is waited for before the answer is "busy".
inline constexpr std::chrono::milliseconds k_wait{5000};

/// A connection to a file whose tables are of this program's version; both are made if there are none.
[[nodiscard]] Result<std::unique_ptr<Database>> open_sqlite_database(const std::string& path,
                                                                     std::chrono::milliseconds wait);
[[nodiscard]] Result<std::unique_ptr<Store>> open_store_file(const std::string& path, std::chrono::milliseconds wait);

}  // namespace steelyard::store
