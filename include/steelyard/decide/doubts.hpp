#pragma once
/// Entries that are possible but not believable.
/// definition  a doubt is a pure function of what is stored: the same rows give the same doubts, in whatever order they came
///   weight-slip    a set above 1.3 x the training max that, read in the other unit, would be within it (or below 0.5 x
///                  for work sets ten times too small)
///   sleep-blank    sleep 0 h beside a quality of 4 or more and fatigue not above usual
///   session-twice  two parts of a day with the same kind, minutes, RPE and sets
///   minutes        a session of 300 minutes or more that is no match or meet (session RPE x minutes beyond anything before)
///   all-ten        every set of a session at RPE 10, three sets or more
///   body-mass      30 % off the usual (models/limits.toml)
/// Each question proposes what was probably meant and names value and date.

#include <vector>

#include "steelyard/domain/log.hpp"
#include "steelyard/params/models.hpp"

namespace steelyard::decide {

/// Questions about the rows dated `from` and later. Rows held aside by an open question are not in `log` any more.
[[nodiscard]] std::vector<Question> doubts(const AthleteLog& log, Day from, const Models& models);

/// The row as it is stored while the question is open: the fields in doubt blank.
[[nodiscard]] Record without_fields(const Record& row, const std::vector<std::string>& fields);

}  // namespace steelyard::decide
