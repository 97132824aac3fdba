// The tables of version 1, written out: files with these tables are in people's hands, so a change of the field
// descriptions needs a migration and a new version, not a change of this text.
#include "store/schema.hpp"

#include <gmock/gmock.h>

#include "steelyard/store/care.hpp"
#include "store/reader.hpp"
#include "store/rows.hpp"
#include "store/sqlite.hpp"
#include "support.hpp"

namespace steelyard::store {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

TEST(Schema, VersionOneHasTheseColumns) {
  SqliteDatabase db;
  must(db.open(":memory:", k_wait));
  must(migrate(db));
  ASSERT_EQ(k_schema_version, 7) << "a new version: keep this test for files that migrate from version 1";
  const std::map<std::string, std::string> tables{
      {"athletes",
       "athlete text, name text, birth_year integer, training_since integer, units text, weekdays text, time_zone "
       "text, meet_date integer, group text, bar_kg real, plates_kg text, share text"},
      {"maxes", "athlete text, lift text, from integer, training_max real, unit text"},
      {"plan",
       "athlete text, date integer, lift text, kind text, sets integer, reps integer, percent real, minutes real, note "
       "text, position integer"},
      {"periods", "athlete text, group text, from integer, to integer, intent text, note text"},
      {"days_off", "athlete text, from integer, to integer, reason text"},
      {"sessions",
       "athlete text, date integer, part integer, kind text, minutes real, rpe real, tonnage real, note text"},
      {"sets",
       "athlete text, date integer, part integer, lift text, sets integer, reps integer, weight real, unit text, "
       "percent real, rpe real, speed real, missed integer, position integer"},
      {"checks",
       "athlete text, date integer, sleep_hours real, sleep_quality real, soreness real, fatigue real, stress real, "
       "mood real, sore_regions text, pain text, symptoms text, resting_hr real, hrv real, body_mass real, jump real, "
       "minutes_available real, note text"},
      {"bar", "athlete text, date integer, lift text, percent real, speed real"},
      {"clearances", "athlete text, date integer, caution text, by text, note text"},
  };
  for (const auto& [table, expected] : tables) {
    const auto columns_of = [&](const std::string& name) {
      Statement info(db, fmt::format("select name, lower(type) from pragma_table_info('{}')", name));
      std::string text;
      must(each(info, [&]() -> Result<void> {
        text += fmt::format("{}{} {}", text.empty() ? "" : ", ", info.text(0), info.text(1));
        return {};
      }));
      return text;
    };
    EXPECT_EQ(columns_of(table), expected + ", entry integer, seen integer");
    EXPECT_EQ(columns_of("old_" + table),
              "changed_by integer, seq integer, " + expected + ", entry integer, seen integer");
    EXPECT_EQ(columns_of("held_" + table), "question integer, place integer, " + expected);
  }
}

TEST(Schema, AFileOfVersionOneGetsTheTablesOfTheServiceAndKeepsItsRows) {
  const Folder folder;
  {
    const auto store = must(open_sqlite_store(folder.file("a.db")));
    enter(*store, {athlete("a1"), session("a1", "2026-11-23", 75)});
  }
  {
    SqliteDatabase db;
    must(db.open(folder.file("a.db"), k_wait));
    must(db.run(k_back_to_version_1));
  }
  const auto store = must(open_sqlite_store(folder.file("a.db")));
  EXPECT_EQ(whole_log(*store, "a1").sessions.size(), 1U);
  EXPECT_EQ(must(store->service().add_token({.hash = "h", .role = "coach"})), 1);
  EXPECT_EQ(must(store->undo_last())->source, "test") << "what was entered before version 3 has its order too";
}

TEST(Schema, AFileOfVersionThreeKeepsWhatWasDecidedOnItsWeeks) {
  const Folder folder;
  const WeekDecision decided{.week = "2026-W47", .athlete = "a1", .decision = "accept", .note = "n"};
  {
    const auto store = must(open_sqlite_store(folder.file("a.db")));
    enter(*store, {athlete("a1")});
    must(store->service().save_week_decision(decided));
  }
  {
    SqliteDatabase db;
    must(db.open(folder.file("a.db"), k_wait));
    must(db.run(k_back_to_version_5));
    must(db.run("alter table week_decisions drop column by_whom"));  // what is left is version 3
    must(db.run("alter table briefings drop column outbox"));
    must(db.run("alter table decisions drop column called"));
    must(db.run("pragma user_version = 3"));
  }
  const auto store = must(open_sqlite_store(folder.file("a.db")));
  const auto kept = must(store->service().week_decisions("2026-W47"));
  ASSERT_EQ(kept.size(), 1U);
  EXPECT_EQ(kept[0].note, "n");
  EXPECT_EQ(kept[0].by, "");
}

TEST(Schema, AFileOfVersionFourKeepsWhatAFollowedCallWas) {
  const Folder folder;
  {
    const auto store = must(open_sqlite_store(folder.file("a.db")));
    enter(*store, {athlete("a1")});
    const Day day = parse_day("2026-11-23").value();
    must(
        store->save_decision({.athlete = "a1", .date = day, .lift = "bench", .follows = false, .reason = "hurry"}, {}));
    must(store->save_decision({.athlete = "a1", .date = day, .lift = "squat", .follows = true}, {}));
  }
  {
    SqliteDatabase db;
    must(db.open(folder.file("a.db"), k_wait));
    must(db.run(k_back_to_version_5));
    must(db.run("update decisions set reason = 'trim-sets trim-intensity' where follows = 1"));  // as version 4 kept it
    must(db.run("alter table decisions drop column called; pragma user_version = 4"));
  }
  const auto store = must(open_sqlite_store(folder.file("a.db")));
  const auto decisions = whole_log(*store, "a1").decisions;
  ASSERT_EQ(decisions.size(), 2U);
  EXPECT_EQ(decisions[0].reason, "hurry");
  EXPECT_EQ(decisions[0].called, "");
  EXPECT_EQ(decisions[1].called, "trim-sets trim-intensity");
  EXPECT_EQ(decisions[1].reason, "");
}

/// A file of version 5 in which ada's first of two entries was the last one to be finished, as a server may do it and
/// `move` keeps it.
std::int64_t write_version_5(const std::string& file) {
  std::int64_t first = 0;
  {
    const auto store = must(open_sqlite_store(file));
    first = enter(*store, {athlete("ada"), athlete("bo")}).id;
    enter(*store, {check("bo", "2026-01-05")});
    enter(*store, {check("ada", "2026-01-05")});
  }
  SqliteDatabase db;
  must(db.open(file, k_wait));
  must(db.run(k_back_to_version_5 + "update entries set done = 13 - id; pragma user_version = 5"));
  return first;
}

TEST(Schema, AFileOfVersionFiveKnowsTheNewestEntryOfEach) {
  const Folder folder;
  const auto first = write_version_5(folder.file("a.db"));
  const auto store = must(open_sqlite_store(folder.file("a.db")));
  for (const char* code : {"ada", "bo"}) EXPECT_EQ(whole_log(*store, code).newest_entry, first) << code;
}

// Version 6 had its index on `done` alone.
TEST(Schema, AFileOfVersionSixGetsTheIndexOfTheOrder) {
  const Folder folder;
  must(open_sqlite_store(folder.file("a.db")));
  {
    SqliteDatabase db;
    must(db.open(folder.file("a.db"), k_wait));
    must(
        db.run("drop index touches_by_athlete; create index touches_by_athlete on touches (athlete, done); "
               "pragma user_version = 6"));
  }
  must(open_sqlite_store(folder.file("a.db")));
  EXPECT_THAT(must(must(FileCheck::open(folder.file("a.db")))->inspect()).faults, ElementsAre());
}

TEST(Schema, AFileOfVersionFiveWithARowOfAnEntryThatIsGoneIsBroughtForward) {
  const Folder folder;
  const auto first = write_version_5(folder.file("a.db"));
  {
    SqliteDatabase db;
    must(db.open(folder.file("a.db"), k_wait));
    must(db.run("insert into touches (entry, athlete, first) values (5, 'ada', 1)"));
  }
  const auto store = must(open_sqlite_store(folder.file("a.db")));
  EXPECT_EQ(whole_log(*store, "ada").newest_entry, first);
  EXPECT_THAT(must(must(FileCheck::open(folder.file("a.db")))->inspect()).faults,
              ElementsAre("touches: 1 rows of an entry that is not there"));
}

// A service of version 5 that runs while a newer program is installed and used.
TEST(Schema, AProgramOfVersionFiveThatHasTheFileOpenGoesOnWriting) {
  const Folder folder;
  write_version_5(folder.file("a.db"));
  SqliteDatabase older;
  must(older.open(folder.file("a.db"), k_wait));
  const auto store = must(open_sqlite_store(folder.file("a.db")));
  must(
      older.run("begin immediate; insert into entries (id, at, source) values (20, 0, 'v5'); "
                "insert into touches (entry, athlete, first) values (20, 'bo', 1); "
                "update entries set done = id where id = 20; commit"));
  EXPECT_EQ(whole_log(*store, "bo").newest_entry, 20);
  EXPECT_THAT(must(must(FileCheck::open(folder.file("a.db")))->inspect()).faults, ElementsAre());
  const auto newer = enter(*store, {check("bo", "2026-01-06")}).id;
  EXPECT_EQ(whole_log(*store, "bo").newest_entry, newer);
}

// However many entries of others came since.
TEST(Schema, TheNewestEntryOfAnAthleteIsFoundByAnIndex) {
  SqliteDatabase db;
  must(db.open(":memory:", k_wait));
  must(migrate(db));
  Statement plan(db, "explain query plan " + newest_entry_query());
  std::vector<std::string> steps;
  must(each(plan.with("a1"), [&]() -> Result<void> {
    steps.emplace_back(plan.text(3));
    return {};
  }));
  EXPECT_THAT(steps, ElementsAre(HasSubstr("INDEX touches_by_athlete (athlete=?)")));
}

TEST(Schema, MigratingTwiceChangesNothing) {
  SqliteDatabase db;
  must(db.open(":memory:", k_wait));
  must(migrate(db));
  const auto count = must(db.number("select count(*) from sqlite_schema"));
  must(migrate(db));
  EXPECT_EQ(must(db.number("select count(*) from sqlite_schema")), count);
  EXPECT_EQ(must(db.number("pragma user_version")), k_schema_version);
}

TEST(Statement, ReportsWhatWentWrongWhilePreparingAtTheStep) {
  SqliteDatabase db;
  must(db.open(":memory:", k_wait));
  Statement wrong(db, "select nothing from nowhere where x = ?1");
  EXPECT_EQ(code_of(wrong.with(1).step()), Errc::failed);
}

TEST(Statement, KeepsBytesWithNulAndTellsEmptyFromNull) {
  SqliteDatabase db;
  must(db.open(":memory:", k_wait));
  Statement echo(db, "select ?1, ?2, ?3");
  const std::string nul("a\0b", 3);
  ASSERT_TRUE(must(echo.with(nul, std::string_view{}, nullptr).step()));
  EXPECT_EQ(echo.text(0), nul);
  EXPECT_FALSE(echo.is_null(1));
  EXPECT_TRUE(echo.is_null(2));
}

TEST(Transaction, InsideAnotherOneTakesBackOnlyItsOwnWork) {
  SqliteDatabase db;
  must(db.open(":memory:", k_wait));
  must(db.run("create table t (x integer)"));
  Transaction outer(db);
  must(outer.begin());
  must(db.run("insert into t values (1)"));
  {
    Transaction inner(db);
    must(inner.begin());
    must(db.run("insert into t values (2)"));
  }
  {
    Transaction inner(db);
    must(inner.begin());
    must(db.run("insert into t values (4)"));
    must(inner.commit());
  }
  must(outer.commit());
  EXPECT_EQ(must(db.number("select sum(x) from t")), 5);
}

}  // namespace
}  // namespace steelyard::store
