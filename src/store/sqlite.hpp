#pragma once
/// The driver for SQLite, by its C interface.
/// errors      busy (BUSY, LOCKED), io (READONLY, PERM, CANTOPEN, IOERR, FULL), bad_data (NOTADB, CORRUPT, CONSTRAINT),
///             failed (everything else); where = the file

#include "store/database.hpp"

struct sqlite3;

namespace steelyard::store {

/// Marks a file as ours ("SYAR").
inline constexpr int k_application_id = 0x53594152;

class SqliteDatabase final : public Database {
 public:
  SqliteDatabase() = default;
  ~SqliteDatabase() override;

  /// `file` may be ":memory:". A file must exist already. `wait` = how long a lock of another process is waited for.
  [[nodiscard]] Result<void> open(const std::string& file, std::chrono::milliseconds wait);
  /// FILE-wal, emptied if there is a journal_size_limit, and FILE-shm stay when the last connection closes: making and
  /// removing them took a third of the time of opening, reading a row and closing.
  void keep_log_files();
  /// errors  io (the file may only be read)
  [[nodiscard]] Result<void> expect_writable() const;

  [[nodiscard]] const Dialect& dialect() const override;
  [[nodiscard]] const std::string& where() const override { return file_; }
  [[nodiscard]] Result<void> run(const std::string& sql) override;
  [[nodiscard]] std::unique_ptr<Prepared> prepare(std::string sql) override;
  [[nodiscard]] std::unique_ptr<Prepared> prepare_walk(std::string sql) override { return prepare(std::move(sql)); }
  [[nodiscard]] std::unique_ptr<Prepared> prepare_bulk(const std::string& table, const std::string& columns) override;
  [[nodiscard]] std::int64_t changes() const override;

  [[nodiscard]] bool in_transaction() const override;
  [[nodiscard]] Result<void> begin_writing(bool) override { return run("begin immediate"); }
  [[nodiscard]] Result<void> begin_reading() override { return run("begin"); }
  [[nodiscard]] Result<void> commit() override { return run("commit"); }
  // A transaction that writes has the whole file.
  [[nodiscard]] Result<void> lock_athlete(std::string_view) override { return {}; }
  [[nodiscard]] Result<void> lock_everybody() override { return {}; }
  [[nodiscard]] Result<bool> try_to_lock_athlete(std::string_view) override { return true; }
  [[nodiscard]] Result<void> set_large_work(bool on) override;

  [[nodiscard]] Result<Format> format() override;
  [[nodiscard]] Result<void> set_format(int version, int least) override;
  [[nodiscard]] Result<void> create_space() override { return {}; }
  [[nodiscard]] Result<void> spread(const std::string&) override { return {}; }

  [[nodiscard]] Result<std::int64_t> version() override;
  [[nodiscard]] Result<void> give_space_back() override;
  [[nodiscard]] Result<std::int64_t> last_number(const std::string& table) override;
  [[nodiscard]] Result<void> set_last_number(const std::string& table, std::int64_t number) override;

  [[nodiscard]] Error error(int code) const;
  [[nodiscard]] sqlite3* handle() const { return handle_; }

 private:
  sqlite3* handle_ = nullptr;
  std::string file_;
};

}  // namespace steelyard::store
