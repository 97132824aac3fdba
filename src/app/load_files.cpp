#include <algorithm>
#include <cmath>
#include <deque>
#include <limits>
#include <map>
#include <thread>
#include <utility>

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
    while (loads.size() <= i) loads.push_back(k_no_session);
    return loads[i];
  }
  void add(int day, double load) {
    double& sum = at(day);
    sum = std::isnan(sum) ? load : sum + load;
  }
  void join(Sums&& later) {
    if (loads.empty()) {
      *this = std::move(later);
      return;
    }
    incomplete = incomplete || later.incomplete;
    if (later.loads.empty()) return;
    const int last = later.first + static_cast<int>(later.loads.size()) - 1;
    if (last >= first) loads.reserve(static_cast<std::size_t>(last - first + 1));
    at(last);
    for (std::size_t i = 0; i < later.loads.size(); ++i) {
      if (!std::isnan(later.loads[i])) add(later.first + static_cast<int>(i), later.loads[i]);
    }
  }
};

/// Athletes by code. Files in the order of days name another athlete in every row, so that finding one is most of the
/// work: an open table of hashes and places beside each other, and code and sums of an athlete in one line of memory.
class Athletes {
 public:
  struct alignas(64) Entry {
    std::string name;
    Sums sums;
  };

  Sums& operator[](std::string_view name) {
    const std::size_t hash = std::hash<std::string_view>{}(name);
    std::size_t at = hash & mask();
    for (; slots_[at].place != 0; at = (at + 1) & mask()) {
      if (slots_[at].hash != hash) continue;
      Entry& entry = entries_[slots_[at].place - 1];
      if (entry.name == name) return entry.sums;
    }
    entries_.push_back({.name = std::string(name), .sums = {}});
    slots_[at] = {.hash = hash, .place = entries_.size()};
    if (2 * entries_.size() > slots_.size()) grow();
    return entries_.back().sums;
  }
  [[nodiscard]] const Sums* find(std::string_view name) const {
    const std::size_t hash = std::hash<std::string_view>{}(name);
    for (std::size_t at = hash & mask(); slots_[at].place != 0; at = (at + 1) & mask()) {
      const Entry& entry = entries_[slots_[at].place - 1];
      if (slots_[at].hash == hash && entry.name == name) return &entry.sums;
    }
    return nullptr;
  }
  [[nodiscard]] std::deque<Entry>& entries() { return entries_; }
  [[nodiscard]] const std::deque<Entry>& entries() const { return entries_; }

 private:
  struct Slot {
    std::size_t hash = 0;
    std::size_t place = 0;  ///< in entries_, from 1; 0 = free
  };
  [[nodiscard]] std::size_t mask() const { return slots_.size() - 1; }
  void grow() {
    std::vector<Slot> old = std::exchange(slots_, std::vector<Slot>(2 * slots_.size()));
    for (const Slot& slot : old) {
      if (slot.place == 0) continue;
      std::size_t at = slot.hash & mask();
      while (slots_[at].place != 0) at = (at + 1) & mask();
      slots_[at] = slot;
    }
  }

  std::vector<Slot> slots_ = std::vector<Slot>(64);  ///< a power of two of them
  std::deque<Entry> entries_;
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

/// The sessions of some rows, added up by athlete and day.
struct Gathered {
  Athletes athletes;
  std::vector<Error> errors;
  std::size_t error_count = 0;
  std::int64_t rows = 0;
  double tonnage = 0;

  void take(const ingest::PlainSession& session) {
    ++rows;
    if (session.tonnage_kg) tonnage += *session.tonnage_kg;
    Sums& sums = athletes[session.athlete];
    const bool complete = session.minutes && session.rpe;
    if (!complete) sums.incomplete = true;
    sums.add(day_number(session.date), complete ? *session.minutes * *session.rpe : 0);
  }

  /// Later rows behind these.
  void join(Gathered&& later) {
    rows += later.rows;
    tonnage += later.tonnage;
    error_count += later.error_count;
    errors.insert(errors.end(), later.errors.begin(), later.errors.end());
    for (auto& [name, sums] : later.athletes.entries()) athletes[name].join(std::move(sums));
  }
};

using Progress = std::function<void(std::uint64_t, std::uint64_t)>;

/// Reads a source to its end. Errors are gathered, but for those that end everything.
Result<void> gather(ingest::ByteSource& source, const std::string& path, const ingest::RowSink& sink,
                    ingest::ReadOptions options, Gathered& gathered) {
  const ingest::AthleteLookup nobody = [](std::string_view) { return std::nullopt; };
  options.any_athlete = true;
  auto report = ingest::read_log(source, path == "-" ? "standard input" : path, nobody, sink, options);
  if (!report) {
    if (report.error().code != Errc::bad_data) return tl::make_unexpected(report.error());
    ++gathered.error_count;
    gathered.errors.push_back(std::move(report).error());
    return {};
  }
  gathered.error_count += report->error_count;
  gathered.errors.insert(gathered.errors.end(), report->errors.begin(), report->errors.end());
  return {};
}

Result<void> gather_sessions(ingest::ByteSource& source, const std::string& path,
                             const std::function<void(std::size_t)>& progress, Gathered& gathered) {
  const ingest::RowSink sink = [&](Record&& record, std::size_t) -> Result<void> {
    if (const auto* s = std::get_if<Session>(&record)) {
      gathered.take(
          {.athlete = s->athlete, .date = s->date, .minutes = s->minutes, .rpe = s->rpe, .tonnage_kg = s->tonnage_kg});
    }
    return {};
  };
  ingest::ReadOptions options{.progress = progress};
  options.plain_sessions = [&](const ingest::PlainSession& session) { gathered.take(session); };
  return gather(source, path, sink, std::move(options), gathered);
}

/// A piece of a file below its header line.
class PieceSource final : public ingest::ByteSource {
 public:
  PieceSource(std::string_view header, ingest::ByteSource& rows) : header_(header), rows_(rows) {}
  Result<std::size_t> read(std::span<char> buffer) override {
    if (header_.empty()) return rows_.read(buffer);
    const std::size_t n = header_.copy(buffer.data(), buffer.size());
    header_.remove_prefix(n);
    return n;
  }

