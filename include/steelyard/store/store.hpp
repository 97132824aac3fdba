#pragma once
/// Where everything is kept: one interface, a form in memory for tests and one in an SQLite file.
/// definition  Rows are written inside one Entry (a file, a command), which is there whole or not at all. A row with the
///             same key replaces the old one; the old one goes to the history and comes back with undo.
/// errors      every function: io (disk, permission), busy (another process holds the store), bad_data (not a store of
///             ours, or a newer one), failed
/// thread safety  one Store an open connection; not shared between threads. Several processes may open one file.

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/base/result.hpp"
#include "steelyard/base/zone.hpp"
#include "steelyard/domain/log.hpp"
#include "steelyard/domain/records.hpp"

namespace steelyard::store {

enum class PutOutcome { added, replaced, unchanged };

/// A row's athlete and earliest day that an entry changed; no day = the athlete's own row or a training max.
struct Touched {
  std::string athlete;
  Day from{};
};

struct EntrySummary {
  std::int64_t id = 0;  ///< 0 = nothing changed, nothing was recorded
  std::int64_t added = 0;
  std::int64_t replaced = 0;
  std::int64_t unchanged = 0;
  std::int64_t removed = 0;
};

/// One transaction. Destroyed without commit, it leaves nothing behind.
///
/// Parts of a day: a Session or SetRow with part none is part 1. A second session row of the same day with part none in
/// the same entry takes the next number. If a session with part none meets a row of an earlier entry that differs, put
/// answers Conflict (the caller asks: a second session, or a correction?).
/// Sets: the first set of an (athlete, date, part) in an entry replaces all sets of that part from earlier entries (they
/// go to the history); the following ones are added behind it. Sets equal to the stored ones change nothing, whatever
/// the number of entries. position is given by the store, from 1.
class Entry {
 public:
  virtual ~Entry() = default;

  /// errors  not_allowed with the text "conflict" for the session case above
  [[nodiscard]] virtual Result<PutOutcome> put(const Record& record) = 0;
  /// Removes the row with this record's key (position included for sets and plan). No such row = nothing happens.
  [[nodiscard]] virtual Result<void> remove(const Record& record) = 0;
  /// Keeps a question. Equal athlete, date, doubt and rows as an earlier question, answered or not: nothing is kept and
  /// false comes back.
  [[nodiscard]] virtual Result<bool> ask(const Question& question) = 0;
  /// state  "kept", "fixed" or "dropped"
  [[nodiscard]] virtual Result<void> answer(std::int64_t question, std::string_view state) = 0;
  /// What this entry has changed so far, one line an athlete, ascending by code.
  [[nodiscard]] virtual Result<std::vector<Touched>> touched() = 0;
  /// Reads through the entry's own changes. See Store::log.
  [[nodiscard]] virtual Result<AthleteLog> log(std::string_view athlete, Day from, Day to) = 0;
  [[nodiscard]] virtual Result<std::optional<Athlete>> athlete(std::string_view code) = 0;
  [[nodiscard]] virtual Result<EntrySummary> commit() = 0;
};

struct EntryInfo {
  std::int64_t id = 0;
  Instant at{};
  std::string source;  ///< file name or command, as given to begin()
};

struct HistoryRow {
  EntryInfo replaced_by;
  Record before;
};

/// A call as it was made: its JSON, its words and what it was made from.
struct StoredCall {
  std::string athlete;
  Day date{};
  std::string command;  ///< "today", "compare"
  Instant made_at{};
  std::string inputs_digest;
  std::string model_version;
  std::string model_digest;
  std::string json;
  std::string text;
};

/// A saved model state of one target ("strength:squat") at the end of a day; bytes are fit's own form.
struct StoredState {
  std::string athlete;
  std::string target;
  Day date{};
  std::string model_digest;
  std::string bytes;
};

/// A forecast, kept before the fact.
struct StoredForecast {
  std::string athlete;
  Day date{};             ///< what it speaks about
  std::string target;     ///< "strength:squat", "soreness"
  Day made_on{};
  double mean = 0;
  double low80 = 0;
  double high80 = 0;
  std::optional<double> observed;
};

class Store {
 public:
  virtual ~Store() = default;

  [[nodiscard]] virtual Result<std::unique_ptr<Entry>> begin(std::string_view source, Instant at) = 0;

  [[nodiscard]] virtual Result<std::vector<Athlete>> athletes() = 0;  ///< ascending by code
  [[nodiscard]] virtual Result<std::optional<Athlete>> athlete(std::string_view code) = 0;

  /// The athlete's rows with a date in [from, to]; maxes, clearances, and days off and periods that touch the span or
  /// lie after it; open questions; decisions in the span. Checks before `from` are added when they carry symptoms or
  /// pain, and sessions and checks when they carry a note, both as far back as 400 days before `to` (cautions stay open).
  /// first_entry speaks of the whole store. errors  no_input (no such athlete)
  [[nodiscard]] virtual Result<AthleteLog> log(std::string_view athlete, Day from, Day to) = 0;

  /// Takes the last entry back, history included. none = there is none.
  [[nodiscard]] virtual Result<std::optional<EntryInfo>> undo_last() = 0;
  [[nodiscard]] virtual Result<std::vector<HistoryRow>> history(std::string_view athlete) = 0;
  [[nodiscard]] virtual Result<std::optional<Question>> question(std::int64_t id) = 0;
  [[nodiscard]] virtual Result<std::vector<Question>> open_questions(std::optional<std::string> athlete) = 0;

  [[nodiscard]] virtual Result<void> save_call(const StoredCall& call) = 0;  ///< same inputs and model: kept once
  /// The newest call of that day and command; none = there is none.
  [[nodiscard]] virtual Result<std::optional<StoredCall>> call(std::string_view athlete, Day date, std::string_view command) = 0;
  [[nodiscard]] virtual Result<void> save_decision(const Decision& decision, Instant at) = 0;

  [[nodiscard]] virtual Result<void> save_states(const std::vector<StoredState>& states) = 0;
  /// The newest state of the target on or before `day`; none = there is none.
  [[nodiscard]] virtual Result<std::optional<StoredState>> state(std::string_view athlete, std::string_view target, Day day) = 0;
  [[nodiscard]] virtual Result<void> drop_states(std::string_view athlete, Day from) = 0;
  [[nodiscard]] virtual Result<void> save_forecasts(const std::vector<StoredForecast>& forecasts) = 0;
  [[nodiscard]] virtual Result<std::vector<StoredForecast>> forecasts(std::string_view athlete) = 0;

  /// Removes every trace of an athlete, history and calls included, and gives the space back.
  /// errors  no_input
  [[nodiscard]] virtual Result<void> erase(std::string_view athlete) = 0;
  /// Digest of all rows (not of history, calls or questions): equal contents, equal digest, whatever the order of entry.
  [[nodiscard]] virtual Result<std::string> contents_digest() = 0;
};

[[nodiscard]] std::unique_ptr<Store> open_memory_store();
/// Opens or creates the file (mode 0600), folders included.
[[nodiscard]] Result<std::unique_ptr<Store>> open_sqlite_store(const std::string& path);

}  // namespace steelyard::store
