#include "store/file_copy.hpp"

#include <fcntl.h>
#include <fmt/core.h>
#include <sqlite3.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>

#include "steelyard/base/text.hpp"
#include "store/schema.hpp"
#include "store/sqlite_store.hpp"

namespace steelyard::store {
namespace {

namespace fs = std::filesystem;

tl::unexpected<Error> io_error(std::string_view doing, const std::string& path) {
  return fail(Errc::io, fmt::format("{}: {}", doing, std::strerror(errno)), path);
}

/// Flushes a file, or the names in a folder, to the disk.
Result<void> flush(const std::string& path, int flags) {
  const int fd = ::open(path.c_str(), flags | O_CLOEXEC);
  if (fd < 0) return io_error("cannot be flushed to the disk", path);
  const bool flushed = ::fsync(fd) == 0;
  ::close(fd);
  if (!flushed) return io_error("cannot be flushed to the disk", path);
  return {};
}

/// The file that becomes the copy; removed unless it got its name.
class Beside {
 public:
  explicit Beside(const std::string& to) : path_(fmt::format("{}{}{}", to, k_part, ::getpid())) {}
  Beside(const Beside&) = delete;
  Beside& operator=(const Beside&) = delete;
  ~Beside() {
    if (named_) return;
    // On a full disk SQLite cannot take its journal away.
    for (const char* end : {"", "-journal", "-wal", "-shm"}) ::unlink((path_ + end).c_str());
  }

