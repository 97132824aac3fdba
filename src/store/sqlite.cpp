#include "store/sqlite.hpp"

#include <fmt/core.h>
#include <sqlite3.h>

namespace steelyard::store {
namespace {

struct Meaning {
  Errc code;
  std::string_view sentence;  ///< with the remedy
};

Meaning meaning_of(int code) {
  switch (code & 0xFF) {
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      return {Errc::busy, "another process is writing to the store; try again in a moment"};
    case SQLITE_READONLY:
    case SQLITE_PERM:
      return {Errc::io, "the store cannot be written; give the program write permission for the file and its folder"};
    case SQLITE_CANTOPEN:
      return {Errc::io, "the store cannot be opened; check the path and the permissions of its folder"};
    case SQLITE_FULL:
      return {Errc::io, "the disk is full; nothing was stored"};
    case SQLITE_IOERR:
      return {Errc::io, "the disk reports an error; nothing was stored"};
    case SQLITE_NOTADB:
      return {Errc::bad_data, "the file is not a steelyard store; name another file with --data"};
    case SQLITE_CORRUPT:
      return {Errc::bad_data,
              "the store is damaged; put a backup in its place, and remove FILE-wal and FILE-shm beside it"};
    case SQLITE_CONSTRAINT:
      if (code == SQLITE_CONSTRAINT_FOREIGNKEY) {
        return {Errc::bad_data, "a row names an athlete who is not in the store; add the athlete first"};
      }
      return {Errc::bad_data, "a row does not fit the store"};
    default:
      return {Errc::failed, "the store could not do this"};
  }
}

constexpr Dialect k_dialect{
    .integer = "integer",
    .long_integer = "integer",
    .real = "real",
    .text = "text",
    .bytes = "blob",
    .number_key = "integer primary key autoincrement",
    .counted_key = "integer primary key",
    .end = " strict",
    .keyed_end = " strict, without rowid",
    .spread_end = " strict, without rowid",
    .entry_order = "id",
};

class SqliteStatement final : public Prepared {
 public:
  SqliteStatement(SqliteDatabase& db, std::string sql) : db_(&db), sql_(std::move(sql)) {}
  SqliteStatement(const SqliteStatement&) = delete;
  SqliteStatement& operator=(const SqliteStatement&) = delete;
  ~SqliteStatement() override { sqlite3_finalize(handle_); }

  void bind_text(int index, std::string_view text, bool copy) override {
    // An empty view may have no address, which SQLite would take for NULL.
    const char* bytes = text.data() == nullptr ? "" : text.data();
    // -1 is SQLITE_TRANSIENT, whose macro is an old-style cast. NOLINTNEXTLINE(performance-no-int-to-ptr)
    const auto keep = copy ? reinterpret_cast<sqlite3_destructor_type>(static_cast<std::intptr_t>(-1)) : SQLITE_STATIC;
    if (ready()) code_ = sqlite3_bind_text64(handle_, index, bytes, text.size(), keep, SQLITE_UTF8);
  }
  void bind_bytes(int index, std::string_view bytes) override {
    const char* data = bytes.data() == nullptr ? "" : bytes.data();
    if (ready()) code_ = sqlite3_bind_blob64(handle_, index, data, bytes.size(), SQLITE_STATIC);
  }
  void bind_real(int index, double value) override {
    if (ready()) code_ = sqlite3_bind_double(handle_, index, value);
  }
  void bind_int(int index, int value) override {
    if (ready()) code_ = sqlite3_bind_int(handle_, index, value);
  }
  void bind_long(int index, std::int64_t value) override {
    if (ready()) code_ = sqlite3_bind_int64(handle_, index, value);
  }
  void bind_null(int index) override {
    if (ready()) code_ = sqlite3_bind_null(handle_, index);
  }

  [[nodiscard]] Result<bool> step() override {
    const int code = ready() ? sqlite3_step(handle_) : code_;
    if (code == SQLITE_ROW) return true;
    const bool done = code == SQLITE_DONE;
    Error failure = done ? Error{} : db_->error(code);
    reset();
    if (done) return false;
    return tl::make_unexpected(std::move(failure));
  }
  void reset() override {
    code_ = SQLITE_OK;
    sqlite3_reset(handle_);
  }

  [[nodiscard]] bool is_null(int column) const override { return sqlite3_column_type(handle_, column) == SQLITE_NULL; }
  [[nodiscard]] std::int64_t integer(int column) const override { return sqlite3_column_int64(handle_, column); }
  [[nodiscard]] double real(int column) const override { return sqlite3_column_double(handle_, column); }
  [[nodiscard]] std::string_view text(int column) const override {
    const void* bytes = sqlite3_column_blob(handle_, column);
    if (bytes == nullptr) return {};
    return {static_cast<const char*>(bytes), static_cast<std::size_t>(sqlite3_column_bytes(handle_, column))};
  }

