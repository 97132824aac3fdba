#pragma once
/// The morning check: what is usual for this lifter, and planned sessions about which nothing was entered.

#include <array>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/app/record.hpp"

namespace steelyard::app {

/// The items that are asked one by one, by their columns, in the order of the questions.
inline constexpr std::array<std::string_view, 6> k_check_items{"sleep_hours", "sleep_quality", "soreness",
                                                               "fatigue",     "stress",        "mood"};

/// The value of a column of the check that holds a number; none = blank, or no such column.
[[nodiscard]] std::optional<double> check_item(const Check& check, std::string_view name);

/// unit  as the columns: hours to the nearest half, 1-7 to the nearest whole
using UsualCheck = std::map<std::string, double, std::less<>>;

/// A planned session of the last days without an entry or a day off.
struct Unentered {
  Day date{};
  std::vector<PlanRow> plan;  ///< the main lift first
};

struct Morning {
  UsualCheck usual;                  ///< items that are known; none of the others
  std::vector<Unentered> unentered;  ///< of the seven days before, oldest first
  std::optional<Check> check;        ///< entered already
};
[[nodiscard]] Result<Morning> morning_of(Context& context, const Athlete& athlete, Day day);

/// "It was done as planned": a session with the planned minutes and sets, without an RPE.
/// errors  no_input (nothing is planned that day, or something was entered), usage (the day is later than `today`)
[[nodiscard]] Result<void> mark_done(Context& context, const Athlete& athlete, Day day, Day today);
/// "I did not train": a day off for the reason "missed". errors  as mark_done
[[nodiscard]] Result<void> mark_missed(Context& context, const Athlete& athlete, Day day, Day today);

/// Adds what was typed to the check of that day; `as_usual` fills the asked items that are still blank.
/// returns  number of new questions      errors  usage (nothing to store), bad_data with where = column
[[nodiscard]] Result<std::size_t> store_check(Context& context, const Athlete& athlete, Day day,
                                              std::span<const ColumnText> typed, bool as_usual);

}  // namespace steelyard::app
