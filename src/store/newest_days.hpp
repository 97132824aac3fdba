#pragma once
/// Tells without asking again and again that a row cannot be stored yet: rows of a large entry mostly come day by day.

#include <map>

#include "store/rows.hpp"

namespace steelyard::store {

/// The newest day of each athlete in one table. Memory grows with the number of athletes, not of rows.
template <class R>
class NewestDays {
 public:
  explicit NewestDays(Database& db)
      : newest_(db, fmt::format("select max(date) from {} where athlete = ?1", table<R>())) {}

  /// true = nothing is stored of that athlete on that day or later; from now on the day counts as stored.
  [[nodiscard]] Result<bool> is_newer(const std::string& athlete, Day date) {
    if (last_ == days_.end() || last_->first != athlete) {
      last_ = days_.find(athlete);
      if (last_ == days_.end()) {
        STEELYARD_TRY_ASSIGN(const Day newest, stored(athlete));
        last_ = days_.emplace(athlete, newest).first;
      }
    }
    if (date <= last_->second) return false;
    last_->second = date;
    return true;
  }

 private:
  Result<Day> stored(const std::string& athlete) {
    Day newest = Day::min();
    STEELYARD_TRY(each(newest_.with(athlete), [&]() -> Result<void> {
      if (!newest_.is_null(0)) newest = newest_.day(0);
      return {};
    }));
    return newest;
  }

  Statement newest_;
  std::map<std::string, Day> days_;
  std::map<std::string, Day>::iterator last_ = days_.end();
};

}  // namespace steelyard::store
