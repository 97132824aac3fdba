// last.csv and sum.csv of log files. With gaps taken as rest, athletes whose sessions come in the order of days are
// followed day after day, and nothing else is kept of them; other files are first sorted, in parts on the disk if they
// are large.
#include <algorithm>
#include <atomic>
#include <cmath>
#include <cstdio>
#include <memory>
#include <thread>

#include "app/athlete_table.hpp"
#include "app/rolling_loads.hpp"
#include "app/session_chunks.hpp"
#include "steelyard/app/loads.hpp"

namespace steelyard::app {
namespace {

struct AthleteTotal {
  std::string name;
  DayFigures last;
  report::LoadSums sums;
};

struct Totals {
  std::vector<AthleteTotal> athletes;
  report::LoadSums sums;  ///< rows and tonnage
};

/// What keeps a way from being gone to its end.
enum class Obstacle { none, disorder, incomplete };

// ------------------------------------------------------------------------------------- in the order of days
class Follower final : public SessionTaker {
 public:
  explicit Follower(const LoadModel& model) : model_(model) {}

  void begin(std::size_t workers) override {
    tables_ = std::vector<AthleteTable<RollingLoads>>(workers);
    obstacle_ = Obstacle::none;
    totals_ = {};
  }
  bool take(std::size_t worker, std::span<const SessionChunk> chunks) override {
    for (const SessionChunk& chunk : chunks) {
      if (worker == 0) {
        totals_.sums.rows += static_cast<std::int64_t>(chunk.rows.size());
        totals_.sums.tonnage += chunk.tonnage_kg;
      }
      take_chunk(worker, chunk);
    }
    return obstacle_ == Obstacle::none;
  }

  [[nodiscard]] Obstacle obstacle() const { return obstacle_; }
  Totals finish() {
    for (auto& table : tables_) {
      for (auto& [name, loads] : table.entries()) {
        const DayFigures last = loads.finish(model_);
        totals_.athletes.push_back({.name = std::move(name), .last = last, .sums = loads.sums()});
      }
    }
    return std::move(totals_);
  }

 private:
  void take_chunk(std::size_t worker, const SessionChunk& chunk);

  RollingModel model_;
  std::vector<AthleteTable<RollingLoads>> tables_;  ///< of each worker
  std::atomic<Obstacle> obstacle_ = Obstacle::none;
  Totals totals_;
};

/// Two loops over a few rows each, so that the processor fetches the places of several athletes at once.
void Follower::take_chunk(std::size_t worker, const SessionChunk& chunk) {
  constexpr std::size_t k_together = 32;
  struct Found {
    RollingLoads* loads;
    const SessionLoad* row;
  };
  std::array<Found, k_together> found;
  std::size_t count = 0;
  AthleteTable<RollingLoads>& table = tables_[worker];
  const auto add_found = [&] {
    for (std::size_t i = 0; i < count; ++i) {
      const auto [loads, row] = found[i];
      if (std::isnan(row->load)) {
        obstacle_ = Obstacle::incomplete;
      } else if (!loads->add(row->day, row->load, model_)) {
        obstacle_ = Obstacle::disorder;
      }
    }
    count = 0;
  };
  const std::size_t workers = tables_.size();
  for (const SessionLoad& row : chunk.rows) {
    if (workers > 1 && (row.hash >> 40) % workers != worker) continue;
    found[count++] = {.loads = &table.entry(chunk.name_of(row), row.hash).value, .row = &row};
    if (count == k_together) add_found();
  }
  add_found();
}

// ------------------------------------------------------------------------------------- in any order
constexpr const char* k_not_written = "the temporary file for sorting cannot be written: is the disk full?";

struct CloseFile {
  void operator()(std::FILE* file) const { std::fclose(file); }
};

/// Rows of some athletes, to be sorted.
class Part {
 public:
  struct Row {
    std::uint64_t key = 0;  ///< number of the athlete and day, so that rows sort by both
    double load = 0;
  };

