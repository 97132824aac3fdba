#pragma once
/// A store to read from whose by-products - the call that was made, states, forecasts - are kept for a connection that
/// writes. So an answer never waits for an import that holds the store.

#include <fmt/core.h>

#include <algorithm>
#include <functional>
#include <map>
#include <mutex>
#include <vector>

#include "steelyard/app/context.hpp"
#include "steelyard/base/text.hpp"

namespace steelyard::serve {

/// Which forecasts were handed on last, so that the same ones are not written after every read.
class SavedBefore {
 public:
  /// False if the same content was handed on last under that key.
  bool is_new(const std::string& key, std::string content) {
    if (last_.size() > k_most) last_.clear();
    auto& last = last_[key];
    if (last == content) return false;
    last = std::move(content);
    return true;
  }

 private:
  static constexpr std::size_t k_most = 50'000;
  std::map<std::string, std::string> last_;  ///< key to digest
};

class LaterStore final : public store::Store {
 public:
  struct Save {
    std::string athlete;
    std::function<Result<void>(store::Store& store)> run;
    std::string key;  ///< two of one athlete with an equal key do the same; empty = nothing is known of that
  };

  LaterStore(store::Store& store, SavedBefore& before) : store_(store), before_(before) {}

  [[nodiscard]] std::vector<Save> take() { return std::exchange(saves_, {}); }

  [[nodiscard]] Result<std::unique_ptr<store::Entry>> begin(std::string_view, Instant) override { return only_reads(); }
  [[nodiscard]] Result<std::vector<Athlete>> athletes() override { return store_.athletes(); }
  [[nodiscard]] Result<std::optional<Athlete>> athlete(std::string_view code) override { return store_.athlete(code); }
  [[nodiscard]] Result<AthleteLog> log(std::string_view athlete, Day from, Day to) override {
    return store_.log(athlete, from, to);
  }
  [[nodiscard]] Result<std::optional<store::UndoneEntry>> undo_last(const std::optional<std::string>&) override {
    return only_reads();
  }
  [[nodiscard]] Result<std::vector<store::HistoryRow>> history(std::string_view athlete) override {
    return store_.history(athlete);
  }
  [[nodiscard]] Result<std::optional<Question>> question(std::int64_t id) override { return store_.question(id); }
  [[nodiscard]] Result<std::vector<Question>> questions(std::optional<std::string> athlete) override {
    return store_.questions(std::move(athlete));
  }
  [[nodiscard]] Result<std::vector<std::string>> questioned_athletes() override { return store_.questioned_athletes(); }
  [[nodiscard]] Result<std::vector<Question>> open_questions(std::optional<std::string> athlete) override {
    return store_.open_questions(std::move(athlete));
  }
  [[nodiscard]] Result<void> save_call(const store::StoredCall& call) override {
    return later(call.athlete, [call](store::Store& s) { return s.save_call(call); });
  }
  [[nodiscard]] Result<std::optional<store::StoredCall>> call(std::string_view athlete, Day date,
                                                              std::string_view command) override {
    return store_.call(athlete, date, command);
  }
  [[nodiscard]] Result<void> save_decision(const Decision&, Instant) override { return only_reads(); }
  [[nodiscard]] Result<void> save_states(const std::vector<store::StoredState>& states) override {
    if (states.empty()) return {};
    std::string all;
    for (const auto& s : states) {
      all = digest(
          fmt::format("{}{} {} {} {}", all, s.target, day_number(s.date), s.model_digest, s.newest_entry.value_or(-1)));
    }
    return later(
        states.front().athlete, [states](store::Store& s) { return s.save_states(states); }, "states " + all);
  }
  [[nodiscard]] Result<std::optional<store::StoredState>> state(std::string_view athlete, std::string_view target,
                                                                Day day) override {
    return store_.state(athlete, target, day);
  }
  [[nodiscard]] Result<void> drop_states(std::string_view athlete, Day from) override {
    const std::string code(athlete);
    return later(
        code, [code, from](store::Store& s) { return s.drop_states(code, from); },
        fmt::format("drop {}", day_number(from)));
  }
  [[nodiscard]] Result<void> save_forecasts(const std::vector<store::StoredForecast>& forecasts) override {
    std::vector<store::StoredForecast> fresh;
    for (const auto& f : forecasts) {
      const std::string key =
          fmt::format("forecast {} {} {} {}", f.athlete, f.target, format_day(f.date), format_day(f.made_on));
      const std::string content = fmt::format("{} {} {} {}", f.mean, f.low80, f.high80, f.observed.value_or(-1e300));
      if (before_.is_new(key, content)) fresh.push_back(f);
    }
    if (fresh.empty()) return {};
    return later(fresh.front().athlete, [fresh](store::Store& s) { return s.save_forecasts(fresh); });
  }
  [[nodiscard]] Result<std::vector<store::StoredForecast>> forecasts(std::string_view athlete) override {
    return store_.forecasts(athlete);
  }
  [[nodiscard]] Result<void> erase(std::string_view) override { return only_reads(); }
  [[nodiscard]] Result<std::string> contents_digest() override { return store_.contents_digest(); }
  [[nodiscard]] store::Service& service() override { return store_.service(); }

 private:
  [[nodiscard]] static tl::unexpected<Error> only_reads() {
    return fail(Errc::failed, "this connection to the store only reads");
  }
  /// States and forecasts come in lots of one athlete.
  [[nodiscard]] Result<void> later(const std::string& athlete, std::function<Result<void>(store::Store&)> run,
                                   std::string key = {}) {
    saves_.push_back({athlete, std::move(run), std::move(key)});
    return {};
  }

  store::Store& store_;
  SavedBefore& before_;
  std::vector<Save> saves_;
};

/// What waits to be saved. States are large, and every read makes them again until they are kept: the same ones wait
/// once.
/// thread safety  all
class WaitingSaves {
 public:
  void add(std::vector<LaterStore::Save> saves) {
    const std::lock_guard lock(mutex_);
    for (auto& save : saves) {
      const auto waits = [&](const LaterStore::Save& other) {
        return !save.key.empty() && save.key == other.key && save.athlete == other.athlete;
      };
      if (saves_.size() < k_most && std::none_of(saves_.begin(), saves_.end(), waits))
        saves_.push_back(std::move(save));
    }
  }
  [[nodiscard]] std::vector<LaterStore::Save> take() {
    const std::lock_guard lock(mutex_);
    return std::exchange(saves_, {});
  }
  /// In front of those that came meanwhile.
  void give_back(std::vector<LaterStore::Save> saves) {
    const std::lock_guard lock(mutex_);
    if (saves_.size() < k_most) saves_.insert(saves_.begin(), saves.begin(), saves.end());
  }

 private:
  static constexpr std::size_t k_most = 10'000;
  std::mutex mutex_;
  std::vector<LaterStore::Save> saves_;
};

}  // namespace steelyard::serve
