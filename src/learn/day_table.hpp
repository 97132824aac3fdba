#pragma once
/// One athlete's entries by calendar day, as a walk reads them.

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/domain/log.hpp"
#include "steelyard/params/models.hpp"
#include "steelyard/series/usual.hpp"

namespace steelyard::learn {

/// Work of a day, and the day whose entry makes it known: itself, or for a short gap, which is rest only once the next
/// entry is there, that of the next entry.
struct DayWork {
  std::optional<double> amount;
  Day needs{};
  bool gap = false;  ///< nothing was entered for the day
};

/// Sessions of one lift on one day.
struct LiftSession {
  std::vector<const SetRow*> sets;
  const PlanRow* plan = nullptr;
};

class DayTable {
 public:
  /// Days from the first entry of the log (or `from`, if later) to `last`.
  DayTable(const AthleteLog& log, Day from, Day last, const Models& models);

  [[nodiscard]] bool empty() const { return first_ > last_; }
  [[nodiscard]] Day first() const { return first_; }

  [[nodiscard]] const Check* check(Day day) const;
  /// Lifts that take part and have sets that day, ascending.
  [[nodiscard]] const std::map<std::string, LiftSession, std::less<>>& sessions(Day day) const;
  [[nodiscard]] const PlanRow* plan(Day day, std::string_view lift) const;

  /// Dose as that lift feels it; load in AU.
  [[nodiscard]] DayWork dose(Day day, std::string_view lift);
  [[nodiscard]] DayWork load(Day day) const;

  [[nodiscard]] const AthleteLog& log() const { return log_; }
  [[nodiscard]] const Models& models() const { return models_; }

 private:
  struct Entry {
    const Check* check = nullptr;
    std::map<std::string, LiftSession, std::less<>> sessions;
    bool has_sets = false;
    bool barbell_unsaid = false;  ///< a session that may have held barbell work, without sets
    DayWork load;
  };
  [[nodiscard]] const Entry* at(Day day) const;

  const AthleteLog& log_;
  const Models& models_;
  Day first_{};
  Day last_{};
  std::vector<Entry> days_;
  std::vector<LiftDay> lift_days_;
  std::map<std::string, std::map<Day, double>, std::less<>> felt_;
};

}  // namespace steelyard::learn
