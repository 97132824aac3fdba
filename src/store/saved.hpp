#pragma once
/// What the program itself keeps: calls, decisions, model states and forecasts.

#include "steelyard/store/store.hpp"
#include "store/database.hpp"

namespace steelyard::store {

class Saved {
 public:
  explicit Saved(Database& db);

  [[nodiscard]] Result<void> save(const StoredCall& call);
  [[nodiscard]] Result<std::optional<StoredCall>> call(std::string_view athlete, Day date, std::string_view command);
  [[nodiscard]] Result<void> save(const Decision& decision, Instant at);
  [[nodiscard]] Result<void> save(const std::vector<StoredState>& states);
  [[nodiscard]] Result<std::optional<StoredState>> state(std::string_view athlete, std::string_view target, Day day);
  [[nodiscard]] Result<void> drop_states(std::string_view athlete, Day from);
  [[nodiscard]] Result<void> save(const std::vector<StoredForecast>& forecasts);
  [[nodiscard]] Result<std::vector<StoredForecast>> forecasts(std::string_view athlete);

 private:
  [[nodiscard]] Result<bool> is_fresh(const StoredState& state);

  Database& db_;
  Statement add_call_;
  Statement newest_call_;
  Statement add_decision_;
  Statement add_state_;
  Statement newest_entry_;
  Statement newest_state_;
  Statement drop_states_;
  Statement add_forecast_;
  Statement forecasts_;
};

}  // namespace steelyard::store
