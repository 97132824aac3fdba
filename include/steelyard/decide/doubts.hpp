#pragma once
/// Entries that are possible but not believable.
/// definition  A doubt is a pure function of what is stored: the same rows give the same doubts, in whatever order they
///             came. What a row is compared with lies in the weeks before its own day, without values in doubt.
///   weight-slip    a set above 1.3 x the training max that, read in the other unit or without its last zero, would be
///                  within it; or the day's heaviest set of a lift, of work and not of warming up, below the empty bar
///                  that would be work with one zero more
///   sleep-blank    sleep 0 h beside a quality of 4 or more, unless fatigue is above 4 and above usual
///   session-twice  two parts of a day with the same kind, minutes, RPE, tonnage and sets
///   minutes        a session of 300 minutes or more on no match or meet day, its load beyond anything of the 60 days
///                  before
///   all-ten        every set RPE of a session is 10 and no repetition was missed, three sets or more
///   body-mass      30 % off the usual (models/limits.toml)
/// Each question names value and date and proposes what was probably meant.
/// source      ours; what lifters mistype is common practice

#include <string>
#include <vector>

#include "steelyard/domain/log.hpp"
#include "steelyard/params/models.hpp"

namespace steelyard::decide {

/// How many days before a row its doubts can depend on.
inline constexpr int k_doubt_days = 60;

/// Questions about the rows dated `from` and later, ascending by date. Rows held aside by an open question are not in
/// `log` any more.
/// domain  log reaches back k_doubt_days before `from`
[[nodiscard]] std::vector<Question> doubts(const AthleteLog& log, Day from, const Models& models);

/// The row as it is stored while the question is open: the fields in doubt blank.
/// domain  columns that may be blank; others stay
[[nodiscard]] Record without_fields(const Record& row, const std::vector<std::string>& fields);

}  // namespace steelyard::decide
