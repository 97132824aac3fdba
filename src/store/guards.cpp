#include "store/guards.hpp"

#include "store/rows.hpp"

namespace steelyard::store {
namespace {

constexpr const char* k_me = "(select l.athlete from logins l where l.role = current_user)";

Result<void> show_own(Database& db, const std::string& table, const std::string& more = "") {
  return db.run(fmt::format("create policy own_rows on {} for select using (athlete = {}{})", table, k_me, more));
}

/// A role without a policy for a table sees none of its rows; the owner of the tables sees all. A part of a divided
/// table can be read by its own name, so it is closed too.
constexpr const char* k_close_all = R"sql(
do $$ declare name text; begin
  for name in select c.oid::regclass::text from pg_class c
    where c.relnamespace = 'steelyard'::regnamespace and c.relkind in ('r', 'p')
  loop execute 'alter table ' || name || ' enable row level security'; end loop;
end $$;
)sql";

/// Once a touched athlete at the end of an entry, instead of a foreign key, whose trigger would run once a row.
Result<void> check_athletes(Database& db) {
  std::string has_rows;
  const auto add = [&]<class R>() -> Result<void> {
    if (std::is_same_v<R, Athlete> || std::is_same_v<R, Period>) return {};
    has_rows += fmt::format("{}exists (select from steelyard.{} where athlete = new.athlete)",
                            has_rows.empty() ? "" : " or ", table<R>());
    return {};
  };
  STEELYARD_TRY(for_each_kind(add));
  return db.run(
      fmt::format("create function check_touched_athlete() returns trigger language plpgsql as $$ begin "
                  "if not exists (select from steelyard.athletes where athlete = new.athlete) and ({}) then "
                  "raise exception 'athlete %', new.athlete using errcode = '23503'; end if; return null; end $$; "
                  "create constraint trigger touched_athlete after insert on touches deferrable initially deferred "
                  "for each row execute function check_touched_athlete()",
                  has_rows));
}

}  // namespace

Result<void> create_guards(Database& db) {
  STEELYARD_TRY(db.run("create table logins (role name primary key, athlete text collate \"C\" not null)"));
  STEELYARD_TRY(db.run("create policy own_login on logins for select using (role = current_user)"));
  const auto show_kind = [&]<class R>() -> Result<void> {
    const std::string name = table<R>();
    // The periods of the lifter's group concern the lifter; whose group it is, the lifter's own row says.
    const std::string more =
        std::is_same_v<R, Period>
            ? fmt::format(
                  " or (athlete = '' and \"group\" = (select a.\"group\" from athletes a where a.athlete = {}))", k_me)
            : "";
    STEELYARD_TRY(show_own(db, name, more));
    STEELYARD_TRY(show_own(db, "old_" + name));
    return show_own(db, "held_" + name);
  };
  STEELYARD_TRY(for_each_kind(show_kind));
  for (const auto* name : {"questions", "calls", "decisions", "states", "forecasts", "accesses", "briefings"}) {
    STEELYARD_TRY(show_own(db, name));
  }
  const auto find_by_athlete = [&]<class R>() -> Result<void> {
    return db.run(fmt::format("create index on old_{} (athlete)", table<R>()));
  };
  STEELYARD_TRY(for_each_kind(find_by_athlete));
  STEELYARD_TRY(db.run(k_close_all));
  return check_athletes(db);
}

}  // namespace steelyard::store
