// How long the parts of an answer take, each alone. Not a test: nothing is compared with a goal.
//   bench_parts [--benchmark_filter=REGEX] [--benchmark_repetitions=N]
#include <benchmark/benchmark.h>

#include <filesystem>
#include <sstream>

#include "app/rolling_loads.hpp"
#include "ingest/csv.hpp"
#include "ingest/reading.hpp"
#include "ingest/row_parser.hpp"
#include "learn/simulated.hpp"
#include "steelyard/decide/ahead.hpp"
#include "steelyard/decide/call.hpp"
#include "steelyard/fit/rep_max.hpp"
#include "steelyard/learn/learner.hpp"

namespace steelyard {
namespace {

constexpr std::string_view k_athlete = "hc05";
const Day k_day = *parse_day("2026-11-23");

/// Invented sessions of 100 athletes.
std::string sessions_csv(int rows) {
  std::string text = "athlete,date,minutes,rpe,note\n";
  for (int i = 0; i < rows; ++i) {
    text += "a" + std::to_string(i % 100) + "," + format_day(k_day - Days{rows / 100 - i / 100}) + "," +
            std::to_string(30 + i % 61) + "," + std::to_string(4 + i % 5) + ".5,\"as usual, no more\"\n";
  }
  return text;
}

/// What the sample logs hold about one lifter.
AthleteLog sample_log() {
  AthleteLog log;
  const ingest::AthleteLookup anybody = [](std::string_view) { return std::nullopt; };
  const auto keep = [&](Record&& record, std::size_t) -> Result<void> {
    std::visit(
        [&]<class R>(R& row) {
          if (row.athlete != k_athlete) return;
          if constexpr (std::is_same_v<R, Athlete>) log.athlete = row;
          if constexpr (std::is_same_v<R, TrainingMax>) log.maxes.push_back(row);
          if constexpr (std::is_same_v<R, PlanRow>) log.plan.push_back(row);
          if constexpr (std::is_same_v<R, Period>) log.periods.push_back(row);
          if constexpr (std::is_same_v<R, DaysOff>) log.days_off.push_back(row);
          if constexpr (std::is_same_v<R, Session>) log.sessions.push_back(row);
          if constexpr (std::is_same_v<R, SetRow>) log.sets.push_back(row);
          if constexpr (std::is_same_v<R, Check>) log.checks.push_back(row);
          if constexpr (std::is_same_v<R, BarSpeed>) log.bar.push_back(row);
        },
        record);
    return {};
  };
  for (const auto& file : std::filesystem::directory_iterator(STEELYARD_SOURCE_DIR "/sample-logs")) {
    if (file.path().extension() != ".csv") continue;
    std::ostringstream text;
    text << std::ifstream(file.path()).rdbuf();
    ingest::TextSource source(text.str());
    if (!ingest::read_log(source, file.path().string(), anybody, keep, {.any_athlete = true})) std::abort();
  }
  const auto by_day = [](const auto& a, const auto& b) { return a.date < b.date; };
  std::stable_sort(log.sessions.begin(), log.sessions.end(), by_day);
  std::stable_sort(log.sets.begin(), log.sets.end(), by_day);
  std::stable_sort(log.checks.begin(), log.checks.end(), by_day);
  log.first_entry = std::min(log.sessions.front().date, log.checks.front().date);
  return log;
}

void csv_rows(benchmark::State& state) {
  constexpr int k_rows = 10'000;
  const std::string text = sessions_csv(k_rows);
  for (auto _ : state) {
    ingest::TextSource source(text);
    ingest::Lines lines(source, {});
    ingest::CsvReader reader(lines);
    ingest::CsvRow row;
    while (*reader.next(row)) benchmark::DoNotOptimize(row.cells.data());
  }
  state.SetItemsProcessed(state.iterations() * k_rows);
  state.SetBytesProcessed(state.iterations() * static_cast<std::int64_t>(text.size()));
}
BENCHMARK(csv_rows);

void row_check(benchmark::State& state) {
  const ingest::AthleteLookup anybody = [](std::string_view) { return std::nullopt; };
  ingest::RowParser parser(anybody, true);
  const std::vector<std::string_view> cells{"hc05", "2026-11-23", "1", "heavy", "75", "7.5", "8200", "felt good"};
  for (auto _ : state) benchmark::DoNotOptimize(parser.parse(RecordKind::sessions, cells));
}
BENCHMARK(row_check);

/// A day of one athlete's load figures: sums, ratios, EWMA, monotony.
void load_day(benchmark::State& state) {
  const app::RollingModel model(testing::shipped_models().load);
  app::RollingLoads loads;
  int day = 0;
  for (auto _ : state) {
    benchmark::DoNotOptimize(loads.add(day, day % 3 == 0 ? 0 : 300 + day % 200, model));
    ++day;
  }
}
BENCHMARK(load_day);

void rep_max_of_a_session(benchmark::State& state) {
  const auto curve = fit::RepMax::make(testing::shipped_models().strength).value();
  const std::vector<fit::SetResult> sets{{.kg = 140, .reps = 3, .sets = 2, .rpe = 8},
                                         {.kg = 130, .reps = 5, .sets = 3, .rpe = 8.5},
                                         {.kg = 120, .reps = 8}};
  for (auto _ : state) benchmark::DoNotOptimize(curve.session_e1rm(sets));
}
BENCHMARK(rep_max_of_a_session);

/// One day of one lift with its whole grid: step, forecast and update.
void learned_day_of_a_lift(benchmark::State& state) {
  const auto response = fit::StrengthResponse::make(testing::shipped_models().response.strength).value();
  auto learned = response.start();
  const fit::ResponseInputs inputs{
      .sleep = 0.3, .fatigue = -0.5, .stress = 0.2, .soreness = 1, .mood = -0.4, .bar_speed = 0.1};
  int day = 0;
  for (auto _ : state) {
    response.step(learned, day % 3 == 0 ? 2.5 : 0);
    benchmark::DoNotOptimize(response.distribution(learned, inputs).part[0].mean);
    response.update(learned, inputs, {.log_points = day % 7 - 3.0, .sd_percent = 3});
    ++day;
  }
}
BENCHMARK(learned_day_of_a_lift);

/// Three years of one main lift and five items, from the entries; with or without every forecast.
void three_years_learned(benchmark::State& state) {
  testing::Truth truth;
  truth.days = 3 * 365;
  const auto lifter = testing::Simulator(truth, 1).live();
  const auto learner = learn::Learner::make(testing::shipped_models()).value();
  long forecasts = 0;
  const auto watcher =
      state.range(0) == 1 ? learn::Watcher([&](const learn::Scored&) { ++forecasts; }) : learn::Watcher{};
  for (auto _ : state) {
    learn::LearnedState learned;
    learner.walk(lifter.log, lifter.last, learned, watcher);
  }
  state.SetItemsProcessed(state.iterations() * truth.days);
}
BENCHMARK(three_years_learned)->Arg(0)->Arg(1)->Unit(benchmark::kMillisecond);

/// A lifter of the sample logs on the morning of a call.
struct Morning {
  const Models& models = testing::shipped_models();
  AthleteLog log = sample_log();
  learn::Learner learner = learn::Learner::make(models).value();
  learn::LearnedState learned;
  learn::Today today;

  Morning() {
    learner.walk(log, k_day - Days{1}, learned);
    today = learner.today(log, k_day, learned);
  }
};

void call_of_a_lifter(benchmark::State& state) {
  const Morning morning;
  for (auto _ : state) {
    benchmark::DoNotOptimize(decide::call_for(morning.log, k_day, morning.models, &morning.today));
  }
}
BENCHMARK(call_of_a_lifter)->Unit(benchmark::kMicrosecond);

void days_ahead(benchmark::State& state) {
  const Morning morning;
  const DayCall call = decide::call_for(morning.log, k_day, morning.models, &morning.today);
  for (auto _ : state) benchmark::DoNotOptimize(decide::look_ahead(morning.log, k_day, call, morning.models));
}
BENCHMARK(days_ahead)->Unit(benchmark::kMicrosecond);

}  // namespace
}  // namespace steelyard

BENCHMARK_MAIN();
