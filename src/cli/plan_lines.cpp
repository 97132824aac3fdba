#include "cli/plan_lines.hpp"

#include <fmt/core.h>

#include <algorithm>

#include "cli/spaced.hpp"
#include "steelyard/app/show.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"

namespace steelyard::cli {

std::string plan_lines(std::span<const PlanRow> rows) {
  std::size_t width = 0;
  for (const PlanRow& row : rows) width = std::max(width, row.lift.size());
  std::string text;
  for (const PlanRow& row : rows) {
    std::string line = fmt::format("  {}  {:<{}}  {}", spaced(report::short_day(row.date)), spoken_lift(row.lift),
                                   width, word(row.kind));
    if (row.sets && row.reps) line += fmt::format(" {}x{}", *row.sets, *row.reps);
    if (row.percent) line += fmt::format(" at {} %", format_number(*row.percent));
    if (row.minutes) line += fmt::format(", {} min", format_number(*row.minutes));
    if (!row.note.empty()) line += fmt::format(" ({})", report::clean(row.note, {}));
    text += line + '\n';
  }
  return text;
}

}  // namespace steelyard::cli
