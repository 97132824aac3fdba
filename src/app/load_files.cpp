#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "app/athlete_table.hpp"
#include "app/session_chunks.hpp"
#include "steelyard/app/loads.hpp"
#include "steelyard/load/figures.hpp"

namespace steelyard::app {
namespace {

constexpr double k_no_session = std::numeric_limits<double>::quiet_NaN();

/// Daily sums of one athlete, from the first session to the last.
struct Sums {
  int first = 0;              ///< day number of loads[0]
  std::vector<double> loads;  ///< AU; NaN = no session that day
  bool incomplete = false;    ///< some session lacks minutes or RPE: the rows themselves are needed

  double& at(int day) {
    if (loads.empty()) first = day;
    if (day < first) {
      loads.insert(loads.begin(), static_cast<std::size_t>(first - day), k_no_session);
      first = day;
    }
    const auto i = static_cast<std::size_t>(day - first);
    while (loads.size() <= i) loads.push_back(k_no_session);
    return loads[i];
  }
  void add(int day, double load) {
    double& sum = at(day);
    sum = std::isnan(sum) ? load : sum + load;
  }
};

/// The series of daily sums, all of them known: a day without session as the gaps are taken.
series::DaySeries series_of(const Sums& sums, series::Gaps gaps, const LoadModel& model) {
  series::DaySeries series;
  series.first_entry = day_from_number(sums.first);
  series.days.resize(sums.loads.size());
  std::size_t last_session = 0;  // the first day has one
  for (std::size_t i = 0; i < sums.loads.size(); ++i) {
    series::SeriesDay& day = series.days[i];
    day.date = day_from_number(sums.first + static_cast<int>(i));
    if (gaps == series::Gaps::rest) {
      day.status = DayStatus::rest;
      day.load_au = 0;
    }
    if (std::isnan(sums.loads[i])) continue;
    day.status = DayStatus::trained;
    day.load_au = sums.loads[i];
    if (static_cast<int>(i - last_session) <= model.series.rest_gap_days + 1) {
      for (std::size_t k = last_session + 1; k < i; ++k) {
        series.days[k].status = DayStatus::rest;
        series.days[k].load_au = 0;
      }
    }
    last_session = i;
  }
  return series;
}

}  // namespace

struct LoadFiles::Impl final : SessionTaker {
  explicit Impl(const LoadModel& load_model) : model(load_model) {}

  const LoadModel& model;
  AthleteTable<Sums> athletes;
  FileFaults faults;
  std::int64_t rows = 0;
  double tonnage_kg = 0;
  std::vector<std::string> names;                        ///< ascending
  std::map<std::string, AthleteLog, std::less<>> whole;  ///< rows of the athletes with incomplete sessions

