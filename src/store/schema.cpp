#include "store/schema.hpp"

#include <array>

#include "store/guards.hpp"
#include "store/rows.hpp"
#include "store/service_tables.hpp"

namespace steelyard::store {
namespace {

std::string_view type_name(const Dialect& dialect, ColumnType type) {
  switch (type) {
    case ColumnType::integer:
      return dialect.integer;
    case ColumnType::real:
      return dialect.real;
    default:
      return dialect.text;
  }
}

/// Column definitions of a kind. Held rows are kept as entered, so their part may be missing.
template <class R>
std::string definitions(const Dialect& dialect, bool stored) {
  constexpr bool has_athlete = !std::is_same_v<R, Athlete> && !std::is_same_v<R, Period>;
  // A server looks once an entry and athlete (see guards.cpp), not once a row.
  const bool refers = stored && has_athlete && !dialect.is_server;
  std::string text;
  R record;
  visit_fields(
      [&]<class T>(const Column& column, const T&) {
        const bool may_be_null = k_is_optional<T> && !(stored && column.name == "part");
        text += fmt::format("\"{}\" {}{}", column.name, type_name(dialect, column_type<T>()),
                            may_be_null ? "" : " not null");
        // Checked at commit: within an entry the athlete may come after the rows.
        if (refers && column.name == "athlete") text += " references athletes deferrable initially deferred";
        text += ", ";
      },
      record);
  if constexpr (k_has_position<R>) text += fmt::format("position {} not null, ", dialect.integer);
  return text;
}

/// Kinds of which a lifter has a row a day, or more.
template <class R>
constexpr bool k_is_large =
    std::is_same_v<R, Session> || std::is_same_v<R, SetRow> || std::is_same_v<R, Check> || std::is_same_v<R, PlanRow>;

template <class R>
Result<void> create_kind(Database& db) {
  const Dialect& d = db.dialect();
  const std::string name = table<R>();
  STEELYARD_TRY(db.run(fmt::format("create table {0} ({1}entry {2} not null, seen {2} not null, primary key ({3})){4}",
                                   name, definitions<R>(d, true), d.long_integer, key_list<R>(),
                                   k_is_large<R> ? d.spread_end : d.keyed_end)));
  if (k_is_large<R>) STEELYARD_TRY(db.spread(name));
  STEELYARD_TRY(
      db.run(fmt::format("create table old_{0} (changed_by {1} not null, seq {1} not null, {2}entry {1} not null, "
                         "seen {1} not null, primary key (changed_by, seq)){3}",
                         name, d.long_integer, definitions<R>(d, false), d.keyed_end)));
  return db.run(
      fmt::format("create table held_{} (question {} not null, place {} not null, {}"
                  "primary key (question, place)){}",
                  name, d.long_integer, d.integer, definitions<R>(d, false), d.keyed_end));
}

// {key}: the number of an entry or a question that was taken back is not given again, so that an old "seen" mark or a
// number that a person wrote down cannot mean something else later.
constexpr const char* k_other_tables = R"sql(
create table entries (id {key}, at {long} not null, source {text} not null){end};
create table touches (entry {long} not null, athlete {text} not null, first {int},
  primary key (entry, athlete)){keyed};
create table loose_parts (athlete {text} not null, date {int} not null, part {int} not null,
  primary key (athlete, date, part)){keyed};
create table loose_lifts (athlete {text} not null, date {int} not null, lift {text} not null,
  primary key (athlete, date, lift)){keyed};
create table questions (id {key}, entry {long} not null, athlete {text} not null,
  date {int} not null, doubt {text} not null, say {text} not null, fields {text} not null, state {text},
  answered_by {long}){end};
create index questions_by_athlete on questions (athlete, date);
create table calls (id {counted}, athlete {text} not null, date {int} not null, command {text} not null,
  made_at {long} not null, inputs_digest {text} not null, model_version {text} not null, model_digest {text} not null,
  json {text} not null, say {text} not null){end};
create index calls_by_day on calls (athlete, date, command, made_at);
create table decisions (id {counted}, athlete {text} not null, date {int} not null, lift {text} not null,
  follows {int} not null, reason {text} not null, done {text} not null, at {long} not null){end};
create index decisions_by_day on decisions (athlete, date, lift);
create table states (athlete {text} not null, target {text} not null, date {int} not null,
  model_digest {text} not null, bytes {bytes} not null, primary key (athlete, target, date)){spread};
create table forecasts (athlete {text} not null, date {int} not null, target {text} not null, made_on {int} not null,
  mean {real} not null, low80 {real} not null, high80 {real} not null, observed {real},
  primary key (athlete, date, target, made_on)){spread};
)sql";

/// Version 1. A later change of fields.hpp needs a migration of its own that alters stores made here.
Result<void> create_all(Database& db) {
  STEELYARD_TRY(db.create_space());
  STEELYARD_TRY(for_each_kind([&]<class R>() { return create_kind<R>(db); }));
  STEELYARD_TRY(db.run(in_words_of(db.dialect(), k_other_tables)));
  STEELYARD_TRY(db.spread("states"));
  return db.spread("forecasts");
}

/// Version 3. With several writers the numbers of entries, drawn when they begin, are not the order in which they are
/// finished; undo and history go by the latter.
Result<void> order_entries(Database& db) {
  STEELYARD_TRY(db.run(in_words_of(db.dialect(), "alter table entries add column done {long} not null default 0")));
  STEELYARD_TRY(db.run("update entries set done = id; create index entries_by_done on entries (done)"));
  return db.dialect().is_server ? create_guards(db) : Result<void>{};
}

/// Version 5. What was called stands beside every decision; until then only followed ones had it, as their reason.
/// Saved states are large, and SQLite reads a row that lies in the tree of its key whole to compare it: they go beside
/// it.
Result<void> keep_what_was_called(Database& db) {
  STEELYARD_TRY(
      db.run(in_words_of(db.dialect(), "alter table decisions add column called {text} not null default ''")));
  STEELYARD_TRY(db.run("update decisions set called = reason, reason = '' where follows = 1"));
  if (db.dialect().is_server) return {};
  return db.run(
      "create table states_beside (athlete text not null, target text not null, date integer not null, "
      "model_digest text not null, bytes blob not null, primary key (athlete, target, date)) strict; "
      "insert into states_beside select athlete, target, date, model_digest, bytes from states; "
      "drop table states; alter table states_beside rename to states");
}

/// Version 6. The newest entry of an athlete is found by an index: looked for backwards among the entries of all, it took
/// the longer the longer the athlete had been silent. A program of version 5 that still has the store open writes no
/// `done`: a server draws the number then, in a file, where nobody else was writing, the entry's own is right (see
/// k_touch_order). A row whose entry is gone is not in the way; `verify` names it.
Result<void> order_touches(Database& db) {
  const Dialect& d = db.dialect();
  STEELYARD_TRY(db.run(in_words_of(d, "alter table touches add column done {long} not null default 0")));
  STEELYARD_TRY(db.run("update touches set done = coalesce((select e.done from entries e where e.id = entry), entry)"));
  // Only now: with a default that is drawn for each row the server would write every row once more.
  if (!d.is_server) return {};
  return db.run(fmt::format("alter table touches alter column done set default {}", d.entry_order));
}

/// Version 7. The index stands on k_touch_order; that of version 6 stood on `done` alone.
Result<void> index_touches(Database& db) {
  return db.run(
      fmt::format("drop index if exists touches_by_athlete; create index touches_by_athlete on touches (athlete, ({}))",
                  k_touch_order));
}

using Migration = Result<void> (*)(Database&);
/// Migration i brings version i to version i + 1.
constexpr std::array<Migration, k_schema_version> k_migrations{
    create_all,           create_service_tables, order_entries, add_service_columns,
    keep_what_was_called, order_touches,         index_touches};

}  // namespace

