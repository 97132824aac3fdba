#pragma once
/// What the store needs of a database of rows: a connection, statements, transactions. A driver implements Database and
/// Prepared; everything else in this room is written once, in the SQL that SQLite and PostgreSQL share.
/// definition  A statement is prepared when it is first used. Whatever goes wrong while preparing or binding is
///             reported by the next step(), so that calls can be chained. Values are written ?1, ?2 ..
/// errors      busy, io, bad_data, unavailable, not_allowed, failed (everything else); where = the store

#include <chrono>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <string>
#include <string_view>

#include "steelyard/base/day.hpp"
#include "steelyard/base/result.hpp"
#include "steelyard/base/zone.hpp"

namespace steelyard::store {

/// A statement as a driver runs it; see Statement for what the functions mean.
class Prepared {
 public:
  virtual ~Prepared() = default;
  virtual void bind_text(int index, std::string_view text, bool copy) = 0;
  virtual void bind_bytes(int index, std::string_view bytes) = 0;
  virtual void bind_real(int index, double value) = 0;
  virtual void bind_int(int index, int value) = 0;
  virtual void bind_long(int index, std::int64_t value) = 0;
  virtual void bind_null(int index) = 0;
  [[nodiscard]] virtual Result<bool> step() = 0;
  virtual void reset() = 0;
  [[nodiscard]] virtual bool is_null(int column) const = 0;
  [[nodiscard]] virtual std::int64_t integer(int column) const = 0;
  [[nodiscard]] virtual double real(int column) const = 0;
  [[nodiscard]] virtual std::string_view text(int column) const = 0;
};

/// Where the two databases differ when tables are made or numbers are drawn.
struct Dialect {
  std::string_view integer;       ///< a day, a count
  std::string_view long_integer;  ///< a number of a row, a moment
  std::string_view real;
  std::string_view text;  ///< compared byte by byte
  std::string_view bytes;
  std::string_view number_key;   ///< a key that is drawn and never given again
  std::string_view counted_key;  ///< a key that is drawn
  std::string_view end;          ///< behind the columns of a table
  std::string_view keyed_end;    ///< the same for a table that is mostly read by its primary key
  std::string_view spread_end;   ///< the same for a large table whose key begins with the athlete
  std::string_view entry_order;  ///< the next number in the order in which entries are finished
  bool is_server = false;        ///< several writers, roles
};

/// Which tables a database holds.
struct Format {
  bool is_ours = false;
  bool is_empty = false;  ///< nothing is there yet, of anybody
  int version = 0;
  int least = 0;  ///< the oldest version of a program that may work with these tables
};

/// One connection. Statements point to it, so it stays where it is.
class Database {
 public:
  Database() = default;
  Database(const Database&) = delete;
  Database& operator=(const Database&) = delete;
  virtual ~Database() = default;

  [[nodiscard]] virtual const Dialect& dialect() const = 0;
  /// The file, or the server and database; without secrets.
  [[nodiscard]] virtual const std::string& where() const = 0;

  /// Runs statements that give no rows.
  [[nodiscard]] virtual Result<void> run(const std::string& sql) = 0;
  [[nodiscard]] virtual std::unique_ptr<Prepared> prepare(std::string sql) = 0;
  /// The same for a walk through a whole table: its rows are not held in memory. Nothing else may be asked meanwhile.
  [[nodiscard]] virtual std::unique_ptr<Prepared> prepare_walk(std::string sql) = 0;
  /// Adds rows of which the caller knows that their keys are new; values in the order of `columns`. The rows may be
  /// written later, but before anything else is asked; an error comes up there.
  [[nodiscard]] virtual std::unique_ptr<Prepared> prepare_bulk(const std::string& table,
                                                               const std::string& columns) = 0;
  [[nodiscard]] virtual std::int64_t changes() const = 0;  ///< rows written by the last finished statement

  [[nodiscard]] virtual bool in_transaction() const = 0;
  /// alone = nobody else writes meanwhile
  [[nodiscard]] virtual Result<void> begin_writing(bool alone) = 0;
  [[nodiscard]] virtual Result<void> begin_reading() = 0;  ///< all reads see the same state
  /// Answers for the work even if the connection broke while it was being finished.
  [[nodiscard]] virtual Result<void> commit() = 0;
  /// Until the end of the transaction nobody else writes rows of that athlete, or of anybody.
  [[nodiscard]] virtual Result<void> lock_athlete(std::string_view code) = 0;
  [[nodiscard]] virtual Result<void> lock_everybody() = 0;
  /// The same without waiting. false = somebody else writes rows of that athlete
  [[nodiscard]] virtual Result<bool> try_to_lock_athlete(std::string_view code) = 0;
  /// An entry has become, or is no longer, a large one.
  [[nodiscard]] virtual Result<void> set_large_work(bool on) = 0;

