#pragma once
/// Daily load figures, from the store or straight from files.
/// unit  AU = session RPE (CR-10) x minutes

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/app/context.hpp"
#include "steelyard/domain/figures.hpp"
#include "steelyard/ingest/reader.hpp"
#include "steelyard/report/csv.hpp"
#include "steelyard/series/day_series.hpp"

namespace steelyard::app {

struct LoadOptions {
  std::optional<Day> from;  ///< first day shown; none = the first entry
  std::optional<Day> to;    ///< last day shown; none = today (store) or the last session (files)
  bool latest = false;      ///< only the last day shown
  series::Gaps gaps = series::Gaps::unknown;
};

/// Leaves the days that the options show.
void cut(LoadReport& report, const LoadOptions& options);

/// From the store. Figures look back to the first entry, whatever is shown; `today` is the day under way.
[[nodiscard]] Result<LoadReport> loads(Context& context, const Athlete& athlete, Day today, const LoadOptions& options);

/// What is wrong inside files.
struct FileFaults {
  std::vector<Error> errors;  ///< the first of each file
  std::size_t count = 0;
};

using ReadProgress = std::function<void(std::uint64_t bytes, std::uint64_t size)>;

/// Sessions of log files as daily sums, without a store.
/// definition  Rows may come in any order. Sets serve only to estimate a session without minutes. Rows of other kinds
///             are read, checked and left out.
/// cost        one pass; 8 bytes an athlete and day; a second pass over the files if some session lacks minutes or RPE
class LoadFiles {
 public:
  /// errors  no_input, io; what is wrong inside the files is in errors(), and then nothing was computed
  [[nodiscard]] static Result<LoadFiles> read(std::span<const std::string> paths, const Models& models,
                                              const ReadProgress& progress);
  LoadFiles(LoadFiles&&) noexcept;
  LoadFiles& operator=(LoadFiles&&) noexcept;
  ~LoadFiles();

  [[nodiscard]] const std::vector<Error>& errors() const;
  [[nodiscard]] std::size_t error_count() const;
  [[nodiscard]] std::vector<std::string> athletes() const;  ///< ascending

  /// The figures of one athlete of athletes().
  [[nodiscard]] Result<LoadReport> report(const std::string& athlete, const LoadOptions& options) const;

  /// Of every day, from the first session to the last.   domain  an athlete of athletes()
  [[nodiscard]] std::vector<DayFigures> figures(const std::string& athlete, series::Gaps gaps) const;
  [[nodiscard]] std::int64_t rows() const;  ///< of sessions
  [[nodiscard]] double tonnage_kg() const;

 private:
  struct Impl;
  explicit LoadFiles(std::unique_ptr<Impl> impl);
  std::unique_ptr<Impl> impl_;
};

/// Writes last.csv and sum.csv of log files into a folder, which is made if it is not there.
/// definition  as LoadFiles
/// cost        with gaps taken as rest, complete sessions and files: memory of some 1.5 kB an athlete, whatever the
///             number of rows, if each athlete's sessions come in the order of days (up to a week's disorder); else a
///             second pass and a temporary file of 16 bytes a row. Otherwise as LoadFiles
/// errors      no_input, io; with faults inside the files nothing is written
[[nodiscard]] Result<FileFaults> write_load_tables(std::span<const std::string> paths, const Models& models,
                                                   series::Gaps gaps, const std::string& folder,
                                                   const ReadProgress& progress);

}  // namespace steelyard::app
