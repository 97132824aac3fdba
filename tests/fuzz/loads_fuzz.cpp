// Daily loads. Differential: the figures of a log day by day, each computed when that day was the last one, against
// those of the whole log at once; sums against a plain loop; and the form for many athletes against the general one.
// What is learned: walked in pieces, saved and loaded in between, against one walk.
#include <cmath>

#include "app/rolling_loads.hpp"
#include "fuzz/fuzz.hpp"
#include "steelyard/learn/learner.hpp"
#include "steelyard/load/figures.hpp"

namespace steelyard::fuzz {
namespace {

constexpr Day k_first{Days{20'000}};

/// A byte a day: 0 rest, 255 not logged, otherwise a load.
series::DaySeries series_of(std::string_view bytes) {
  series::DaySeries series;
  series.first_entry = k_first;
  for (std::size_t i = 0; i < bytes.size(); ++i) {
    const auto value = static_cast<unsigned char>(bytes[i]);
    series::SeriesDay day{.date = k_first + Days{static_cast<int>(i)}};
    if (value == 0) {
      day.status = DayStatus::rest;
      day.load_au = 0;
    } else if (value < 255) {
      day.status = DayStatus::trained;
      day.load_au = value * 7.5;
    }
    series.days.push_back(day);
  }
  return series;
}

bool same(std::optional<double> a, std::optional<double> b) {
  if (a.has_value() != b.has_value()) return false;
  return !a || std::abs(*a - *b) <= 1e-9 * std::max(1.0, std::abs(*a));
}

void expect_same(const DayFigures& a, const DayFigures& b) {
  expect(a.date == b.date && a.state == b.state && a.unlogged_of_28 == b.unlogged_of_28, "the same day");
  expect(same(a.acute7_au, b.acute7_au) && same(a.chronic28_au, b.chronic28_au), "the same sums");
  expect(same(a.ratio_coupled, b.ratio_coupled) && same(a.ratio_uncoupled, b.ratio_uncoupled), "the same ratios");
  expect(same(a.ewma_acute_au, b.ewma_acute_au) && same(a.ewma_chronic_au, b.ewma_chronic_au), "the same means");
  expect(same(a.monotony, b.monotony) && same(a.week_strain_au, b.week_strain_au), "the same monotony");
}

std::optional<double> plain_sum(const series::DaySeries& series, std::size_t last, std::size_t count) {
  if (last + 1 < count) return std::nullopt;
  double sum = 0;
  for (std::size_t i = last + 1 - count; i <= last; ++i) {
    if (!series.days[i].load_au) return std::nullopt;
    sum += *series.days[i].load_au;
  }
  return sum;
}

/// A byte a day: 0 a rest day with a check, 255 nothing; else a session, mostly with a check, every other time with a
/// set.
AthleteLog log_of(std::string_view bytes) {
  AthleteLog log{.athlete = {.athlete = "a1"},
                 .maxes = {{.athlete = "a1", .lift = "squat", .from = k_first, .training_max_kg = 150}}};
  for (std::size_t i = 0; i < bytes.size(); ++i) {
    const int value = static_cast<unsigned char>(bytes[i]);
    const Day date = k_first + Days{static_cast<int>(i)};
    if (value == 255) continue;
    if (value % 5 != 4) {
      log.checks.push_back({.athlete = "a1", .date = date, .sleep_hours = 4 + value % 6, .soreness = 1 + value % 7});
    }
    if (value == 0) continue;
    log.sessions.push_back({.athlete = "a1", .date = date, .part = 1, .minutes = 1.0 * value, .rpe = 1 + value % 10});
    if (value % 2 == 0) continue;
    log.sets.push_back({.athlete = "a1",
                        .date = date,
                        .part = 1,
                        .lift = "squat",
                        .reps = 1 + value % 6,
                        .weight_kg = 60 + value / 2.0,
                        .rpe = 6 + value % 4,
                        .position = 1});
  }
  return log;
}

void walk_in_pieces(std::string_view bytes) {
  static const auto learner = learn::Learner::make(shipped_models()).value();
  const AthleteLog log = log_of(bytes);
  const Day last = k_first + Days{static_cast<int>(bytes.size()) - 1};
  learn::LearnedState whole;
  learner.walk(log, last, whole);
  learn::LearnedState pieces;
  for (const std::size_t days : {bytes.size() / 3, bytes.size() * 2 / 3, bytes.size()}) {
    if (days == 0) continue;
    learner.walk(log_of(bytes.substr(0, days)), k_first + Days{static_cast<int>(days) - 1}, pieces);
    auto loaded = learner.load(learner.save(pieces));
    expect(loaded.has_value(), "what was saved can be loaded");
    pieces = std::move(*loaded);
  }
  expect(learner.save(pieces) == learner.save(whole), "walked in pieces as in one");
}

}  // namespace
}  // namespace steelyard::fuzz

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace steelyard;
  using namespace steelyard::fuzz;
  if (size == 0 || size > 400) return 0;
  const auto bytes = text_of(data, size);
  const LoadModel& model = shipped_models().load;
  const auto whole = series_of(bytes);
  const auto figures = load::figures(whole, model, false);
  expect(figures.size() == size, "a figure a day");
  for (std::size_t i = 0; i < size; ++i) {
    expect(same(figures[i].acute7_au, plain_sum(whole, i, 7)), "the sum of seven days");
    const auto four_weeks = plain_sum(whole, i, 28);
    expect(same(figures[i].chronic28_au, four_weeks ? std::optional(*four_weeks / 4) : std::nullopt),
           "a quarter of the sum of 28 days");
  }
  // The EWMA starts from the mean of the first 28 days: before they are over, there is nothing to compare.
  for (std::size_t i = 1; i <= size; i += 1 + size / 16) {
    expect_same(load::figures(series_of(bytes.substr(0, i)), model, false).back(), figures[i - 1]);
  }
  std::vector<double> known;
  for (const auto& day : whole.days) {
    if (day.load_au) known.push_back(*day.load_au);
  }
  if (known.size() == size) {
    const app::RollingModel rolling_model(model);
    app::RollingLoads rolling;
    for (std::size_t i = 0; i < size; ++i) {
      expect(rolling.add(day_number(k_first) + static_cast<int>(i), known[i], rolling_model), "days in their order");
    }
    const DayFigures last = rolling.finish(rolling_model);
    expect(same(last.acute7_au, figures.back().acute7_au) && same(last.chronic28_au, figures.back().chronic28_au) &&
               same(last.ratio_coupled, figures.back().ratio_coupled) &&
               same(last.ewma_chronic_au, figures.back().ewma_chronic_au) &&
               same(last.monotony, figures.back().monotony),
           "the form for many athletes gives the same");
  }
  walk_in_pieces(bytes);
  return 0;
}
