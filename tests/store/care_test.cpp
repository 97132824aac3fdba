// Copies of a store file and what is found in a damaged one. Common practice for an online copy: one moment, whole or
// not there, readable for its owner only. Byte offsets: SQLite database file format, section 1.3 (18, 19 = 1: no WAL).
#include "steelyard/store/care.hpp"

#include <fmt/core.h>
#include <gmock/gmock.h>
#include <sys/stat.h>

#include <thread>

#include "random_log.hpp"
#include "store/schema.hpp"
#include "store/sqlite.hpp"

namespace steelyard::store {
namespace {

using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

/// Changes a file behind the program's back.
void tamper(const std::string& file, const std::string& sql) {
  SqliteDatabase db;
  must(db.open(file, k_wait));
  must(db.run(sql));
}

Findings findings(const std::string& file) {
  return must(must(FileCheck::open(file))->inspect());
}

/// But for what SQLite keeps beside a store.
std::vector<std::string> names_in(const Folder& folder) {
  std::vector<std::string> names;
  for (const auto& file : std::filesystem::directory_iterator(folder.path())) {
    const auto name = file.path().filename().string();
    if (!name.ends_with("-wal") && !name.ends_with("-shm")) names.push_back(name);
  }
  std::sort(names.begin(), names.end());
  return names;
}

TEST(Backup, HoldsTheSameAndStandsAlone) {
  const Folder folder;
  const auto store = must(open_sqlite_store(folder.file("a.db")));
  RandomLog random(1);
  enter(*store, {athlete("ada", "club"), athlete("bo"), athlete("cy")});
  for (int i = 0; i < 5; ++i) enter(*store, random.rows(40));
  const auto receipt = must(back_up_file(folder.file("a.db"), folder.file("copy.db"), false));
  EXPECT_EQ(receipt.athletes, 3);
  EXPECT_EQ(receipt.bytes, static_cast<std::int64_t>(std::filesystem::file_size(folder.file("copy.db"))));
  EXPECT_EQ(bytes_of(folder.file("copy.db")).substr(18, 2), "\x01\x01") << "no log beside it is needed";
  struct stat about {};
  ASSERT_EQ(::stat(folder.file("copy.db").c_str(), &about), 0);
  EXPECT_EQ(about.st_mode & 0777U, 0600U);
  const auto copy = must(open_sqlite_store(folder.file("copy.db")));
  EXPECT_EQ(picture(*copy), picture(*store));
  EXPECT_THAT(findings(folder.file("copy.db")).faults, IsEmpty());
}

TEST(Backup, IsOneMomentWhileAnotherThreadWrites) {
  const Folder folder;
  const auto file = folder.file("a.db");
  enter(*must(open_sqlite_store(file)), {athlete("ada")});
  // Every entry adds a session and a check of the same day: a copy between the two would show.
  std::thread writer([&] {
    const auto store = must(open_sqlite_store(file));
    for (int i = 0; i < 60; ++i) {
      Session s = session("ada", "2026-01-01", 60, 1);
      Check c = check("ada", "2026-01-01");
      s.date += Days(i);
      c.date += Days(i);
      enter(*store, {s, c});
    }
  });
  for (int i = 0; i < 8; ++i) {
    const auto to = folder.file(fmt::format("copy{}.db", i));
    must(back_up_file(file, to, false));
    const auto log = whole_log(*must(open_sqlite_store(to)), "ada");
    EXPECT_EQ(log.sessions.size(), log.checks.size());
  }
  writer.join();
  EXPECT_EQ(whole_log(*must(open_sqlite_store(file)), "ada").checks.size(), 60U) << "nobody was kept from writing";
}

TEST(Backup, ReplacesNothingUnlessTold) {
  const Folder folder;
  enter(*must(open_sqlite_store(folder.file("a.db"))), {athlete("ada")});
  std::ofstream(folder.file("copy.db")) << "precious";
  const auto refused = back_up_file(folder.file("a.db"), folder.file("copy.db"), false);
  EXPECT_EQ(code_of(refused), Errc::not_allowed);
  EXPECT_THAT(refused.error().what, HasSubstr("--overwrite"));
  EXPECT_EQ(bytes_of(folder.file("copy.db")), "precious");
  must(back_up_file(folder.file("a.db"), folder.file("copy.db"), true));
  EXPECT_EQ(must(must(open_sqlite_store(folder.file("copy.db")))->athletes()).size(), 1U);
  EXPECT_EQ(code_of(back_up_file(folder.file("a.db"), folder.file("a.db"), true)), Errc::not_allowed);
}

// SQLite's file format, section 4.5: a log beside a file is read into it, whatever file that is.
TEST(Backup, GetsNoNameBesideTheLogOfAnotherStore) {
  const Folder folder;
  enter(*must(open_sqlite_store(folder.file("a.db"))), {athlete("ada")});
  {
    const auto in_use = must(open_sqlite_store(folder.file("copy.db")));
    enter(*in_use, {athlete("bo")});
    const auto refused = back_up_file(folder.file("a.db"), folder.file("copy.db"), true);
    ASSERT_EQ(code_of(refused), Errc::not_allowed);
    EXPECT_THAT(refused.error().what, HasSubstr("in use"));
    EXPECT_TRUE(must(in_use->athlete("bo")));
  }
  // As a program leaves it that was killed: closed without writing the log into the file.
  const auto entered = must(open_sqlite_store(folder.file("copy.db")));
  enter(*entered, {athlete("cy")});
  ASSERT_GT(std::filesystem::file_size(folder.file("copy.db-wal")), 0U);
  for (const char* ending : {"", "-wal"}) {
    std::filesystem::copy_file(folder.file("copy.db") + ending, folder.file("killed.db") + ending);
  }
  must(back_up_file(folder.file("a.db"), folder.file("killed.db"), true));
  const auto copied = must(open_sqlite_store(folder.file("killed.db")));
  EXPECT_TRUE(must(copied->athlete("ada")));
  EXPECT_FALSE(must(copied->athlete("cy"))) << "the log of the other store";
  std::ofstream(folder.file("gone.db-wal")) << "left over";
  EXPECT_EQ(code_of(back_up_file(folder.file("a.db"), folder.file("gone.db"), false)), Errc::not_allowed);
}

// Making and removing the log and its index took a third of the time of an answer.
TEST(StoreFile, StandsAloneWhenItIsClosedThoughItsLogStays) {
  const Folder folder;
  enter(*must(open_sqlite_store(folder.file("a.db"))), {athlete("ada")});
  ASSERT_TRUE(std::filesystem::exists(folder.file("a.db-wal")));
  EXPECT_EQ(std::filesystem::file_size(folder.file("a.db-wal")), 0U);
  std::filesystem::copy_file(folder.file("a.db"), folder.file("b.db"));
  EXPECT_TRUE(must(must(open_sqlite_store(folder.file("b.db")))->athlete("ada")));
}

TEST(Backup, OfWhatIsNoStoreIsRefusedAndLeavesNothing) {
  const Folder folder;
  EXPECT_EQ(code_of(back_up_file(folder.file("none.db"), folder.file("copy.db"), false)), Errc::no_input);
  tamper(
      [&] {
        std::ofstream(folder.file("other.db"));
        return folder.file("other.db");
      }(),
      "create table t (x)");
  EXPECT_EQ(code_of(back_up_file(folder.file("other.db"), folder.file("copy.db"), false)), Errc::bad_data);
  EXPECT_THAT(names_in(folder), ElementsAre("other.db"));
}

TEST(Backup, OfADamagedStoreIsNotCalledACopy) {
  const Folder folder;
  {
    const auto store = must(open_sqlite_store(folder.file("a.db")));
    RandomLog random(2);
    enter(*store, {athlete("ada", "club"), athlete("bo"), athlete("cy")});
    for (int i = 0; i < 5; ++i) enter(*store, random.rows(60));
  }
  auto bytes = bytes_of(folder.file("a.db"));
  for (std::size_t page = 3; page < bytes.size() / 4096; ++page) bytes.replace(page * 4096, 60, std::string(60, 'x'));
  std::ofstream(folder.file("a.db"), std::ios::binary) << bytes;
  const auto copied = back_up_file(folder.file("a.db"), folder.file("copy.db"), false);
  ASSERT_FALSE(copied);
  EXPECT_FALSE(std::filesystem::exists(folder.file("copy.db")));
}

TEST(Migration, KeepsTheOlderFileBesideItFirst) {
  const Folder folder;
  const auto file = folder.file("a.db");
  enter(*must(open_sqlite_store(file)), {athlete("ada")});
  EXPECT_THAT(names_in(folder), ElementsAre("a.db")) << "a new file needs no copy";
  tamper(file, k_back_to_version_1);
  must(open_sqlite_store(file));
  const std::string kept = fmt::format("{}.before-{}", file, k_schema_version);
  SqliteDatabase before;
  must(before.open(kept, k_wait));
  EXPECT_EQ(must(before.number("pragma user_version")), 1);
  EXPECT_EQ(must(before.number("select count(*) from athletes")), 1);
  EXPECT_THAT(findings(file).faults, IsEmpty()) << "what was brought forward has the tables of a new store";
}

// A backup that is put in the store's place is brought forward, too.
TEST(Migration, ReplacesNoCopyThatIsThere) {
  const Folder folder;
  const auto file = folder.file("a.db");
  const std::string kept = fmt::format("a.db.before-{}", k_schema_version);
  const auto bring_forward = [&](const char* code) {
    for (const char* ending : {"", "-wal", "-shm"}) std::filesystem::remove(file + ending);
    enter(*must(open_sqlite_store(file)), {athlete(code)});
    tamper(file, k_back_to_version_1);
    must(open_sqlite_store(file));
  };
  std::filesystem::create_symlink("nowhere", folder.file(kept));
  for (const char* code : {"ada", "bo", "cy"}) bring_forward(code);
  EXPECT_THAT(names_in(folder), ElementsAre("a.db", kept, kept + "-2", kept + "-3", kept + "-4"));
  const std::vector<std::string> endings{"-2", "-3", "-4"};
  const std::vector<std::string> codes{"ada", "bo", "cy"};
  for (std::size_t i = 0; i < codes.size(); ++i) {
    SqliteDatabase before;
    must(before.open(folder.file(kept + endings[i]), k_wait));
    Statement there(before, "select 1 from athletes where athlete = ?1");
    EXPECT_TRUE(must(there.with(codes[i]).exists())) << codes[i];
  }
}

TEST(Migration, KeepsNothingThatAnotherProcessHasBroughtForwardMeanwhile) {
  const Folder folder;
  const auto file = folder.file("a.db");
  enter(*must(open_sqlite_store(file)), {athlete("ada")});
  tamper(file, k_back_to_version_1);
  SqliteDatabase other;
  must(other.open(file, k_wait));
  Transaction work(other);
  must(work.begin());
  std::thread second([&] { must(open_sqlite_store(file)); });
  std::this_thread::sleep_for(std::chrono::milliseconds(300));
  must(migrate(other));
  must(work.commit());
  second.join();
  EXPECT_THAT(names_in(folder), ElementsAre("a.db"));
}

TEST(Migration, ThatFailsLeavesTheFileAndNoCopy) {
  const Folder folder;
  const auto file = folder.file("a.db");
  enter(*must(open_sqlite_store(file)), {athlete("ada")});
  tamper(file, k_back_to_version_1 + "; create table tokens (x)");
  for (int i = 0; i < 2; ++i) EXPECT_EQ(code_of(open_sqlite_store(file)), Errc::failed);
  EXPECT_THAT(names_in(folder), ElementsAre("a.db"));
  tamper(file, "drop table tokens");
  EXPECT_TRUE(must(must(open_sqlite_store(file))->athlete("ada")));
}

TEST(StoreFile, OfAVersionThatNoProgramWritesIsRefused) {
  const Folder folder;
  const auto file = folder.file("a.db");
  must(open_sqlite_store(file));
  for (const int version : {0, -1}) {
    tamper(file, fmt::format("pragma user_version = {}", version));
    EXPECT_EQ(code_of(open_sqlite_store(file)), Errc::bad_data) << version;
  }
}

TEST(Inspection, FindsNothingAfterRandomEntriesUndoAndErase) {
  for (unsigned seed = 1; seed <= 6; ++seed) {
    const Folder folder;
    const auto store = must(open_sqlite_store(folder.file("a.db")));
    RandomLog random(seed);
    enter(*store, {athlete("ada", "club"), athlete("bo"), athlete("cy")});
    for (int i = 0; i < 12; ++i) {
      enter(*store, random.rows(15));
      if (random.once_in(4)) must(store->undo_last());
    }
    must(store->erase("bo"));
    EXPECT_THAT(findings(folder.file("a.db")).faults, IsEmpty()) << seed;
  }
}

TEST(Inspection, FindsNothingAfterTheLastOfAGroupIsErased) {
  const Folder folder;
  const auto store = must(open_sqlite_store(folder.file("a.db")));
  enter(*store, {athlete("ada", "club"), athlete("bo")});
  Period easy{.athlete = "", .group = "club", .from = day("2026-01-05"), .to = day("2026-01-11")};
  enter(*store, {easy});
  easy.to = day("2026-01-18");
  enter(*store, {easy}, "longer");
  must(store->erase("ada"));
  EXPECT_THAT(findings(folder.file("a.db")).faults, IsEmpty());
  EXPECT_EQ(must(store->undo_last())->source, "longer");
  EXPECT_THAT(findings(folder.file("a.db")).faults, IsEmpty());
}

TEST(Inspection, NamesEachKindOfFault) {
  const Folder folder;
  const auto file = folder.file("a.db");
  {
    const auto store = must(open_sqlite_store(file));
    enter(*store, {athlete("ada"), check("ada", "2026-01-05", 7)});
    enter(*store, {check("ada", "2026-01-05", 8)});
  }
  EXPECT_THAT(findings(file).faults, IsEmpty());
  std::filesystem::copy(file, folder.file("sound.db"));
  const auto after = [&](const std::string& sql) {
    std::filesystem::copy(folder.file("sound.db"), file, std::filesystem::copy_options::overwrite_existing);
    tamper(file, sql);
    return findings(file).faults;
  };
  EXPECT_THAT(after("delete from athletes"),
              Contains(HasSubstr("checks: 1 rows of an athlete who is not in the store")));
  EXPECT_THAT(after("delete from entries"), Contains(HasSubstr("old_checks: 1 rows of an entry that is not there")));
  EXPECT_THAT(after("update touches set done = 9 where entry = 1"),
              ElementsAre("touches: 1 rows that follow an entry that was finished later"));
  EXPECT_THAT(after("insert into held_days_off values (7, 1, 'ada', 1, 1, 'travel')"),
              Contains(HasSubstr("of a question that is not there")));
  EXPECT_THAT(after("drop index calls_by_day"), ElementsAre("missing or changed: index calls_by_day"));
  const std::string without = "alter table checks drop column jump; alter table checks add column ";
  EXPECT_THAT(after(without + "\"jump\" real"), IsEmpty()) << "as a migration adds it, at the end";
  EXPECT_THAT(after(without + "\"jump\" text"), Contains("missing or changed: table checks"));
  EXPECT_THAT(after("alter table checks drop column jump"), Contains("missing or changed: table checks"));
  EXPECT_THAT(after("create table extra (x)"), ElementsAre("not of this version: table extra"));
  ASSERT_EQ(::chmod(folder.file("sound.db").c_str(), 0644), 0);
  EXPECT_THAT(after("pragma user_version = 1"), Contains(HasSubstr("can be read by others")));
}

// It is no fault to be old. Of its tables nothing is known here; app::verify brings them forward and looks again.
TEST(Inspection, OfAnOlderStoreSaysSoAndLooksNoFurtherThanItsPages) {
  const Folder folder;
  const auto file = folder.file("a.db");
  enter(*must(open_sqlite_store(file)), {athlete("ada")});
  EXPECT_EQ(findings(file).older, std::nullopt);
  tamper(file, k_back_to_version_1);
  EXPECT_EQ(findings(file).older, 1);
  EXPECT_THAT(findings(file).faults, IsEmpty());
  std::ofstream(folder.file("empty.db"), std::ios::binary);
  EXPECT_EQ(code_of(FileCheck::open(folder.file("empty.db"))), Errc::no_input);
}

TEST(Inspection, NamesDamagedPages) {
  const Folder folder;
  const auto file = folder.file("a.db");
  {
    const auto store = must(open_sqlite_store(file));
    RandomLog random(3);
    enter(*store, {athlete("ada", "club"), athlete("bo"), athlete("cy")});
    for (int i = 0; i < 5; ++i) enter(*store, random.rows(60));
  }
  auto bytes = bytes_of(file);
  const auto page = bytes.find("note 1") / 4096 * 4096;  // one of rows, none that describes the tables
  bytes.replace(page, 40, std::string(40, 'x'));
  std::ofstream(file, std::ios::binary) << bytes;
  EXPECT_THAT(findings(file).faults, Contains(testing::StartsWith("damaged: ")));
}

TEST(Inspection, OfANewerStoreIsRefusedWithASentence) {
  const Folder folder;
  must(open_sqlite_store(folder.file("a.db")));
  tamper(folder.file("a.db"), fmt::format("pragma user_version = {}", k_schema_version + 1));
  const auto refused = FileCheck::open(folder.file("a.db"));
  EXPECT_EQ(code_of(refused), Errc::bad_data);
  EXPECT_THAT(refused.error().what, HasSubstr("update the program"));
  EXPECT_EQ(code_of(FileCheck::open(folder.file("none.db"))), Errc::no_input);
  EXPECT_FALSE(std::filesystem::exists(folder.file("none.db")));
}

TEST(CallsMade, KnowWhetherSomethingWasChangedSince) {
  const Folder folder;
  const auto store = must(open_sqlite_store(folder.file("a.db")));
  const auto put = [&](const std::vector<Record>& rows, int seconds) {
    const auto entry = must(store->begin("test", k_noon + std::chrono::seconds(seconds)));
    for (const auto& row : rows) must(entry->put(row));
    must(entry->commit());
  };
  put({athlete("ada"), athlete("bo"), check("ada", "2026-01-05")}, 0);
  must(store->save_call({.athlete = "ada",
                         .date = day("2026-01-06"),
                         .command = "today",
                         .made_at = k_noon + std::chrono::seconds(10),
                         .inputs_digest = "abc",
                         .json = "{\"inputs_digest\":\"abd\"}",
                         .text = ""}));
  const auto check_file = must(FileCheck::open(folder.file("a.db")));
  const auto calls = must(check_file->calls());
  ASSERT_EQ(calls.size(), 1U);
  EXPECT_FALSE(calls[0].names_its_inputs);
  const auto changed = [&] { return must(check_file->changed_since(calls[0], day("2026-01-20"))); };
  EXPECT_FALSE(changed());
  put({check("bo", "2026-01-05")}, 20);
  EXPECT_FALSE(changed()) << "somebody else's entry";
  put({check("ada", "2026-02-05")}, 30);
  EXPECT_FALSE(changed()) << "behind everything the call looked at";
  put({check("ada", "2026-01-05", 6)}, 40);
  EXPECT_TRUE(changed());
  must(store->undo_last());
  EXPECT_FALSE(changed()) << "entered and taken back after the call";
}

TEST(CallsMade, FromAnEntryThatWasTakenBackCountAsChanged) {
  const Folder folder;
  const auto store = must(open_sqlite_store(folder.file("a.db")));
  enter(*store, {athlete("ada")});
  enter(*store, {check("ada", "2026-01-05")});
  must(store->save_call({.athlete = "ada",
                         .date = day("2026-01-06"),
                         .command = "today",
                         .made_at = k_noon + std::chrono::seconds(10),
                         .inputs_digest = "abc",
                         .json = "abc",
                         .text = ""}));
  must(store->undo_last());
  const auto check_file = must(FileCheck::open(folder.file("a.db")));
  EXPECT_TRUE(must(check_file->changed_since(must(check_file->calls()).at(0), day("2026-01-20"))));
}

}  // namespace
}  // namespace steelyard::store
