#pragma once
/// A connection to a PostgreSQL server, inside the module.
/// errors  unavailable (no connection, or it broke: nothing of the open work is stored), busy (somebody else writes the
///         same rows), not_allowed (rights), io (disk, a server that only reads), bad_data, failed

#include <libpq-fe.h>

#include <bitset>
#include <map>
#include <unordered_map>
#include <vector>

#include "store/database.hpp"

namespace steelyard::store {

struct ClearResult {
  void operator()(PGresult* result) const { PQclear(result); }
};
using Answer = std::unique_ptr<PGresult, ClearResult>;

/// A value for a statement. Numbers travel as text, text and bytes as they are.
struct Value {
  std::string_view view;  ///< the caller's, unless it is an own one
  std::string own;
  Oid type = 0;  ///< 0 = the server says, from where the value stands
  bool is_null = true;
  bool is_raw = false;
  bool is_own = false;
};

inline constexpr Oid k_bytes_type = 17;

class PostgresDatabase final : public Database {
 public:
  PostgresDatabase() = default;
  ~PostgresDatabase() override;

  /// `wait` = how long a lock, or a server that is starting, is waited for.
  [[nodiscard]] Result<void> open(const std::string& url, std::chrono::milliseconds wait);

  [[nodiscard]] const Dialect& dialect() const override;
  [[nodiscard]] const std::string& where() const override { return where_; }
  [[nodiscard]] Result<void> run(const std::string& sql) override;
  [[nodiscard]] std::unique_ptr<Prepared> prepare(std::string sql) override;
  [[nodiscard]] std::unique_ptr<Prepared> prepare_walk(std::string sql) override;
  [[nodiscard]] std::unique_ptr<Prepared> prepare_bulk(const std::string& table, const std::string& columns) override;
  [[nodiscard]] std::int64_t changes() const override { return changes_; }

  [[nodiscard]] bool in_transaction() const override;
  [[nodiscard]] Result<void> begin_writing(bool alone) override;
  [[nodiscard]] Result<void> begin_reading() override;
  [[nodiscard]] Result<void> commit() override;
  [[nodiscard]] Result<void> lock_athlete(std::string_view code) override;
  [[nodiscard]] Result<void> lock_everybody() override;
  [[nodiscard]] Result<bool> try_to_lock_athlete(std::string_view code) override;
  [[nodiscard]] Result<void> set_large_work(bool) override { return {}; }

  [[nodiscard]] Result<Format> format() override;
  [[nodiscard]] Result<void> set_format(int version, int least) override;
  [[nodiscard]] Result<void> create_space() override;
  [[nodiscard]] Result<void> spread(const std::string& table) override;

  [[nodiscard]] Result<std::int64_t> version() override;
  [[nodiscard]] Result<void> give_space_back() override;
  [[nodiscard]] Result<std::int64_t> last_number(const std::string& table) override;
  [[nodiscard]] Result<void> set_last_number(const std::string& table, std::int64_t number) override;

  // ------------------------------------------------------------------------------------------ for statements
  /// Runs a statement to its end.
  [[nodiscard]] Result<Answer> execute(const std::string& sql, const std::vector<Value>& values);
  /// Starts a statement whose rows come one by one.
  [[nodiscard]] Result<void> start_walk(const std::string& sql);
  /// The next row; none = the end.
  [[nodiscard]] Result<Answer> next_of_walk();
  void end_walk();
  /// A line in the form of COPY for a table; written before anything else is asked.
  [[nodiscard]] Result<void> add_line(const std::string& target, std::string_view line);

 private:
  [[nodiscard]] Result<void> connect_again();
  [[nodiscard]] Result<void> set_session();
  [[nodiscard]] Result<void> get_ready();
  [[nodiscard]] Result<void> write_lines();
  [[nodiscard]] Result<Answer> ask(const std::string& sql);
  [[nodiscard]] Result<Answer> checked(PGresult* result);
  [[nodiscard]] Result<void> was_committed();
  [[nodiscard]] Error connection_error();
  [[nodiscard]] bool refuses_the_role();
  [[nodiscard]] bool is_broken() const { return PQstatus(link_) == CONNECTION_BAD; }

  struct Known {
    int uses = 0;
    std::string name;  ///< under which the server keeps it
  };

  PGconn* link_ = nullptr;
  std::string where_;
  std::chrono::milliseconds wait_{};
  std::int64_t changes_ = 0;
  std::string work_;  ///< the server's number of the transaction that writes
  static constexpr std::size_t k_locks = 1024;
  std::bitset<k_locks> locked_;                   ///< held by the transaction
  std::unordered_map<std::string, Known> known_;  ///< by text
  int names_ = 0;
  std::map<std::string, std::string> lines_;  ///< by table and columns
};

/// What an answer with an error means to us.
[[nodiscard]] Error meaning_of(const PGresult* result, const std::string& where);

[[nodiscard]] std::unique_ptr<Prepared> make_statement(PostgresDatabase& db, std::string sql, bool walk);
[[nodiscard]] std::unique_ptr<Prepared> make_bulk(PostgresDatabase& db, std::string target);

}  // namespace steelyard::store