 private:
  bool ready() {
    if (code_ != SQLITE_OK) return false;
    if (handle_ != nullptr) return true;
    code_ = sqlite3_prepare_v3(db_->handle(), sql_.data(), static_cast<int>(sql_.size()), SQLITE_PREPARE_PERSISTENT,
                               &handle_, nullptr);
    return code_ == SQLITE_OK;
  }

  SqliteDatabase* db_;
  std::string sql_;
  sqlite3_stmt* handle_ = nullptr;
  int code_ = SQLITE_OK;  ///< first thing that went wrong since the last step
};

}  // namespace

SqliteDatabase::~SqliteDatabase() {
  sqlite3_close_v2(handle_);
}

Result<void> SqliteDatabase::open(const std::string& file, std::chrono::milliseconds wait) {
  file_ = file;
  // One connection belongs to one thread (see store.hpp), so SQLite need not lock it.
  const int code = sqlite3_open_v2(file.c_str(), &handle_, SQLITE_OPEN_READWRITE | SQLITE_OPEN_NOMUTEX, nullptr);
  if (code != SQLITE_OK) return tl::make_unexpected(error(code));
  sqlite3_extended_result_codes(handle_, 1);
  sqlite3_busy_timeout(handle_, static_cast<int>(wait.count()));
  return {};
}

void SqliteDatabase::keep_log_files() {
  int keep = 1;
  sqlite3_file_control(handle_, "main", SQLITE_FCNTL_PERSIST_WAL, &keep);
}

Result<void> SqliteDatabase::expect_writable() const {
  if (sqlite3_db_readonly(handle_, "main") != 1) return {};
  return fail(Errc::io, std::string(meaning_of(SQLITE_READONLY).sentence), file_);
}

const Dialect& SqliteDatabase::dialect() const {
  return k_dialect;
}

Result<void> SqliteDatabase::run(const std::string& sql) {
  const int code = sqlite3_exec(handle_, sql.c_str(), nullptr, nullptr, nullptr);
  if (code != SQLITE_OK) return tl::make_unexpected(error(code));
  return {};
}

std::unique_ptr<Prepared> SqliteDatabase::prepare(std::string sql) {
  return std::make_unique<SqliteStatement>(*this, std::move(sql));
}

std::unique_ptr<Prepared> SqliteDatabase::prepare_bulk(const std::string& table, const std::string& columns) {
  std::string marks = "?1";
  int count = 1;
  for (const char c : columns) {
    if (c == ',') marks += fmt::format(", ?{}", ++count);
  }
  return prepare(fmt::format("insert into {} ({}) values ({})", table, columns, marks));
}

bool SqliteDatabase::in_transaction() const {
  return sqlite3_get_autocommit(handle_) == 0;
}
std::int64_t SqliteDatabase::changes() const {
  return sqlite3_changes64(handle_);
}

/// 64 MB of page cache: rows that arrive day by day over many athletes touch pages all over the tables (1.5 s instead
/// of 5.8 s for a million rows).
Result<void> SqliteDatabase::set_large_work(bool on) {
  return run(on ? "pragma cache_size = -65536" : "pragma cache_size = -2000");
}

Result<Format> SqliteDatabase::format() {
  STEELYARD_TRY_ASSIGN(const auto tables, number("select count(*) from sqlite_schema"));
  STEELYARD_TRY_ASSIGN(const auto application, number("pragma application_id"));
  STEELYARD_TRY_ASSIGN(const auto version, number("pragma user_version"));
  // A file has one version only: whoever shares it runs on the same machine.
  return Format{.is_ours = application == k_application_id && version > 0,
                .is_empty = tables == 0 && application == 0 && version == 0,
                .version = static_cast<int>(version),
                .least = static_cast<int>(version)};
}

Result<void> SqliteDatabase::set_format(int version, int) {
  return run(fmt::format("pragma application_id = {}; pragma user_version = {}", k_application_id, version));
}

Result<std::int64_t> SqliteDatabase::version() {
  return number("pragma data_version");
}

/// Only these two take the old pages out of the file and out of the log beside it.
Result<void> SqliteDatabase::give_space_back() {
  STEELYARD_TRY(run("vacuum"));
  STEELYARD_TRY_ASSIGN(const auto blocked, number("pragma wal_checkpoint(truncate)"));
  if (blocked != 0) return fail(Errc::busy, "", file_);
  return {};
}

Result<std::int64_t> SqliteDatabase::last_number(const std::string& table) {
  return number(fmt::format("select seq from sqlite_sequence where name = '{}'", table));
}

Result<void> SqliteDatabase::set_last_number(const std::string& table, std::int64_t number) {
  return run(
      fmt::format("delete from sqlite_sequence where name = '{0}'; insert into sqlite_sequence values ('{0}', {1})",
                  table, number));
}

Error SqliteDatabase::error(int code) const {
  const Meaning meaning = meaning_of(code);
  const char* detail = handle_ == nullptr ? sqlite3_errstr(code) : sqlite3_errmsg(handle_);
  return {meaning.code, fmt::format("{} ({})", meaning.sentence, detail), file_ == ":memory:" ? "" : file_};
}

}  // namespace steelyard::store
