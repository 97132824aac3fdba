#pragma once
/// Where everything is kept: one interface, a form in memory for tests, one in an SQLite file and one on a PostgreSQL
/// server.
/// definition  Rows are written inside one Entry (a file, a command), which is there whole or not at all. A row with
///             the same key replaces the old one; the old one goes to the history and comes back with undo.
/// errors      every function: io (disk, permission), busy (another process holds the store or writes the same rows),
///             bad_data (not a store of ours, a newer or a damaged one), failed; on a server also unavailable (it is
///             not there, or the connection broke) and not_allowed (rights of the role)
/// durability  what commit() or a save function has answered for survives a crash and a power failure
/// thread safety  one Store an open connection; not shared between threads. Several processes may open one file or
///             database. On a server several entries may be open at a time; each has its athletes to itself.

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
#include "steelyard/store/service.hpp"

namespace steelyard::store {

enum class PutOutcome { added, replaced, unchanged };

/// A row's athlete and earliest day that an entry changed; no day (Day{}) = the athlete's own row or a training max, on
/// which every day depends. A group's period touches the athletes who are in the group now.
struct Touched {
  std::string athlete;
  Day from{};
};

struct EntrySummary {
  std::int64_t id = 0;  ///< 0 = nothing changed, asked or answered; nothing was recorded
  std::int64_t added = 0;
  std::int64_t replaced = 0;
  std::int64_t unchanged = 0;
  std::int64_t removed = 0;
};

/// One transaction. Destroyed without commit, it leaves nothing behind. It must not outlive its store, and a store has
/// one open entry at a time. After an error of the store (not: conflict, usage, no_input) it can only be given up.
///
/// parts       A Session or SetRow with part none is part 1. A second session row of the same day with part none in the
///             same entry takes the next number. If a session with part none meets a row of an earlier entry that
///             differs, put answers Conflict (the caller asks: a second session, or a correction?); the row counts as
///             one of the day's all the same.
/// sets        The sets of an (athlete, date, part) in an entry are the whole of that part, in the order of arrival,
///             also when rows of other parts come between them. A stored set that is equal at its place stays as it
///             is, one that differs is replaced, one that is left over is removed; so the same sets again change
///             nothing, whatever the number of entries.
/// plan        The rows of an (athlete, date, lift) in an entry are the whole of that lift on that day; other lifts of
///             the day stay. The rows named keep their places if these are in the order of arrival; a row that is not
///             goes behind the others.
/// left over   What is left over in a part or a planned lift is removed at commit(), touched() or log(), whichever
///             comes first.
/// position    is given by the store, from 1, and may have gaps after a removal; put() does not look at it.
///
/// commit() also drops the saved states of every touched athlete from the first touched day on.
class Entry {
 public:
  virtual ~Entry() = default;

  /// errors  not_allowed with the text "conflict" for the session case above; a row whose athlete is not stored is
  ///         accepted here and makes commit() fail with bad_data
  [[nodiscard]] virtual Result<PutOutcome> put(const Record& record) = 0;
  /// Removes the row with this record's key (position included for sets and plan). No such row = nothing happens.
  [[nodiscard]] virtual Result<void> remove(const Record& record) = 0;
  /// Keeps a question. Equal athlete, date, doubt and rows as an earlier question, answered or not: nothing is kept and
  /// false comes back.
  [[nodiscard]] virtual Result<bool> ask(const Question& question) = 0;
  /// state  "kept", "fixed" or "dropped"
  /// errors  usage (another state), no_input (no such question), not_allowed (it is answered already)
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

struct UndoneEntry : EntryInfo {
  std::vector<std::string> athletes;  ///< whom it was about, ascending by code
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
  /// AthleteLog::newest_entry of the log that it was made from; none = of no log. Not kept.
  std::optional<std::int64_t> newest_entry = {};
};

/// A forecast, kept before the fact.
struct StoredForecast {
  std::string athlete;
  Day date{};          ///< what it speaks about
  std::string target;  ///< "strength:squat", "soreness"
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
  /// pain, and sessions and checks when they carry a note, both as far back as 400 days before `to` (cautions stay
  /// open). first_entry speaks of the whole store. Of several decisions on one lift of one day the last one counts;
  /// a followed call counts no more once the plan of that lift and day is written anew.
  /// errors  no_input (no such athlete)
  [[nodiscard]] virtual Result<AthleteLog> log(std::string_view athlete, Day from, Day to) = 0;

