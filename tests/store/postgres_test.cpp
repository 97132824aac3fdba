// What only a server has: several writers, roles, a restart, an older program beside a newer one.
// Source of the codes and of row security: PostgreSQL 15 documentation, "Row Security Policies", "Error Codes".
#include <gmock/gmock.h>

#include <atomic>
#include <thread>

#include "random_log.hpp"
#include "steelyard/store/care.hpp"
#include "steelyard/store/move.hpp"
#include "store/schema.hpp"
#include "store/sql_store.hpp"

namespace steelyard::store {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;
using testing::SizeIs;

constexpr std::chrono::milliseconds k_short_wait{50};

class PostgresStore : public testing::Test {
 protected:
  [[nodiscard]] std::unique_ptr<Store> open() { return must(open_postgres_store(databases_.url("a"))); }
  [[nodiscard]] std::unique_ptr<Store> open_hasty() {
    return store_over(must(open_postgres_database(databases_.url("a"), k_short_wait)));
  }
  [[nodiscard]] std::unique_ptr<Database> connect(const std::string& role = "postgres") {
    const std::string name = databases_.database("a");
    return databases_.server().connect(name, role);
  }
  Databases databases_;
};

// ------------------------------------------------------------------------------------------ several writers
TEST_F(PostgresStore, WritersOfDifferentAthletesDoNotWaitForEachOther) {
  const auto first = open();
  const auto second = open_hasty();
  enter(*first, {athlete("ada"), athlete("bo")});
  const auto entry = must(first->begin("first", k_noon));
  must(entry->put(check("ada", "2026-01-05")));
  enter(*second, {check("bo", "2026-01-05")}, "second");
  EXPECT_THAT(whole_log(*second, "ada").checks, IsEmpty()) << "an entry is there whole or not at all";
  must(entry->commit());
  EXPECT_THAT(whole_log(*second, "ada").checks, SizeIs(1));
}

TEST_F(PostgresStore, AWriterOfTheSameAthleteIsBusyAndNothingOfItStays) {
  const auto first = open();
  const auto second = open_hasty();
  enter(*first, {athlete("ada"), athlete("bo")});
  const auto entry = must(first->begin("first", k_noon));
  must(entry->put(check("ada", "2026-01-05")));
  {
    const auto refused = must(second->begin("second", k_noon));
    must(refused->put(check("bo", "2026-01-05")));
    const auto put = refused->put(check("ada", "2026-01-06"));
    EXPECT_EQ(code_of(put), Errc::busy);
    EXPECT_THAT(put.error().what, HasSubstr("try again"));
    EXPECT_EQ(code_of(refused->commit()), Errc::busy);
  }
  EXPECT_EQ(code_of(second->undo_last()), Errc::busy);
  EXPECT_EQ(code_of(second->erase("bo")), Errc::busy);
  must(entry->commit());
  EXPECT_THAT(whole_log(*second, "bo").checks, IsEmpty());
  EXPECT_EQ(enter(*second, {check("ada", "2026-01-06")}).added, 1);
}

TEST_F(PostgresStore, UndoAndHistoryGoByTheOrderInWhichEntriesWereFinished) {
  const auto store = open();
  const auto other = open();
  enter(*store, {athlete("ada"), check("ada", "2026-01-05", 8)}, "start");
  const auto early = must(store->begin("begun first, finished last", k_noon));
  enter(*other, {check("ada", "2026-01-05", 7)}, "finished first");
  must(early->put(check("ada", "2026-01-05", 6)));
  must(early->commit());
  const auto history = must(store->history("ada"));
  ASSERT_THAT(history, SizeIs(2));
  EXPECT_EQ(history[0].replaced_by.source, "finished first");
  EXPECT_EQ(std::get<Check>(history[1].before).sleep_hours, 7.0);
  EXPECT_EQ(must(other->undo_last())->source, "begun first, finished last");
  EXPECT_EQ(whole_log(*store, "ada").checks.at(0).sleep_hours, 7.0);
  EXPECT_EQ(must(other->undo_last())->source, "finished first");
  EXPECT_EQ(whole_log(*store, "ada").checks.at(0).sleep_hours, 8.0);
}

TEST_F(PostgresStore, ManyWritersAtOnceLoseNothing) {
  const auto store = open();
  enter(*store, {athlete("ada"), athlete("bo"), athlete("cy")});
  constexpr int k_entries = 25;
  std::vector<std::thread> writers;
  for (int w = 0; w < 3; ++w) {
    writers.emplace_back([&, w] {
      const auto own = must(open_postgres_store(databases_.url("a")));
      for (int i = 0; i < k_entries; ++i) {
        for (const auto& code : RandomLog::codes()) {
          Check c = check(code, "2026-01-01", w + i % 2);
          c.date += Days(i);
          enter(*own, {c}, "writer");
        }
      }
    });
  }
  for (auto& writer : writers) writer.join();
  for (const auto& code : RandomLog::codes()) {
    EXPECT_THAT(whole_log(*store, code).checks, SizeIs(k_entries));
    EXPECT_THAT(must(store->history(code)), SizeIs(2 * k_entries)) << "each writer changed what the others wrote";
  }
  int undone = 0;
  while (must(store->undo_last())) ++undone;
  EXPECT_EQ(undone, 1 + 3 * 3 * k_entries);
  EXPECT_THAT(must(store->athletes()), IsEmpty());
}

TEST_F(PostgresStore, ALeaseGoesToOneOfManyAtOnce) {
  const auto url = databases_.url("a");
  std::vector<std::thread> candidates;
  std::atomic<int> leaders = 0;
  for (int i = 0; i < 8; ++i) {
    candidates.emplace_back([&, i] {
      const auto own = must(open_postgres_store(url));
      if (must(own->service().hold_lease("work", std::to_string(i), k_noon, k_noon + std::chrono::seconds{60}))) {
        ++leaders;
      }
    });
  }
  for (auto& candidate : candidates) candidate.join();
  EXPECT_EQ(leaders, 1);
}

TEST_F(PostgresStore, VersionChangesWithEveryCommitOfSomebodyElse) {
  const auto reader = open();
  const auto writer = open();
  const auto first = must(reader->service().version());
  enter(*writer, {athlete("a1")});
  EXPECT_NE(must(reader->service().version()), first);
}

// ------------------------------------------------------------------------------------------ bulk
TEST_F(PostgresStore, ALargeEntryIsWhatManySmallOnesAre) {
  std::vector<Record> rows{athlete("ada"), athlete("bo")};
  for (int i = 0; i < 400; ++i) {
    const std::string code = i % 2 == 0 ? "ada" : "bo";
    const Days later{i / 2 - (i % 17 == 0 ? 5 : 0)};  // some come late
    Session s = session(code, "2025-01-01", 60, i % 5 == 0 ? std::optional<int>(2) : std::nullopt);
    s.note = "tab\t line\n back\\slash \r end";
    Check c = check(code, "2025-01-01", 5.0 + 0.1 * (i % 30));
    s.date += later;
    c.date += later;
    rows.emplace_back(s);
    rows.emplace_back(c);
    for (int n = 0; n < 3; ++n) {
      SetRow lifted = set(code, "2025-01-01", 80 + n + i % 3, i % 7 == 0 ? std::optional<int>(2) : std::nullopt);
      lifted.date += later;
      rows.emplace_back(lifted);
    }
  }
  const auto whole = open();
  const auto plain = open_memory_store();
  for (int again = 0; again < 2; ++again) {
    const auto by_bulk = enter(*whole, rows);
    const auto one_by_one = enter(*plain, rows);
    EXPECT_EQ(by_bulk.added, one_by_one.added);
    EXPECT_EQ(by_bulk.replaced, one_by_one.replaced);
    EXPECT_EQ(by_bulk.unchanged, one_by_one.unchanged);
    EXPECT_EQ(by_bulk.removed, one_by_one.removed);
    EXPECT_EQ(must(whole->contents_digest()), must(plain->contents_digest()));
  }
  while (must(plain->undo_last())) must(whole->undo_last());
  EXPECT_EQ(must(whole->contents_digest()), must(plain->contents_digest()));
}

// ------------------------------------------------------------------------------------------ roles
TEST_F(PostgresStore, ALiftersRoleSeesTheRowsOfThatLifterOnlyAndWritesNone) {
  const auto store = open();
  for (const std::string code : {"ada", "bo"}) {
    enter(*store, {athlete(code, "club"), session(code, "2026-01-05", 60), set(code, "2026-01-05", 100),
                   check(code, "2026-01-05"), plan(code, "2026-01-05", "squat")});
    enter(*store, {check(code, "2026-01-05", 5)});
    must(store->save_states({{.athlete = code, .target = "t", .date = Day{}, .model_digest = "m", .bytes = "b"}}));
    must(store->service().add_token({.hash = code, .role = "lifter", .athlete = code}));
  }
  enter(*store, {Period{.group = "club", .from = day("2026-01-01"), .to = day("2026-02-01")},
                 Period{.group = "other", .from = day("2026-01-01"), .to = day("2026-02-01")}});
  const auto admin = connect();
  const std::string role = "lifter" + std::to_string(::getpid());
  must(admin->run("create role " + role + " login; grant usage on schema steelyard to " + role +
                  "; grant select on all tables in schema steelyard to " + role + "; insert into logins values ('" +
                  role + "', 'ada')"));
  {
    const auto own = connect(role);
    const auto count = [&](const std::string& what) { return must(own->number("select count(*) from " + what)); };
    for (const std::string table : {"athletes", "sessions", "sets", "checks", "old_checks", "plan", "states"}) {
      EXPECT_EQ(count(table), 1) << table;
      EXPECT_EQ(count(table + " where athlete <> 'ada'"), 0) << table;
    }
    EXPECT_EQ(count("periods"), 1) << "the group's own one";
    for (const std::string table : {"tokens", "entries", "touches", "replies"}) EXPECT_EQ(count(table), 0) << table;
    std::int64_t in_pieces = 0;
    for (int i = 0; i < 16; ++i) in_pieces += count("sessions_" + std::to_string(i));
    EXPECT_EQ(in_pieces, 0) << "not by way of the pieces of a table either";
    EXPECT_EQ(code_of(own->run("update checks set sleep_hours = 9")), Errc::not_allowed);
    EXPECT_EQ(code_of(own->run("insert into logins values ('x', 'bo')")), Errc::not_allowed);
    EXPECT_EQ(code_of(own->run("alter table checks disable row level security")), Errc::not_allowed);
  }
  must(admin->run("set role " + role));
  EXPECT_EQ(must(admin->number("select count(*) from checks")), 1) << "by set role too";
  must(admin->run("reset role; drop owned by " + role + "; drop role " + role));
}

TEST_F(PostgresStore, OfTwoServicesWithOneKeyTheSecondGetsTheAnswerOfTheFirst) {
  const auto url = databases_.url("a.db");
  const auto first = must(open_postgres_store(url));
  const auto work = must(first->service().begin_work());
  ASSERT_TRUE(must(first->service().claim_reply("k", k_noon)));
  std::optional<bool> claimed;
  std::string body;
  std::thread retry([&] {
    const auto second = must(open_postgres_store(url));
    const auto other = must(second->service().begin_work());
    claimed = must(second->service().claim_reply("k", k_noon));
    body = must(second->service().reply("k"))->body;
  });
  std::this_thread::sleep_for(std::chrono::milliseconds(200));
  must(first->service().save_reply("k", {.request_digest = "d", .status = 201, .body = "{}"}, k_noon));
  must(work->commit());
  retry.join();
  EXPECT_EQ(claimed, false);
  EXPECT_EQ(body, "{}");
}

TEST_F(PostgresStore, StatesWaitForNoEntryThatIsUnderWay) {
  const auto store = open();
  enter(*store, {athlete("ada"), athlete("bo"), check("ada", "2026-01-05"), check("bo", "2026-01-05")});
  const auto state_of = [&](const std::string& code) {
    return StoredState{.athlete = code,
                       .target = "learned",
                       .date = day("2026-01-06"),
                       .model_digest = "m",
                       .bytes = "b",
                       .newest_entry = whole_log(*store, code).newest_entry};
  };
  const auto importing = open();
  const auto entry = must(importing->begin("a long import", k_noon));
  must(entry->put(check("ada", "2026-01-04")));
  const auto begun = std::chrono::steady_clock::now();
  must(store->save_states({state_of("ada"), state_of("bo")}));
  EXPECT_LT(std::chrono::steady_clock::now() - begun, std::chrono::seconds(1));
  must(entry->commit());
  EXPECT_FALSE(must(store->state("ada", "learned", day("2026-01-06"))));
  EXPECT_TRUE(must(store->state("bo", "learned", day("2026-01-06"))));
}

// ------------------------------------------------------------------------------------------ versions
TEST_F(PostgresStore, OfANewerVersionIsRefusedUnlessItOnlyAdds) {
  const auto url = databases_.own_url();
  enter(*must(open_postgres_store(url)), {athlete("ada")});
  const auto admin = must(connect_postgres(url, k_wait));
  must(admin->run("alter table checks add column grip double precision; update store set version = 9"));
  const auto neighbour = must(open_postgres_store(url));
  enter(*neighbour, {check("ada", "2026-01-05")});
  EXPECT_THAT(whole_log(*neighbour, "ada").checks, SizeIs(1)) << "the older program that is being replaced goes on";
  must(admin->run("update store set least = 9"));
  const auto refused = open_postgres_store(url);
  EXPECT_EQ(code_of(refused), Errc::bad_data);
  EXPECT_THAT(refused.error().what,
              HasSubstr(fmt::format("newer steelyard (its tables have version 9, this program knows up to {})",
                                    k_schema_version)));
}

TEST_F(PostgresStore, KeepsProgramsAwayThatWouldWriteIntoTheWrongColumn) {
  const auto url = databases_.own_url();
  must(open_postgres_store(url));
  const auto admin = must(connect_postgres(url, k_wait));
  EXPECT_EQ(must(admin->number("select least from store")), 5) << "up to version 4 what was called was the reason";
}

TEST_F(PostgresStore, AProgramOfVersionFiveMayGoOnBesideANewerOne) {
  const auto url = databases_.own_url();
  const auto store = must(open_postgres_store(url));
  const auto first = enter(*store, {athlete("ada"), athlete("bo")}).id;
  enter(*store, {check("bo", "2026-01-05")});
  const auto admin = must(connect_postgres(url, k_wait));
  // Begun first, finished last.
  must(admin->run(k_back_to_version_5 +
                  "update store set version = 5; update entries set done = "
                  "nextval(pg_get_serial_sequence('steelyard.entries', 'id')) where id = " +
                  std::to_string(first)));
  must(open_postgres_store(url));
  EXPECT_EQ(whole_log(*store, "bo").newest_entry, first);
  // What version 5 writes, around an entry of somebody who is quicker.
  must(admin->run("insert into entries (at, source) values (0, 'v5')"));
  const auto theirs = must(admin->number("select max(id) from entries"));
  const auto quicker = enter(*store, {check("bo", "2026-01-06")}).id;
  EXPECT_GT(quicker, theirs);
  EXPECT_EQ(whole_log(*store, "bo").newest_entry, quicker);
  must(admin->run(
      fmt::format("begin; insert into touches (entry, athlete, first) values ({0}, 'bo', 1); update entries set done = "
                  "nextval(pg_get_serial_sequence('steelyard.entries', 'id')) where id = {0}; commit",
                  theirs)));
  EXPECT_EQ(whole_log(*store, "bo").newest_entry, theirs);
  const auto newest = enter(*store, {check("bo", "2026-01-07")}).id;
  EXPECT_EQ(whole_log(*store, "bo").newest_entry, newest);
  // The two numbers of that entry differ, but not the order; a check of the file finds nothing.
  const Folder folder;
  must(move_store(url, folder.file("moved.db")));
  EXPECT_THAT(must(must(FileCheck::open(folder.file("moved.db")))->inspect()).faults, IsEmpty());
}

TEST_F(PostgresStore, OpenedByManyForTheFirstTimeIsMadeOnce) {
  const auto url = databases_.own_url();
  std::vector<std::thread> programs;
  std::atomic<int> opened = 0;
  for (int i = 0; i < 4; ++i) {
    programs.emplace_back([&] {
      if (open_postgres_store(url)) ++opened;
    });
  }
  for (auto& program : programs) program.join();
  EXPECT_EQ(opened, 4);
}

TEST_F(PostgresStore, ASchemaOfAnotherKindIsRefused) {
  const auto url = databases_.own_url();
  must(must(connect_postgres(url, k_wait))->run("create schema steelyard create table recipes (name text)"));
  EXPECT_EQ(code_of(open_postgres_store(url)), Errc::bad_data);
}

// ------------------------------------------------------------------------------------------ errors
TEST_F(PostgresStore, TellsARefusedPasswordFromWhatElseIsWrong) {
  const auto admin = must(connect_postgres(databases_.server().url("postgres"), k_wait));
  must(admin->run("drop role if exists with_password; create role with_password login password 'right'"));
  const auto fails = [&](const std::string& database, const std::string& password) {
    const auto failed = open_postgres_store(databases_.server().url(database, "with_password") + password);
    EXPECT_THAT(failed.error().what, testing::Not(HasSubstr("LOCATION")));
    return code_of(failed);
  };
  EXPECT_EQ(fails("postgres", ""), Errc::not_allowed);
  EXPECT_EQ(fails("postgres", "&password=wrong"), Errc::not_allowed);
  EXPECT_EQ(fails("no_such_database", "&password=right"), Errc::unavailable);
  must(admin->run("drop role with_password"));
}

TEST_F(PostgresStore, SaysWhatIsWrongWithAnAddress) {
  EXPECT_EQ(code_of(open_postgres_store("postgresql://x/y?colour=red")), Errc::usage);
  const auto nowhere = open_postgres_store("postgresql:///x?host=/nowhere&password=secret");
  EXPECT_EQ(code_of(nowhere), Errc::unavailable);
  EXPECT_THAT(nowhere.error().what, HasSubstr("check that it runs"));
  EXPECT_THAT(nowhere.error().text(), testing::Not(HasSubstr("secret")));
  EXPECT_EQ(code_of(open_postgres_store(databases_.server().url("no_such_database"))), Errc::unavailable);
}

TEST_F(PostgresStore, ARowThatCannotBeStoredIsBadData) {
  const auto store = open();
  enter(*store, {athlete("ada")});
  Check c = check("ada", "2026-01-05");
  c.note = std::string("a\0b", 3);
  const auto entry = must(store->begin("test", k_noon));
  EXPECT_EQ(code_of(entry->put(c)), Errc::bad_data);
}

// ------------------------------------------------------------------------------------------ restarts
TEST(PostgresRestart, BetweenTwoEntriesIsNotNoticed) {
  const Folder folder;
  const OwnServer own(folder.path().string());
  const auto store = must(open_postgres_store(own.server().url("postgres")));
  enter(*store, {athlete("ada"), check("ada", "2026-01-05")});
  for (int i = 0; i < 3; ++i) enter(*store, {check("ada", "2026-01-06", i)});  // statements the server knows by name
  own.restart();
  EXPECT_THAT(whole_log(*store, "ada").checks, SizeIs(2));
  own.restart();
  EXPECT_EQ(enter(*store, {check("ada", "2026-01-07")}).added, 1);
  own.restart();
  must(store->save_states({{.athlete = "ada", .target = "t", .date = Day{}, .model_digest = "m", .bytes = "b"}}));
  EXPECT_THAT(whole_log(*store, "ada").checks, SizeIs(3));
}

TEST(PostgresRestart, ACommitWhoseConnectionBreaksBeforeItIsDoneLeavesNothing) {
  const Folder folder;
  const OwnServer own(folder.path().string());
  const auto store = must(open_postgres_store(own.server().url("postgres")));
  enter(*store, {athlete("ada")});
  const auto admin = own.server().connect("postgres");
  must(
      admin->run("create function cut() returns trigger language plpgsql as $$ begin "
                 "perform pg_terminate_backend(pg_backend_pid()); perform pg_sleep(10); return null; end $$; "
                 "create constraint trigger cut after insert on touches deferrable initially deferred "
                 "for each row execute function cut()"));
  {
    const auto entry = must(store->begin("test", k_noon));
    must(entry->put(check("ada", "2026-01-05")));
    EXPECT_EQ(code_of(entry->commit()), Errc::unavailable);
  }
  must(admin->run("drop trigger cut on touches"));
  EXPECT_THAT(whole_log(*store, "ada").checks, IsEmpty());
  EXPECT_EQ(enter(*store, {check("ada", "2026-01-05")}).added, 1);
}

// A commit that waits for a standby is done here already (documentation, "Synchronous Replication").
TEST(PostgresRestart, ACommitWhoseConnectionBreaksAfterItIsDoneCounts) {
  const Folder folder;
  const OwnServer own(folder.path().string());
  const auto store = must(open_postgres_store(own.server().url("postgres")));
  enter(*store, {athlete("ada")});
  must(own.server().connect("postgres")->run("alter system set synchronous_standby_names = 'nobody'"));
  own.restart();
  const auto admin = own.server().connect("postgres");
  const auto entry = must(store->begin("test", k_noon));
  must(entry->put(check("ada", "2026-01-05")));
  std::int64_t cut = 0;
  std::thread cutter([&] {
    const auto until = std::chrono::steady_clock::now() + std::chrono::seconds{10};
    while (cut == 0 && std::chrono::steady_clock::now() < until) {
      cut = must(
          admin->number("select count(pg_terminate_backend(pid)) from pg_stat_activity where wait_event = 'SyncRep'"));
    }
  });
  const auto committed = entry->commit();
  cutter.join();
  EXPECT_EQ(cut, 1) << "the commit was waiting for its standby";
  ASSERT_TRUE(committed) << committed.error().text();
  EXPECT_THAT(whole_log(*store, "ada").checks, SizeIs(1));
}

TEST(PostgresRestart, AmidAnEntryLeavesNothingOfIt) {
  const Folder folder;
  const OwnServer own(folder.path().string());
  const auto store = must(open_postgres_store(own.server().url("postgres")));
  enter(*store, {athlete("ada")});
  {
    const auto entry = must(store->begin("test", k_noon));
    must(entry->put(check("ada", "2026-01-05")));
    own.restart();
    const auto put = entry->put(check("ada", "2026-01-06"));
    EXPECT_EQ(code_of(put), Errc::unavailable);
    EXPECT_THAT(put.error().what, HasSubstr("nothing"));
    EXPECT_FALSE(entry->commit());
  }
  EXPECT_THAT(whole_log(*store, "ada").checks, IsEmpty());
  EXPECT_EQ(enter(*store, {check("ada", "2026-01-05")}).added, 1);
}

}  // namespace
}  // namespace steelyard::store
