#pragma once
/// Opens stores with settings that only tests need to change.

#include <chrono>

#include "steelyard/store/store.hpp"

namespace steelyard::store {

/// How long a write of another process is waited for before the answer is "busy".
inline constexpr std::chrono::milliseconds k_wait{5000};

[[nodiscard]] Result<std::unique_ptr<Store>> open_store_file(const std::string& path, std::chrono::milliseconds wait);

}  // namespace steelyard::store
