#pragma once
/// The wording of each answer, on whatever sheet it is wanted.
/// definition  One sentence first, then the reasons, then the numbers. Nothing is computed here but the wording: every
///             figure comes from the record.

#include <span>

#include "steelyard/domain/ahead.hpp"
#include "steelyard/domain/call.hpp"
#include "steelyard/domain/figures.hpp"
#include "steelyard/domain/learned.hpp"
#include "steelyard/domain/week.hpp"
#include "steelyard/report/sheet.hpp"

namespace steelyard::report {

/// With an open caution that stops training (now, today) it holds that and the two ways out, and nothing else.
/// domain  bands: percent ranges of the day kinds to name on the level; none = the level without them
void write_today(Sheet& sheet, const DayCall& call, const Look& look, std::span<const KindBand> bands = {});
void write_compare(Sheet& sheet, const Comparison& comparison, const Look& look);
void write_ahead(Sheet& sheet, const Ahead& ahead, const Look& look);
void write_week(Sheet& sheet, const WeekReview& review);
/// The last four weeks as a chart, the last 14 days as a table, and the week's figures with their formulas.
void write_loads(Sheet& sheet, const LoadReport& report, const Look& look);
void write_strength(Sheet& sheet, const StrengthReport& report, const Look& look);

}  // namespace steelyard::report
