#include "store/kept_copies.hpp"

#include <fmt/core.h>

#include <filesystem>

#include "store/file_copy.hpp"
#include "store/schema.hpp"
#include "store/sqlite_store.hpp"

namespace steelyard::store {
namespace {

namespace fs = std::filesystem;

constexpr std::string_view k_before = ".before-";

/// A link that leads nowhere takes a name, too.
bool is_there(const std::string& path) {
  std::error_code code;
  return fs::exists(fs::symlink_status(path, code));
}

}  // namespace

Result<std::string> keep_before_migration(const std::string& file) {
  const std::string first = fmt::format("{}{}{}", file, k_before, k_schema_version);
  std::string name = first;
  // SQLite would read a log that lies under the copy's name into the copy.
  for (int i = 2; is_there(name) || is_there(name + "-wal"); ++i) name = fmt::format("{}-{}", first, i);
  SqliteDatabase db;  // a connection that writes cannot be copied from; this one sees what it has not changed yet
  STEELYARD_TRY(db.open(file, k_wait));
  STEELYARD_TRY(copy_database(db, name, false));
  return name;
}

}  // namespace steelyard::store