  void begin(std::size_t) override {
    athletes = {};
    rows = 0;
    tonnage_kg = 0;
  }
  bool take(std::size_t worker, std::span<const SessionChunk> chunks) override;
  void keep(Record&& record);
};

bool LoadFiles::Impl::take(std::size_t worker, std::span<const SessionChunk> chunks) {
  if (worker != 0) return true;
  for (const SessionChunk& chunk : chunks) {
    rows += static_cast<std::int64_t>(chunk.rows.size());
    tonnage_kg += chunk.tonnage_kg;
    for (const SessionLoad& row : chunk.rows) {
      Sums& sums = athletes.entry(chunk.name_of(row), row.hash).value;
      const bool is_complete = !std::isnan(row.load);
      if (!is_complete) sums.incomplete = true;
      sums.add(row.day, is_complete ? row.load : 0);
    }
  }
  return true;
}

void LoadFiles::Impl::keep(Record&& record) {
  const auto log_of = [&](const std::string& athlete) -> AthleteLog* {
    const Sums* sums = athletes.find(athlete);
    return sums != nullptr && sums->incomplete ? &whole[athlete] : nullptr;
  };
  if (auto* session = std::get_if<Session>(&record)) {
    if (auto* log = log_of(session->athlete)) log->sessions.push_back(std::move(*session));
  } else if (auto* set = std::get_if<SetRow>(&record)) {
    if (auto* log = log_of(set->athlete)) log->sets.push_back(std::move(*set));
  }
}

LoadFiles::LoadFiles(std::unique_ptr<Impl> impl) : impl_(std::move(impl)) {}
LoadFiles::LoadFiles(LoadFiles&&) noexcept = default;
LoadFiles& LoadFiles::operator=(LoadFiles&&) noexcept = default;
LoadFiles::~LoadFiles() = default;

Result<LoadFiles> LoadFiles::read(std::span<const std::string> paths, const Models& models,
                                  const std::function<void(std::uint64_t, std::uint64_t)>& progress) {
  auto impl = std::make_unique<Impl>(models.load);
  STEELYARD_TRY_ASSIGN(impl->faults, read_sessions(paths, progress, *impl));
  const auto& entries = impl->athletes.entries();
  const bool again = std::any_of(entries.begin(), entries.end(), [](const auto& e) { return e.value.incomplete; });
  if (again && impl->faults.count == 0) {
    if (std::find(paths.begin(), paths.end(), "-") != paths.end()) {
      return fail(Errc::usage,
                  "some session has no minutes or no RPE, and standard input cannot be read twice: name a file");
    }
    const ingest::RowSink second = [&](Record&& record, std::size_t) -> Result<void> {
      impl->keep(std::move(record));
      return {};
    };
    FileFaults known;  // none: the files were read without
    for (const std::string& path : paths) {
      STEELYARD_TRY_ASSIGN(const auto source, FileSource::open(path));
      STEELYARD_TRY(read_rows(*source, path, second, {}, known));
    }
    for (auto& [name, log] : impl->whole) {
      const auto by_day = [](const auto& a, const auto& b) { return a.date < b.date; };
      std::stable_sort(log.sessions.begin(), log.sessions.end(), by_day);
      std::stable_sort(log.sets.begin(), log.sets.end(), by_day);
      std::erase_if(log.sets, [&](const SetRow& set) {  // what is summed here are sessions, wherever they are complete
        return !std::binary_search(log.sessions.begin(), log.sessions.end(), Session{.athlete = "", .date = set.date},
                                   by_day);
      });
    }
  }
  for (const auto& entry : entries) impl->names.push_back(entry.name);
  std::sort(impl->names.begin(), impl->names.end());
  return LoadFiles(std::move(impl));
}

const std::vector<Error>& LoadFiles::errors() const {
  return impl_->faults.errors;
}
std::size_t LoadFiles::error_count() const {
  return impl_->faults.count;
}
std::vector<std::string> LoadFiles::athletes() const {
  return impl_->names;
}

Result<LoadReport> LoadFiles::report(const std::string& athlete, const LoadOptions& options) const {
  if (impl_->athletes.find(athlete) == nullptr) {
    return fail(Errc::no_input, "the files hold no session of athlete " + athlete);
  }
  LoadReport report{.athlete = athlete,
                    .days = figures(athlete, options.gaps),
                    .sd_name = std::string(load::sd_name(impl_->model.monotony.sd)),
                    .ewma_start = std::string(load::ewma_start_name(impl_->model.ewma.start))};
  cut(report, options);
  return report;
}

std::vector<DayFigures> LoadFiles::figures(const std::string& athlete, series::Gaps gaps) const {
  const Sums& sums = *impl_->athletes.find(athlete);
  const LoadModel& model = impl_->model;
  const auto rows_of = impl_->whole.find(athlete);
  if (rows_of == impl_->whole.end()) return load::figures(series_of(sums, gaps, model), model);
  const Day first = day_from_number(sums.first);
  const Day last = first + Days{static_cast<int>(sums.loads.size()) - 1};
  return load::figures(series::day_series(rows_of->second, first, last, std::nullopt, model, gaps), model);
}
std::int64_t LoadFiles::rows() const {
  return impl_->rows;
}
double LoadFiles::tonnage_kg() const {
  return impl_->tonnage_kg;
}

}  // namespace steelyard::app
