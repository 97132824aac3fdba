#include "app/session_chunks.hpp"

#include <algorithm>
#include <atomic>
#include <limits>
#include <thread>
#include <utility>

#include "app/athlete_table.hpp"

namespace steelyard::app {
namespace {

/// Rows of a chunk that is filled from a file read as a whole: few enough to stay near the processor.
constexpr std::size_t k_rows = 4096;

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

/// Reads a source to its end and hands each session on.
template <class Take>
Result<void> read_source(ingest::ByteSource& source, const std::string& path,
                         const std::function<void(std::size_t)>& progress, const Take& take, FileFaults& faults) {
  const ingest::RowSink sink = [&](Record&& record, std::size_t) -> Result<void> {
    if (const auto* s = std::get_if<Session>(&record)) {
      take({.athlete = s->athlete, .date = s->date, .minutes = s->minutes, .rpe = s->rpe, .tonnage_kg = s->tonnage_kg});
    }
    return {};
  };
  ingest::ReadOptions options{.progress = progress};
  options.plain_sessions = [&](const ingest::PlainSession& session) { take(session); };
  return read_rows(source, path, sink, std::move(options), faults);
}

/// Runs a job on each worker; worker 0 is the caller.
void on_all(std::size_t workers, const std::function<void(std::size_t)>& job) {
  std::vector<std::thread> others;
  for (std::size_t w = 1; w < workers; ++w) others.emplace_back([&job, w] { job(w); });
  job(0);
  for (std::thread& other : others) other.join();
}

/// One file in chunks.
class CutFile {
 public:
  CutFile(const std::string& path, std::size_t workers) : path_(path), workers_(workers) {}

  /// result  false = errors, or the taker wants no more
  Result<bool> read(const ReadProgress& progress, SessionTaker& taker) {
    STEELYARD_TRY_ASSIGN(cuts_, cuts_of(path_, std::numeric_limits<std::uint32_t>::max()));
    STEELYARD_TRY_ASSIGN(header_, first_line(path_));
    header_ = header_.starts_with('{') ? std::string() : header_ + '\n';
    const std::size_t pieces = cuts_.size() - 1;
    std::vector<SessionChunk> fresh(workers_);
    std::vector<SessionChunk> before(workers_);
    for (std::size_t next = 0; next < pieces + workers_; next += workers_) {
      std::vector<Result<void>> outcome(workers_);
      std::atomic<bool> wanted = true;
      on_all(workers_, [&](std::size_t w) {
        if (next > 0 && !taker.take(w, before)) wanted = false;
        fresh[w].clear();
        if (next + w < pieces) outcome[w] = read_piece(next + w, fresh[w]);
      });
      for (const Result<void>& worker : outcome) STEELYARD_TRY(worker);
      if (!wanted || has_faults_) return false;
      std::swap(fresh, before);
      if (progress) progress(cuts_[std::min(pieces, next + workers_)], cuts_.back());
    }
    return true;
  }
  [[nodiscard]] bool has_faults() const { return has_faults_; }

 private:
  Result<void> read_piece(std::size_t i, SessionChunk& chunk) {
    STEELYARD_TRY_ASSIGN(const auto rows, FileSource::open(path_, cuts_[i], cuts_[i + 1]));
    PieceSource source(i == 0 ? std::string_view() : header_, *rows);
    FileFaults faults;
    STEELYARD_TRY(read_source(
        source, path_, {}, [&](const ingest::PlainSession& session) { chunk.add(session); }, faults));
    if (faults.count > 0) has_faults_ = true;
    return {};
  }

  const std::string& path_;
  std::size_t workers_;
  std::vector<std::uint64_t> cuts_;
  std::string header_;
  std::atomic<bool> has_faults_ = false;
};

/// One file as a whole.   result  false = the taker wants no more; the rest was only checked
Result<bool> read_whole(const std::string& path, const ReadProgress& progress, SessionTaker& taker,
                        FileFaults& faults) {
  STEELYARD_TRY_ASSIGN(const auto source, FileSource::open(path));
  std::function<void(std::size_t)> tell;
  if (progress) tell = [&](std::size_t bytes) { progress(bytes, source->size()); };
  SessionChunk chunk;
  bool wanted = true;
  const auto hand_on = [&] {
    wanted = wanted && taker.take(0, std::span(&chunk, 1));
    chunk.clear();
  };
  const auto take = [&](const ingest::PlainSession& session) {
    chunk.add(session);
    if (chunk.rows.size() == k_rows) hand_on();
  };
  STEELYARD_TRY(read_source(*source, path, tell, take, faults));
  hand_on();
  return wanted;
}

}  // namespace

void SessionChunk::add(const ingest::PlainSession& session) {
  const bool is_complete = session.minutes && session.rpe;
  if (session.tonnage_kg) tonnage_kg += *session.tonnage_kg;
  rows.push_back({.hash = hash_of_code(session.athlete),
                  .load = is_complete ? *session.minutes * *session.rpe : std::numeric_limits<double>::quiet_NaN(),
                  .day = day_number(session.date),
                  .name_begin = static_cast<std::uint32_t>(names.size()),
                  .name_size = static_cast<std::uint32_t>(session.athlete.size())});
  names += session.athlete;
}

Result<void> read_rows(ingest::ByteSource& source, const std::string& path, const ingest::RowSink& sink,
                       ingest::ReadOptions options, FileFaults& faults) {
  const ingest::AthleteLookup nobody = [](std::string_view) { return std::nullopt; };
  options.any_athlete = true;
  auto report = ingest::read_log(source, path == "-" ? "standard input" : path, nobody, sink, options);
  if (!report) {
    if (report.error().code != Errc::bad_data) return tl::make_unexpected(report.error());
    ++faults.count;
    faults.errors.push_back(std::move(report).error());
    return {};
  }
  faults.count += report->error_count;
  faults.errors.insert(faults.errors.end(), report->errors.begin(), report->errors.end());
  return {};
}

Result<FileFaults> read_sessions(std::span<const std::string> paths, const ReadProgress& progress,
                                 SessionTaker& taker) {
  const bool has_input = std::find(paths.begin(), paths.end(), "-") != paths.end();
  const std::size_t workers = std::max(1U, std::thread::hardware_concurrency());
  if (workers > 1 && !has_input) {
    taker.begin(workers);
    bool has_faults = false;
    for (const std::string& path : paths) {
      CutFile file(path, workers);
      STEELYARD_TRY_ASSIGN(const bool wanted, file.read(progress, taker));
      has_faults = file.has_faults();
      if (!wanted) break;
    }
    if (!has_faults) return FileFaults{};
  }
  FileFaults faults;
  taker.begin(1);
  for (const std::string& path : paths) {
    STEELYARD_TRY_ASSIGN(const bool wanted, read_whole(path, progress, taker, faults));
    if (!wanted) break;
  }
  return faults;
}

}  // namespace steelyard::app
