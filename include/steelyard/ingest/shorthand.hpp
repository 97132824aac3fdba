#pragma once
/// Gym shorthand: what lifters write on paper, as one session.
///
/// grammar (documented in `log --help` and README from the same text; see grammar_text)
///   session  = item *( "," item )
///   item     = work | minutes | session-rpe | kind | note
///   work     = [lift] 1*( weight sets [ "@" RPE ] [ missed ] )   a lift holds until the next lift
///   weight   = number [ "kg" | "lb" | "lbs" ] | number "%" | "bw" (bodyweight: no weight)
///   sets     = SETS "x" REPS        after a weight and a blank:   140 3x5     three sets of five at 140
///            | "x" REPS             behind the weight:            100x5       one set of five at 100
///            | "x" REPS "x" SETS                                  100x5x3     three sets of five at 100
///   missed   = ( "miss" | "missed" ) number   of the last set's repetitions, how many were not done
///   minutes  = number "min"                   session length
///   session-rpe = "rpe" number                of the whole session, 0-10
///   kind     = "heavy" | "volume" | "speed" | "light" | "sport" | "other"
///   note     = text in double quotes
/// examples  squat 140 3x5 @8, bench 100x5x3, 75 min, rpe 7
///           squat 60% 8x2 @6, 55min, speed
/// definition  Capitals and small letters are the same. What could mean two things is refused: "3x8" without a weight
///           (a whole number up to 10 in front of "x" needs its unit: 5 kg x8, or bw 3x8) and a comma between two
///           digits of a number (140,5). A word close to a known lift is a typo; any other word is a new lift.
/// There are no keywords of a script language, no variables, functions or progression rules.

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/base/result.hpp"
#include "steelyard/domain/records.hpp"

namespace steelyard::ingest {

struct ShorthandContext {
  std::string athlete;
  Day date{};
  Unit units = Unit::kg;                      ///< of bare weights
  std::span<const std::string_view> lifts{};  ///< known lifts, for suggestions; another word is accepted as a new lift
};

struct ParsedLog {
  Session session;                     ///< part is none
  std::vector<SetRow> sets;            ///< part is none; position from 1
  std::vector<std::string> new_lifts;  ///< lifts outside the known ones
};

/// errors  bad_data; `what` holds the message, the text again and under it a caret at the place and, if there is one,
///         the nearest word ("did you mean 'squat'?")
[[nodiscard]] Result<ParsedLog> parse_shorthand(std::string_view text, const ShorthandContext& context);

/// What was understood, one line an item, for the echo before it is stored.
[[nodiscard]] std::vector<std::string> echo(const ParsedLog& log, Unit show_in);

/// The grammar as the help shows it.
[[nodiscard]] std::string_view grammar_text();

}  // namespace steelyard::ingest