  /// On the disk, in a file that has no name.   errors  io
  Result<void> put_on_disk() {
    file_.reset(std::tmpfile());
    return file_ ? Result<void>() : fail(Errc::io, "no temporary file can be made for sorting");
  }
  bool add(const Row& row) {
    if (file_) return std::fwrite(&row, sizeof row, 1, file_.get()) == 1;
    rows_.push_back(row);
    return true;
  }
  /// By athlete and day, rows of a day as they came.   errors  io
  Result<std::vector<Row>> sorted() {
    if (file_) {
      std::array<Row, 1024> buffer{};
      if (std::fseek(file_.get(), 0, SEEK_SET) != 0) {  // writes what is left
        return fail(Errc::io, k_not_written);
      }
      while (const std::size_t n = std::fread(buffer.data(), sizeof(Row), buffer.size(), file_.get())) {
        rows_.insert(rows_.end(), buffer.begin(), buffer.begin() + static_cast<std::ptrdiff_t>(n));
      }
      if (std::ferror(file_.get()) != 0) return fail(Errc::io, "the temporary file for sorting cannot be read");
      file_.reset();
    }
    std::stable_sort(rows_.begin(), rows_.end(), [](const Row& a, const Row& b) { return a.key < b.key; });
    return std::move(rows_);
  }

 private:
  std::unique_ptr<std::FILE, CloseFile> file_;
  std::vector<Row> rows_;
};

class Sorter final : public SessionTaker {
 public:
  Sorter(const LoadModel& model, std::size_t parts) : model_(model), part_count_(parts) {}

  void begin(std::size_t) override {
    outcome_ = {};
    parts_ = std::vector<Part>(part_count_);
    for (std::size_t i = 0; i < part_count_ && part_count_ > 1 && outcome_; ++i) outcome_ = parts_[i].put_on_disk();
    numbers_ = {};
    is_incomplete_ = false;
    totals_ = {};
  }
  bool take(std::size_t worker, std::span<const SessionChunk> chunks) override {
    if (worker != 0) return true;
    for (const SessionChunk& chunk : chunks) {
      totals_.sums.rows += static_cast<std::int64_t>(chunk.rows.size());
      totals_.sums.tonnage += chunk.tonnage_kg;
      for (const SessionLoad& row : chunk.rows) {
        if (!outcome_ || std::isnan(row.load)) {
          is_incomplete_ = is_incomplete_ || std::isnan(row.load);
          return false;
        }
        take_row(chunk.name_of(row), row);
      }
    }
    return true;
  }

  [[nodiscard]] bool is_incomplete() const { return is_incomplete_; }
  /// errors  io
  Result<Totals> finish() {
    STEELYARD_TRY(outcome_);
    for (Part& part : parts_) {
      STEELYARD_TRY_ASSIGN(const auto rows, part.sorted());
      for (std::size_t begin = 0; begin < rows.size();) begin = add_athlete(rows, begin);
    }
    return std::move(totals_);
  }

 private:
  void take_row(std::string_view name, const SessionLoad& row) {
    auto& entry = numbers_.entry(name, row.hash);
    if (entry.value == 0) {
      totals_.athletes.push_back({.name = std::string(name)});
      entry.value = totals_.athletes.size();
    }
    const std::uint64_t number = entry.value - 1;
    const auto day = static_cast<std::uint32_t>(row.day - k_first_day);
    if (!parts_[number % part_count_].add({.key = number << 32 | day, .load = row.load})) {
      outcome_ = fail(Errc::io, k_not_written);
    }
  }
  /// The rows of one athlete, from `begin`.   result  behind them
  std::size_t add_athlete(std::span<const Part::Row> rows, std::size_t begin) {
    const std::uint64_t number = rows[begin].key >> 32;
    RollingLoads loads;
    std::size_t at = begin;
    for (; at < rows.size() && rows[at].key >> 32 == number; ++at) {
      const auto day = static_cast<std::uint32_t>(rows[at].key);
      (void)loads.add(static_cast<int>(day) + k_first_day, rows[at].load, model_);  // in order: never refused
    }
    AthleteTotal& total = totals_.athletes[number];
    total.last = loads.finish(model_);
    total.sums = loads.sums();
    return at;
  }