 private:
  std::string_view header_;
  ingest::ByteSource& rows_;
};

/// One file, on all processors if it is large. A cut that fell into a quoted cell makes an error in its piece, and only
/// one piece counts the lines of its errors rightly: with any error the file is read again as a whole.
Result<Gathered> gather_file(const std::string& path, const Progress& progress) {
  std::vector<std::uint64_t> cuts{0, 0};
  if (path != "-") {
    STEELYARD_TRY_ASSIGN(cuts, cuts_of(path, std::max(1U, std::thread::hardware_concurrency())));
  }
  const std::size_t pieces = cuts.size() - 1;
  if (pieces > 1) {
    STEELYARD_TRY_ASSIGN(std::string header, first_line(path));
    header = header.starts_with('{') ? std::string() : header + '\n';
    std::vector<Gathered> gathered(pieces);
    const auto read_piece = [&](std::size_t i) -> Result<void> {
      STEELYARD_TRY_ASSIGN(const auto rows, FileSource::open(path, cuts[i], cuts[i + 1]));
      PieceSource source(i == 0 ? std::string_view() : header, *rows);
      std::function<void(std::size_t)> tell;
      if (i == 0 && progress) tell = [&](std::size_t bytes) { progress(pieces * bytes, cuts.back()); };
      return gather_sessions(source, path, tell, gathered[i]);
    };
    std::vector<Result<void>> outcome(pieces);
    std::vector<std::thread> others;
    for (std::size_t i = 1; i < pieces; ++i) others.emplace_back([&, i] { outcome[i] = read_piece(i); });
    outcome[0] = read_piece(0);
    for (std::thread& other : others) other.join();
    bool is_clean = true;
    for (std::size_t i = 0; i < pieces; ++i) {
      STEELYARD_TRY(outcome[i]);
      is_clean = is_clean && gathered[i].error_count == 0;
    }
    if (is_clean) {
      for (std::size_t i = 1; i < pieces; ++i) gathered[0].join(std::move(gathered[i]));
      return std::move(gathered[0]);
    }
  }
  STEELYARD_TRY_ASSIGN(const auto source, FileSource::open(path));
  Gathered whole;
  std::function<void(std::size_t)> tell;
  if (progress) tell = [&](std::size_t bytes) { progress(bytes, source->size()); };
  STEELYARD_TRY(gather_sessions(*source, path, tell, whole));
  return whole;
}

}  // namespace

struct LoadFiles::Impl : Gathered {
  explicit Impl(const LoadModel& load_model) : model(load_model) {}

  const LoadModel& model;
  std::vector<std::string> names;                        ///< ascending
  std::map<std::string, AthleteLog, std::less<>> whole;  ///< rows of the athletes with incomplete sessions

  void keep(Record&& record);
  [[nodiscard]] std::vector<DayFigures> figures(const std::string& athlete, const LoadOptions& options) const;
};

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

std::vector<DayFigures> LoadFiles::Impl::figures(const std::string& athlete, const LoadOptions& options) const {
  const Sums& sums = *athletes.find(athlete);
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
  for (const std::string& path : paths) {
    STEELYARD_TRY_ASSIGN(Gathered file, gather_file(path, progress));
    impl->join(std::move(file));
  }
  const auto& entries = impl->athletes.entries();
  const bool again = std::any_of(entries.begin(), entries.end(), [](const auto& e) { return e.sums.incomplete; });
  if (again && impl->error_count == 0) {
    if (std::find(paths.begin(), paths.end(), "-") != paths.end()) {
      return fail(Errc::usage,
                  "some session has no minutes or no RPE, and standard input cannot be read twice: name a file");
    }
    const ingest::RowSink second = [&](Record&& record, std::size_t) -> Result<void> {
      impl->keep(std::move(record));
      return {};
    };
    Gathered known;  // the same errors again
    for (const std::string& path : paths) {
      STEELYARD_TRY_ASSIGN(const auto source, FileSource::open(path));
      STEELYARD_TRY(gather(*source, path, second, {}, known));
    }
    for (auto& [name, log] : impl->whole) {
      const auto by_day = [](const auto& a, const auto& b) { return a.date < b.date; };
      std::stable_sort(log.sessions.begin(), log.sessions.end(), by_day);
      std::stable_sort(log.sets.begin(), log.sets.end(), by_day);
    }
  }
  for (const auto& entry : entries) impl->names.push_back(entry.name);
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
  if (impl_->athletes.find(athlete) == nullptr) {
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
    const Sums& own = *impl_->athletes.find(name);
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
