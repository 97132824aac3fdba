#include "store/schema.hpp"

#include <array>

#include "store/rows.hpp"
#include "store/service_tables.hpp"

namespace steelyard::store {
namespace {

/// Column definitions of a kind. Held rows are kept as entered, so their part may be missing.
template <class R>
std::string definitions(bool stored) {
  constexpr bool refers = !std::is_same_v<R, Athlete> && !std::is_same_v<R, Period>;
  std::string text;
  R record;
  visit_fields(
      [&]<class T>(const Column& column, const T&) {
        const bool may_be_null = k_is_optional<T> && !(stored && column.name == "part");
        text += fmt::format("\"{}\" {}{}", column.name, column_type<T>(), may_be_null ? "" : " not null");
        // Checked at commit: within an entry the athlete may come after the rows.
        if (stored && refers && column.name == "athlete") text += " references athletes deferrable initially deferred";
        text += ", ";
      },
      record);
  if constexpr (k_has_position<R>) text += "position integer not null, ";
  return text;
}

template <class R>
Result<void> create_kind(Database& db) {
  const std::string name = table<R>();
  STEELYARD_TRY(db.run(fmt::format(
      "create table {} ({}entry integer not null, seen integer not null, primary key ({})) strict, without rowid", name,
      definitions<R>(true), key_list<R>())));
  STEELYARD_TRY(db.run(
      fmt::format("create table old_{} (changed_by integer not null, seq integer not null, {}entry integer not null, "
                  "seen integer not null, primary key (changed_by, seq)) strict, without rowid",
                  name, definitions<R>(false))));
  return db.run(
      fmt::format("create table held_{} (question integer not null, place integer not null, {}"
                  "primary key (question, place)) strict, without rowid",
                  name, definitions<R>(false)));
}

// autoincrement: the number of an entry or a question that was taken back is not given again, so that an old
// "seen" mark or a number that a person wrote down cannot mean something else later.
constexpr const char* k_other_tables = R"sql(
create table entries (id integer primary key autoincrement, at integer not null, source text not null) strict;
create table touches (entry integer not null, athlete text not null, first integer,
  primary key (entry, athlete)) strict, without rowid;
create table loose_parts (athlete text not null, date integer not null, part integer not null,
  primary key (athlete, date, part)) strict, without rowid;
create table loose_lifts (athlete text not null, date integer not null, lift text not null,
  primary key (athlete, date, lift)) strict, without rowid;
create table questions (id integer primary key autoincrement, entry integer not null, athlete text not null,
  date integer not null, doubt text not null, say text not null, fields text not null, state text,
  answered_by integer) strict;
create index questions_by_athlete on questions (athlete, date);
create table calls (id integer primary key, athlete text not null, date integer not null, command text not null,
  made_at integer not null, inputs_digest text not null, model_version text not null, model_digest text not null,
  json text not null, say text not null) strict;
create index calls_by_day on calls (athlete, date, command, made_at);
create table decisions (id integer primary key, athlete text not null, date integer not null, lift text not null,
  follows integer not null, reason text not null, done text not null, at integer not null) strict;
create index decisions_by_day on decisions (athlete, date, lift);
create table states (athlete text not null, target text not null, date integer not null, model_digest text not null,
  bytes blob not null, primary key (athlete, target, date)) strict, without rowid;
create table forecasts (athlete text not null, date integer not null, target text not null, made_on integer not null,
  mean real not null, low80 real not null, high80 real not null, observed real,
  primary key (athlete, date, target, made_on)) strict, without rowid;
)sql";

/// Version 1. A later change of fields.hpp needs a migration of its own that alters files made here.
Result<void> create_all(Database& db) {
  STEELYARD_TRY(for_each_kind([&]<class R>() { return create_kind<R>(db); }));
  STEELYARD_TRY(db.run(k_other_tables));
  return db.run(fmt::format("pragma application_id = {}", k_application_id));
}

using Migration = Result<void> (*)(Database&);
/// Migration i brings version i to version i + 1.
constexpr std::array<Migration, k_schema_version> k_migrations{create_all, create_service_tables};

}  // namespace

Result<void> check_identity(Database& db) {
  STEELYARD_TRY_ASSIGN(const auto tables, db.number("select count(*) from sqlite_schema"));
  STEELYARD_TRY_ASSIGN(const auto application, db.number("pragma application_id"));
  STEELYARD_TRY_ASSIGN(const auto version, db.number("pragma user_version"));
  if (application != k_application_id && (tables > 0 || application != 0 || version != 0)) {
    return fail(Errc::bad_data,
                "this is a database of another program, not a steelyard store; name another file with --data",
                db.file());
  }
  if (version > k_schema_version) {
    return fail(
        Errc::bad_data,
        fmt::format("this store was written by a newer steelyard (its tables have version {}, this program knows "
                    "up to {}); update the program",
                    version, k_schema_version),
        db.file());
  }
  return {};
}

Result<void> migrate(Database& db) {
  STEELYARD_TRY_ASSIGN(auto version, db.number("pragma user_version"));
  if (version == k_schema_version) return {};
  Transaction work(db);
  STEELYARD_TRY(work.begin());
  // Read again: another process may have done it while this one waited for the lock.
  STEELYARD_TRY_ASSIGN(version, db.number("pragma user_version"));
  for (; version < k_schema_version; ++version) {
    STEELYARD_TRY(k_migrations[static_cast<std::size_t>(version)](db));
    STEELYARD_TRY(db.run(fmt::format("pragma user_version = {}", version + 1)));
  }
  return work.commit();
}

}  // namespace steelyard::store
