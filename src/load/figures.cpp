#include "steelyard/load/figures.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "steelyard/series/usual.hpp"

namespace steelyard::load {
namespace {

using series::DaySeries;
using series::SeriesDay;

constexpr int k_week = 7;
constexpr int k_month = 28;

/// What a stretch of days adds up to: as known, and with its unlogged days at zero and at usual.
struct Stretch {
  bool complete = true;
  int unknown = 0;
  double with_zero = 0;
  double with_usual = 0;
};

Stretch stretch(std::span<const SeriesDay> days, std::span<const double> usual) {
  Stretch sum;
  for (std::size_t i = 0; i < days.size(); ++i) {
    if (days[i].known()) {
      sum.with_zero += *days[i].load_au;
      sum.with_usual += *days[i].load_au;
    } else {
      sum.complete = false;
      ++sum.unknown;
      sum.with_usual += usual[i];
    }
  }
  return sum;
}

/// Usual load of each unlogged day (of its weekday, else of any day before); 0 where nothing is known yet.
std::vector<double> usual_loads(const DaySeries& series, const LoadModel& model) {
  std::vector<double> usual(series.days.size(), 0);
  double known_sum = 0;
  int known = 0;
  for (std::size_t i = 0; i < series.days.size(); ++i) {
    const SeriesDay& day = series.days[i];
    if (day.known()) {
      known_sum += *day.load_au;
      ++known;
    } else {
      usual[i] = series::usual_load(series, day.date, model).value_or(known > 0 ? known_sum / known : 0);
    }
  }
  return usual;
}

int band(double ratio, const LoadModel& model) {
  if (ratio > model.ratio.band_high) return 1;
  return ratio < model.ratio.band_low ? -1 : 0;
}

std::optional<double> over(double numerator, double denominator) {
  if (denominator <= 0) return std::nullopt;
  return numerator / denominator;
}

/// Least and greatest coupled ratio over the four corners of zero and usual.
void corners(DayFigures& day, const Stretch& acute, const Stretch& older) {
  for (const double a : {acute.with_zero, acute.with_usual}) {
    for (const double b : {older.with_zero, older.with_usual}) {
      const auto ratio = over(4 * a, a + b);
      if (!ratio) continue;
      day.ratio_low = std::min(day.ratio_low.value_or(*ratio), *ratio);
      day.ratio_high = std::max(day.ratio_high.value_or(*ratio), *ratio);
    }
  }
}

class Ewma {
 public:
  Ewma(const DaySeries& series, const LoadModel& model)
      : a_(ewma_alpha(model.ewma.acute_days)), c_(ewma_alpha(model.ewma.chronic_days)) {
    if (model.ewma.start == EwmaStart::first_load) return;
    std::vector<double> first;
    for (std::size_t i = 0; i < series.days.size() && i < k_month; ++i) {
      if (series.days[i].known()) first.push_back(*series.days[i].load_au);
    }
    if (const auto m = series::moments(first)) acute_ = chronic_ = m->mean;
  }

  void step(double load) {
    acute_ = acute_ ? *acute_ + a_ * (load - *acute_) : load;
    chronic_ = chronic_ ? *chronic_ + c_ * (load - *chronic_) : load;
  }
  [[nodiscard]] std::optional<double> acute() const { return acute_; }
  [[nodiscard]] std::optional<double> chronic() const { return chronic_; }

