#include "store/sql_store.hpp"

#include "store/connection.hpp"
#include "store/entry.hpp"
#include "store/saved.hpp"
#include "store/service_tables.hpp"
#include "store/upkeep.hpp"

namespace steelyard::store {
namespace {

class SqlStore final : public Store {
 public:
  explicit SqlStore(std::unique_ptr<Database> db) : db_(std::move(db)) {}

  [[nodiscard]] Result<std::unique_ptr<Entry>> begin(std::string_view source, Instant at) override {
    auto entry = std::make_unique<StoredEntry>(c_);
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

  [[nodiscard]] Result<std::optional<UndoneEntry>> undo_last(const std::optional<std::string>& only_of) override {
    STEELYARD_TRY(no_entry());
    return undo_last_entry(c_, only_of);
  }
  [[nodiscard]] Result<std::vector<HistoryRow>> history(std::string_view athlete) override {
    return history_of(c_.db, athlete);
  }
  [[nodiscard]] Result<std::optional<Question>> question(std::int64_t id) override { return c_.questions.find(id); }
  [[nodiscard]] Result<std::vector<Question>> questions(std::optional<std::string> athlete) override {
    return athlete ? c_.questions.all(*athlete) : c_.questions.all();
  }
  [[nodiscard]] Result<std::vector<std::string>> questioned_athletes() override { return c_.questions.athletes(); }
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

  std::unique_ptr<Database> db_;
  Connection c_{*db_};
  Saved saved_{c_.db};
  ServiceTables service_{c_.db};
};

}  // namespace

bool is_server_address(std::string_view place) {
  return place.starts_with("postgresql://") || place.starts_with("postgres://");
}

std::unique_ptr<Store> store_over(std::unique_ptr<Database> db) {
  return std::make_unique<SqlStore>(std::move(db));
}

}  // namespace steelyard::store
