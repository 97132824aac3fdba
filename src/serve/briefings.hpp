#pragma once
/// Each lifter's call in the morning and, on Mondays, the week of each group.
/// definition  Made once, kept in the store, handed over. A day's briefing is due from the morning time on, by the
///             clock where the lifter lives, until that day is over; a week's from Monday's morning time on, by the
///             zone of the group's first athlete, until that week is over. It is made by whoever looks first after that
///             and noted in the same transaction, so no jump of the clock makes it twice. A day that the machine slept
///             through wholly gets none: the call of a past morning cannot be followed. It is handed over as three
///             files (text, HTML, JSON) in the outbox and, if there is a command, on its standard input as text; a
///             command that fails or takes too long is tried again later. A crash while the command runs may hand it
///             over once more, under the same STEELYARD_BRIEFING_ID.

#include <chrono>
#include <functional>
#include <map>
#include <string>

#include "steelyard/app/context.hpp"

namespace steelyard::serve {

struct BriefingOptions {
  std::string outbox;
  std::chrono::minutes morning{6 * 60};                    ///< after midnight
  std::map<std::string, std::chrono::minutes> morning_of;  ///< of single athletes
  std::string command;                                     ///< for /bin/sh; empty = none
  std::chrono::milliseconds command_time{30'000};
  int most_tries = 8;
};

struct BriefingReport {
  std::size_t made = 0;
  std::size_t delivered = 0;
  std::size_t given_up = 0;
  std::vector<Error> errors;
};

/// Makes what is due at context.now. `may_make` is asked before each is worked out and inside each transaction.
[[nodiscard]] Result<BriefingReport> make_briefings(app::Context& context, const BriefingOptions& options,
                                                    const std::function<Result<bool>()>& may_make);

/// Hands over what was made.
[[nodiscard]] Result<BriefingReport> deliver_briefings(app::Context& context, const BriefingOptions& options,
                                                       const std::function<bool()>& is_stopped);

/// Runs a command with a file as its standard input and the given environment added; its output goes nowhere.
/// errors  failed (it ended with another status than 0, or not in time; then it was killed with what it started)
[[nodiscard]] Result<void> run_command(const std::string& command, const std::string& input_file,
                                       const std::map<std::string, std::string>& environment,
                                       std::chrono::milliseconds time, const std::function<bool()>& is_stopped);

}  // namespace steelyard::serve