 private:
  double a_;
  double c_;
  std::optional<double> acute_;
  std::optional<double> chronic_;
};

void week_figures(DayFigures& day, std::span<const SeriesDay> week, const Stretch& acute, const LoadModel& model) {
  if (!acute.complete) return;
  day.acute7_au = acute.with_zero;
  std::array<double, k_week> loads{};
  for (std::size_t i = 0; i < loads.size(); ++i) loads[i] = *week[i].load_au;
  const Monotony m = monotony(loads, model.monotony.sd);
  day.no_variation = !m.value;
  day.monotony = m.value;
  if (m.value) day.week_strain_au = acute.with_zero * *m.value;
}

void ratio_figures(DayFigures& day, const Stretch& acute, const Stretch& older, const LoadModel& model) {
  day.unlogged_of_28 = acute.unknown + older.unknown;
  if (acute.complete && older.complete) day.chronic28_au = (acute.with_zero + older.with_zero) / 4;
  corners(day, acute, older);
  const bool enough = k_month - day.unlogged_of_28 >= model.ratio.known_days_needed;
  const bool agree = !day.ratio_low || band(*day.ratio_low, model) == band(*day.ratio_high, model);
  day.state = enough && agree ? RatioState::known : RatioState::uncertain;
  if (day.state != RatioState::known) return;
  day.ratio_coupled = over(4 * acute.with_usual, acute.with_usual + older.with_usual);
  day.ratio_uncoupled = over(acute.with_usual, older.with_usual / 3);
}

void ewma_figures(DayFigures& day, const Ewma& ewma, bool shown) {
  if (!shown) return;
  day.ewma_acute_au = ewma.acute();
  day.ewma_chronic_au = ewma.chronic();
  if (day.ewma_acute_au && day.ewma_chronic_au) day.ratio_ewma = over(*day.ewma_acute_au, *day.ewma_chronic_au);
}

void history_figures(std::vector<DayFigures>& all, std::size_t i, const LoadModel& model) {
  DayFigures& day = all[i];
  if (i >= k_week && day.acute7_au && all[i - k_week].acute7_au && *all[i - k_week].acute7_au > 0) {
    day.week_change_percent = 100 * (*day.acute7_au / *all[i - k_week].acute7_au - 1);
  }
  const auto back = [&](int weeks) { return i - std::min(i, static_cast<std::size_t>(weeks) * k_week); };
  if (day.acute7_au) {
    int below = 0;
    int known = 0;
    for (std::size_t k = back(model.series.percentile_weeks); k < i; ++k) {
      if (!all[k].acute7_au) continue;
      ++known;
      if (*all[k].acute7_au <= *day.acute7_au) ++below;
    }
    if (known >= k_month) day.percentile26 = 100.0 * below / known;
  }
  if (i < k_week) return;
  for (std::size_t k = back(model.series.usual_weeks); k + k_week <= i; ++k) {
    if (all[k].acute7_au) day.highest8_au = std::max(day.highest8_au.value_or(0), *all[k].acute7_au);
  }
}

}  // namespace

std::string_view sd_name(Sd sd) {
  return sd == Sd::sample ? "sample" : "population";
}
std::string_view ewma_start_name(EwmaStart start) {
  return start == EwmaStart::first_load ? "first-load" : "mean-of-first-28";
}

double coupled_from_uncoupled(double uncoupled) {
  return 4 * uncoupled / (uncoupled + 3);
}

Monotony monotony(std::span<const double> week, Sd sd) {
  Monotony result;
  const auto m = series::moments(week);
  if (!m) return result;
  const auto n = static_cast<double>(week.size());
  result.mean = m->mean;
  result.sd = sd == Sd::sample ? m->sd : m->sd * std::sqrt((n - 1) / n);
  if (result.sd > 0) result.value = result.mean / result.sd;
  return result;
}

std::vector<DayFigures> figures(const DaySeries& series, const LoadModel& model, bool own_history) {
  std::vector<DayFigures> all;
  all.reserve(series.days.size());
  const auto usual = usual_loads(series, model);
  const std::span days(series.days);
  const std::span usuals(usual);
  Ewma ewma(series, model);
  for (std::size_t i = 0; i < days.size(); ++i) {
    const SeriesDay& source = days[i];
    DayFigures day{
        .date = source.date, .status = source.status, .load_au = source.load_au, .estimated = source.estimated};
    if (source.status == DayStatus::open) {  // what is known of it is what was known yesterday
      if (!all.empty()) day.state = all.back().state;
      all.push_back(day);
      continue;
    }
    ewma.step(source.load_au.value_or(usual[i]));
    const int age = series.first_entry ? days_between(*series.first_entry, source.date) + 1 : 0;
    Stretch acute;
    if (i + 1 >= k_week) {
      acute = stretch(days.subspan(i + 1 - k_week, k_week), usuals.subspan(i + 1 - k_week, k_week));
      week_figures(day, days.subspan(i + 1 - k_week, k_week), acute, model);
    }
    if (i + 1 >= k_month && age >= k_month) {
      ratio_figures(
          day, acute,
          stretch(days.subspan(i + 1 - k_month, k_month - k_week), usuals.subspan(i + 1 - k_month, k_month - k_week)),
          model);
    } else {
      for (std::size_t k = 0; k <= i; ++k) day.unlogged_of_28 += i - k < k_month && !days[k].known() ? 1 : 0;
    }
    const bool shown =
        model.ewma.start == EwmaStart::first_load ? day.state != RatioState::uncertain : day.state == RatioState::known;
    ewma_figures(day, ewma, shown);
    all.push_back(day);
    if (own_history) history_figures(all, i, model);
  }
  return all;
}

std::vector<LoadPart> what_raised(const DaySeries& series, Day last_day, const LoadModel& model) {
  std::vector<std::pair<double, LoadPart>> excess;
  for (Day day = last_day - Days{k_week - 1}; day <= last_day; day += Days{1}) {
    const SeriesDay* entry = series.at(day);
    if (entry == nullptr) continue;
    // The usual load of the weekday counts against the day's sessions in order.
    double usual = series::usual_load(series, day, model).value_or(0);
    for (const LoadPart& part : entry->parts) {
      const double covered = std::min(usual, part.load_au);
      usual -= covered;
      if (part.load_au - covered > 0) excess.emplace_back(part.load_au - covered, part);
    }
  }
  std::stable_sort(excess.begin(), excess.end(), [](const auto& a, const auto& b) { return a.first > b.first; });
  std::vector<LoadPart> parts;
  for (auto& [above, part] : excess) parts.push_back(std::move(part));
  return parts;
}

}  // namespace steelyard::load
