#pragma once
/// Work on whole entries and whole athletes: history, undo, erasing, the digest of the contents.

#include "steelyard/store/store.hpp"
#include "store/connection.hpp"

namespace steelyard::store {

/// Ascending by entry, then in the order in which the entry changed the rows.
[[nodiscard]] Result<std::vector<HistoryRow>> history_of(Database& db, std::string_view athlete);
[[nodiscard]] Result<std::optional<UndoneEntry>> undo_last_entry(Connection& connection,
                                                                 const std::optional<std::string>& only_of);
[[nodiscard]] Result<void> erase_athlete(Connection& connection, std::string_view athlete);
[[nodiscard]] Result<std::string> digest_of_contents(Database& db);

}  // namespace steelyard::store
