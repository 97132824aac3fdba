// Erasing an athlete: what is left is searched for in the bytes of the files.
#include <gmock/gmock.h>

#include "steelyard/store/care.hpp"
#include "store/sqlite.hpp"
#include "support.hpp"

namespace steelyard::store {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;
using testing::SizeIs;

class EraseTest : public StoreTest {};
STEELYARD_ON_EVERY_STORE(EraseTest);

/// Writes something of an athlete into every table; every text that could give the athlete away contains "zq".
void live(Store& store, const std::string& code, const std::string& mark) {
  const auto marked = [&](auto row) {
    row.note = mark + " note";
    return row;
  };
  const std::string d = "2026-01-05";
  Athlete named = athlete(code, "club");
  named.name = mark + " name";
  enter(store, {named}, "/logs/" + code + ".csv");
  enter(store,
        {marked(session(code, d, 60)), set(code, d, 100), marked(check(code, d)), marked(plan(code, d, "squat")),
         BarSpeed{.athlete = code, .date = day(d), .lift = "squat", .percent = 60, .speed_m_s = 0.7},
         Clearance{.athlete = code, .date = day(d), .caution = mark + "caution", .note = mark},
         DaysOff{.athlete = code, .from = day(d), .to = day(d), .reason = OffReason::illness},
         marked(Period{.athlete = code, .group = "", .from = day(d), .to = day(d)}),
         TrainingMax{.athlete = code, .lift = "squat", .from = day(d), .training_max_kg = 100}},
        named.name + ".csv");
  Session changed = session(code, d, 70, 1);
  changed.note = mark + " corrected";
  enter(store, {changed, set(code, d, 105)});
  const auto entry = must(store.begin("test", k_noon));
  must(entry->ask({.id = 0,
                   .athlete = code,
                   .date = day(d),
                   .doubt = "minutes",
                   .say = mark + " say",
                   .fields = {"minutes"},
                   .rows = {marked(session(code, d, 600))}}));
  must(entry->commit());
  must(store.save_call({.athlete = code,
                        .date = day(d),
                        .command = "today",
                        .made_at = k_noon,
                        .inputs_digest = "i",
                        .model_version = "1",
                        .model_digest = "m",
                        .json = mark + " json",
                        .text = mark + " text"}));
  must(store.save_decision({.athlete = code,
                            .date = day(d),
                            .lift = "squat",
                            .follows = false,
                            .reason = mark + " reason",
                            .done = mark + " done"},
                           k_noon));
  must(store.save_states(
      {{.athlete = code, .target = "soreness", .date = day(d), .model_digest = "m", .bytes = mark + " state"}}));
  must(store.save_forecasts(
      {{.athlete = code, .date = day(d), .target = "soreness", .made_on = day(d), .observed = std::nullopt}}));
}

TEST_P(EraseTest, LeavesNothingOfTheAthleteAndAllOfTheOthers) {
  const auto store = open();
  live(*store, "bo", "keep");
  const auto digest = must(store->contents_digest());
  live(*store, "ada", "zq");
  must(store->erase("ada"));

  EXPECT_EQ(must(store->athlete("ada")), std::nullopt);
  EXPECT_EQ(code_of(store->log("ada", day("2026-01-01"), day("2026-02-01"))), Errc::no_input);
  EXPECT_THAT(must(store->history("ada")), IsEmpty());
  EXPECT_THAT(must(store->open_questions("ada")), IsEmpty());
  EXPECT_FALSE(must(store->call("ada", day("2026-01-05"), "today")));
  EXPECT_FALSE(must(store->state("ada", "soreness", day("2026-01-05"))));
  EXPECT_THAT(must(store->forecasts("ada")), IsEmpty());

  EXPECT_EQ(must(store->contents_digest()), digest);
  EXPECT_THAT(must(store->history("bo")), SizeIs(2));
  EXPECT_THAT(must(store->open_questions("bo")), SizeIs(1));
  EXPECT_TRUE(must(store->call("bo", day("2026-01-05"), "today")));
  EXPECT_TRUE(must(store->state("bo", "soreness", day("2026-01-05"))));
  EXPECT_THAT(must(store->forecasts("bo")), SizeIs(1));
  EXPECT_THAT(whole_log(*store, "bo").decisions, SizeIs(1));
}

TEST_P(EraseTest, RefusesAnAthleteWhoIsNotThere) {
  const auto store = open();
  live(*store, "bo", "keep");
  enter(*store, {Period{.athlete = "", .group = "club", .from = day("2026-01-05"), .to = day("2026-01-06")}});
  EXPECT_EQ(code_of(store->erase("b")), Errc::no_input);
  EXPECT_EQ(code_of(store->erase("")), Errc::no_input) << "what has no athlete is everybody's";
  EXPECT_EQ(must(store->athletes()).size(), 1U);
}

TEST_P(EraseTest, LeavesEntriesThatOthersShareAndTheirUndo) {
  const auto store = open();
  enter(*store, {athlete("ada"), athlete("bo"), check("ada", "2026-01-05", 8), check("bo", "2026-01-05", 8)}, "shared");
  enter(*store, {check("ada", "2026-01-05", 7), check("bo", "2026-01-05", 7)}, "both");
  enter(*store, {check("ada", "2026-01-06", 7)}, "hers alone");
  must(store->erase("ada"));
  EXPECT_EQ(must(store->undo_last())->source, "both");
  EXPECT_EQ(whole_log(*store, "bo").checks.at(0).sleep_hours, 8.0);
  EXPECT_EQ(must(store->athletes()).size(), 1U);
}

TEST(EraseFile, LeavesNoTraceInTheBytes) {
  const Folder folder;
  const auto store = must(open_sqlite_store(folder.file("a.db")));
  const auto anywhere = [&](const std::string& text) {
    for (const auto& file : std::filesystem::directory_iterator(folder.path())) {
      if (bytes_of(file.path()).find(text) != std::string::npos) return true;
    }
    return false;
  };
  live(*store, "bo", "keep");
  live(*store, "Vanishing-One", "zqzq");
  ASSERT_TRUE(anywhere("Vanishing-One"));
  ASSERT_TRUE(anywhere("zqzq"));
  must(store->erase("Vanishing-One"));
  EXPECT_FALSE(anywhere("Vanishing-One"));
  EXPECT_FALSE(anywhere("zqzq"));
  EXPECT_TRUE(anywhere("keep note"));
}

TEST(EraseFile, HasNothingOfAnUndoneEntryOnceTheStoreIsClosed) {
  const Folder folder;
  {
    const auto store = must(open_sqlite_store(folder.file("a.db")));
    Check noted = check("ada", "2026-01-05");
    noted.note = "zqzq";
    enter(*store, {athlete("ada")});
    enter(*store, {noted});
    must(store->undo_last());
  }
  EXPECT_EQ(bytes_of(folder.file("a.db")).find("zqzq"), std::string::npos);
}

TEST(EraseFile, GivesTheSpaceBack) {
  const Folder folder;
  const auto store = must(open_sqlite_store(folder.file("a.db")));
  enter(*store, {athlete("bo")});
  std::vector<Record> rows{athlete("ada")};
  for (int i = 0; i < 3000; ++i) {
    Check c = check("ada", "2018-01-01");
    c.date += Days(i);
    c.note = std::string(100, 'x');
    rows.push_back(c);
  }
  enter(*store, rows);
  must(store->erase("ada"));
  std::uintmax_t size = 0;
  for (const auto& file : std::filesystem::directory_iterator(folder.path())) {
    if (file.path().extension() != ".db-shm") size += file.file_size();
  }
  EXPECT_LT(size, 300'000U);  // 3000 notes alone are 300 kB
}

TEST(EraseFile, SaysSoWhenAReaderHoldsTheOldPagesWhichGoWithTheLastConnection) {
  const Folder folder;
  const auto file = folder.file("a.db");
  {
    const auto store = must(open_store_file(file, std::chrono::milliseconds(0)));
    live(*store, "ada", "zqzq");
    SqliteDatabase reader;
    must(reader.open(file, std::chrono::milliseconds(0)));
    must(reader.run("begin"));
    must(reader.number("select count(*) from athletes"));
    const auto erased = store->erase("ada");
    EXPECT_EQ(code_of(erased), Errc::busy);
    EXPECT_THAT(erased.error().what, testing::HasSubstr("are removed"));
    EXPECT_FALSE(must(store->athlete("ada")));
  }
  EXPECT_EQ(std::filesystem::file_size(file + "-wal"), 0U);
  EXPECT_EQ(bytes_of(file).find("zqzq"), std::string::npos);
}

TEST(EraseFile, IsBusyAndRemovesNothingWhileSomebodyWrites) {
  const Folder folder;
  const auto store = must(open_store_file(folder.file("a.db"), std::chrono::milliseconds(0)));
  live(*store, "ada", "zq");
  const auto other = must(open_store_file(folder.file("a.db"), std::chrono::milliseconds(0)));
  const auto entry = must(other->begin("writes", k_noon));
  EXPECT_EQ(code_of(store->erase("ada")), Errc::busy);
  EXPECT_TRUE(must(store->athlete("ada")));
}

TEST(EraseFile, KnowsTheCopiesThatTheProgramMadeOfIt) {
  const Folder folder;
  const auto file = folder.file("a.db");
  for (const char* code : {"bo", "ada"}) {  // the first copy was made before ada came
    const auto store = must(open_sqlite_store(file));
    live(*store, code, "zq");
    SqliteDatabase db;
    must(db.open(file, k_wait));
    must(db.run(k_back_to_version_1));
  }
  const auto store = must(open_sqlite_store(file));
  const auto named = [&](const char* athlete, const std::string& by) {
    std::vector<std::string> files;
    for (const Error& error : must(copies_with(by, athlete))) files.push_back(error.where);
    return files;
  };
  const std::string second = file + ".before-7-2";
  ASSERT_TRUE(std::filesystem::exists(second));
  EXPECT_THAT(named("ada", file), ElementsAre(second));
  EXPECT_THAT(named("bo", file), SizeIs(2));
  std::filesystem::create_symlink(file, folder.file("link.db"));
  EXPECT_THAT(named("ada", folder.file("link.db")), ElementsAre(second));
  // Names that only look like those of copies, and what a killed program left behind.
  for (const char* name : {"a.db.before-", "a.db.before-6-", "a.db.before-x", "a.db.before-6.part-",
                           "a.db.before-6-2-3", "b.db.before-6", "copy.a.db.before-6", "a.db.before-5.part-77"}) {
    std::filesystem::copy_file(second, folder.file(name));
  }
  EXPECT_THAT(named("ada", file), ElementsAre(folder.file("a.db.before-5.part-77"), second));
  std::ofstream(folder.file("a.db.before-4")) << "no database, but long enough to be told from an empty one";
  EXPECT_THAT(must(copies_with(file, "ada")).at(0).what, testing::HasSubstr("cannot be read and may tell of them"));
}

}  // namespace
}  // namespace steelyard::store
