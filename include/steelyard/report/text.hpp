#pragma once
/// Answers as text for a person: one sentence first, then the reasons, then the numbers.
/// definition  Every line ends with '\n' and is at most usable_width(look) columns wide. Nothing is computed here but
///             the wording: every figure comes from the record. Text that people typed is cleaned (look.hpp).

#include <span>
#include <string>

#include "steelyard/domain/call.hpp"
#include "steelyard/domain/figures.hpp"
#include "steelyard/domain/week.hpp"
#include "steelyard/report/chart.hpp"
#include "steelyard/report/look.hpp"

namespace steelyard::report {

/// With an open caution that stops training (now, today) it holds that and the two ways out, and nothing else.
/// domain  bands: percent ranges of the day kinds to name on the level; none = the level without them
[[nodiscard]] std::string today_text(const DayCall& call, const Look& look, std::span<const KindBand> bands = {});

/// Every figure behind a call, to the last digit.
[[nodiscard]] std::string why_text(const DayCall& call, const Look& look);

[[nodiscard]] std::string compare_text(const Comparison& comparison, const Look& look);

[[nodiscard]] std::string week_text(const WeekReview& review, const Look& look);

/// The last four weeks as bars, the last 14 days as a table, and the week's figures with their formulas.
[[nodiscard]] std::string loads_text(const LoadReport& report, const Look& look);

[[nodiscard]] std::string questions_text(std::span<const Question> questions, const Look& look);

}  // namespace steelyard::report
