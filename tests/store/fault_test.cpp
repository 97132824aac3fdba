// A disk that gets full after n pages, for growing n: an entry is there whole or not at all.
#include <gmock/gmock.h>

#include "store/connection.hpp"
#include "store/entry.hpp"
#include "store/schema.hpp"
#include "store/sqlite.hpp"
#include "store/upkeep.hpp"
#include "support.hpp"

namespace steelyard::store {
namespace {

class FullDisk : public testing::Test {
 protected:
  FullDisk() {
    must(db_.open(":memory:", k_wait));
    must(migrate(c_.db));
    StoredEntry first(c_);
    must(first.begin("first", k_noon));
    must(first.put(athlete("ada")));
    for (int i = 0; i < 3; ++i) must(first.put(set("ada", "2026-01-05", 100)));
    must(first.commit());
    before_ = must(digest_of_contents(c_.db));
    pages_ = must(c_.db.number("pragma page_count"));
  }
  void allow(std::int64_t more) { must(c_.db.number(fmt::format("pragma max_page_count = {}", pages_ + more))); }

  /// Corrects a part and adds many rows.
  static Result<EntrySummary> write(StoredEntry& entry) {
    STEELYARD_TRY(entry.begin("second", k_noon));
    STEELYARD_TRY(entry.put(set("ada", "2026-01-05", 105)));
    for (int i = 0; i < 400; ++i) {
      Check c = check("ada", "2026-01-01");
      c.date += Days(i);
      c.note = std::string(60, 'n');
      STEELYARD_TRY(entry.put(c));
    }
    return entry.commit();
  }

  SqliteDatabase db_;
  Connection c_{db_};
  std::string before_;
  std::int64_t pages_ = 0;
};

TEST_F(FullDisk, LeavesNothingOfTheEntryAndTheNextOneWorks) {
  int failures = 0;
  bool done = false;
  for (int more = 0; more < 40 && !done; ++more) {
    allow(more);
    {
      StoredEntry entry(c_);
      const auto written = write(entry);
      done = written.has_value();
      if (!done) {
        ++failures;
        ASSERT_EQ(written.error().code, Errc::io);
        EXPECT_THAT(written.error().what, testing::HasSubstr("disk is full"));
        EXPECT_EQ(code_of(entry.put(athlete("bo"))), Errc::io) << "a broken entry stays broken";
        EXPECT_EQ(code_of(entry.commit()), Errc::io);
      }
    }
    if (!done) {
      ASSERT_EQ(must(digest_of_contents(c_.db)), before_) << "with " << more << " pages more";
    }
  }
  EXPECT_GT(failures, 5);
  ASSERT_TRUE(done) << "with enough room it is written";
  EXPECT_NE(must(digest_of_contents(c_.db)), before_);
  must(undo_last_entry(c_, std::nullopt));
  EXPECT_EQ(must(digest_of_contents(c_.db)), before_);
}

}  // namespace
}  // namespace steelyard::store
