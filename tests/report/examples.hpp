#pragma once
/// Invented records for the tests of reports. No person, no diary behind them.

#include "steelyard/domain/call.hpp"
#include "steelyard/domain/figures.hpp"
#include "steelyard/domain/week.hpp"
#include "steelyard/report/chart.hpp"

namespace steelyard::report::examples {

[[nodiscard]] Day day(int month, int day_of_month);  ///< of 2026
[[nodiscard]] DayCall short_night();                 ///< less weight, one lift moved, an open caution, one question
[[nodiscard]] DayCall stopped();                     ///< a stop for today with everything else present
[[nodiscard]] Comparison options();
[[nodiscard]] WeekReview week();
/// Six weeks of three sessions and the day under way; the last session's load is estimated.
[[nodiscard]] LoadReport loads();
/// The same with a day of the last week that nobody logged.
[[nodiscard]] LoadReport loads_with_a_gap();
[[nodiscard]] std::vector<Question> questions();
[[nodiscard]] std::vector<KindBand> bands();

}  // namespace steelyard::report::examples
