// A disk that stops taking changes at the n-th, for every n until the work succeeds untouched: afterwards the file
// holds what it held before or what was to be stored, whole; the message is clear; the next try succeeds. The same for
// power that fails at the n-th change, where only what was synced is sure to be there. Common practice (SQLite's own
// tests).
#include <fmt/core.h>
#include <gmock/gmock.h>

#include <functional>

#include "faulty_disk.hpp"
#include "random_log.hpp"
#include "steelyard/store/care.hpp"
#include "store/schema.hpp"
#include "store/sqlite.hpp"

namespace steelyard::store {
namespace {

using testing::AnyOf;
using testing::Eq;
using testing::IsEmpty;
using testing::Not;

namespace fs = std::filesystem;

/// Every one of the first changes, and ever fewer of the many that write page after page.
int next(int n) {
  return n + 1 + n / 25;
}

class DiskFaults : public testing::Test {
 protected:
  DiskFaults() {
    const auto store = must(open_sqlite_store(folder_.file("origin.db")));
    enter(*store, {athlete("ada", "club"), athlete("bo")});
    enter(*store, {set("ada", "2026-01-05", 100), set("ada", "2026-01-05", 100), check("ada", "2026-01-05", 7)});
  }

  /// A folder with the file as it was.
  std::string fresh() {
    const auto at = folder_.path() / ("try" + std::to_string(++tries_));
    fs::create_directories(at);
    fs::copy(folder_.file("origin.db"), at / "a.db");
    return (at / "a.db").string();
  }
  static std::string seen(const std::string& file) {
    const auto store = must(open_sqlite_store(file));
    const auto call = must(store->call("ada", day("2026-01-06"), "today"));
    return picture(*store) + (call ? call->json : "");
  }
  static void expect_sound(const std::string& file) {
    EXPECT_THAT(must(must(FileCheck::open(file))->inspect()).faults, IsEmpty());
  }

