#pragma once
/// Databases on the PostgreSQL server that CTest starts for the tests of this folder (tests/postgres.sh).

#include <fmt/core.h>
#include <unistd.h>

#include <cstdlib>
#include <fstream>
#include <map>
#include <optional>
#include <stdexcept>
#include <string>
#include <vector>

#include "store/database.hpp"
#include "store/postgres_store.hpp"
#include "store/sqlite_store.hpp"

namespace steelyard::store {

/// A server by the file that holds its folder.
class Server {
 public:
  explicit Server(std::string note = STEELYARD_POSTGRES_NOTE) : note_(std::move(note)) {
    std::ifstream(note_) >> folder_;
    if (folder_.empty()) throw std::runtime_error("no server runs; CTest starts one: ctest -L pg");
  }
  [[nodiscard]] std::string url(const std::string& database, const std::string& role = "postgres") const {
    return "postgresql:///" + database + "?host=" + folder_ + "&user=" + role;
  }
  [[nodiscard]] std::unique_ptr<Database> connect(const std::string& database,
                                                  const std::string& role = "postgres") const {
    auto db = connect_postgres(url(database, role), k_wait);
    if (!db) throw std::runtime_error(db.error().text());
    return *std::move(db);
  }

 private:
  std::string note_;
  std::string folder_;
};

/// A server of one test's own, which it may stop.
class OwnServer {
 public:
  explicit OwnServer(const std::string& folder) : note_(folder + "/server") { call("start"); }
  OwnServer(const OwnServer&) = delete;
  OwnServer& operator=(const OwnServer&) = delete;
  ~OwnServer() { static_cast<void>(std::system(command("stop").c_str())); }
  void restart() const { call("restart"); }
  [[nodiscard]] Server server() const { return Server(note_); }

 private:
  [[nodiscard]] std::string command(const std::string& verb) const {
    return std::string(STEELYARD_SOURCE_DIR) + "/tests/postgres.sh " + verb + " '" + note_ + "'";
  }
  void call(const std::string& verb) const {
    if (std::system(command(verb).c_str()) != 0) throw std::runtime_error("the server cannot " + verb);
  }
  std::string note_;
};

/// Databases of one test by name. Making one takes a second, so that the tests of a run take turns with a few: each is
/// emptied by the test that takes it.
class Databases {
 public:
  Databases() = default;
  Databases(const Databases&) = delete;
  Databases& operator=(const Databases&) = delete;
  ~Databases() {
    for (const auto& name : own_) static_cast<void>(admin_->run("drop database " + name + " with (force)"));
  }

  /// Name of the database; the same one for the same name.
  [[nodiscard]] std::string database(const std::string& name) {
    const auto found = taken_.find(name);
    if (found != taken_.end()) return found->second;
    return taken_.emplace(name, take()).first->second;
  }
  [[nodiscard]] std::string url(const std::string& name) {
    const std::string database_name = database(name);
    return server().url(database_name);
  }
  /// An empty database without any table for this test alone.
  [[nodiscard]] std::string own_url() {
    start();
    own_.push_back("own" + std::to_string(::getpid()) + "_" + std::to_string(own_.size()));
    run(*admin_, "create database " + own_.back());
    return server_->url(own_.back());
  }
  [[nodiscard]] const Server& server() {
    start();
    return *server_;
  }

 private:
  void start() {
    if (admin_) return;
    server_.emplace();
    admin_ = server_->connect("postgres");
  }

  /// The lock goes with the connection, also if the test dies. A connection gets a lock that it has once more, so the
  /// search goes on from the last one.
  std::string take() {
    start();
    int& slot = last_turn_;
    ++slot;
    while (number(*admin_, fmt::format("select pg_try_advisory_lock({})::int", slot)) == 0) ++slot;
    std::string name = fmt::format("turn{}", slot);
    const bool is_there =
        number(*admin_, fmt::format("select count(*) from pg_database where datname = '{}'", name)) > 0;
    if (!is_there) run(*admin_, "create database " + name);
    const auto store = open_postgres_database(server_->url(name), k_wait);
    if (!store) throw std::runtime_error(store.error().text());
    if (is_there) {
      run(**store,
          "do $$ declare name text; begin for name in select c.oid::regclass::text from pg_class c where "
          "c.relnamespace = 'steelyard'::regnamespace and c.relkind in ('r', 'p') and not c.relispartition and "
          "c.relname <> 'store' loop execute 'delete from ' || name; end loop; end $$");
    }
    return name;
  }
  static void run(Database& db, const std::string& sql) {
    const auto done = db.run(sql);
    if (!done) throw std::runtime_error(done.error().text());
  }
  static std::int64_t number(Database& db, const std::string& sql) {
    const auto found = db.number(sql);
    if (!found) throw std::runtime_error(found.error().text());
    return *found;
  }

  std::optional<Server> server_;
  std::unique_ptr<Database> admin_;
  std::map<std::string, std::string> taken_;
  std::vector<std::string> own_;
  int last_turn_ = 0;
};

}  // namespace steelyard::store
