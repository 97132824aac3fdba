#pragma once
/// One entry of the store with what surrounds it: rows that were questioned before, sessions that meet another one, and
/// the doubts about what the entry brought.

#include <map>
#include <memory>
#include <set>
#include <string>
#include <string_view>

#include "app/held_rows.hpp"
#include "steelyard/app/context.hpp"
#include "steelyard/store/store.hpp"

namespace steelyard::app {

/// What files of one call hand on to the next: doubts that need rows of a later file.
struct Postponed {
  bool sets_to_come = false;           ///< a file of sets follows: two equal sessions may yet have different sets
  std::map<std::string, Day> touched;  ///< athletes whose sessions are still to be judged
};

class EntryWriter {
 public:
  [[nodiscard]] static Result<EntryWriter> begin(Context& context, std::string_view source);

  /// errors  those of Entry::put, but not the conflict of a session: that becomes a question
  [[nodiscard]] Result<void> put(Record record);
  /// Asks about what is possible but not believable and takes it out of what counts.
  [[nodiscard]] Result<void> ask_doubts(Postponed* postponed = nullptr);
  [[nodiscard]] Result<store::EntrySummary> commit() { return entry_->commit(); }

  [[nodiscard]] store::Entry& entry() { return *entry_; }
  [[nodiscard]] std::size_t held() const { return held_.skipped(); }
  [[nodiscard]] std::size_t asked() const { return asked_; }

 private:
  EntryWriter(Context& context, std::unique_ptr<store::Entry> entry, HeldRows held)
      : context_(&context), entry_(std::move(entry)), held_(std::move(held)) {}

  [[nodiscard]] Result<void> ask_second(const Session& session);
  [[nodiscard]] Result<void> judge(const std::string& athlete, Day from, bool sets_to_come);
  [[nodiscard]] Result<void> set_aside(const Question& question);

  Context* context_;
  std::unique_ptr<store::Entry> entry_;
  HeldRows held_;
  std::size_t asked_ = 0;
  std::set<RecordKind> kinds_;
};

}  // namespace steelyard::app
