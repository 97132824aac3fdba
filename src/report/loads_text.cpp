#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "steelyard/base/text.hpp"
#include "steelyard/report/text.hpp"
#include "steelyard/report/write.hpp"

namespace steelyard::report {
namespace {

constexpr std::size_t k_chart_days = 28;
constexpr std::size_t k_table_days = 14;

std::string au(double x) {
  return unbroken(whole_text(x) + " AU");
}

/// "4 % above", "12 % below", "as much as"
std::string against(double percent) {
  const double rounded = std::round(percent);
  if (rounded == 0) return "the same as";
  return unbroken(format_number(std::fabs(rounded), 0) + " %") + (rounded > 0 ? " above" : " below");
}

std::string gaps(const DayFigures& day) {
  return day.unlogged_of_28 == 0 ? std::string{}
                                 : fmt::format("{} of the last 28 days {} not logged", day.unlogged_of_28,
                                               day.unlogged_of_28 == 1 ? "is" : "are");
}

/// With a gap in the week, what is known of it is its least possible sum.
std::string first_sentence(std::span<const DayFigures> days) {
  const DayFigures& day = days.back();
  if (day.acute7_au && day.chronic28_au && *day.chronic28_au > 0) {
    return fmt::format("The last 7 days carry {}, {} the weekly mean of the last 28 days ({}).", au(*day.acute7_au),
                       against((*day.acute7_au / *day.chronic28_au - 1) * 100), au(*day.chronic28_au));
  }
  if (day.acute7_au) {
    return fmt::format("The last 7 days carry {}; there is no fully known month to hold it against.",
                       au(*day.acute7_au));
  }
  if (days.size() < 7)
    return fmt::format("There are {} on record, too few for a week.", counted(days.size(), "day", "days"));
  double known = 0;
  std::size_t missing = 0;
  for (const DayFigures& d : days.last(7)) {
    known += d.load_au.value_or(0);
    if (!d.load_au) ++missing;
  }
  return fmt::format("The last 7 days carry at least {}; {} not logged.", au(known),
                     counted(missing, "day is", "days are"));
}

std::string ratio_sentence(const DayFigures& day) {
  if (day.state == RatioState::too_short) return "There is no ratio yet: it needs 28 days since the first entry.";
  if (day.state == RatioState::uncertain || !day.ratio_coupled) return "No ratio is given.";
  std::string text = fmt::format("Ratio {:.2f} coupled (7-day sum / weekly mean of 28 days)", *day.ratio_coupled);
  if (day.ratio_uncoupled) {
    text += fmt::format(", {:.2f} uncoupled (/ weekly mean of the 21 days before)", *day.ratio_uncoupled);
  }
  return text + (day.unlogged_of_28 > 0 ? ", unlogged days counted as usual." : ".");
}

std::string gap_sentence(const DayFigures& day) {
  std::string text = gaps(day);
  if (day.ratio_low && day.ratio_high) {
    text += fmt::format(": between nothing and usual on them the coupled ratio reads {:.2f} to {:.2f}", *day.ratio_low,
                        *day.ratio_high);
  }
  return text + (day.state == RatioState::uncertain ? "; it decides nothing." : ".");
}

/// Monotony that k equal training days of seven have by themselves, whatever the sessions were.
/// definition  mean k/7, SD of k ones and 7-k zeros: sqrt(k (7-k) / 42) (sample) or sqrt(k (7-k)) / 7 (population)
std::optional<double> monotony_of_equal_days(int k, bool sample) {
  if (k < 1 || k > 6) return std::nullopt;
  const double sd = sample ? std::sqrt(k * (7 - k) / 42.0) : std::sqrt(k * (7 - k)) / 7;
  return k / 7.0 / sd;
}

void write_monotony(Sheet& page, const LoadReport& report, std::size_t last) {
  const DayFigures& day = report.days[last];
  if (day.no_variation) {
    page.bullet("Monotony has no value: the 7 days do not vary.");
    return;
  }
  if (!day.monotony || !day.acute7_au || *day.monotony <= 0) return;
  const double mean = *day.acute7_au / 7;
  std::string text = fmt::format("Monotony of the week {:.2f} = mean {} a day / {} SD {} of the 7 days", *day.monotony,
                                 au(mean), report.sd_name, au(mean / *day.monotony));
  if (day.week_strain_au) {
    text += fmt::format("; strain {} = {} x {:.2f}", au(*day.week_strain_au), au(*day.acute7_au), *day.monotony);
  }
  int trained = 0;
  for (std::size_t i = last + 1 - std::min<std::size_t>(7, last + 1); i <= last; ++i) {
    trained += report.days[i].load_au.value_or(0) > 0 ? 1 : 0;
  }
  const auto fixed = monotony_of_equal_days(trained, report.sd_name != "population");
  page.bullet(text + ".");
  if (last >= 6 && fixed) {
    page.bullet(fmt::format(
        "By itself, {} of equal load a week {} {:.2f}: the figure counts rest days more than sameness.",
        counted(static_cast<std::size_t>(trained), "day", "days"), trained == 1 ? "gives" : "give", *fixed));
  }
}

void write_week(Sheet& page, const LoadReport& report, std::size_t last) {
  const DayFigures& day = report.days[last];
  page.bullet(ratio_sentence(day));
  if (day.unlogged_of_28 > 0) page.bullet(gap_sentence(day));
  if (day.week_change_percent) {
    const double change = std::round(*day.week_change_percent);
    page.bullet(change == 0 ? std::string("As much as the 7 days before.")
                            : fmt::format("{} % {} than the 7 days before.", format_number(std::fabs(change), 0),
                                          change > 0 ? "more" : "less"));
  }
  if (day.highest8_au) {
    page.bullet(fmt::format("Highest 7-day sum of the eight weeks before: {}.", au(*day.highest8_au)) +
                (day.percentile26 ? fmt::format(" This one is as high as or higher than {} % of those of 26 weeks.",
                                                whole_text(*day.percentile26))
                                  : ""));
  }
  if (day.ewma_acute_au && day.ewma_chronic_au) {
    page.bullet(fmt::format("Weighted means (N = 7 and 28, weight 2/(N+1), start {}): {} and {} a day{}.",
                            report.ewma_start, au(*day.ewma_acute_au), au(*day.ewma_chronic_au),
                            day.ratio_ewma ? fmt::format(", ratio {:.2f}", *day.ratio_ewma) : ""));
  }
  write_monotony(page, report, last);
}

std::string_view status_spoken(DayStatus status) {
  switch (status) {
    case DayStatus::trained:
      return "trained";
    case DayStatus::open:
      return "under way";
    case DayStatus::rest:
      return "rest";
    case DayStatus::unlogged:
      return "not logged";
  }
  return "";
}

std::string reading(const DayFigures& day) {
  if (!day.ratio_low || !day.ratio_high) return "-";
  return unbroken(fmt::format("{:.2f} to {:.2f}", *day.ratio_low, *day.ratio_high));
}

/// On a narrow screen the status (the chart shows it) and the readings (a sentence gives today's) are left out.
void write_table(Sheet& page, std::span<const DayFigures> days, const Look& look) {
  const bool wide = usable_width(look) >= 72;
  Table table;
  table.columns = {{"day"}, {"load", true}, {"7 days", true}, {"28-day mean", true}, {"ratio", true}};
  if (wide) {
    table.columns.insert(table.columns.begin() + 1, {"status"});
    table.columns.push_back({"low, high", true});
  }
  for (const DayFigures& day : days) {
    std::vector<std::string> row{unbroken(weekday_month_day(day.date)),
                                 unbroken((day.estimated ? "about " : "") + fixed_or_dash(day.load_au, 0)),
                                 fixed_or_dash(day.acute7_au, 0), fixed_or_dash(day.chronic28_au, 0),
                                 fixed_or_dash(day.ratio_coupled, 2)};
    if (wide) {
      row.insert(row.begin() + 1, unbroken(status_spoken(day.status)));
      row.push_back(reading(day));
    }
    table.rows.push_back(std::move(row));
  }
  page.table(table);
}

}  // namespace

void write_loads(Sheet& page, const LoadReport& report, const Look& look) {
  const std::span<const DayFigures> days(report.days);
  std::size_t closed = days.size();  // one past the last day that figures count
  while (closed > 0 && days[closed - 1].status == DayStatus::open) --closed;
  if (closed == 0) {
    page.text(fmt::format("No day of {} has a load yet.", report.athlete), Weight::bold);
    return;
  }
  page.text(first_sentence(days.first(closed)), Weight::bold);
  write_week(page, report, closed - 1);
  page.blank();
  page.load_chart(last_days(days, k_chart_days));
  page.blank();
  write_table(page, last_days(days, k_table_days), look);
  page.blank();
  page.text(fmt::format("AU = session RPE times minutes. 28-day mean: of a week. {}", k_ratio_note), Weight::dim);
  page.text(fmt::format("{}, up to {}.", report.athlete, long_day(days[closed - 1].date)), Weight::dim);
}

std::string loads_text(const LoadReport& report, const Look& look) {
  Page page(look);
  write_loads(page, report, look);
  return page.take();
}

}  // namespace steelyard::report
