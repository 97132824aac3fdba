#pragma once
/// Rows about which a question was asked, whether it is answered or not: the same file read again must neither bring a
/// doubtful value back nor undo an answer.

#include <cstdint>
#include <map>
#include <set>
#include <string>
#include <tuple>
#include <utility>
#include <vector>

#include "steelyard/store/store.hpp"

namespace steelyard::app {

class HeldRows {
 public:
  /// Of nobody yet: the questions about an athlete are read when the first row of that athlete comes.
  [[nodiscard]] static Result<HeldRows> load(store::Store& store);

  /// What to put for a row as it came: usually the row; for a row that was questioned what is stored in its place; or
  /// nothing (a whole row that is held aside, or was answered). Reads the store and not the open entry, whose log()
  /// would close the parts that are still coming in.
  [[nodiscard]] Result<std::vector<Record>> treat(Record record, store::Store& store);

  /// Open questions that a row which was put made void: the row was corrected. To be called after treat, with the row
  /// as it came.
  [[nodiscard]] std::vector<std::int64_t> answered_by(const Record& record);

  [[nodiscard]] std::size_t skipped() const { return skipped_; }

 private:
  using AthleteDay = std::pair<std::string, Day>;
  using PartOfDay = std::tuple<std::string, Day, int>;
  struct Asked {
    Question question;
    bool is_open = false;
    std::size_t next_set = 0;  ///< of a whole held part: how many of its sets came again, in order
  };

  [[nodiscard]] Result<void> read(const std::string& athlete, store::Store& store);
  [[nodiscard]] std::vector<Asked>* of(const std::string& athlete, Day day);
  [[nodiscard]] Result<std::vector<Record>> treat_row(Session session, store::Store& store);
  [[nodiscard]] Result<std::vector<Record>> treat_row(SetRow set, store::Store& store);
  [[nodiscard]] Result<std::vector<Record>> treat_row(Check check, store::Store& store);

  std::set<std::string> unread_;  ///< athletes about whom there are questions, none of whose rows has come yet
  std::map<AthleteDay, std::vector<Asked>> asked_;
  std::map<AthleteDay, int> blank_parts_;  ///< sessions without a part so far
  std::set<AthleteDay> shifted_;           ///< days on which such a session was left out
  std::map<PartOfDay, int> sets_;          ///< sets so far
  std::size_t skipped_ = 0;
};

}  // namespace steelyard::app
