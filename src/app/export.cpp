#include "steelyard/app/export.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <set>

#include "app/files.hpp"
#include "app/restore.hpp"
#include "app/span.hpp"
#include "steelyard/app/folder.hpp"
#include "steelyard/domain/cells.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "steelyard/ingest/reader.hpp"
#include "steelyard/store/care.hpp"

namespace steelyard::app {
namespace {

/// Rows of one file as text.
struct Sheet {
  std::string text;
  std::size_t rows = 0;
};

class Export {
 public:
  explicit Export(bool for_spreadsheets) : for_spreadsheets_(for_spreadsheets) {}

  void add(AthleteLog log);
  Result<std::vector<std::pair<std::string, std::size_t>>> write(const std::string& folder) const;

 private:
  void put(Sheet& sheet, const Record& record, std::optional<Unit> units) {
    if (sheet.rows++ == 0) sheet.text = ingest::write_csv_header(kind_of(record));
    sheet.text += ingest::write_csv_row(record, units, for_spreadsheets_);
  }
  template <class R>
  void put_all(const std::vector<R>& rows, std::optional<Unit> units) {
    for (const R& row : rows) put(sheets_.at(static_cast<std::size_t>(kind_of(Record(row)))), row, units);
  }

  bool for_spreadsheets_;
  std::array<Sheet, k_record_kinds> sheets_;
  Sheet second_sets_;
  Sheet second_sessions_;          ///< held sessions of a day that has one: a file of their own, or they would count
  std::set<std::string> periods_;  ///< a group's periods are in the logs of all its athletes
};

/// The rows of open questions as they were entered.
void undo_holding(AthleteLog& log) {
  for (const Question& question : log.questions) {
    for (const Record& row : question.rows) as_entered(log, row, question.fields);
  }
  const auto place = [](const auto& row) { return std::pair(row.date, row.part.value_or(1)); };
  std::stable_sort(log.sessions.begin(), log.sessions.end(),
                   [&](const Session& a, const Session& b) { return place(a) < place(b); });
  std::stable_sort(log.sets.begin(), log.sets.end(), [&](const SetRow& a, const SetRow& b) {
    return std::pair(place(a), a.position) < std::pair(place(b), b.position);
  });
}

void Export::add(AthleteLog log) {
  const auto units = log.athlete.units;
  for (const Question& question : log.questions) {
    if (question.doubt != "second-session") continue;
    for (const Record& row : question.rows) {
      put(kind_of(row) == RecordKind::sets ? second_sets_ : second_sessions_, row, units);
    }
  }
  std::erase_if(log.questions, [](const Question& q) { return q.doubt == "second-session"; });
  undo_holding(log);
  put_all(std::vector{log.athlete}, units);
  put_all(log.maxes, units);
  put_all(log.plan, units);
  std::erase_if(log.periods, [&](const Period& p) { return !periods_.insert(print_json_line(p)).second; });
  put_all(log.periods, units);
  put_all(log.days_off, units);
  put_all(log.sessions, units);
  put_all(log.sets, units);
  put_all(log.checks, units);
  put_all(log.bar, units);
  put_all(log.clearances, units);
}

Result<std::vector<std::pair<std::string, std::size_t>>> Export::write(const std::string& folder) const {
  STEELYARD_TRY(make_folder(folder));
  STEELYARD_TRY_ASSIGN(const bool empty, is_empty_folder(folder));
  if (!empty) return fail(Errc::usage, "this folder is not empty; name a new one", folder);
  std::vector<std::pair<std::string, std::size_t>> written;
  const auto write_sheet = [&](const Sheet& sheet, std::string_view name) -> Result<void> {
    if (sheet.rows == 0) return {};
    const std::string path = fmt::format("{}/{}.csv", folder, name);
    STEELYARD_TRY(write_whole_file(path, sheet.text));
    written.emplace_back(path, sheet.rows);
    return {};
  };
  for (std::size_t i = 0; i < sheets_.size(); ++i) {
    STEELYARD_TRY(write_sheet(sheets_.at(i), word(static_cast<RecordKind>(i))));
  }
  // Names that sort behind those of the counted rows: what is held aside must meet them.
  STEELYARD_TRY(write_sheet(second_sessions_, "sessions_held"));
  STEELYARD_TRY(write_sheet(second_sets_, "sets_held"));
  return written;
}

}  // namespace

Result<std::vector<std::pair<std::string, std::size_t>>> export_logs(Context& context, const ExportOptions& options) {
  std::vector<Athlete> athletes;
  if (options.athlete) {
    STEELYARD_TRY_ASSIGN(auto one, find_athlete(context, options.athlete, std::nullopt));
    athletes.push_back(std::move(one));
  } else {
    STEELYARD_TRY_ASSIGN(athletes, context.store.athletes());
  }
  if (athletes.empty()) return fail(Errc::no_input, "the store holds no athlete yet");
  Export out(options.for_spreadsheets);
  for (const Athlete& athlete : athletes) {
    STEELYARD_TRY_ASSIGN(auto log, context.store.log(athlete.athlete, k_first_day, k_last_day));
    out.add(std::move(log));
  }
  return out.write(options.folder);
}

Result<Erased> erase(Context& context, const std::string& athlete, const std::optional<std::string>& file) {
  STEELYARD_TRY_ASSIGN(const auto paths, context.store.service().outbox_paths(athlete));
  std::vector<Error> copies;
  if (file && !athlete.empty()) {
    STEELYARD_TRY_ASSIGN(copies, store::copies_with(*file, athlete));
  }
  // Of somebody whose entry was taken back there are traces, but no log.
  STEELYARD_TRY_ASSIGN(const auto there, context.store.athlete(athlete));
  AthleteLog log;
  if (there) {
    STEELYARD_TRY_ASSIGN(log, context.store.log(athlete, k_first_day, k_last_day));
  }
  STEELYARD_TRY_ASSIGN(const auto history, context.store.history(athlete));
  Erased erased;
  erased.entries = (there ? 1U : 0U) + log.maxes.size() + log.plan.size() + log.days_off.size() + log.sessions.size() +
                   log.sets.size() + log.checks.size() + log.bar.size() + log.clearances.size();
  erased.replaced = history.size();
  const auto gone = context.store.erase(athlete);
  // Of somebody who is in the copies only there is nothing to remove here.
  if (!gone && (gone.error().code != Errc::no_input || copies.empty())) {
    if (gone.error().code == Errc::no_input) STEELYARD_TRY(find_athlete(context, athlete, std::nullopt));
    if (gone.error().code != Errc::busy) return tl::make_unexpected(gone.error());
    STEELYARD_TRY_ASSIGN(const auto still, context.store.athlete(athlete));
    if (still) return tl::make_unexpected(gone.error());
    erased.unfinished = gone.error();
  }
  for (const std::string& path : paths) {
    for (const std::string_view ending : k_briefing_files) {
      const auto removed = remove_file(path + std::string(ending));
      if (!removed) {
        erased.left.push_back(removed.error());
      } else {
        erased.files += *removed ? std::size_t{1} : 0;
      }
    }
  }
  erased.left.insert(erased.left.end(), copies.begin(), copies.end());
  STEELYARD_TRY_ASSIGN(erased.digest, context.store.contents_digest());
  return erased;
}

}  // namespace steelyard::app
