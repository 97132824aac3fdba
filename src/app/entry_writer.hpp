#pragma once
/// One entry of the store with what surrounds it: rows that were questioned before, sessions that meet another one, and
/// the doubts about what the entry brought.

#include <cstdint>
#include <map>
#include <memory>
#include <set>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "app/held_rows.hpp"
#include "steelyard/app/context.hpp"
#include "steelyard/store/store.hpp"

namespace steelyard::app {

/// What files of one call hand on to the next: doubts that need rows of a later file.
struct Postponed {
  bool one_session = false;            ///< sets without a part are those of the session that came with them
  bool sets_to_come = false;           ///< a file of sets follows: two equal sessions may yet have different sets
  std::map<std::string, Day> touched;  ///< athletes whose sessions are still to be judged
  std::set<std::pair<std::string, Day>> second_days;  ///< days on which a session is held aside as a second one
};

class EntryWriter {
 public:
  /// `postponed` outlives the writer; none = the entry stands alone.
  [[nodiscard]] static Result<EntryWriter> begin(Context& context, std::string_view source,
                                                 Postponed* postponed = nullptr);

  /// errors  those of Entry::put, but not the conflict of a session: that becomes a question
  [[nodiscard]] Result<void> put(Record record);
  /// Asks about what is possible but not believable and takes it out of what counts.
  [[nodiscard]] Result<void> ask_doubts();
  /// returns  what became of the rows that were put; what questions set aside is not counted
  [[nodiscard]] Result<store::EntrySummary> commit();

  [[nodiscard]] store::Entry& entry() { return *entry_; }
  [[nodiscard]] std::size_t held() const { return held_.skipped(); }
  [[nodiscard]] std::size_t asked() const { return asked_; }

 private:
  EntryWriter(Context& context, std::unique_ptr<store::Entry> entry, HeldRows held, Postponed* postponed)
      : context_(&context), entry_(std::move(entry)), held_(std::move(held)), postponed_(postponed) {}

  [[nodiscard]] Result<void> ask_second(const Session& session);
  /// Sets without a part on a day whose second session is held aside may be that one's. true = they wait.
  [[nodiscard]] Result<bool> waits(const SetRow& set);
  [[nodiscard]] Result<void> hold_waiting();
  [[nodiscard]] Result<void> judge(const std::string& athlete, Day from, bool sets_to_come);
  [[nodiscard]] Result<void> set_aside(const Question& question);

  Context* context_;
  std::unique_ptr<store::Entry> entry_;
  HeldRows held_;
  Postponed* postponed_;
  std::map<std::pair<std::string, Day>, std::vector<SetRow>> waiting_;
  std::size_t asked_ = 0;
  store::EntrySummary outcomes_;
  std::int64_t set_aside_ = 0;  ///< rows taken out for questions
  std::set<RecordKind> kinds_;
};

}  // namespace steelyard::app
