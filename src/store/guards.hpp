#pragma once
/// What a server has to enforce itself, since others than this program may talk to it.

#include "store/database.hpp"

namespace steelyard::store {

/// Makes the table of logins and the policies by which a role sees the rows of its own athlete only, and the check that
/// a touched athlete exists.
[[nodiscard]] Result<void> create_guards(Database& db);

}  // namespace steelyard::store
