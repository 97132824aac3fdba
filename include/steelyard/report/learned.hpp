#pragma once
/// What was learned about a lifter, and marks of past forecasts, as text, JSON and CSV.

#include <string>
#include <string_view>

#include "steelyard/domain/learned.hpp"
#include "steelyard/report/json.hpp"
#include "steelyard/report/look.hpp"

namespace steelyard::report {

[[nodiscard]] std::string strength_text(const StrengthReport& report, const Look& look);
[[nodiscard]] std::string marks_text(const Marks& marks, const Look& look);
[[nodiscard]] std::string learn_text(const LearnReport& report, const Look& look);

[[nodiscard]] std::string strength_json(const StrengthReport& report, Layout layout = Layout::compact);
/// Targets are keys beside "athlete".
[[nodiscard]] std::string marks_json(const Marks& marks, Layout layout = Layout::compact);
[[nodiscard]] std::string learn_json(const LearnReport& report, Layout layout = Layout::compact);

/// One line a forecast.
[[nodiscard]] std::string_view marks_csv_header();
void append_marks_csv(std::string& out, const ForecastLine& line);

}  // namespace steelyard::report
