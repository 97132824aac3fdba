// A whole store in another place. Values of the digest are compared between stores, not with anything written down.
#include "steelyard/store/move.hpp"

#include <gmock/gmock.h>

#include <set>

#include "random_log.hpp"
#include "store/sqlite.hpp"
#include "store/tables.hpp"

namespace steelyard::store {
namespace {

using testing::HasSubstr;

/// Something in every table: rows, history, a question, what the program keeps, what the service keeps.
void fill(Store& store) {
  enter(store, {athlete("ada", "club"), athlete("bo"), athlete("cy")}, "athletes");
  RandomLog random(3);
  for (int i = 0; i < 8; ++i) enter(store, random.rows(40));
  must(store.undo_last());  // a gap in the numbers
  const auto entry = must(store.begin("asks", k_noon));
  Question question{.athlete = "ada", .date = day("2026-01-05"), .doubt = "minutes", .say = "tab\tline\nback\\"};
  question.rows = {session("ada", "2026-01-05", 600), check("ada", "2026-01-05", 0.1)};
  must(entry->ask(question));
  must(entry->commit());
  must(store.save_call({.athlete = "ada", .date = day("2026-01-05"), .command = "today", .json = "{}", .text = "x"}));
  must(store.save_decision({.athlete = "ada", .date = day("2026-01-05"), .lift = "squat"}, k_noon));
  must(store.save_states({{.athlete = "ada",
                           .target = "t",
                           .date = day("2026-01-05"),
                           .model_digest = "m",
                           .bytes = std::string("\0\\\xFF\n", 4)}}));
  must(store.save_forecasts({{.athlete = "ada", .date = day("2026-01-05"), .target = "t", .mean = 1.0 / 3.0}}));
  Service& service = store.service();
  must(service.add_token({.hash = std::string("\0h", 2), .role = "lifter", .athlete = "ada"}));
  const std::vector<Access> lines{{.athlete = "ada", .what = "x"}};
  must(service.add_accesses(lines));
  must(service.save_reply("k", {.request_digest = "d", .status = 201, .body = "{}"}, k_noon));
  must(service.add_briefing({.kind = "day", .subject = "ada", .date = day("2026-01-05")}));
  must(service.note_file("d", "3 rows"));
  must(service.save_week_decision({.week = "2026-W01", .athlete = "ada", .decision = "accept"}));
}

void expect_same(Store& a, Store& b) {
  EXPECT_EQ(picture(b), picture(a));
  EXPECT_EQ(must(b.contents_digest()), must(a.contents_digest()));
  EXPECT_EQ(must(b.state("ada", "t", day("2026-01-05")))->bytes, must(a.state("ada", "t", day("2026-01-05")))->bytes);
  EXPECT_EQ(must(b.service().token(std::string("\0h", 2)))->athlete, "ada");
  EXPECT_EQ(must(b.open_questions("ada")).at(0).rows, must(a.open_questions("ada")).at(0).rows);
}

TEST(Move, KnowsEveryTableAndColumnOfTheStore) {
  const Folder folder;
  must(open_sqlite_store(folder.file("a.db")));
  SqliteDatabase db;
  must(db.open(folder.file("a.db"), k_wait));
  std::set<std::string> named;
  for (const Table& table : contents_tables()) {
    named.insert(table.name);
    Statement info(db, fmt::format("select name, lower(type) from pragma_table_info('{}')", table.name));
    std::set<std::string> there;
    must(each(info, [&]() -> Result<void> {
      there.insert(fmt::format("{} {}", info.text(0), info.text(1)));
      return {};
    }));
    std::set<std::string> known;
    for (const auto& c : table.columns) {
      const char* const types[] = {"integer", "real", "text", "blob"};
      known.insert(fmt::format("{} {}", c.name, types[static_cast<int>(c.type)]));
    }
    EXPECT_EQ(known, there) << table.name;
  }
  Statement tables(db, "select name from sqlite_schema where type = 'table' and name not like 'sqlite%'");
  must(each(tables, [&]() -> Result<void> {
    const std::string name(tables.text(0));
    EXPECT_TRUE(named.contains(name) || name == "leases" || name.starts_with("loose_")) << name;
    return {};
  }));
}

TEST(Move, FromFileToFileIsTheSameStore) {
  const Folder folder;
  fill(*must(open_sqlite_store(folder.file("a.db"))));
  const auto moved = must(move_store(folder.file("a.db"), folder.file("b.db")));
  EXPECT_GT(moved.rows, 100);
  for (const auto& table : moved.tables) {
    EXPECT_TRUE(table.rows > 0 || table.name.starts_with("held_")) << table.name << " is not tried";
  }
  expect_same(*must(open_sqlite_store(folder.file("a.db"))), *must(open_sqlite_store(folder.file("b.db"))));
}

TEST(Move, RefusesATargetThatHoldsSomethingAndASourceThatIsNotThere) {
  const Folder folder;
  fill(*must(open_sqlite_store(folder.file("a.db"))));
  const auto other = must(open_sqlite_store(folder.file("b.db")));
  enter(*other, {athlete("zoe")});
  const auto refused = move_store(folder.file("a.db"), folder.file("b.db"));
  EXPECT_EQ(code_of(refused), Errc::not_allowed);
  EXPECT_THAT(refused.error().what, HasSubstr("holds something already"));
  EXPECT_EQ(must(other->athletes()).size(), 1U);
  EXPECT_EQ(code_of(move_store(folder.file("none.db"), folder.file("c.db"))), Errc::no_input);
  EXPECT_EQ(code_of(move_store(folder.file("a.db"), folder.file("a.db"))), Errc::usage);
}

TEST(Move, ThatFailsHalfwayLeavesNothing) {
  const Folder folder;
  fill(*must(open_sqlite_store(folder.file("a.db"))));
  must(open_sqlite_store(folder.file("b.db")));
  {
    SqliteDatabase db;
    must(db.open(folder.file("b.db"), k_wait));
    // One of the last tables takes no row with what the source holds.
    must(db.run("create trigger refuse before insert on week_decisions begin select raise(abort, 'no'); end"));
  }
  EXPECT_FALSE(move_store(folder.file("a.db"), folder.file("b.db")));
  EXPECT_TRUE(must(must(open_sqlite_store(folder.file("b.db")))->athletes()).empty());
}

TEST(Move, NoticesACopyThatDiffers) {
  const Folder folder;
  fill(*must(open_sqlite_store(folder.file("a.db"))));
  must(open_sqlite_store(folder.file("b.db")));
  {
    SqliteDatabase db;
    must(db.open(folder.file("b.db"), k_wait));
    must(db.run("create trigger change after insert on forecasts begin update forecasts set mean = mean + 1e-12; end"));
  }
  const auto moved = move_store(folder.file("a.db"), folder.file("b.db"));
  EXPECT_EQ(code_of(moved), Errc::failed);
  EXPECT_THAT(moved.error().what, HasSubstr("the copy of forecasts differs"));
  EXPECT_TRUE(must(must(open_sqlite_store(folder.file("b.db")))->athletes()).empty());
}

TEST(PostgresMove, ThereAndBackIsTheSameStore) {
  const Folder folder;
  Databases databases;
  fill(*must(open_sqlite_store(folder.file("a.db"))));
  const auto there = must(move_store(folder.file("a.db"), databases.url("a")));
  const auto back = must(move_store(databases.url("a"), folder.file("b.db")));
  const auto again = must(move_store(folder.file("b.db"), databases.url("b")));
  EXPECT_EQ(back.digest, there.digest);
  EXPECT_EQ(again.digest, there.digest);
  const auto before = must(open_sqlite_store(folder.file("a.db")));
  const auto server = must(open_postgres_store(databases.url("a")));
  const auto after = must(open_sqlite_store(folder.file("b.db")));
  expect_same(*before, *server);
  expect_same(*before, *after);
  for (auto* store : {before.get(), server.get(), after.get()}) {
    enter(*store, {check("ada", "2026-02-01")}, "later");
    EXPECT_EQ(must(store->service().add_token({.hash = "n", .role = "coach"})), 2) << "numbers go on";
  }
  while (must(before->undo_last())) {
    must(server->undo_last());
    must(after->undo_last());
    EXPECT_EQ(must(server->contents_digest()), must(before->contents_digest()));
    EXPECT_EQ(must(after->contents_digest()), must(before->contents_digest()));
  }
  EXPECT_EQ(code_of(move_store(folder.file("a.db"), databases.url("b"))), Errc::not_allowed);
}

}  // namespace
}  // namespace steelyard::store