  [[nodiscard]] Result<void> create() {
    ::unlink(path_.c_str());
    const int fd = ::open(path_.c_str(), O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
    if (fd < 0) return io_error("the copy cannot be made", path_);
    ::close(fd);
    return {};
  }
  [[nodiscard]] Result<void> name_it(const std::string& to, bool overwrite) {
    STEELYARD_TRY(flush(path_, O_RDWR));
    int failed = ::renameat2(AT_FDCWD, path_.c_str(), AT_FDCWD, to.c_str(), overwrite ? 0 : RENAME_NOREPLACE);
    std::error_code ignored;
    // A file system that cannot promise it (EINVAL) gets the check that leaves a gap.
    if (failed != 0 && errno == EINVAL && !fs::exists(to, ignored)) failed = ::rename(path_.c_str(), to.c_str());
    if (failed != 0) return io_error("the copy cannot be given its name", to);
    named_ = true;
    const auto folder = fs::path(to).parent_path().string();
    return flush(folder.empty() ? "." : folder, O_RDONLY | O_DIRECTORY);
  }
  [[nodiscard]] const std::string& path() const { return path_; }

 private:
  std::string path_;
  bool named_ = false;
};

struct Whole {
  std::string digest;
  std::int64_t rows = 0;
};

Result<Whole> digest_of_everything(SqliteDatabase& db) {
  std::vector<std::string> tables;
  Statement names(db, "select name from sqlite_schema where type = 'table' order by name");
  STEELYARD_TRY(each(names, [&]() -> Result<void> {
    tables.emplace_back(names.text(0));
    return {};
  }));
  Whole whole;
  for (const std::string& table : tables) {
    STEELYARD_TRY_ASSIGN(const auto columns,
                         db.number(fmt::format("select count(*) from pragma_table_info('{}')", table)));
    std::string row = table;
    Statement select(db, fmt::format("select * from \"{}\"", table));
    STEELYARD_TRY(each(select, [&]() -> Result<void> {
      for (int i = 0; i < static_cast<int>(columns); ++i) {
        const auto cell = select.text(i);
        row += select.is_null(i) ? std::string("-") : fmt::format("{}:", cell.size());
        row += cell;
      }
      whole.digest = digest(whole.digest + row);
      row.clear();
      ++whole.rows;
      return {};
    }));
  }
  return whole;
}

Result<void> copy_pages(SqliteDatabase& from, SqliteDatabase& to) {
  sqlite3_backup* const backup = sqlite3_backup_init(to.handle(), "main", from.handle(), "main");
  if (backup == nullptr) return tl::make_unexpected(to.error(sqlite3_errcode(to.handle())));
  // In one go: the reading transaction of `from` fixes the moment, and in WAL mode it keeps no writer waiting.
  const int stepped = sqlite3_backup_step(backup, -1);
  const int finished = sqlite3_backup_finish(backup);
  if (stepped != SQLITE_DONE) return tl::make_unexpected(to.error(stepped));
  if (finished != SQLITE_OK) return tl::make_unexpected(to.error(finished));
  return {};
}

Result<void> expect_equal(SqliteDatabase& copy, const Whole& original) {
  Statement check(copy, "pragma integrity_check(1)");
  STEELYARD_TRY_ASSIGN(const bool answered, check.step());
  const std::string said = answered ? std::string(check.text(0)) : "no answer";
  check.reset();
  if (said != "ok") return fail(Errc::failed, fmt::format("the copy is damaged: {}", said), copy.where());
  STEELYARD_TRY_ASSIGN(const Whole whole, digest_of_everything(copy));
  if (whole.rows != original.rows || whole.digest != original.digest) {
    return fail(Errc::failed, "the copy does not hold what the store holds", copy.where());
  }
  return {};
}

/// SQLite would read a log that lies under the copy's name into the copy. Only somebody who is alone with a file can
/// make it one without a log.    errors  not_allowed (it is in use, or there is only the log)
Result<void> remove_log_of(const std::string& file) {
  std::error_code code;
  if (!fs::exists(file + "-wal", code)) return {};
  if (!fs::exists(file, code)) {
    return fail(Errc::not_allowed, "the log of a store that is gone lies here; remove it, or take another name",
                file + "-wal");
  }
  SqliteDatabase db;
  STEELYARD_TRY(db.open(file, std::chrono::milliseconds{0}));
  Statement alone(db, "pragma journal_mode = delete");
  const auto answered = alone.step();
  if (answered && *answered && alone.text(0) == "delete") return {};
  return fail(Errc::not_allowed, "a store of that name is in use; take another name, or end what uses it", file);
}

}  // namespace

Result<CopyReceipt> copy_database(SqliteDatabase& from, const std::string& to, bool overwrite) {
  std::error_code code;
  if (!overwrite && fs::exists(to, code)) {
    return fail(Errc::not_allowed, "there is a file of that name already; --overwrite replaces it", to);
  }
  if (fs::equivalent(to, from.where(), code)) return fail(Errc::not_allowed, "this is the store itself", to);
  STEELYARD_TRY(remove_log_of(to));
  Beside beside(to);
  STEELYARD_TRY(beside.create());
  Snapshot snapshot(from);
  STEELYARD_TRY(snapshot.begin());
  STEELYARD_TRY_ASSIGN(const Whole original, digest_of_everything(from));
  CopyReceipt receipt{.digest = original.digest, .rows = original.rows};
  {
    SqliteDatabase copy;
    STEELYARD_TRY(copy.open(beside.path(), k_wait));
    STEELYARD_TRY(copy_pages(from, copy));
    STEELYARD_TRY(copy.run("pragma journal_mode = delete"));  // one file, without a log beside it
  }
  {
    SqliteDatabase copy;
    STEELYARD_TRY(copy.open(beside.path(), k_wait));
    STEELYARD_TRY(expect_equal(copy, original));
    STEELYARD_TRY_ASSIGN(receipt.athletes, copy.number("select count(*) from athletes"));
    STEELYARD_TRY_ASSIGN(const auto pages, copy.number("pragma page_count"));
    STEELYARD_TRY_ASSIGN(const auto page, copy.number("pragma page_size"));
    receipt.bytes = pages * page;
  }
  STEELYARD_TRY(beside.name_it(to, overwrite));
  return receipt;
}

Result<CopyReceipt> back_up_file(const std::string& file, const std::string& to, bool overwrite) {
  std::error_code code;
  if (!fs::exists(file, code)) return fail(Errc::no_input, "there is no store here", file);
  SqliteDatabase db;
  STEELYARD_TRY(db.open(fs::absolute(file).string(), k_wait));
  STEELYARD_TRY(check_identity(db));
  STEELYARD_TRY_ASSIGN(const auto version, db.number("pragma user_version"));
  if (version == 0) return fail(Errc::no_input, "the store is empty", file);
  return copy_database(db, to, overwrite);
}

int schema_version() {
  return k_schema_version;
}

}  // namespace steelyard::store
