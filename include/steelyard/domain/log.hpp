#pragma once
/// Everything that is known about one athlete, as the pure rooms read it.
/// shape  every vector ascending by date (then part, then position); one row a key

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "steelyard/domain/records.hpp"

namespace steelyard {

/// An entry that is possible but not believable. It counts nowhere until somebody answers.
struct Question {
  std::int64_t id = 0;
  std::string athlete;
  Day date{};
  std::string doubt;  ///< code: "weight-slip", "max-slip", "sleep-blank", "session-twice", "minutes", "all-ten",
                      ///< "body-mass", "second-session"
  std::string say;    ///< what a person is asked, with the value and a proposal
  std::vector<std::string> fields;  ///< columns that are left out of the stored row; empty = the whole rows are held
  std::vector<Record> rows;         ///< the rows as entered
  friend bool operator==(const Question&, const Question&) = default;
};

/// What somebody did with a call.
struct Decision {
  std::string athlete;
  Day date{};
  std::string lift;
  bool follows = true;
  std::string called;  ///< codes of the call's actions, a blank between them; empty = kept by an older program
  std::string reason;  ///< of an override
  std::string done;    ///< what was done instead, in words or shorthand
};

struct AthleteLog {
  Athlete athlete;
  std::vector<TrainingMax> maxes;
  std::vector<PlanRow> plan;
  std::vector<Period> periods;  ///< of the athlete and of the athlete's group
  std::vector<DaysOff> days_off;
  std::vector<Session> sessions;
  std::vector<SetRow> sets;
  std::vector<Check> checks;
  std::vector<BarSpeed> bar;
  std::vector<Clearance> clearances;
  std::vector<Question> questions;  ///< open ones
  std::vector<Decision> decisions;
  std::optional<Day> first_entry;  ///< earliest day with a session or a check, also when it lies before the rows loaded
  std::int64_t newest_entry = 0;   ///< number of the last entry that changed something of the athlete; 0 = none
};

}  // namespace steelyard
