#include <fmt/core.h>

#include "steelyard/base/text.hpp"
#include "steelyard/domain/cells.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "steelyard/ingest/shorthand.hpp"

namespace steelyard::ingest {
namespace {

std::string shown_weight(const SetRow& row, Unit show_in) {
  const double scale = show_in == Unit::lb ? k_kg_per_lb : 1.0;
  auto shown = fmt::format("{} {}", format_number(*row.weight_kg / scale, 2), word(show_in));
  if (!row.unit || *row.unit == show_in) return shown;
  return fmt::format("{} ({} {} as typed)", shown, print_weight(*row.weight_kg, *row.unit), word(*row.unit));
}

std::string line_of(const SetRow& row, Unit show_in) {
  std::string line =
      fmt::format("{}: {} {} of {}", spoken_lift(row.lift), row.sets, row.sets == 1 ? "set" : "sets", row.reps);
  if (row.weight_kg) line += fmt::format(" at {}", shown_weight(row, show_in));
  if (row.percent) line += fmt::format(" at {} % of the training max", format_number(*row.percent));
  if (!row.weight_kg && !row.percent) line += " without weight";
  if (row.rpe) line += fmt::format(", RPE {}", format_number(*row.rpe));
  if (row.missed) line += fmt::format(", {} missed", *row.missed);
  return line;
}

}  // namespace

std::vector<std::string> echo(const ParsedLog& log, Unit show_in) {
  std::vector<std::string> lines;
  for (const SetRow& row : log.sets) lines.push_back(line_of(row, show_in));
  const Session& session = log.session;
  if (session.minutes) lines.push_back(fmt::format("session: {} min", format_number(*session.minutes)));
  if (session.rpe) lines.push_back(fmt::format("session: RPE {}", format_number(*session.rpe)));
  if (session.kind) lines.push_back(fmt::format("session: {}", word(*session.kind)));
  if (!session.note.empty()) lines.push_back(fmt::format("note: {}", session.note));
  return lines;
}

std::string_view grammar_text() {
  return R"(Items separated by commas:
  LIFT WEIGHT SETSxREPS    squat 140 3x5          three sets of five at 140
  LIFT WEIGHTxREPS         squat 140x5            one set of five at 140
  LIFT WEIGHTxREPSxSETS    squat 140x5x3          three sets of five at 140
                           bench 100x5 102.5x4    several sets of one lift
  @RPE behind the sets     squat 140 3x5 @8       RPE of these sets, 1-10
  miss N behind the sets   squat 140 3x5 miss 2   repetitions of the last set that were not done
  N min                    75 min                 length of the session
  rpe N                    rpe 7                  RPE of the whole session, 0-10
  a kind of session        heavy, volume, speed, light, sport, other
  "text"                   "slept badly"          a note
A weight is a number with or without kg or lb, a percent of the training max (70%), or bw (no weight).
Without kg or lb it is in the athlete's unit. A whole number up to 10 in front of x needs its unit: 5 kg x8.
A lift holds until the next lift. Write decimals with a point.
Example: squat 140 3x5 @8, bench 100x5x3, 75 min, rpe 7
)";
}

}  // namespace steelyard::ingest
