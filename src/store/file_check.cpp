#include <fmt/core.h>
#include <sys/stat.h>

#include <array>
#include <filesystem>
#include <set>

#include "steelyard/base/text.hpp"
#include "steelyard/store/care.hpp"
#include "store/rows.hpp"
#include "store/schema.hpp"
#include "store/sqlite.hpp"
#include "store/sqlite_store.hpp"

namespace steelyard::store {
namespace {

/// Walks a statement that gives texts.
Result<std::vector<std::string>> texts(SqliteDatabase& db, const std::string& sql) {
  std::vector<std::string> all;
  Statement select(db, sql);
  STEELYARD_TRY(each(select, [&]() -> Result<void> {
    all.emplace_back(select.text(0));
    return {};
  }));
  return all;
}

/// "table NAME: create table NAME (...)" with its columns in any order: in a new store a column stands where the fields
/// are described, in one that was brought forward at the end. Anything else stays as it is.
std::string without_order(const std::string& definition) {
  const auto open = definition.find('(');
  const auto close = definition.rfind(')');
  if (!definition.starts_with("table ") || open == std::string::npos || close < open) return definition;
  std::multiset<std::string> parts;
  std::string part;
  int depth = 0;
  for (const char c : definition.substr(open + 1, close - open - 1)) {
    depth += c == '(' ? 1 : c == ')' ? -1 : 0;
    if (c != ',' || depth > 0) {
      part += c;
    } else {
      parts.emplace(trim(part));
      part.clear();
    }
  }
  parts.emplace(trim(part));
  std::string text = definition.substr(0, open);
  for (const std::string& one : parts) text += "\n" + one;
  return text + definition.substr(close);
}

class SqliteFileCheck final : public FileCheck {
 public:
  [[nodiscard]] Result<void> open(const std::string& file) {
    std::error_code code;
    if (!std::filesystem::exists(file, code)) return fail(Errc::no_input, "there is no store here", file);
    STEELYARD_TRY(db_.open(std::filesystem::absolute(file).string(), k_wait));
    STEELYARD_TRY(check_identity(db_));
    STEELYARD_TRY_ASSIGN(const Format format, db_.format());
    if (format.is_empty) return fail(Errc::no_input, "the store is empty", file);
    return db_.run("pragma query_only = on");
  }

  [[nodiscard]] Result<Findings> inspect() override {
    Findings found;
    Snapshot snapshot(db_);
    STEELYARD_TRY(snapshot.begin());
    STEELYARD_TRY_ASSIGN(const Format format, db_.format());
    if (format.version < k_schema_version) found.older = format.version;
    check_rights(found);
    const std::size_t rights = found.faults.size();  // they do not keep anybody from looking on
    STEELYARD_TRY(check_pages(found));
    if (found.faults.size() > rights || found.older) return found;
    STEELYARD_TRY(check_tables(found));
    if (found.faults.size() > rights) return found;
    STEELYARD_TRY(check_references(found));
    return found;
  }

  [[nodiscard]] Result<std::vector<CallMade>> calls() override {
    std::vector<CallMade> all;
    // Only an answer of 'today' carries the digest of its inputs in its text.
    Statement select(db_,
                     "select id, athlete, date, command, made_at, inputs_digest, "
                     "command <> 'today' or instr(json, inputs_digest) > 0 from calls order by id");
    STEELYARD_TRY(each(select, [&]() -> Result<void> {
      all.push_back({.id = select.integer(0),
                     .athlete = std::string(select.text(1)),
                     .date = select.day(2),
                     .command = std::string(select.text(3)),
                     .made_at = select.moment(4),
                     .inputs_digest = std::string(select.text(5)),
                     .names_its_inputs = select.integer(6) != 0});
      return {};
    }));
    return all;
  }

  [[nodiscard]] Result<bool> changed_since(const CallMade& call, Day last) override {
    // Seconds are the unit of moments: what was entered in the second of the call counts as later. An entry that was
    // taken back leaves a gap in the numbers; it was there before the next number was given.
    Statement later(
        db_,
        "select exists (select 1 from entries e join touches t on t.entry = e.id where e.at >= ?2 and "
        "t.athlete = ?1 and (t.first is null or t.first <= ?3)) "
        "or exists (select 1 from questions q join entries e on e.id in (q.entry, q.answered_by) "
        "where q.athlete = ?1 and e.at >= ?2) "
        "or exists (select 1 from decisions where athlete = ?1 and at >= ?2) "
        "or (select count(*) from entries where id > (select coalesce(max(id), 0) from entries where at < ?2) "
        "and id < coalesce((select min(id) from entries where at > ?2), (select max(seq) + 1 from "
        "sqlite_sequence where name = 'entries'), 1)) "
        "< coalesce((select min(id) from entries where at > ?2), (select max(seq) + 1 from sqlite_sequence "
        "where name = 'entries'), 1) - 1 - (select coalesce(max(id), 0) from entries where at < ?2)");
    later.with(call.athlete, call.made_at, last);
    STEELYARD_TRY_ASSIGN(const bool row, later.step());
    const bool changed = row && later.integer(0) != 0;
    later.reset();
    return changed;
  }

