#pragma once
/// Entries that are held aside until somebody answers.

#include "steelyard/domain/log.hpp"
#include "store/rows.hpp"

namespace steelyard::store {

/// The statements for held rows of one kind.
template <class R>
struct HeldRows {
  explicit HeldRows(Database& db)
      : add(db, fmt::format("insert into held_{} (question, place, {}) values ({})", table<R>(), column_list<R>(),
                            marks(columns<R>().size() + 2))),
        of_question(db,
                    fmt::format("select place, {} from held_{} where question = ?1", column_list<R>(), table<R>())) {}
  Statement add;
  Statement of_question;
};

class Questions {
 public:
  explicit Questions(Database& db);

  /// false = the same question was asked before
  [[nodiscard]] Result<bool> ask(std::int64_t entry, const Question& question);
  /// errors  usage (no such state), no_input (no such question), not_allowed (answered before)
  [[nodiscard]] Result<void> answer(std::int64_t entry, std::int64_t id, std::string_view state);
  [[nodiscard]] Result<std::optional<Question>> find(std::int64_t id);
  [[nodiscard]] Result<std::vector<Question>> all();  ///< ascending by number
  /// Of one athlete, ascending by number.
  [[nodiscard]] Result<std::vector<Question>> all(std::string_view athlete);
  /// About whom there is any, ascending.
  [[nodiscard]] Result<std::vector<std::string>> athletes();
  [[nodiscard]] Result<std::vector<Question>> open();  ///< ascending by number
  /// Of one athlete, ascending by date.
  [[nodiscard]] Result<std::vector<Question>> open(std::string_view athlete);
  /// Takes back what an entry asked and answered.
  [[nodiscard]] Result<void> undo(std::int64_t entry);

 private:
  [[nodiscard]] Result<std::vector<Question>> collect(Statement& statement);
  [[nodiscard]] Result<std::vector<Record>> rows_of(std::int64_t question);
  [[nodiscard]] Result<void> hold(std::int64_t question, int place, const Record& record);
  template <class R>
  [[nodiscard]] HeldRows<R>& held() {
    return held_.of<R>(db_);
  }

  Database& db_;
  PerKind<HeldRows> held_;
  Statement add_;
  Statement answer_;
  Statement by_id_;
  Statement alike_;
  Statement all_;
  Statement all_of_;
  Statement athletes_;
  Statement all_open_;
  Statement open_of_;
};

}  // namespace steelyard::store
