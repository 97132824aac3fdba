#pragma once
/// Reads records. The same statements serve a store and an entry that is still open.

#include "store/questions.hpp"

namespace steelyard::store {

/// Asks for the number of the last finished entry that touched athlete ?1.
[[nodiscard]] std::string newest_entry_query();

class Reader {
 public:
  Reader(Database& db, Questions& questions);

  [[nodiscard]] Result<std::vector<Athlete>> athletes();
  [[nodiscard]] Result<std::optional<Athlete>> athlete(std::string_view code);
  [[nodiscard]] Result<AthleteLog> log(std::string_view athlete, Day from, Day to);  ///< see Store::log

 private:
  [[nodiscard]] Result<void> read_dated(AthleteLog& log, Day from, Day to);
  [[nodiscard]] Result<void> read_lasting(AthleteLog& log, Day from);
  [[nodiscard]] Result<std::vector<Decision>> decisions(std::string_view athlete, Day from, Day to);
  [[nodiscard]] Result<std::optional<Day>> first_entry(std::string_view athlete);

  Database& db_;
  Questions& questions_;
  Statement athletes_;
  Statement athlete_;
  Statement maxes_;
  Statement plan_;
  Statement periods_;
  Statement days_off_;
  Statement sessions_;
  Statement sets_;
  Statement checks_;
  Statement bar_;
  Statement clearances_;
  Statement decisions_;
  Statement first_;
  Statement newest_;
};

}  // namespace steelyard::store
