#pragma once
/// Every table with its columns, for work on a whole store.

#include <string>
#include <vector>

namespace steelyard::store {

enum class CellType { integer, real, text, bytes };

struct TableColumn {
  std::string name;
  CellType type = CellType::text;
};

struct Table {
  std::string name;
  std::vector<TableColumn> columns;

  [[nodiscard]] std::string column_list() const;  ///< quoted
};

/// Those that belong to the contents of a store; not leases, marks of an open entry, logins and versions.
[[nodiscard]] std::vector<Table> contents_tables();

/// Tables whose numbers are never given again, and those whose numbers are merely counted.
inline constexpr const char* k_drawn_numbers[] = {"entries", "questions", "tokens"};
inline constexpr const char* k_counted_numbers[] = {"calls", "decisions", "accesses", "week_decisions"};

}  // namespace steelyard::store