  Folder folder_;
  int tries_ = 0;
};

Result<void> ingest(Store& store) {
  STEELYARD_TRY_ASSIGN(const auto entry, store.begin("file.csv", k_noon));
  STEELYARD_TRY(entry->put(set("ada", "2026-01-05", 105)));
  for (int i = 0; i < 150; ++i) {
    Check c = check("bo", "2026-01-01");
    c.date += Days(i);
    c.note = std::string(80, 'n');
    STEELYARD_TRY(entry->put(c));
  }
  STEELYARD_TRY(entry->commit());
  return {};
}

Result<void> keep_call(Store& store) {
  return store.save_call({.athlete = "ada",
                          .date = day("2026-01-06"),
                          .command = "today",
                          .made_at = k_noon,
                          .inputs_digest = "i",
                          .model_version = "1",
                          .model_digest = "m",
                          .json = std::string(9000, 'j'),
                          .text = "said"});
}

using Write = Result<void> (*)(Store&);

class DiskFaultsOf : public DiskFaults, public testing::WithParamInterface<std::pair<const char*, Write>> {
 protected:
  /// The pictures before and after.
  std::vector<std::string> pictures() {
    const std::string file = fresh();
    std::vector<std::string> all{seen(file)};
    must(GetParam().second(*must(open_sqlite_store(file))));
    all.push_back(seen(file));
    EXPECT_NE(all[0], all[1]);
    return all;
  }
};

INSTANTIATE_TEST_SUITE_P(Writes, DiskFaultsOf,
                         testing::Values(std::pair<const char*, Write>{"ingest", ingest},
                                         std::pair<const char*, Write>{"call", keep_call}),
                         [](const auto& test) { return test.param.first; });

TEST_P(DiskFaultsOf, LeaveTheFileWholeAndTheNextTrySucceeds) {
  const auto all = pictures();
  int failures = 0;
  for (int n = 1; n < 2000; n = next(n)) {
    const std::string file = fresh();
    Result<void> written;
    bool failed = false;
    {
      FaultyDisk disk;
      const auto store = must(open_sqlite_store(file));
      disk.fail_at(n);
      written = GetParam().second(*store);
      failed = disk.has_failed();
      if (!written) {
        EXPECT_EQ(written.error().code, Errc::io) << n;
        EXPECT_THAT(written.error().what, testing::HasSubstr("the disk reports an error")) << n;
        disk.fail_at(0);
        must(GetParam().second(*store));
      }
    }
    EXPECT_EQ(seen(file), all[1]) << n;
    expect_sound(file);
    if (!failed) break;
    failures += written ? 0 : 1;
  }
  EXPECT_GT(failures, 3);
}

TEST_P(DiskFaultsOf, LosingPowerKeepsWhatWasAnsweredForAndNothingHalf) {
  const auto all = pictures();
  bool untouched = false;
  for (int n = 1; n < 2000 && !untouched; n = next(n)) {
    for (const unsigned keep : {0U, 1U, 2U}) {
      const std::string file = fresh();
      const auto after = folder_.path() / ("after" + std::to_string(tries_));
      fs::create_directories(after);
      Result<void> written;
      {
        FaultyDisk disk;
        const auto store = must(open_sqlite_store(file));
        disk.fail_at(n);
        written = GetParam().second(*store);
        untouched = !disk.has_failed();
        disk.lose_power(fs::path(file).parent_path(), after, keep);
      }
      const std::string survivor = (after / "a.db").string();
      if (written) {
        EXPECT_EQ(seen(survivor), all[1]) << "at change " << n << ", draw " << keep;
      } else {
        EXPECT_THAT(seen(survivor), AnyOf(Eq(all[0]), Eq(all[1]))) << "at change " << n << ", draw " << keep;
      }
      expect_sound(survivor);
    }
  }
  EXPECT_TRUE(untouched);
}

TEST_F(DiskFaults, InABackupLeaveNoFileOfThatName) {
  int failures = 0;
  for (int n = 1; n < 2000; n = next(n)) {
    const std::string file = fresh();
    const std::string copy = file + ".copy";
    bool failed = false;
    {
      FaultyDisk disk;
      disk.fail_at(n);
      const auto copied = back_up_file(file, copy, false);
      failed = disk.has_failed();
      EXPECT_EQ(copied.has_value(), fs::exists(copy)) << n;
      if (!copied) {
        ++failures;
        EXPECT_THAT(copied.error().what, Not(IsEmpty()));
        disk.fail_at(0);
        must(back_up_file(file, copy, false));
      }
    }
    EXPECT_EQ(seen(copy), seen(file)) << n;
    int files = 0;  // but for the emptied logs of the two stores
    for (const auto& entry : fs::directory_iterator(fs::path(file).parent_path())) {
      const auto name = entry.path().filename().string();
      if (!name.ends_with("-wal") && !name.ends_with("-shm")) ++files;
    }
    EXPECT_EQ(files, 2) << "nothing is left beside it, change " << n;
    if (!failed) break;
  }
  EXPECT_GT(failures, 3);
}

TEST_F(DiskFaults, InAMigrationLeaveTheOldFileOrTheNewOne) {
  const std::string expected = seen(fresh());
  {
    SqliteDatabase db;
    must(db.open(folder_.file("origin.db"), k_wait));
    must(db.run(k_back_to_version_1));
  }
  int failures = 0;
  for (int n = 1; n < 2000; n = next(n)) {
    const std::string file = fresh();
    const auto after = folder_.path() / ("after" + std::to_string(tries_));
    fs::create_directories(after);
    bool failed = false;
    {
      FaultyDisk disk;
      disk.fail_at(n);
      const auto opened = open_sqlite_store(file);
      failed = disk.has_failed();
      failures += opened ? 0 : 1;
      disk.lose_power(fs::path(file).parent_path(), after, static_cast<unsigned>(n % 3));
    }
    for (const std::string& left : {file, (after / "a.db").string()}) {
      {
        SqliteDatabase db;
        must(db.open(left, k_wait));
        EXPECT_THAT(must(db.number("pragma user_version")), AnyOf(Eq(1), Eq(k_schema_version))) << n;
      }
      EXPECT_EQ(seen(left), expected) << n;
      expect_sound(left);
    }
    if (!failed) break;
  }
  EXPECT_GT(failures, 3);
}

}  // namespace
}  // namespace steelyard::store