  /// Takes the last entry back: its rows go, the rows that it replaced or removed come back, its questions go, the
  /// questions that it answered are open again, decisions that wrote its plan rows go, and saved states as with
  /// commit(). none = there is none. `only_of`: the athlete whom alone it may be about. errors  failed (an entry is
  /// open), not_allowed (it is about somebody else; nothing is taken back)
  [[nodiscard]] virtual Result<std::optional<UndoneEntry>> undo_last(
      const std::optional<std::string>& only_of = std::nullopt) = 0;
  /// Rows that were replaced or removed, in the order in which that happened.
  [[nodiscard]] virtual Result<std::vector<HistoryRow>> history(std::string_view athlete) = 0;
  [[nodiscard]] virtual Result<std::optional<Question>> question(std::int64_t id) = 0;
  /// Answered or not, of one athlete or of all, ascending by number.
  [[nodiscard]] virtual Result<std::vector<Question>> questions(std::optional<std::string> athlete) = 0;
  /// Codes of the athletes about whom there is any question, ascending.
  [[nodiscard]] virtual Result<std::vector<std::string>> questioned_athletes() = 0;
  /// Of one athlete, ascending by date; without one, of all, ascending by number.
  [[nodiscard]] virtual Result<std::vector<Question>> open_questions(std::optional<std::string> athlete) = 0;

  // What is saved while an entry is open is committed, or given up, together with it.

  /// Nothing is kept if the newest call of that day and command has the same inputs and model.
  [[nodiscard]] virtual Result<void> save_call(const StoredCall& call) = 0;
  /// The newest call of that day and command; none = there is none.
  [[nodiscard]] virtual Result<std::optional<StoredCall>> call(std::string_view athlete, Day date,
                                                               std::string_view command) = 0;
  [[nodiscard]] virtual Result<void> save_decision(const Decision& decision, Instant at) = 0;

  /// One a target and day; a later one replaces it. Nothing is kept of what was made from a log that has changed since,
  /// or is being changed.
  [[nodiscard]] virtual Result<void> save_states(const std::vector<StoredState>& states) = 0;
  /// The newest state of the target on or before `day`; none = there is none.
  [[nodiscard]] virtual Result<std::optional<StoredState>> state(std::string_view athlete, std::string_view target,
                                                                 Day day) = 0;
  [[nodiscard]] virtual Result<void> drop_states(std::string_view athlete, Day from) = 0;
  /// One a target, day and day of making; a later one replaces it, but an empty `observed` keeps the old one.
  [[nodiscard]] virtual Result<void> save_forecasts(const std::vector<StoredForecast>& forecasts) = 0;
  /// Ascending by date, target and day of making.
  [[nodiscard]] virtual Result<std::vector<StoredForecast>> forecasts(std::string_view athlete) = 0;

  /// Removes every trace of an athlete, history and calls included, and gives the space back. Names of entries that
  /// contain the athlete's code or name are blanked, and briefings of weeks in which the code stands: what was not
  /// handed over of them goes. Files that briefings were written to (Service::outbox_paths) are the caller's to remove.
  /// errors  no_input; failed (an entry is open); busy (removed, but another process still reads the old pages)
  [[nodiscard]] virtual Result<void> erase(std::string_view athlete) = 0;
  /// Digest of all rows (not of history, calls or questions): equal contents, equal digest, whatever the order of
  /// entry.
  [[nodiscard]] virtual Result<std::string> contents_digest() = 0;

  /// What a running service keeps beside the entries.
  [[nodiscard]] virtual Service& service() = 0;
};

/// Whether a place is a PostgreSQL address, not a path.
[[nodiscard]] bool is_server_address(std::string_view place);

[[nodiscard]] std::unique_ptr<Store> open_memory_store();
/// Opens or creates the file (mode 0600), folders included.
[[nodiscard]] Result<std::unique_ptr<Store>> open_sqlite_store(const std::string& path);
/// The tables in the schema "steelyard" of the database that a postgresql:// address names; they are made if there are
/// none, the database is not.
/// errors  unavailable (no server, no libpq), not_allowed (the role), usage (not an address)
[[nodiscard]] Result<std::unique_ptr<Store>> open_postgres_store(const std::string& url);

}  // namespace steelyard::store
