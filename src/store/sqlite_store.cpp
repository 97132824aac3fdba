#include "store/sqlite_store.hpp"

#include <fcntl.h>
#include <fmt/core.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <filesystem>
#include <stdexcept>

#include "store/kept_copies.hpp"
#include "store/schema.hpp"
#include "store/sql_store.hpp"
#include "store/sqlite.hpp"

namespace steelyard::store {
namespace {

/// An older file stays beside itself as it was, unless nothing comes of bringing it forward: then it still is as it was,
/// and every further attempt would leave another copy.
Result<void> bring_forward(SqliteDatabase& db) {
  std::string kept;
  const auto migrated = migrate(db, [&]() -> Result<void> {
    STEELYARD_TRY_ASSIGN(kept, keep_before_migration(db.where()));
    return {};
  });
  std::error_code ignored;
  if (!migrated && !kept.empty()) std::filesystem::remove(kept, ignored);
  return migrated;
}

Result<std::unique_ptr<Database>> opened(const std::string& file, std::chrono::milliseconds wait) {
  auto db = std::make_unique<SqliteDatabase>();
  STEELYARD_TRY(db->open(file, wait));
  STEELYARD_TRY(db->expect_writable());
  STEELYARD_TRY(check_identity(*db));
  // WAL: readers go on while somebody writes. FULL: what was committed survives a power failure. A deleted row is
  // overwritten with zeros. The log file is cut back to 16 MB after a large entry.
  STEELYARD_TRY(
      db->run("pragma journal_mode = wal; pragma synchronous = full; pragma foreign_keys = on; "
              "pragma secure_delete = on; pragma journal_size_limit = 16777216"));
  db->keep_log_files();
  STEELYARD_TRY(bring_forward(*db));
  return db;
}

/// Makes the file, readable for its owner only, and its folders. An existing file is left alone: opening and closing it
/// here would drop the locks that this process holds on it (POSIX locks belong to the process).
Result<void> create_file(const std::filesystem::path& file) {
  std::error_code code;
  if (std::filesystem::exists(file, code)) return {};
  std::filesystem::create_directories(file.parent_path(), code);
  if (code) {
    return fail(Errc::io, fmt::format("the folder {} cannot be made: {}", file.parent_path().string(), code.message()),
                file.string());
  }
  const int descriptor = ::open(file.c_str(), O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
  if (descriptor < 0) {
    if (errno == EEXIST) return {};
    return fail(Errc::io, fmt::format("the store cannot be made: {}", std::strerror(errno)), file.string());
  }
  ::close(descriptor);
  return {};
}

}  // namespace

std::unique_ptr<Store> open_memory_store() {
  auto db = opened(":memory:", k_wait);
  // Only exhausted memory can be the reason, and the interface has no error for that.
  if (!db) throw std::runtime_error(db.error().text());
  return store_over(*std::move(db));
}

Result<std::unique_ptr<Database>> open_sqlite_database(const std::string& path, std::chrono::milliseconds wait) {
  if (path.empty()) return fail(Errc::usage, "the store needs a path");
  std::error_code code;
  // Absolute, so that no name has a meaning of its own for SQLite (":memory:").
  const auto file = std::filesystem::absolute(path, code);
  if (code) return fail(Errc::io, fmt::format("the path cannot be resolved: {}", code.message()), path);
  STEELYARD_TRY(create_file(file));
  return opened(file.string(), wait);
}

Result<std::unique_ptr<Store>> open_store_file(const std::string& path, std::chrono::milliseconds wait) {
  STEELYARD_TRY_ASSIGN(auto db, open_sqlite_database(path, wait));
  return store_over(std::move(db));
}

Result<std::unique_ptr<Store>> open_sqlite_store(const std::string& path) {
  return open_store_file(path, k_wait);
}

}  // namespace steelyard::store
