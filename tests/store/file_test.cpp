// The store's file: rights, several processes at once, other people's files, crashes.
// Source of the byte offsets: SQLite database file format, section 1.3 (18 and 19 = write and read version, 2 = WAL;
// 60 = user version; 68 = application id; all big-endian).
#include <gmock/gmock.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "random_log.hpp"
#include "store/sqlite.hpp"

namespace steelyard::store {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;

constexpr std::chrono::milliseconds k_no_wait{0};

void write_bytes(const std::string& file, const std::string& bytes) {
  std::ofstream(file, std::ios::binary).write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
}

TEST(StoreFile, IsMadeWithItsFoldersForItsOwnerOnly) {
  const Folder folder;
  const auto file = folder.file("deep/er/steelyard.db");
  {
    const auto store = must(open_sqlite_store(file));
    enter(*store, {athlete("ada")});
    for (const auto& part : std::filesystem::directory_iterator(folder.path() / "deep/er")) {
      struct stat info {};
      ASSERT_EQ(::stat(part.path().c_str(), &info), 0);
      EXPECT_EQ(info.st_mode & 0777U, 0600U) << part.path();
    }
  }
  EXPECT_EQ(must(must(open_sqlite_store(file))->athletes()).size(), 1U);
}

TEST(StoreFile, CarriesItsMarkItsVersionAndTheLogMode) {
  const Folder folder;
  must(open_sqlite_store(folder.file("a.db")));
  const auto bytes = bytes_of(folder.file("a.db"));
  EXPECT_EQ(bytes.substr(0, 15), "SQLite format 3");
  EXPECT_EQ(bytes.substr(18, 2), "\x02\x02");
  EXPECT_EQ(bytes.substr(60, 4), std::string("\0\0\0\x07", 4));
  EXPECT_EQ(bytes.substr(68, 4), "SYAR");
}

TEST(StoreFile, NamedLikeSqlitesMemoryIsAFileAllTheSame) {
  const Folder folder;
  const auto before = std::filesystem::current_path();
  std::filesystem::current_path(folder.path());
  must(open_sqlite_store(":memory:"));
  std::filesystem::current_path(before);
  EXPECT_TRUE(std::filesystem::exists(folder.file(":memory:")));
  EXPECT_EQ(code_of(open_sqlite_store("")), Errc::usage);
}

TEST(StoreFile, IsReadWhileAnEntryIsOpen) {
  const Folder folder;
  const auto writer = must(open_sqlite_store(folder.file("a.db")));
  enter(*writer, {athlete("ada"), check("ada", "2026-01-05")});
  const auto entry = must(writer->begin("test", k_noon));
  must(entry->put(check("ada", "2026-01-06")));
  const auto reader = must(open_store_file(folder.file("a.db"), k_no_wait));
  EXPECT_EQ(whole_log(*reader, "ada").checks.size(), 1U);
  must(entry->commit());
  EXPECT_EQ(whole_log(*reader, "ada").checks.size(), 2U);
}

TEST(StoreFile, IsBusyForASecondWriter) {
  const Folder folder;
  const auto first = must(open_store_file(folder.file("a.db"), k_no_wait));
  const auto second = must(open_store_file(folder.file("a.db"), k_no_wait));
  enter(*first, {athlete("ada")});
  {
    const auto entry = must(first->begin("test", k_noon));
    const auto refused = second->begin("test", k_noon);
    EXPECT_EQ(code_of(refused), Errc::busy);
    EXPECT_THAT(refused.error().what, HasSubstr("try again"));
    EXPECT_EQ(refused.error().where, folder.file("a.db"));
    EXPECT_EQ(code_of(second->save_states(
                  {{.athlete = "ada", .target = "t", .date = Day{}, .model_digest = "", .bytes = ""}})),
              Errc::busy);
    EXPECT_EQ(code_of(second->undo_last()), Errc::busy);
  }
  enter(*second, {athlete("bo")});
  EXPECT_EQ(must(first->athletes()).size(), 2U);
}

TEST(StoreFile, ThatMayNotBeWrittenIsReadAndRefusesEntries) {
  const Folder folder;
  const auto file = folder.file("a.db");
  enter(*must(open_sqlite_store(file)), {athlete("ada")});
  auto bytes = bytes_of(file);
  bytes[18] = 3;  // a write version that nobody knows: read-only for every SQLite, also for the super-user
  write_bytes(file, bytes);
  const auto store = must(open_sqlite_store(file));
  EXPECT_EQ(must(store->athletes()).size(), 1U);
  const auto refused = store->begin("test", k_noon);
  EXPECT_EQ(code_of(refused), Errc::io);
  EXPECT_THAT(refused.error().what, HasSubstr("write permission"));
}

TEST(StoreFile, InAPlaceThatCannotBeIsAnIoError) {
  const Folder folder;
  write_bytes(folder.file("plain"), "text");
  EXPECT_EQ(code_of(open_sqlite_store(folder.file("plain/a.db"))), Errc::io);
  EXPECT_EQ(code_of(open_sqlite_store(folder.path().string())), Errc::io);
}

TEST(StoreFile, OfAnotherKindIsRefusedAndLeftAlone) {
  const Folder folder;
  const auto text = folder.file("notes.txt");
  write_bytes(text, std::string(5000, 'a'));
  const auto refused = open_sqlite_store(text);
  EXPECT_EQ(code_of(refused), Errc::bad_data);
  EXPECT_THAT(refused.error().what, HasSubstr("not a steelyard store"));
  EXPECT_EQ(bytes_of(text), std::string(5000, 'a'));

  const auto other = folder.file("other.db");
  write_bytes(other, "");
  {
    SqliteDatabase db;
    must(db.open(other, k_no_wait));
    must(db.run("create table recipes (name text)"));
  }
  const auto before = bytes_of(other);
  EXPECT_EQ(code_of(open_sqlite_store(other)), Errc::bad_data);
  EXPECT_EQ(bytes_of(other), before);
}

TEST(StoreFile, OfANewerVersionIsRefusedWithASentence) {
  const Folder folder;
  const auto file = folder.file("a.db");
  must(open_sqlite_store(file));
  {
    SqliteDatabase db;
    must(db.open(file, k_no_wait));
    must(db.run("pragma user_version = 9"));
  }
  const auto refused = open_sqlite_store(file);
  EXPECT_EQ(code_of(refused), Errc::bad_data);
  EXPECT_THAT(refused.error().what,
              HasSubstr("newer steelyard (its tables have version 9, this program knows up to 7)"));
}

TEST(StoreFile, ThatIsEmptyBecomesAStore) {
  const Folder folder;
  write_bytes(folder.file("a.db"), "");
  EXPECT_EQ(enter(*must(open_sqlite_store(folder.file("a.db"))), {athlete("ada")}).added, 1);
}

TEST(StoreFile, WithDamagedPagesIsBadData) {
  const Folder folder;
  const auto file = folder.file("a.db");
  enter(*must(open_sqlite_store(file)), {athlete("ada"), check("ada", "2026-01-05")});
  auto bytes = bytes_of(file);
  const std::size_t page = 4096;
  ASSERT_GT(bytes.size(), 2 * page);
  std::fill(bytes.begin() + static_cast<std::ptrdiff_t>(page), bytes.end(), '\xA5');
  write_bytes(file, bytes);
  const auto store = open_sqlite_store(file);
  const auto code = store ? code_of((*store)->athletes()) : store.error().code;
  EXPECT_EQ(code, Errc::bad_data);
}

TEST(StoreFile, WithAWordThatNobodyKnowsIsBadData) {
  const Folder folder;
  const auto file = folder.file("a.db");
  Athlete ada = athlete("ada");
  ada.units = Unit::lb;
  enter(*must(open_sqlite_store(file)), {ada});
  {
    SqliteDatabase db;
    must(db.open(file, k_no_wait));
    must(db.run("update athletes set units = 'stone'"));
  }
  const auto read = must(open_sqlite_store(file))->athletes();
  EXPECT_EQ(code_of(read), Errc::bad_data);
  EXPECT_THAT(read.error().what, HasSubstr("units in athletes"));
}

TEST(StoreFile, HasNothingOfAnEntryWhoseProcessDied) {
  const Folder folder;
  const auto file = folder.file("a.db");
  enter(*must(open_sqlite_store(file)), {athlete("ada")});
  const auto child = ::fork();
  ASSERT_GE(child, 0);
  if (child == 0) {
    const auto store = must(open_sqlite_store(file));
    enter(*store, {check("ada", "2026-01-04")});
    const auto entry = must(store->begin("dies", k_noon));
    for (int i = 0; i < 40'000; ++i) {  // more than the page cache holds, so that some of it is on disk
      Check c = check("ada", "1950-01-01");
      c.date += Days(i % 20'000);
      c.note = std::string(200, 'x') + std::to_string(i);
      must(entry->put(c));
    }
    ::_exit(0);
  }
  int status = 1;
  ASSERT_EQ(::waitpid(child, &status, 0), child);
  ASSERT_EQ(status, 0);
  const auto store = must(open_sqlite_store(file));
  EXPECT_EQ(whole_log(*store, "ada").checks.size(), 1U) << "what was committed before stays";
  EXPECT_EQ(must(store->undo_last())->source, "test");
}

TEST(StoreFile, CutOffAnywhereInItsLogHoldsWholeEntriesOnly) {
  const Folder folder;
  std::filesystem::create_directories(folder.path() / "copy");
  const auto file = folder.file("a.db");
  const auto store = must(open_sqlite_store(file));
  enter(*store, {athlete("ada")});
  std::vector<std::string> pictures{"", picture(*store)};
  for (int i = 0; i < 4; ++i) {
    std::vector<Record> rows;
    for (int k = 0; k < 60; ++k) {
      Check c = check("ada", "2026-01-01", i);
      c.date += Days(k);
      rows.push_back(c);
    }
    enter(*store, rows);
    pictures.push_back(picture(*store));
  }
  // A power failure leaves the database file and the first part of the log beside it.
  const auto database = bytes_of(file);
  const auto log = bytes_of(file + "-wal");
  std::size_t last_seen = 0;
  for (std::size_t i = 0; i <= 40; ++i) {
    const auto copy = folder.file("copy/a.db");
    std::filesystem::remove(copy + "-shm");
    write_bytes(copy, database);
    write_bytes(copy + "-wal", log.substr(0, log.size() * i / 40));
    const auto survivor = must(open_sqlite_store(copy));
    const auto found = std::find(pictures.begin(), pictures.end(), picture(*survivor));
    ASSERT_NE(found, pictures.end()) << "cut at " << i << "/40";
    const auto seen = static_cast<std::size_t>(found - pictures.begin());
    EXPECT_GE(seen, last_seen);
    last_seen = seen;
  }
  EXPECT_EQ(last_seen, pictures.size() - 1) << "the uncut log holds everything that was committed";
}

}  // namespace
}  // namespace steelyard::store
