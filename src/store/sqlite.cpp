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
      return {Errc::bad_data, "the store is damaged; put a backup in its place"};
    case SQLITE_CONSTRAINT:
      if (code == SQLITE_CONSTRAINT_FOREIGNKEY) {
        return {Errc::bad_data, "a row names an athlete who is not in the store; add the athlete first"};
      }
      return {Errc::bad_data, "a row does not fit the store"};
    default:
      return {Errc::failed, "the store could not do this"};
  }
}

}  // namespace

Database::~Database() {
  sqlite3_close_v2(handle_);
}

Result<void> Database::open(const std::string& file, std::chrono::milliseconds wait) {
  file_ = file;
  // One connection belongs to one thread (see store.hpp), so SQLite need not lock it.
  const int code = sqlite3_open_v2(file.c_str(), &handle_, SQLITE_OPEN_READWRITE | SQLITE_OPEN_NOMUTEX, nullptr);
  if (code != SQLITE_OK) return tl::make_unexpected(error(code));
  sqlite3_extended_result_codes(handle_, 1);
  sqlite3_busy_timeout(handle_, static_cast<int>(wait.count()));
  return {};
}

Result<void> Database::run(const std::string& sql) {
  const int code = sqlite3_exec(handle_, sql.c_str(), nullptr, nullptr, nullptr);
  if (code != SQLITE_OK) return tl::make_unexpected(error(code));
  return {};
}

Result<std::int64_t> Database::number(const std::string& sql) {
  Statement statement(*this, sql);
  STEELYARD_TRY_ASSIGN(const bool row, statement.step());
  return row ? statement.integer(0) : 0;
}

bool Database::in_transaction() const {
  return sqlite3_get_autocommit(handle_) == 0;
}
std::int64_t Database::last_id() const {
  return sqlite3_last_insert_rowid(handle_);
}
std::int64_t Database::changes() const {
  return sqlite3_changes64(handle_);
}

Error Database::error(int code) const {
  const Meaning meaning = meaning_of(code);
  const char* detail = handle_ == nullptr ? sqlite3_errstr(code) : sqlite3_errmsg(handle_);
  return {meaning.code, fmt::format("{} ({})", meaning.sentence, detail), file_ == ":memory:" ? "" : file_};
}

Statement::~Statement() {
  sqlite3_finalize(handle_);
}

bool Statement::prepare() {
  if (code_ != SQLITE_OK) return false;
  if (handle_ != nullptr) return true;
  code_ = sqlite3_prepare_v3(db_->handle(), sql_.data(), static_cast<int>(sql_.size()), SQLITE_PREPARE_PERSISTENT,
                             &handle_, nullptr);
  return code_ == SQLITE_OK;
}

Statement& Statement::bind(int index, std::string_view text) {
  // An empty view may have no address, which SQLite would take for NULL.
  const char* bytes = text.data() == nullptr ? "" : text.data();
  if (prepare()) code_ = sqlite3_bind_text64(handle_, index, bytes, text.size(), SQLITE_STATIC, SQLITE_UTF8);
  return *this;
}

Statement& Statement::bind(int index, double value) {
  if (prepare()) code_ = sqlite3_bind_double(handle_, index, value);
  return *this;
}

Statement& Statement::bind(int index, int value) {
  if (prepare()) code_ = sqlite3_bind_int(handle_, index, value);
  return *this;
}

Statement& Statement::bind(int index, std::int64_t value) {
  if (prepare()) code_ = sqlite3_bind_int64(handle_, index, value);
  return *this;
}

Statement& Statement::bind(int index, std::nullptr_t) {
  if (prepare()) code_ = sqlite3_bind_null(handle_, index);
  return *this;
}

Statement& Statement::bind_copy(int index, std::string_view text) {
  const char* bytes = text.data() == nullptr ? "" : text.data();
  // -1 is SQLITE_TRANSIENT, whose macro is an old-style cast.
  const auto copy = reinterpret_cast<sqlite3_destructor_type>(static_cast<std::intptr_t>(-1));
  if (prepare()) code_ = sqlite3_bind_text64(handle_, index, bytes, text.size(), copy, SQLITE_UTF8);
  return *this;
}

Statement& Statement::bind_bytes(int index, std::string_view bytes) {
  const char* data = bytes.data() == nullptr ? "" : bytes.data();
  if (prepare()) code_ = sqlite3_bind_blob64(handle_, index, data, bytes.size(), SQLITE_STATIC);
  return *this;
}

Result<bool> Statement::step() {
  int code = prepare() ? sqlite3_step(handle_) : code_;
  if (code == SQLITE_ROW) return true;
  const bool done = code == SQLITE_DONE;
  Error failure = done ? Error{} : db_->error(code);
  reset();
  if (done) return false;
  return tl::make_unexpected(std::move(failure));
}

Result<void> Statement::run() {
  for (;;) {
    STEELYARD_TRY_ASSIGN(const bool row, step());
    if (!row) return {};
  }
}

Result<bool> Statement::exists() {
  auto row = step();
  reset();
  return row;
}

void Statement::reset() {
  code_ = SQLITE_OK;
  sqlite3_reset(handle_);
}

bool Statement::is_null(int column) const {
  return sqlite3_column_type(handle_, column) == SQLITE_NULL;
}
std::int64_t Statement::integer(int column) const {
  return sqlite3_column_int64(handle_, column);
}
double Statement::real(int column) const {
  return sqlite3_column_double(handle_, column);
}

std::string_view Statement::text(int column) const {
  const void* bytes = sqlite3_column_blob(handle_, column);
  if (bytes == nullptr) return {};
  return {static_cast<const char*>(bytes), static_cast<std::size_t>(sqlite3_column_bytes(handle_, column))};
}

Transaction::~Transaction() {
  if (!open_ || !db_.in_transaction()) return;
  // Nothing can be done about a failure here: SQLite then takes the work back when the connection closes.
  static_cast<void>(db_.run(nested_ ? "rollback to work; release work" : "rollback"));
}

Result<void> Transaction::begin() {
  nested_ = db_.in_transaction();
  STEELYARD_TRY(db_.run(nested_ ? "savepoint work" : "begin immediate"));
  open_ = true;
  return {};
}

Result<void> Transaction::commit() {
  STEELYARD_TRY(db_.run(nested_ ? "release work" : "commit"));
  open_ = false;
  return {};
}

Snapshot::~Snapshot() {
  if (open_ && db_.in_transaction()) static_cast<void>(db_.run("rollback"));
}

Result<void> Snapshot::begin() {
  if (db_.in_transaction()) return {};
  STEELYARD_TRY(db_.run("begin"));
  open_ = true;
  return {};
}

}  // namespace steelyard::store
