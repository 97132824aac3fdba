#include "store/sqlite_store.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <filesystem>
#include <stdexcept>

#include "store/connection.hpp"
#include "store/entry.hpp"
#include "store/saved.hpp"
#include "store/schema.hpp"
#include "store/service_tables.hpp"
#include "store/upkeep.hpp"

namespace steelyard::store {
namespace {

class SqliteStore final : public Store {
 public:
  [[nodiscard]] Result<void> open(const std::string& file, std::chrono::milliseconds wait) {
    STEELYARD_TRY(c_.db.open(file, wait));
    STEELYARD_TRY(check_identity(c_.db));
    // WAL: readers go on while somebody writes. FULL: what was committed survives a power failure. A deleted row is
    // overwritten with zeros. The log file is cut back to 16 MB after a large entry.
    STEELYARD_TRY(
        c_.db.run("pragma journal_mode = wal; pragma synchronous = full; pragma foreign_keys = on; "
                  "pragma secure_delete = on; pragma journal_size_limit = 16777216"));
    return migrate(c_.db);
  }

  [[nodiscard]] Result<std::unique_ptr<Entry>> begin(std::string_view source, Instant at) override {
    auto entry = std::make_unique<SqliteEntry>(c_);
    STEELYARD_TRY(entry->begin(source, at));
    return entry;
  }

  [[nodiscard]] Result<std::vector<Athlete>> athletes() override { return c_.reader.athletes(); }
  [[nodiscard]] Result<std::optional<Athlete>> athlete(std::string_view code) override {
    return c_.reader.athlete(code);
  }
  [[nodiscard]] Result<AthleteLog> log(std::string_view athlete, Day from, Day to) override {
    return c_.reader.log(athlete, from, to);
  }

  [[nodiscard]] Result<std::optional<EntryInfo>> undo_last() override {
    STEELYARD_TRY(no_entry());
    return undo_last_entry(c_);
  }
  [[nodiscard]] Result<std::vector<HistoryRow>> history(std::string_view athlete) override {
    return history_of(c_.db, athlete);
  }
  [[nodiscard]] Result<std::optional<Question>> question(std::int64_t id) override { return c_.questions.find(id); }
  [[nodiscard]] Result<std::vector<Question>> questions() override { return c_.questions.all(); }
  [[nodiscard]] Result<std::vector<Question>> open_questions(std::optional<std::string> athlete) override {
    return athlete ? c_.questions.open(*athlete) : c_.questions.open();
  }

  [[nodiscard]] Result<void> save_call(const StoredCall& call) override { return saved(saved_.save(call)); }
  [[nodiscard]] Result<std::optional<StoredCall>> call(std::string_view athlete, Day date,
                                                       std::string_view command) override {
    return saved_.call(athlete, date, command);
  }
  [[nodiscard]] Result<void> save_decision(const Decision& decision, Instant at) override {
    return saved(saved_.save(decision, at));
  }
  [[nodiscard]] Result<void> save_states(const std::vector<StoredState>& states) override {
    return saved(saved_.save(states));
  }
  [[nodiscard]] Result<std::optional<StoredState>> state(std::string_view athlete, std::string_view target,
                                                         Day day) override {
    return saved_.state(athlete, target, day);
  }
  [[nodiscard]] Result<void> drop_states(std::string_view athlete, Day from) override {
    return saved(saved_.drop_states(athlete, from));
  }
  [[nodiscard]] Result<void> save_forecasts(const std::vector<StoredForecast>& forecasts) override {
    return saved(saved_.save(forecasts));
  }
  [[nodiscard]] Result<std::vector<StoredForecast>> forecasts(std::string_view athlete) override {
    return saved_.forecasts(athlete);
  }

  [[nodiscard]] Result<void> erase(std::string_view athlete) override {
    STEELYARD_TRY(no_entry());
    return erase_athlete(c_, athlete);
  }
  [[nodiscard]] Result<std::string> contents_digest() override { return digest_of_contents(c_.db); }
  [[nodiscard]] Service& service() override { return service_; }

 private:
  [[nodiscard]] Result<void> no_entry() const {
    if (!c_.entry_is_open) return {};
    return fail(Errc::failed, "an entry is open; commit it or give it up first");
  }
  Result<void> saved(Result<void> result) {
    c_.saved_in_entry = true;
    return result;
  }

  Connection c_;
  Saved saved_{c_.db};
  ServiceTables service_{c_.db};
};

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
  auto store = std::make_unique<SqliteStore>();
  const auto opened = store->open(":memory:", k_wait);
  // Only exhausted memory can be the reason, and the interface has no error for that.
  if (!opened) throw std::runtime_error(opened.error().text());
  return store;
}

Result<std::unique_ptr<Store>> open_store_file(const std::string& path, std::chrono::milliseconds wait) {
  if (path.empty()) return fail(Errc::usage, "the store needs a path");
  std::error_code code;
  // Absolute, so that no name has a meaning of its own for SQLite (":memory:").
  const auto file = std::filesystem::absolute(path, code);
  if (code) return fail(Errc::io, fmt::format("the path cannot be resolved: {}", code.message()), path);
  STEELYARD_TRY(create_file(file));
  auto store = std::make_unique<SqliteStore>();
  STEELYARD_TRY(store->open(file.string(), wait));
  return store;
}

Result<std::unique_ptr<Store>> open_sqlite_store(const std::string& path) {
  return open_store_file(path, k_wait);
}

}  // namespace steelyard::store