  static constexpr int k_first_day = -100'000;  ///< before every day that a log may name

  RollingModel model_;
  std::size_t part_count_;
  std::vector<Part> parts_;
  AthleteTable<std::uint64_t> numbers_;  ///< of athletes, from 1
  bool is_incomplete_ = false;
  Result<void> outcome_;
  Totals totals_;
};

/// So many that a part's rows take some ten megabytes.
std::size_t parts_for(std::span<const std::string> paths) {
  constexpr std::uint64_t k_bytes = std::uint64_t{16} << 20;
  constexpr std::uint64_t k_most = 256;  // open files
  std::uint64_t bytes = 0;
  for (const std::string& path : paths) {
    if (const auto source = FileSource::open(path)) bytes += (*source)->size();
  }
  return std::min(k_most, 1 + bytes / k_bytes);
}

Result<void> write_tables(Totals totals, const std::string& folder) {
  auto& athletes = totals.athletes;
  std::sort(athletes.begin(), athletes.end(), [](const auto& a, const auto& b) { return a.name < b.name; });
  std::string last(report::last_csv_header());
  for (const AthleteTotal& athlete : athletes) {
    totals.sums.add(athlete.sums);
    report::append_last_csv(last, athlete.name, athlete.last);
  }
  STEELYARD_TRY(make_folder(folder));
  STEELYARD_TRY(write_whole_file(folder + "/last.csv", last));
  return write_whole_file(folder + "/sum.csv", report::sum_csv(totals.sums));
}

/// Of files whose days need more than their sums: unknown days, or sessions to be estimated.
Result<FileFaults> totals_of_series(std::span<const std::string> paths, const Models& models, series::Gaps gaps,
                                    const ReadProgress& progress, Totals& totals) {
  STEELYARD_TRY_ASSIGN(const LoadFiles files, LoadFiles::read(paths, models, progress));
  if (files.error_count() > 0) return FileFaults{.errors = files.errors(), .count = files.error_count()};
  totals.sums.rows = files.rows();
  totals.sums.tonnage = files.tonnage_kg();
  for (const std::string& athlete : files.athletes()) {
    const auto days = files.figures(athlete, gaps);
    if (days.empty()) continue;
    totals.athletes.push_back({.name = athlete, .last = days.back()});
    for (const DayFigures& day : days) totals.athletes.back().sums.add(day);
  }
  return FileFaults{};
}

}  // namespace

Result<FileFaults> write_load_tables(std::span<const std::string> paths, const Models& models, series::Gaps gaps,
                                     const std::string& folder, const ReadProgress& progress) {
  const bool has_input = std::find(paths.begin(), paths.end(), "-") != paths.end();
  Totals totals;
  bool done = false;
  if (gaps == series::Gaps::rest && !has_input) {  // what cannot be read twice is read the general way
    Follower follower(models.load);
    STEELYARD_TRY_ASSIGN(FileFaults faults, read_sessions(paths, progress, follower));
    if (faults.count > 0) return faults;
    done = follower.obstacle() == Obstacle::none;
    if (done) totals = follower.finish();
    if (follower.obstacle() == Obstacle::disorder) {
      Sorter sorter(models.load, parts_for(paths));
      STEELYARD_TRY_ASSIGN(faults, read_sessions(paths, progress, sorter));
      if (faults.count > 0) return faults;
      done = !sorter.is_incomplete();
      if (done) {
        STEELYARD_TRY_ASSIGN(totals, sorter.finish());
      }
    }
  }
  if (!done) {
    STEELYARD_TRY_ASSIGN(FileFaults faults, totals_of_series(paths, models, gaps, progress, totals));
    if (faults.count > 0) return faults;
  }
  STEELYARD_TRY(write_tables(std::move(totals), folder));
  return FileFaults{};
}

}  // namespace steelyard::app
