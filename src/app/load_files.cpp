#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <numeric>
#include <unordered_map>

#include "app/dense_loads.hpp"
#include "app/files.hpp"
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
    if (i >= loads.size()) loads.resize(i + 1, k_no_session);
    return loads[i];
  }
  void add(int day, double load) {
    double& sum = at(day);
    sum = std::isnan(sum) ? load : sum + load;
  }
};

struct Hash {
  using is_transparent = void;
  std::size_t operator()(std::string_view text) const { return std::hash<std::string_view>{}(text); }
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

struct LoadFiles::Impl {
  explicit Impl(const LoadModel& load_model) : model(load_model) {}

  const LoadModel& model;
  std::unordered_map<std::string, Sums, Hash, std::equal_to<>> athletes;
  std::vector<std::string> names;                        ///< ascending
  std::map<std::string, AthleteLog, std::less<>> whole;  ///< rows of the athletes with incomplete sessions
  std::vector<Error> errors;
  std::size_t error_count = 0;
  std::int64_t rows = 0;
  double tonnage = 0;

  Result<void> pass(std::span<const std::string> paths, const ingest::RowSink& sink,
                    const std::function<void(std::uint64_t, std::uint64_t)>& progress, bool keep_errors);
  void take(const Session& session);
  void keep(Record&& record);
  [[nodiscard]] std::vector<DayFigures> figures(const std::string& athlete, const LoadOptions& options) const;