 private:
  void check_rights(Findings& found) const {
    struct stat about {};
    for (const char* ending : {"", "-wal", "-shm"}) {
      const std::string file = db_.where() + ending;
      if (::stat(file.c_str(), &about) == 0 && (about.st_mode & 0077U) != 0) {
        found.faults.push_back(fmt::format("{} can be read by others: chmod 600 it", file));
      }
    }
  }

  [[nodiscard]] Result<void> check_pages(Findings& found) {
    const auto said = texts(db_, "pragma integrity_check(20)");
    if (!said) {
      if (said.error().code != Errc::bad_data) return tl::make_unexpected(said.error());
      found.faults.push_back("damaged: " + said.error().what);  // so much that it cannot even be walked through
      return {};
    }
    for (const std::string& line : *said) {
      if (line != "ok") found.faults.push_back("damaged: " + line);
    }
    return {};
  }

  /// The tables are those that this program makes.
  [[nodiscard]] Result<void> check_tables(Findings& found) {
    constexpr const char* k_definitions =
        "select type || ' ' || name || ': ' || coalesce(sql, '') from sqlite_schema "
        "where name not like 'sqlite_stat%' order by 1";
    SqliteDatabase fresh;
    STEELYARD_TRY(fresh.open(":memory:", k_wait));
    STEELYARD_TRY(migrate(fresh));
    STEELYARD_TRY_ASSIGN(const auto expected, texts(fresh, k_definitions));
    STEELYARD_TRY_ASSIGN(const auto there, texts(db_, k_definitions));
    const auto as_set = [](const std::vector<std::string>& definitions) {
      std::set<std::string> all;
      for (const std::string& one : definitions) all.insert(without_order(one));
      return all;
    };
    const std::set<std::string> wanted = as_set(expected);
    const std::set<std::string> had = as_set(there);
    const auto tell = [&](const std::set<std::string>& some, const std::set<std::string>& other, const char* what) {
      for (const std::string& one : some) {
        if (!other.contains(one)) found.faults.push_back(fmt::format("{}: {}", what, one.substr(0, one.find(':'))));
      }
    };
    tell(wanted, had, "missing or changed");
    tell(had, wanted, "not of this version");
    return {};
  }

  [[nodiscard]] Result<void> count(std::vector<std::string>& into, const std::string& table, std::string_view rows,
                                   const std::string& condition) {
    STEELYARD_TRY_ASSIGN(const auto number,
                         db_.number(fmt::format("select count(*) from \"{}\" where {}", table, condition)));
    if (number > 0) into.push_back(fmt::format("{}: {} {}", table, number, rows));
    return {};
  }

  /// What `touches` repeats of `entries` (see k_touch_order) has to give an athlete's entries the same order. The
  /// numbers may differ in a row that a program of version 5 wrote.
  [[nodiscard]] Result<void> check_order(Findings& found) {
    const std::string with_done = fmt::format(
        "select athlete, {} as place, (select e.done from entries e where e.id = entry) as done from touches",
        k_touch_order);
    STEELYARD_TRY_ASSIGN(
        const auto late,
        db_.number(
            "select count(*) from (select done < lag(done) over (partition by athlete order by place, done desc) "
            "as is_late from (" +
            with_done + ") where done is not null) where is_late"));
    if (late == 0) return {};
    found.faults.push_back(fmt::format("touches: {} rows that follow an entry that was finished later", late));
    return {};
  }

  [[nodiscard]] Result<void> check_references(Findings& found) {
    constexpr const char* k_no_athlete = "athlete <> '' and athlete not in (select athlete from athletes)";
    constexpr const char* k_of_nobody = "rows of an athlete who is not in the store";
    constexpr const char* k_no_entry = "rows of an entry that is not there";
    const auto check_kind = [&]<class R>() -> Result<void> {
      const std::string name = table<R>();
      STEELYARD_TRY(count(found.faults, name, k_of_nobody, k_no_athlete));
      STEELYARD_TRY(count(found.faults, "old_" + name, k_no_entry, "changed_by not in (select id from entries)"));
      // The entry of a group's period touches nobody when the group is empty.
      if constexpr (!std::is_same_v<R, Period>) {
        STEELYARD_TRY(count(found.faults, name, k_no_entry, "entry not in (select id from entries)"));
      }
      return count(found.faults, "held_" + name, "rows of a question that is not there",
                   "question not in (select id from questions)");
    };
    STEELYARD_TRY(for_each_kind(check_kind));
    STEELYARD_TRY(count(found.faults, "touches", k_no_entry, "entry not in (select id from entries)"));
    STEELYARD_TRY(check_order(found));
    STEELYARD_TRY(count(found.faults, "questions", k_no_entry, "entry not in (select id from entries)"));
    // Undoing the entry that brought an athlete leaves what was made from it.
    for (const auto* name : {"calls", "decisions", "states", "forecasts"}) {
      STEELYARD_TRY(count(found.remarks, name, "rows of an athlete whose entry was taken back", k_no_athlete));
    }
    return {};
  }

  SqliteDatabase db_;
};

}  // namespace

Result<std::unique_ptr<FileCheck>> FileCheck::open(const std::string& file) {
  auto check = std::make_unique<SqliteFileCheck>();
  STEELYARD_TRY(check->open(file));
  return check;
}

}  // namespace steelyard::store
