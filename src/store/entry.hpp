#pragma once
/// Writes one entry. See store::Entry for what the rows mean.

#include <map>

#include "steelyard/store/store.hpp"
#include "store/connection.hpp"
#include "store/newest_days.hpp"

namespace steelyard::store {

/// Whom and from which day on an entry concerns. Memory grows with the number of athletes, not of rows.
class TouchedDays {
 public:
  void add(const std::string& athlete, Day day);
  void add_group(const std::string& group, Day day);
  /// Ascending by code; groups are resolved to the athletes who are in them now.
  [[nodiscard]] Result<std::vector<Touched>> list(Reader& reader) const;

 private:
  std::map<std::string, Day> athletes_;
  std::map<std::string, Day> groups_;
  std::map<std::string, Day>::iterator last_ = athletes_.end();  ///< rows of one athlete mostly come together
};

class StoredEntry final : public Entry {
 public:
  explicit StoredEntry(Connection& connection) : c_(connection) {}
  StoredEntry(const StoredEntry&) = delete;
  StoredEntry& operator=(const StoredEntry&) = delete;
  ~StoredEntry() override;

  [[nodiscard]] Result<void> begin(std::string_view source, Instant at);

  [[nodiscard]] Result<PutOutcome> put(const Record& record) override;
  [[nodiscard]] Result<void> remove(const Record& record) override;
  [[nodiscard]] Result<bool> ask(const Question& question) override;
  [[nodiscard]] Result<void> answer(std::int64_t question, std::string_view state) override;
  [[nodiscard]] Result<std::vector<Touched>> touched() override;
  [[nodiscard]] Result<AthleteLog> log(std::string_view athlete, Day from, Day to) override;
  [[nodiscard]] Result<std::optional<Athlete>> athlete(std::string_view code) override;
  [[nodiscard]] Result<EntrySummary> commit() override;

 private:
  /// The part whose sets are arriving.
  struct OpenPart {
    std::string athlete;
    Day date{};
    int part = 0;      ///< 0 = none is open
    int position = 0;  ///< of the last set that this entry named
    int behind = 0;    ///< number of sets behind it, all from earlier entries
  };

  [[nodiscard]] Result<void> usable() const;
  [[nodiscard]] Result<void> lock(const Record& record);
  template <class T>
  Result<T> checked(Result<T> result);
  void end();
  [[nodiscard]] const char* give_up() const;

  template <class R>
  [[nodiscard]] Result<PutOutcome> put_row(const R& row);
  [[nodiscard]] Result<PutOutcome> put_row(const Session& session);
  [[nodiscard]] Result<PutOutcome> put_row(const SetRow& set);
  [[nodiscard]] Result<PutOutcome> put_row(const PlanRow& row);
  [[nodiscard]] Result<int> next_part(const Session& session);
  [[nodiscard]] Result<void> open_part(const SetRow& set);
  [[nodiscard]] Result<void> leave_part();

  template <class R>
  [[nodiscard]] Result<PutOutcome> put_at(const R& row, Place at);
  template <class R>
  [[nodiscard]] Result<PutOutcome> put_new(const R& row, Place at);
  [[nodiscard]] bool is_bulk() const;
  template <class R>
  [[nodiscard]] Result<bool> is_new_day(const R& row);
  template <class R>
  [[nodiscard]] Result<PutOutcome> meet(const R& row, Place at, bool may_replace);
  template <class R>
  [[nodiscard]] Result<void> keep(const R& row, Place at);
  template <class R>
  [[nodiscard]] Result<bool> take_away(const R& row, Place at);
  template <class R>
  void touch(const R& row);
  [[nodiscard]] Result<void> settle();
  [[nodiscard]] Result<void> settle_sets();
  [[nodiscard]] Result<void> settle_plan();
  [[nodiscard]] Result<void> record(const std::vector<Touched>& touched);

  Connection& c_;
  std::int64_t id_ = 0;
  std::int64_t changes_ = 0;  ///< rows put into the history
  std::int64_t rows_ = 0;
  std::int64_t answers_ = 0;  ///< questions asked and answered
  EntrySummary summary_;
  TouchedDays touched_;
  OpenPart part_;
  bool is_open_ = false;
  bool is_part_ = false;  ///< of a Work, which ends it
  bool loose_ends_ = false;
  std::optional<Error> broken_;
  std::tuple<NewestDays<Session>, NewestDays<SetRow>, NewestDays<Check>> newest_{c_.db, c_.db, c_.db};

  Statement session_parts_{c_.db, "select part from sessions where athlete = ?1 and date = ?2 and seen = ?3"};
  Statement part_rows_{
      c_.db, "select position, seen from sets where athlete = ?1 and date = ?2 and part = ?3 order by position"};
  Statement next_set_{c_.db,
                      "select position from sets where athlete = ?1 and date = ?2 and part = ?3 and position > ?4 "
                      "order by position limit 1"};
  Statement day_plan_{c_.db, "select lift, position, seen from plan where athlete = ?1 and date = ?2"};
};

}  // namespace steelyard::store
