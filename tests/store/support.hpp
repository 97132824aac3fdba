#pragma once
/// Stores in memory, in a file and on a server for the same tests, and rows of invented athletes.

#include <gtest/gtest.h>

#include <initializer_list>
#include <stdexcept>
#include <string>
#include <vector>

#include "base/folder.hpp"
#include "server.hpp"
#include "steelyard/domain/cells.hpp"
#include "steelyard/store/store.hpp"
#include "store/sqlite_store.hpp"

namespace steelyard::store {

/// The value, or an exception with the error's text, which fails the test.
template <class T>
T must(Result<T> result) {
  if (!result) throw std::runtime_error(result.error().text());
  if constexpr (!std::is_void_v<T>) return *std::move(result);
}

/// Takes the tables of version 7 back to those of version 5.
inline const std::string k_back_to_version_5 = "drop index touches_by_athlete; alter table touches drop column done; ";

/// Takes a new file back to the tables of version 1.
inline const std::string k_back_to_version_1 =
    k_back_to_version_5 +
    "drop table tokens; drop table accesses; drop table replies; drop table leases; drop table briefings; "
    "drop table inbox_files; drop table week_decisions; drop index entries_by_done; "
    "alter table entries drop column done; alter table decisions drop column called; pragma user_version = 1";

/// The code of an expected error.
template <class T>
Errc code_of(const Result<T>& result) {
  if (result) throw std::runtime_error("an error was expected");
  return result.error().code;
}

/// The parameter says which store: "memory" or "file".
class StoreTest : public testing::TestWithParam<std::string> {
 protected:
  [[nodiscard]] std::unique_ptr<Store> open(const std::string& name = "a.db") {
    if (GetParam() == "memory") return open_memory_store();
    if (GetParam() == "postgres") return must(open_postgres_store(databases_.url(name)));
    return must(open_sqlite_store(folder_.file(name)));
  }
  /// How many random cases: a quarter where every commit waits for the disk or a server.
  [[nodiscard]] static unsigned seeds(unsigned in_memory) { return GetParam() == "memory" ? in_memory : in_memory / 4; }

 private:
  Folder folder_;
  Databases databases_;
};

#define STEELYARD_ON_EVERY_STORE(fixture)                                                  \
  INSTANTIATE_TEST_SUITE_P(Stores, fixture, testing::Values("memory", "file", "postgres"), \
                           [](const auto& test) { return test.param; })

inline Day day(std::string_view text) {
  return must(parse_day(text));
}
inline constexpr Instant k_noon{std::chrono::seconds{1'700'000'000}};

inline Athlete athlete(std::string code, std::string group = "") {
  Athlete a;
  a.athlete = std::move(code);
  a.group = std::move(group);
  return a;
}
inline Session session(std::string code, std::string_view date, double minutes, std::optional<int> part = {}) {
  Session s;
  s.athlete = std::move(code);
  s.date = day(date);
  s.minutes = minutes;
  s.rpe = 7;
  s.part = part;
  return s;
}
inline SetRow set(std::string code, std::string_view date, double kg, std::optional<int> part = {}) {
  SetRow s;
  s.athlete = std::move(code);
  s.date = day(date);
  s.lift = "squat";
  s.reps = 5;
  s.weight_kg = kg;
  s.part = part;
  return s;
}
inline PlanRow plan(std::string code, std::string_view date, std::string lift, double percent = 80) {
  PlanRow p;
  p.athlete = std::move(code);
  p.date = day(date);
  p.lift = std::move(lift);
  p.percent = percent;
  return p;
}
inline Check check(std::string code, std::string_view date, double sleep_hours = 8) {
  Check c;
  c.athlete = std::move(code);
  c.date = day(date);
  c.sleep_hours = sleep_hours;
  return c;
}

/// Puts rows in one entry; a conflict is not an error here.
inline EntrySummary enter(Store& store, const std::vector<Record>& rows, std::string_view source = "test") {
  const auto entry = must(store.begin(source, k_noon));
  for (const auto& row : rows) {
    const auto put = entry->put(row);
    if (!put && put.error().what != "conflict") throw std::runtime_error(put.error().text());
  }
  return must(entry->commit());
}

inline AthleteLog whole_log(Store& store, const std::string& code) {
  return must(store.log(code, day("1950-01-01"), day("2150-01-01")));
}

inline std::vector<double> weights(Store& store, const std::string& code) {
  std::vector<double> kg;
  for (const auto& s : whole_log(store, code).sets) kg.push_back(s.weight_kg.value_or(-1));
  return kg;
}
inline std::vector<std::string> planned_lifts(Store& store, const std::string& code) {
  std::vector<std::string> lifts;
  for (const auto& p : whole_log(store, code).plan) lifts.push_back(p.lift);
  return lifts;
}

}  // namespace steelyard::store