 private:
  Sums* last_ = nullptr;  ///< rows of one athlete often come together
  std::string last_name_;
};

Result<void> LoadFiles::Impl::pass(std::span<const std::string> paths, const ingest::RowSink& sink,
                                   const std::function<void(std::uint64_t, std::uint64_t)>& progress,
                                   bool keep_errors) {
  const ingest::AthleteLookup nobody = [](std::string_view) { return std::nullopt; };
  for (const std::string& path : paths) {
    STEELYARD_TRY_ASSIGN(const auto source, FileSource::open(path));
    ingest::ReadOptions options{.any_athlete = true, .progress = {}};
    if (progress) options.progress = [&](std::size_t bytes) { progress(bytes, source->size()); };
    auto report = ingest::read_log(*source, path == "-" ? "standard input" : path, nobody, sink, options);
    if (!report) {
      if (report.error().code != Errc::bad_data) return tl::make_unexpected(report.error());
      ++error_count;
      errors.push_back(std::move(report).error());
    } else if (keep_errors) {
      error_count += report->error_count;
      errors.insert(errors.end(), report->errors.begin(), report->errors.end());
    }
  }
  return {};
}

void LoadFiles::Impl::take(const Session& session) {
  ++rows;
  if (session.tonnage_kg) tonnage += *session.tonnage_kg;
  if (last_ == nullptr || last_name_ != session.athlete) {
    auto found = athletes.find(session.athlete);
    if (found == athletes.end()) found = athletes.emplace(session.athlete, Sums{}).first;
    last_ = &found->second;
    last_name_ = session.athlete;
  }
  const bool complete = session.minutes && session.rpe;
  if (!complete) last_->incomplete = true;
  last_->add(day_number(session.date), complete ? *session.minutes * *session.rpe : 0);
}

void LoadFiles::Impl::keep(Record&& record) {
  const auto log_of = [&](const std::string& athlete) -> AthleteLog* {
    const auto found = athletes.find(athlete);
    return found != athletes.end() && found->second.incomplete ? &whole[athlete] : nullptr;
  };
  if (auto* session = std::get_if<Session>(&record)) {
    if (auto* log = log_of(session->athlete)) log->sessions.push_back(std::move(*session));
  } else if (auto* set = std::get_if<SetRow>(&record)) {
    if (auto* log = log_of(set->athlete)) log->sets.push_back(std::move(*set));
  }
}

std::vector<DayFigures> LoadFiles::Impl::figures(const std::string& athlete, const LoadOptions& options) const {
  const Sums& sums = athletes.find(athlete)->second;
  const auto rows_of = whole.find(athlete);
  if (rows_of == whole.end()) return load::figures(series_of(sums, options.gaps, model), model);
  const Day first = day_from_number(sums.first);
  const Day last = first + Days{static_cast<int>(sums.loads.size()) - 1};
  return load::figures(series::day_series(rows_of->second, first, last, std::nullopt, model, options.gaps), model);
}

LoadFiles::LoadFiles(std::unique_ptr<Impl> impl) : impl_(std::move(impl)) {}
LoadFiles::LoadFiles(LoadFiles&&) noexcept = default;
LoadFiles& LoadFiles::operator=(LoadFiles&&) noexcept = default;
LoadFiles::~LoadFiles() = default;

Result<LoadFiles> LoadFiles::read(std::span<const std::string> paths, const Models& models,
                                  const std::function<void(std::uint64_t, std::uint64_t)>& progress) {
  auto impl = std::make_unique<Impl>(models.load);
  const ingest::RowSink first = [&](Record&& record, std::size_t) -> Result<void> {
    if (const auto* session = std::get_if<Session>(&record)) impl->take(*session);
    return {};
  };
  STEELYARD_TRY(impl->pass(paths, first, progress, true));
  const bool again = std::any_of(impl->athletes.begin(), impl->athletes.end(),
                                 [](const auto& entry) { return entry.second.incomplete; });
  if (again && impl->error_count == 0) {
    if (std::find(paths.begin(), paths.end(), "-") != paths.end()) {
      return fail(Errc::usage,
                  "some session has no minutes or no RPE, and standard input cannot be read twice: name a file");
    }
    const ingest::RowSink second = [&](Record&& record, std::size_t) -> Result<void> {
      impl->keep(std::move(record));
      return {};
    };
    STEELYARD_TRY(impl->pass(paths, second, progress, false));
    for (auto& [name, log] : impl->whole) {
      const auto by_day = [](const auto& a, const auto& b) { return a.date < b.date; };
      std::stable_sort(log.sessions.begin(), log.sessions.end(), by_day);
      std::stable_sort(log.sets.begin(), log.sets.end(), by_day);
    }
  }
  for (const auto& [name, sums] : impl->athletes) impl->names.push_back(name);
  std::sort(impl->names.begin(), impl->names.end());
  return LoadFiles(std::move(impl));
}

const std::vector<Error>& LoadFiles::errors() const {
  return impl_->errors;
}
std::size_t LoadFiles::error_count() const {
  return impl_->error_count;
}
std::vector<std::string> LoadFiles::athletes() const {
  return impl_->names;
}

Result<LoadReport> LoadFiles::report(const std::string& athlete, const LoadOptions& options) const {
  if (!impl_->athletes.contains(athlete)) {
    return fail(Errc::no_input, "the files hold no session of athlete " + athlete);
  }
  LoadReport report{.athlete = athlete,
                    .days = impl_->figures(athlete, options),
                    .sd_name = std::string(load::sd_name(impl_->model.monotony.sd)),
                    .ewma_start = std::string(load::ewma_start_name(impl_->model.ewma.start))};
  cut(report, options);
  return report;
}

Result<report::LoadSums> LoadFiles::sums(const LoadOptions& options,
                                         const std::function<void(std::string_view, const DayFigures&)>& last) const {
  report::LoadSums sums{.rows = impl_->rows, .tonnage = impl_->tonnage};
  DenseLoads dense(impl_->model);
  std::vector<double> loads;
  for (const std::string& name : impl_->names) {
    const Sums& own = impl_->athletes.find(name)->second;
    if (options.gaps == series::Gaps::rest && !own.incomplete) {
      loads.assign(own.loads.begin(), own.loads.end());
      for (double& load : loads) load = std::isnan(load) ? 0 : load;
      last(name, dense.add(loads, day_from_number(own.first), sums));
      continue;
    }
    const auto days = impl_->figures(name, options);
    for (const DayFigures& day : days) sums.add(day);
    if (!days.empty()) last(name, days.back());
  }
  return sums;
}

Result<void> write_load_tables(const LoadFiles& files, const LoadOptions& options, const std::string& folder) {
  STEELYARD_TRY(make_folder(folder));
  std::string last(report::last_csv_header());
  STEELYARD_TRY_ASSIGN(const auto sums, files.sums(options, [&](std::string_view athlete, const DayFigures& day) {
    report::append_last_csv(last, athlete, day);
  }));
  STEELYARD_TRY(write_whole_file(folder + "/last.csv", last));
  return write_whole_file(folder + "/sum.csv", report::sum_csv(sums));
}

}  // namespace steelyard::app
