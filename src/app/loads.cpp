#include "steelyard/app/loads.hpp"

#include <algorithm>

#include "app/files.hpp"
#include "app/span.hpp"
#include "steelyard/load/figures.hpp"

namespace steelyard::app {

Result<LoadReport> loads(Context& context, const Athlete& athlete, Day today, const LoadOptions& options) {
  STEELYARD_TRY_ASSIGN(const AthleteLog log, context.store.log(athlete.athlete, k_first_day, k_last_day));
  const LoadModel& model = context.models.load;
  const Day last = std::min(options.to.value_or(today), today);
  const auto series = series::day_series(log, k_first_day, last, today, model, options.gaps);
  LoadReport report{.athlete = athlete.athlete,
                    .days = load::figures(series, model),
                    .sd_name = std::string(load::sd_name(model.monotony.sd)),
                    .ewma_start = std::string(load::ewma_start_name(model.ewma.start))};
  cut(report, options);
  return report;
}

void cut(LoadReport& report, const LoadOptions& options) {
  auto& days = report.days;
  std::erase_if(days, [&](const DayFigures& day) {
    return (options.from && day.date < *options.from) || (options.to && day.date > *options.to);
  });
  if (!options.latest || days.empty()) return;
  // The day under way has no figures yet; yesterday's are the latest.
  if (days.size() > 1 && days.back().status == DayStatus::open) days.pop_back();
  days.erase(days.begin(), days.end() - 1);
}

}  // namespace steelyard::app
