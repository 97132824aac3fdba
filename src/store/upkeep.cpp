#include "store/upkeep.hpp"

#include <algorithm>

namespace steelyard::store {
namespace {

struct Change {
  std::int64_t order = 0;  ///< in which the entry was finished
  std::int64_t seq = 0;
  HistoryRow row;
};

template <class R>
Result<void> read_changes(Database& db, std::string_view athlete, std::vector<Change>& changes) {
  Statement select(
      db,
      fmt::format("select done, seq, id, at, source, {} from old_{} join entries on id = changed_by where athlete = ?1",
                  column_list<R>(), table<R>()));
  return each(select.with(athlete), [&]() -> Result<void> {
    R before;
    STEELYARD_TRY(read_row(select, 5, before));
    changes.push_back(
        {.order = select.integer(0),
         .seq = select.integer(1),
         .row = {
             .replaced_by = {.id = select.integer(2), .at = select.moment(3), .source = std::string(select.text(4))},
             .before = std::move(before)}});
    return {};
  });
}

/// Rows that the entry wrote go; of the rows that it replaced or removed, those of earlier entries come back. A row
/// that the entry wrote and changed again itself was not there before it.
template <class R>
Result<void> undo_rows(Database& db, std::int64_t entry) {
  const std::string name = table<R>();
  // The athletes whom the entry touched lead to its rows without a walk through the whole table. Periods of a group
  // have no athlete, but there are few of them.
  constexpr std::string_view only_touched =
      std::is_same_v<R, Period> ? "" : " and athlete in (select athlete from touches where entry = ?1)";
  Statement drop(db, fmt::format("delete from {} where entry = ?1{}", name, only_touched));
  STEELYARD_TRY(drop.with(entry).run());
  Statement restore(
      db, fmt::format("insert into {0} ({1}, entry, seen) select {1}, entry, seen from old_{0} where changed_by = ?1 "
                      "and entry <> ?1",
                      name, column_list<R>()));
  STEELYARD_TRY(restore.with(entry).run());
  Statement forget(db, fmt::format("delete from old_{} where changed_by = ?1", name));
  return forget.with(entry).run();
}

/// Runs a statement with one value and says how many rows it removed.
template <class T>
Result<std::int64_t> count_run(Database& db, const std::string& sql, T value) {
  Statement statement(db, sql);
  STEELYARD_TRY(statement.with(value).run());
  return db.changes();
}

/// Removes the athlete's rows everywhere, ends the tokens, and says how many rows there were.
Result<std::int64_t> remove_rows(Database& db, std::string_view athlete) {
  std::int64_t found = 0;
  const auto remove = [&](const std::string& sql) -> Result<void> {
    STEELYARD_TRY_ASSIGN(const auto count, count_run(db, sql, athlete));
    found += count;
    return {};
  };
  const auto remove_kind = [&]<class R>() -> Result<void> {
    const std::string name = table<R>();
    STEELYARD_TRY(remove(fmt::format("delete from {} where athlete = ?1", name)));
    STEELYARD_TRY(remove(fmt::format("delete from old_{} where athlete = ?1", name)));
    return remove(fmt::format(
        "delete from held_{} where athlete = ?1 or question in (select id from questions where athlete = ?1)", name));
  };
  STEELYARD_TRY(for_each_kind(remove_kind));
  for (const auto* name : {"questions", "calls", "decisions", "states", "forecasts", "touches", "accesses", "briefings",
                           "week_decisions"}) {
    STEELYARD_TRY(remove(fmt::format("delete from {} where athlete = ?1", name)));
  }
  // Tokens end but stay: as long as there is one, the service asks for one. What is left tells of nobody.
  STEELYARD_TRY(remove(
      "update tokens set revoked = coalesce(revoked, made), expires = made, athlete = '', note = '' where athlete = "
      "?1"));
  // Answers that may be repeated and the coach's briefings carry what was said about anybody.
  STEELYARD_TRY(db.run("delete from replies"));
  Statement unsent(db,
                   "delete from briefings where kind = 'week' and delivered is null and replace(json, ?1, '') <> json");
  STEELYARD_TRY(unsent.with(athlete).run());
  Statement blank(
      db, "update briefings set say = '', html = '', json = '' where kind = 'week' and replace(json, ?1, '') <> json");
  STEELYARD_TRY(blank.with(athlete).run());
  return found;
}

/// File names and commands often carry the athlete's code or name; entries that were only about the athlete go. Periods
/// of a group whose members are all gone are touched by nobody.
Result<void> clean_entries(Database& db, std::string_view athlete, std::string_view name) {
  Statement blank(db,
                  "update entries set source = '' where replace(lower(source), lower(?1), '') <> lower(source) or "
                  "replace(lower(source), lower(?2), '') <> lower(source)");
  STEELYARD_TRY(blank.with(athlete, name).run());
  return db.run(
      "delete from entries where id not in (select entry from touches union select entry from questions "
      "union select answered_by from questions where answered_by is not null "
      "union select entry from periods union select entry from old_periods union select changed_by from old_periods)");
}

template <class R>
Result<void> digest_rows(Database& db, std::string& sum) {
  // In a part and on a planned day the order counts, not the number: a removed row leaves a gap in the numbers.
  constexpr bool by_position = std::is_same_v<R, PlanRow>;
  Statement select(db.prepare_walk(fmt::format("select {} from {} order by {}", column_list<R>(), table<R>(),
                                               by_position ? "athlete, date, position" : key_list<R>())));
  return each(select, [&]() -> Result<void> {
    R row;
    STEELYARD_TRY(read_row(select, 0, row));
    sum = digest(sum + print_json_line(row));
    return {};
  });
}

}  // namespace

Result<std::vector<HistoryRow>> history_of(Database& db, std::string_view athlete) {
  Snapshot snapshot(db);
  STEELYARD_TRY(snapshot.begin());
  std::vector<Change> changes;
  STEELYARD_TRY(for_each_kind([&]<class R>() { return read_changes<R>(db, athlete, changes); }));
  std::sort(changes.begin(), changes.end(),
            [](const Change& a, const Change& b) { return std::pair(a.order, a.seq) < std::pair(b.order, b.seq); });
  std::vector<HistoryRow> history;
  for (auto& change : changes) history.push_back(std::move(change.row));
  return history;
}

namespace {

/// Whom an entry changed something of, or whose question it answered.
Result<std::vector<std::string>> athletes_of(Database& db, std::int64_t entry) {
  Statement select(db,
                   "select athlete from touches where entry = ?1 union select athlete from questions where entry = ?1 "
                   "or answered_by = ?1 order by athlete");
  std::vector<std::string> athletes;
  STEELYARD_TRY(each(select.with(entry), [&]() -> Result<void> {
    athletes.emplace_back(select.text(0));
    return {};
  }));
  return athletes;
}

}  // namespace

Result<std::optional<UndoneEntry>> undo_last_entry(Connection& c, const std::optional<std::string>& only_of) {
  Transaction work(c.db);
  STEELYARD_TRY(work.begin_alone());
  UndoneEntry last;
  {
    Statement select(c.db, "select id, at, source from entries order by done desc limit 1");
    STEELYARD_TRY_ASSIGN(const bool found, select.step());
    if (!found) return std::nullopt;
    last = {{.id = select.integer(0), .at = select.moment(1), .source = std::string(select.text(2))}, {}};
    select.reset();
  }
  STEELYARD_TRY_ASSIGN(last.athletes, athletes_of(c.db, last.id));
  if (only_of && last.athletes != std::vector{*only_of}) {
    return fail(Errc::not_allowed, fmt::format("the last entry is about {}, not about {} alone; nothing was taken back",
                                               join_some_words(last.athletes), *only_of));
  }
  Statement unfollow(c.db,
                     "delete from decisions where follows = 1 and at = ?2 and athlete in (select athlete from touches "
                     "where entry = ?1) and exists (select 1 from plan p where p.entry = ?1 and p.athlete = "
                     "decisions.athlete and p.date = decisions.date and p.lift = decisions.lift)");
  STEELYARD_TRY(unfollow.with(last.id, last.at).run());
  STEELYARD_TRY(for_each_kind([&]<class R>() { return undo_rows<R>(c.db, last.id); }));
  STEELYARD_TRY(c.questions.undo(last.id));
  for (const auto* sql : {"delete from states where exists (select 1 from touches t where t.entry = ?1 and "
                          "t.athlete = states.athlete and (t.first is null or t.first <= states.date))",
                          "delete from touches where entry = ?1", "delete from entries where id = ?1"}) {
    STEELYARD_TRY(count_run(c.db, sql, last.id));
  }
  STEELYARD_TRY(work.commit());
  return last;
}

Result<void> erase_athlete(Connection& c, std::string_view athlete) {
  // Rows without an athlete are those of groups, coaches and the squad.
  if (athlete.empty()) return fail(Errc::no_input, "no athlete has an empty code");
  {
    Transaction work(c.db);
    STEELYARD_TRY(work.begin_alone());
    STEELYARD_TRY_ASSIGN(const auto row, c.reader.athlete(athlete));
    STEELYARD_TRY_ASSIGN(const auto found, remove_rows(c.db, athlete));
    if (found == 0) return fail(Errc::no_input, fmt::format("there is no athlete \"{}\" in the store", athlete));
    STEELYARD_TRY(clean_entries(c.db, athlete, row ? row->name : ""));
    STEELYARD_TRY(work.commit());
  }
  auto cleaned = c.db.give_space_back();
  if (cleaned || cleaned.error().code != Errc::busy) return cleaned;
  return fail(
      Errc::busy,
      "the athlete's entries are removed, but another program still reads the store; traces stay in the file beside "
      "it until every program has closed the store",
      c.db.where());
}

Result<std::string> digest_of_contents(Database& db) {
  Snapshot snapshot(db);
  STEELYARD_TRY(snapshot.begin());
  std::string sum;
  STEELYARD_TRY(for_each_kind([&]<class R>() { return digest_rows<R>(db, sum); }));
  return digest(sum);
}

}  // namespace steelyard::store