  [[nodiscard]] virtual Result<Format> format() = 0;
  /// Marks the tables as ours, of that version.
  [[nodiscard]] virtual Result<void> set_format(int version, int least) = 0;
  /// What must be there before the first table.
  [[nodiscard]] virtual Result<void> create_space() = 0;
  /// Cuts a table that was made with `spread_end` into its pieces.
  [[nodiscard]] virtual Result<void> spread(const std::string& table) = 0;

  [[nodiscard]] virtual Result<std::int64_t> version() = 0;  ///< see Service::version
  [[nodiscard]] virtual Result<void> give_space_back() = 0;
  /// The last number that a `number_key` has drawn.
  [[nodiscard]] virtual Result<std::int64_t> last_number(const std::string& table) = 0;
  [[nodiscard]] virtual Result<void> set_last_number(const std::string& table, std::int64_t number) = 0;

  /// The first column of the first row as a number, 0 without a row.
  [[nodiscard]] Result<std::int64_t> number(const std::string& sql);
};

class Statement {
 public:
  Statement(Database& db, std::string sql) : impl_(db.prepare(std::move(sql))) {}
  explicit Statement(std::unique_ptr<Prepared> prepared) : impl_(std::move(prepared)) {}

  /// Text is not copied: it must stay in place until the statement has been stepped.
  Statement& bind(int index, std::string_view text) {
    impl_->bind_text(index, text, false);
    return *this;
  }
  Statement& bind(int index, double value) {
    impl_->bind_real(index, value);
    return *this;
  }
  Statement& bind(int index, int value) {
    impl_->bind_int(index, value);
    return *this;
  }
  Statement& bind(int index, std::int64_t value) {
    impl_->bind_long(index, value);
    return *this;
  }
  Statement& bind(int index, Day day) { return bind(index, day_number(day)); }
  Statement& bind(int index, Instant moment) {
    return bind(index, static_cast<std::int64_t>(moment.time_since_epoch().count()));
  }
  Statement& bind(int index, std::nullptr_t) {
    impl_->bind_null(index);
    return *this;
  }
  Statement& bind_copy(int index, std::string_view text) {
    impl_->bind_text(index, text, true);
    return *this;
  }
  /// Not copied either.
  Statement& bind_bytes(int index, std::string_view bytes) {
    impl_->bind_bytes(index, bytes);
    return *this;
  }

  /// Binds values 1, 2 ..
  template <class... Values>
  Statement& with(const Values&... values) {
    int index = 0;
    (bind(++index, values), ...);
    return *this;
  }

  /// true = there is a row; at the end, or after an error, the statement is ready for new values.
  [[nodiscard]] Result<bool> step() { return impl_->step(); }
  /// Steps to the end.
  [[nodiscard]] Result<void> run();
  /// One step, then ready for new values: for statements of one row whose columns are not wanted.
  [[nodiscard]] Result<bool> exists();
  /// The first column of the one row that there is, then ready for new values.
  [[nodiscard]] Result<std::int64_t> number();
  void reset() { impl_->reset(); }

  [[nodiscard]] bool is_null(int column) const { return impl_->is_null(column); }
  [[nodiscard]] std::int64_t integer(int column) const { return impl_->integer(column); }
  [[nodiscard]] double real(int column) const { return impl_->real(column); }
  [[nodiscard]] Day day(int column) const { return day_from_number(static_cast<int>(integer(column))); }
  [[nodiscard]] Instant moment(int column) const { return Instant{std::chrono::seconds{integer(column)}}; }
  /// Also bytes; valid until the next step.
  [[nodiscard]] std::string_view text(int column) const { return impl_->text(column); }

 private:
  std::unique_ptr<Prepared> impl_;
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
  /// Nobody else writes meanwhile.
  [[nodiscard]] Result<void> begin_alone();
  [[nodiscard]] Result<void> commit();

 private:
  [[nodiscard]] Result<void> begin(bool alone);

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
