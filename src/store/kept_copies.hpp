#pragma once
/// The copies of a store's file that the program makes by itself, before it brings the file forward: FILE.before-VERSION
/// with the version that the file gets, FILE.before-VERSION-2 and so on if that name is taken. See also copies_with.

#include <string>

#include "steelyard/base/result.hpp"

namespace steelyard::store {

/// Makes one, under a name that is free. The caller keeps others from writing.
/// returns  its name    errors  those of copy_database
[[nodiscard]] Result<std::string> keep_before_migration(const std::string& file);

}  // namespace steelyard::store
