#pragma once
/// The few parts of SQLite's C interface that the store needs: a connection, statements, and errors in our own codes.
/// definition  A statement is prepared when it is first used. Whatever goes wrong while preparing or binding is
///             reported by the next step(), so that calls can be chained.
/// errors      busy (BUSY, LOCKED), io (READONLY, PERM, CANTOPEN, IOERR, FULL), bad_data (NOTADB, CORRUPT, CONSTRAINT),
///             failed (everything else); where = the file

#include <chrono>
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

#include "steelyard/base/result.hpp"

struct sqlite3;
struct sqlite3_stmt;

namespace steelyard::store {

/// One connection. Statements point to it, so it stays where it is.
class Database {
 public:
  Database() = default;
  Database(const Database&) = delete;
  Database& operator=(const Database&) = delete;
  ~Database();

  /// `file` may be ":memory:". A file must exist already. `wait` = how long a lock of another process is waited for.
  [[nodiscard]] Result<void> open(const std::string& file, std::chrono::milliseconds wait);
  /// Runs statements that give no rows.
  [[nodiscard]] Result<void> run(const std::string& sql);
  /// The first column of the first row as a number, 0 without a row.
  [[nodiscard]] Result<std::int64_t> number(const std::string& sql);

  [[nodiscard]] bool in_transaction() const;
  [[nodiscard]] std::int64_t last_id() const;
  [[nodiscard]] std::int64_t changes() const;  ///< rows written by the last finished statement
  [[nodiscard]] Error error(int code) const;
  [[nodiscard]] sqlite3* handle() const { return handle_; }
  [[nodiscard]] const std::string& file() const { return file_; }

 private:
  sqlite3* handle_ = nullptr;
  std::string file_;
};

class Statement {
 public:
  Statement(Database& db, std::string sql) : db_(&db), sql_(std::move(sql)) {}
  Statement(const Statement&) = delete;
  Statement& operator=(const Statement&) = delete;
  ~Statement();

  /// Text is not copied: it must stay in place until the statement has been stepped.
  Statement& bind(int index, std::string_view text);
  Statement& bind(int index, double value);
  Statement& bind(int index, int value);
  Statement& bind(int index, std::int64_t value);
  Statement& bind(int index, std::nullptr_t);
  Statement& bind_copy(int index, std::string_view text);
  Statement& bind_bytes(int index, std::string_view bytes);  ///< not copied either

  /// Binds values 1, 2 ..
  template <class... Values>
  Statement& with(const Values&... values) {
    int index = 0;
    (bind(++index, values), ...);
    return *this;
  }

  /// true = there is a row; at the end, or after an error, the statement is ready for new values.
  [[nodiscard]] Result<bool> step();
  /// Steps to the end.
  [[nodiscard]] Result<void> run();
  /// One step, then ready for new values: for statements of one row whose columns are not wanted.
  [[nodiscard]] Result<bool> exists();
  void reset();

  [[nodiscard]] bool is_null(int column) const;
  [[nodiscard]] std::int64_t integer(int column) const;
  [[nodiscard]] double real(int column) const;
  [[nodiscard]] std::string_view text(int column) const;  ///< also bytes; valid until the next step

 private:
  bool prepare();

  Database* db_;
  std::string sql_;
  sqlite3_stmt* handle_ = nullptr;
  int code_ = 0;  ///< first thing that went wrong since the last step
};

/// Calls visit() for each row; it answers Result<void>. The statement is ready for new values afterwards.
template <class Visit>
[[nodiscard]] Result<void> each(Statement& statement, Visit&& visit) {
  for (;;) {
    STEELYARD_TRY_ASSIGN(const bool row, statement.step());
    if (!row) return {};
    Result<void> visited = visit();
    if (!visited) {
      statement.reset();
      return visited;
    }
  }
}

/// A write of several statements that is there whole or not at all; inside an open entry it becomes a part of it.
class Transaction {
 public:
  explicit Transaction(Database& db) : db_(db) {}
  Transaction(const Transaction&) = delete;
  Transaction& operator=(const Transaction&) = delete;
  ~Transaction();  ///< takes everything back unless commit() succeeded

  [[nodiscard]] Result<void> begin();
  [[nodiscard]] Result<void> commit();

 private:
  Database& db_;
  bool open_ = false;
  bool nested_ = false;
};

/// Several reads that see the same state although other processes write.
class Snapshot {
 public:
  explicit Snapshot(Database& db) : db_(db) {}
  Snapshot(const Snapshot&) = delete;
  Snapshot& operator=(const Snapshot&) = delete;
  ~Snapshot();

  [[nodiscard]] Result<void> begin();

 private:
  Database& db_;
  bool open_ = false;
};

}  // namespace steelyard::store
