#pragma once
/// The store over an open connection whose tables are of this program's version.

#include "steelyard/store/store.hpp"
#include "store/database.hpp"

namespace steelyard::store {

[[nodiscard]] std::unique_ptr<Store> store_over(std::unique_ptr<Database> db);

}  // namespace steelyard::store