std::string in_words_of(const Dialect& d, const char* sql) {
  return fmt::format(fmt::runtime(sql), fmt::arg("key", d.number_key), fmt::arg("counted", d.counted_key),
                     fmt::arg("int", d.integer), fmt::arg("long", d.long_integer), fmt::arg("real", d.real),
                     fmt::arg("text", d.text), fmt::arg("bytes", d.bytes), fmt::arg("end", d.end),
                     fmt::arg("keyed", d.keyed_end), fmt::arg("spread", d.spread_end));
}

Result<void> check_identity(Database& db) {
  STEELYARD_TRY_ASSIGN(const Format format, db.format());
  if (!format.is_ours && !format.is_empty) {
    return fail(Errc::bad_data,
                "this is a database of another program, not a steelyard store; name another one with --data",
                db.where());
  }
  if (format.least > k_schema_version) {
    return fail(
        Errc::bad_data,
        fmt::format("this store was written by a newer steelyard (its tables have version {}, this program knows "
                    "up to {}); update the program",
                    format.version, k_schema_version),
        db.where());
  }
  return {};
}

Result<void> migrate(Database& db, const std::function<Result<void>()>& keep) {
  STEELYARD_TRY_ASSIGN(Format format, db.format());
  if (format.version >= k_schema_version) return {};
  Transaction work(db);
  STEELYARD_TRY(work.begin_alone());
  // Read again: another process may have done it while this one waited for the lock.
  STEELYARD_TRY_ASSIGN(format, db.format());
  if (format.version >= k_schema_version) return {};
  if (format.version > 0 && keep) STEELYARD_TRY(keep());
  for (int version = format.version; version < k_schema_version; ++version) {
    STEELYARD_TRY(k_migrations[static_cast<std::size_t>(version)](db));
  }
  STEELYARD_TRY(db.set_format(k_schema_version, k_least_version));
  return work.commit();
}

}  // namespace steelyard::store
