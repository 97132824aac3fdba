#include "steelyard/app/loads.hpp"

#include <algorithm>

#include "app/files.hpp"
#include "app/read_log.hpp"
#include "app/span.hpp"
#include "steelyard/load/figures.hpp"
#include "steelyard/series/usual.hpp"

namespace steelyard::app {
namespace {

/// The median of the same weekday over the last weeks, with its least and greatest.
std::vector<UsualLoad> usual_loads(const LoadReport& report, const LoadModel& model) {
  std::vector<UsualLoad> found;
  for (std::size_t i = 0; i < report.days.size(); ++i) {
    if (report.days[i].status != DayStatus::unlogged) continue;
    std::vector<double> values;
    for (int week = 1; week <= model.series.usual_weeks; ++week) {
      const auto back = std::size_t{7} * static_cast<std::size_t>(week);
      if (back <= i && report.days[i - back].load_au) values.push_back(*report.days[i - back].load_au);
    }
    if (values.empty()) continue;
    const auto [low, high] = std::minmax_element(values.begin(), values.end());
    const double least = *low;
    const double greatest = *high;
    found.push_back({.date = report.days[i].date,
                     .usual_au = *series::median(std::move(values)),
                     .low_au = least,
                     .high_au = greatest});
  }
  return found;
}

}  // namespace

Result<LoadReport> loads(Context& context, const Athlete& athlete, Day today, const LoadOptions& options) {
  if (options.from && options.to) STEELYARD_TRY(check_span(*options.from, *options.to));
  STEELYARD_TRY_ASSIGN(const AthleteLog log, read_log(context, athlete.athlete, k_first_day, k_last_day));
  const LoadModel& model = context.models.load;
  const Day last = std::min(options.to.value_or(today), today);
  const auto series = series::day_series(log, k_first_day, last, today, model, options.gaps);
  LoadReport report{.athlete = athlete.athlete,
                    .days = load::figures(series, model),
                    .sd_name = std::string(load::sd_name(model.monotony.sd)),
                    .ewma_start = std::string(load::ewma_start_name(model.ewma.start))};
  report.usual_loads = usual_loads(report, model);
  cut(report, options);
  return report;
}

void cut(LoadReport& report, const LoadOptions& options) {
  auto& days = report.days;
  std::erase_if(days, [&](const DayFigures& day) {
    return (options.from && day.date < *options.from) || (options.to && day.date > *options.to);
  });
  const auto is_shown = [&](const UsualLoad& usual) {
    return !days.empty() && days.front().date <= usual.date && usual.date <= days.back().date;
  };
  std::erase_if(report.usual_loads, [&](const UsualLoad& usual) { return !is_shown(usual); });
  if (!options.latest || days.empty()) return;
  // The day under way has no figures yet; yesterday's are the latest.
  if (days.size() > 1 && days.back().status == DayStatus::open) days.pop_back();
  days.erase(days.begin(), days.end() - 1);
}

}  // namespace steelyard::app
