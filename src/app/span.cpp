#include "app/span.hpp"

#include <fmt/core.h>

namespace steelyard::app {

Result<void> check_span(Day from, Day to) {
  if (from <= to) return {};
  return fail(Errc::usage,
              fmt::format("the span from {} to {} ends before it begins; allowed: a last day on or after the first",
                          format_day(from), format_day(to)),
              "to");
}

Result<void> rewrite_part(store::Entry& entry, const SetRow& one,
                          const std::function<void(std::vector<SetRow>&)>& change) {
  STEELYARD_TRY_ASSIGN(const AthleteLog log, entry.log(one.athlete, one.date, one.date));
  std::vector<SetRow> part;
  for (const SetRow& set : log.sets) {
    if (set.date == one.date && set.part.value_or(1) == one.part.value_or(1)) part.push_back(set);
  }
  for (auto set = part.rbegin(); set != part.rend(); ++set) STEELYARD_TRY(entry.remove(*set));
  change(part);
  for (const SetRow& set : part) STEELYARD_TRY(entry.put(set));
  return {};
}

}  // namespace steelyard::app
