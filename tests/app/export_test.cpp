// Out of the store and back. Source: the contract: export writes the files that ingest reads.
#include "steelyard/app/export.hpp"

#include <filesystem>
#include <fstream>
#include <iterator>

#include "app/bench.hpp"
#include "steelyard/app/record.hpp"
#include "steelyard/app/today.hpp"

namespace steelyard::app {
namespace {

namespace fs = std::filesystem;

class Exports : public Bench {
 protected:
  Exports() {
    folder = fs::temp_directory_path() /
             (std::string("steelyard-export-") + ::testing::UnitTest::GetInstance()->current_test_info()->name());
    fs::remove_all(folder);
    read("athlete,name,units,weekdays,group\na1,\"Wren, the first\",lb,mon wed,club\nb2,=SUM(A1),kg,,club\n");
    read("athlete,lift,from,training_max\na1,squat,2026-01-01,330.5\n");
    read("athlete,date,lift,kind,sets,reps,percent,minutes\na1,2026-11-23,squat,heavy,3,4,82.5,75\n");
    read("athlete,group,from,to,intent\n,club,2026-11-16,2026-11-22,easy\na1,,2026-11-09,2026-11-15,hard\n");
    read("athlete,from,to,reason\na1,2026-10-01,2026-10-03,travel\n");
    read("athlete,date,part,minutes,rpe,note\na1,2026-11-16,1,75,7,\"two\nlines\"\na1,2026-11-16,2,30,4,\n");
    read(
        "athlete,date,part,lift,sets,reps,weight,unit,rpe\n"
        "a1,2026-11-16,1,squat,2,5,225,,\na1,2026-11-16,1,squat,1,5,102.5,kg,8\na1,2026-11-16,2,bench,3,5,185,lb,\n");
    read("athlete,date,sleep_hours,sore_regions,pain,symptoms\na1,2026-11-16,7.25,quads:4,knee-right:3:dull,cough\n");
    read("athlete,date,lift,percent,speed\na1,2026-11-16,squat,60,0.71\n");
    read("athlete,date,caution,by\na1,2026-11-17,cough,mistake\n");
  }
  ~Exports() override { fs::remove_all(folder); }

  std::string digest_after_reading_back() {
    const auto other = store::open_memory_store();
    Context second{*other, context.models, k_now};
    const std::vector<std::string> paths{folder.string()};
    const auto outcome = ingest_paths(second, paths, {});
    EXPECT_TRUE(outcome);
    for (const auto& file : outcome->files) EXPECT_FALSE(file.has_errors()) << file.file;
    asked_again = other->open_questions(std::nullopt).value().size();
    return other->contents_digest().value();
  }
  fs::path folder;
  std::size_t asked_again = 0;
};

TEST_F(Exports, ReadBackGivesTheSameContents) {
  const auto written = export_logs(context, {.folder = folder.string()});
  ASSERT_TRUE(written) << written.error().text();
  EXPECT_EQ(written->size(), 10U);  // a file of each kind
  EXPECT_EQ(digest_after_reading_back(), digest());
}

TEST_F(Exports, RowsHeldAsideAreWrittenAsEnteredAndAskedAgain) {
  read("athlete,date,sleep_hours,sleep_quality\na1,2026-11-18,0,6\n");
  read("athlete,date,part,lift,reps,weight\na1,2026-11-18,1,squat,5,225\na1,2026-11-18,1,squat,5,1100\n");
  read("athlete,date,part,minutes,rpe\na1,2026-11-19,1,50,6\na1,2026-11-19,2,50,6\n");
  read("athlete,date,minutes,rpe\na1,2026-11-20,50,6\n");
  read("athlete,date,minutes,rpe\na1,2026-11-20,70,7\n");
  ASSERT_EQ(open_questions(), 4U);
  ASSERT_TRUE(export_logs(context, {.folder = folder.string()}));
  EXPECT_EQ(digest_after_reading_back(), digest());
  EXPECT_EQ(asked_again, 4U);
}

TEST_F(Exports, OneAthleteAlone) {
  ASSERT_TRUE(export_logs(context, {.athlete = "a1", .folder = folder.string()}));
  std::ifstream in(folder / "athletes.csv");
  const std::string text((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
  EXPECT_NE(text.find("a1,"), std::string::npos);
  EXPECT_EQ(text.find("b2,"), std::string::npos);
}

TEST_F(Exports, SpreadsheetsGetNoFormula) {
  ASSERT_TRUE(export_logs(context, {.folder = folder.string(), .for_spreadsheets = true}));
  std::ifstream in(folder / "athletes.csv");
  const std::string text((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
  EXPECT_NE(text.find("'=SUM(A1)"), std::string::npos) << text;
}

TEST_F(Exports, NeverWritesIntoAFolderWithSomethingInIt) {
  fs::create_directories(folder);
  std::ofstream(folder / "mine.txt") << "keep me";
  EXPECT_EQ(export_logs(context, {.folder = folder.string()}).error().code, Errc::usage);
}

TEST_F(Exports, EraseLeavesNothingOfTheAthlete) {
  ASSERT_TRUE(erase(context, "a1"));
  EXPECT_FALSE(store->athlete("a1").value());
  EXPECT_TRUE(store->athlete("b2").value());
  EXPECT_EQ(erase(context, "a1").error().code, Errc::no_input);
}

TEST_F(Exports, EraseTakesTheTracesOfWhomUndoTookOut) {
  read("athlete\nx9\n");
  const Athlete x9 = store->athlete("x9").value().value();
  ASSERT_TRUE(today(context, x9, k_today));
  ASSERT_TRUE(undo(context).value());
  ASSERT_FALSE(store->athlete("x9").value());
  ASSERT_TRUE(store->call("x9", k_today, "today").value()) << "undo leaves what was made from the entry";
  const auto erased = erase(context, "x9");
  ASSERT_TRUE(erased) << erased.error().text();
  EXPECT_EQ(erased->entries, 0U);
  EXPECT_FALSE(store->call("x9", k_today, "today").value());
  const auto nobody = erase(context, "x9");
  ASSERT_FALSE(nobody);
  EXPECT_EQ(nobody.error().code, Errc::no_input);
}

}  // namespace
}  // namespace steelyard::app
