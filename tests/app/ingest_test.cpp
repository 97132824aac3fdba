// Files into the store. Sources: the rules for files of the contract (ranges, keys, parts, all or nothing); RFC 4180.
#include "steelyard/app/ingest.hpp"

#include <filesystem>
#include <fstream>

#include "app/bench.hpp"
#include "app/text_source.hpp"
#include "steelyard/app/questions.hpp"

namespace steelyard::app {
namespace {

namespace fs = std::filesystem;

class Ingest : public Bench {
 protected:
  Ingest() {
    folder = fs::temp_directory_path() /
             (std::string("steelyard-ingest-") + ::testing::UnitTest::GetInstance()->current_test_info()->name());
    fs::remove_all(folder);
    fs::create_directories(folder);
  }
  ~Ingest() override { fs::remove_all(folder); }

  void write(const std::string& name, std::string_view text) { std::ofstream(folder / name, std::ios::binary) << text; }
  IngestOutcome read_folder(const IngestOptions& options = {}) {
    const std::vector<std::string> paths{folder.string()};
    auto outcome = ingest_paths(context, paths, options);
    if (!outcome) {
      ADD_FAILURE() << outcome.error().text();
      return {};
    }
    return *std::move(outcome);
  }
  fs::path folder;
};

constexpr std::string_view k_athletes = "athlete,units,bar_kg\na1,kg,20\n";
constexpr std::string_view k_maxes = "athlete,lift,from,training_max\na1,squat,2026-01-01,150\n";
constexpr std::string_view k_sessions =
    "athlete,date,part,kind,minutes,rpe\n"
    "a1,2026-11-16,1,heavy,75,7\n"
    "a1,2026-11-18,1,speed,55,5\n";
constexpr std::string_view k_sets =
    "athlete,date,part,lift,sets,reps,weight,rpe\n"
    "a1,2026-11-16,1,squat,2,4,122.5,\n"
    "a1,2026-11-16,1,squat,1,4,122.5,8\n"
    "a1,2026-11-18,1,squat,8,2,105,6\n";

TEST_F(Ingest, ReadsAFolderByKindAndNotByName) {
  write("1.csv", k_sets);
  write("2.csv", k_sessions);
  write("3.csv", k_maxes);
  write("4.csv", k_athletes);
  write("README.md", "not a log");
  const auto outcome = read_folder();
  ASSERT_EQ(outcome.files.size(), 4U);
  for (const auto& file : outcome.files) {
    EXPECT_TRUE(file.stored) << file.file;
    EXPECT_FALSE(file.has_errors()) << file.file;
  }
  EXPECT_EQ(log().sets.size(), 3U);
  EXPECT_EQ(log().sessions.size(), 2U);
}

TEST_F(Ingest, ChangesNothingAndAsksNothingTheSecondTime) {
  write("athletes.csv", k_athletes);
  write("maxes.csv", k_maxes);
  write("sessions.csv", k_sessions);
  write("sets.csv", k_sets);
  write("checks.csv", "athlete,date,sleep_hours,sleep_quality,fatigue\na1,2026-11-17,0,6,2\n");
  read_folder();
  const std::string before = digest();
  EXPECT_EQ(open_questions(), 1U);
  const auto history = store->history("a1").value().size();
  const auto again = read_folder();
  for (const auto& file : again.files) {
    EXPECT_EQ(file.summary.id, 0) << file.file;
    EXPECT_EQ(file.asked, 0U) << file.file;
  }
  EXPECT_EQ(digest(), before);
  EXPECT_EQ(open_questions(), 1U);
  EXPECT_EQ(store->history("a1").value().size(), history);
}

TEST_F(Ingest, GivesTheSameContentsSplitAndJoinedAndInAnyOrder) {
  write("a.csv", k_athletes);
  write("b.csv", k_maxes);
  write("c.csv", k_sessions);
  write("d.csv", k_sets);
  read_folder();
  const std::string joined = digest();

  const auto other = store::open_memory_store();
  Context second{*other, context.models, k_now};
  const auto read_into = [&](std::string_view text) {
    const auto outcome = ingest_text(second, "part.csv", text, {});
    ASSERT_TRUE(outcome) << outcome.error().text();
    ASSERT_FALSE(outcome->has_errors());
  };
  read_into(k_athletes);
  read_into("athlete,date,part,lift,sets,reps,weight,rpe\na1,2026-11-18,1,squat,8,2,105,6\n");
  read_into("athlete,date,part,kind,minutes,rpe\na1,2026-11-18,1,speed,55,5\n");
  read_into("athlete,date,part,kind,minutes,rpe\na1,2026-11-16,1,heavy,75,7\n");
  read_into(
      "athlete,date,part,lift,sets,reps,weight,rpe\n"
      "a1,2026-11-16,1,squat,2,4,122.5,\na1,2026-11-16,1,squat,1,4,122.5,8\n");
  read_into(k_maxes);
  EXPECT_EQ(other->contents_digest().value(), joined);
}

TEST_F(Ingest, StoresNothingOfAFileWithAnErrorUnlessGoodRowsAreKept) {
  write("athletes.csv", k_athletes);
  write("sessions.csv",
        "athlete,date,minutes,rpe\n"
        "a1,2026-11-16,75,7\n"
        "a1,2026-11-18,1500,5\n");
  const auto strict = read_folder();
  ASSERT_EQ(strict.files.size(), 2U);
  EXPECT_TRUE(strict.files[0].stored);  // the file of athletes is another entry
  EXPECT_FALSE(strict.files[1].stored);
  ASSERT_EQ(strict.files[1].report.errors.size(), 1U);
  EXPECT_NE(strict.files[1].report.errors[0].where.find("sessions.csv:3:minutes"), std::string::npos);
  EXPECT_TRUE(log().sessions.empty());

  const auto kept = read_folder({.keep_good = true});
  EXPECT_TRUE(kept.files[1].stored);
  EXPECT_TRUE(kept.files[1].has_errors());
  EXPECT_EQ(log().sessions.size(), 1U);
}

TEST_F(Ingest, DryRunChecksAWholeFolderAndStoresNothing) {
  write("athletes.csv", k_athletes);
  write("sessions.csv", k_sessions);
  const auto outcome = read_folder({.dry_run = true});
  for (const auto& file : outcome.files) {
    EXPECT_FALSE(file.has_errors()) << file.file;  // the sessions know the athletes of the other file
    EXPECT_FALSE(file.stored);
  }
  EXPECT_TRUE(store->athletes().value().empty());
}

TEST_F(Ingest, DryRunSaysOfEveryFileWhatTheRunSays) {
  write("athletes.csv", "athlete,units\na1,kg\na2,stones\n");  // nothing of it is stored
  write("sessions.csv", k_sessions);
  for (const bool keep_good : {false, true}) {
    const auto trial = read_folder({.dry_run = true, .keep_good = keep_good});
    EXPECT_TRUE(store->athletes().value().empty());
    const auto real = read_folder({.keep_good = keep_good});
    ASSERT_EQ(trial.files.size(), real.files.size());
    for (std::size_t i = 0; i < real.files.size(); ++i) {
      EXPECT_FALSE(trial.files[i].stored);
      EXPECT_EQ(trial.files[i].report.error_count, real.files[i].report.error_count) << keep_good << i;
      EXPECT_EQ(trial.files[i].summary.added, real.files[i].summary.added) << keep_good << i;
    }
  }
}

TEST_F(Ingest, NamesAnUnknownLiftOnceAndAcceptsIt) {
  write("athletes.csv", k_athletes);
  write("sets.csv",
        "athlete,date,lift,reps,weight\n"
        "a1,2026-11-16,sled-drag,10,80\n"
        "a1,2026-11-18,sled-drag,10,80\n");
  const auto outcome = read_folder();
  EXPECT_EQ(outcome.new_lifts, (std::vector<std::string>{"sled-drag"}));
  EXPECT_EQ(log().sets.size(), 2U);
}

TEST_F(Ingest, RefusesWhatIsNotThere) {
  const std::vector<std::string> missing{(folder / "no.csv").string()};
  EXPECT_EQ(ingest_paths(context, missing, {}).error().code, Errc::no_input);
  const std::vector<std::string> empty{folder.string()};
  EXPECT_EQ(ingest_paths(context, empty, {}).error().code, Errc::no_input);
}

TEST_F(Ingest, BlankIsNeverZero) {
  add_lifter();
  read("athlete,date,sleep_hours,sleep_quality\na1,2026-11-16,,5\n");
  ASSERT_EQ(log().checks.size(), 1U);
  EXPECT_FALSE(log().checks[0].sleep_hours);
  EXPECT_EQ(log().checks[0].sleep_quality, 5);
}

TEST_F(Ingest, AFileIsNotToBlameForAStoreThatIsGone) {
  for (const Errc code : {Errc::io, Errc::busy, Errc::failed, Errc::unavailable}) {
    TextSource source(k_sessions);
    int rows = 0;
    const auto sink = [&](Record&&, std::size_t) -> Result<void> {
      ++rows;
      return fail(code, "the connection broke");
    };
    const auto report = ingest::read_log(
        source, "f.csv", [](std::string_view) { return ingest::KnownAthlete{}; }, sink);
    ASSERT_FALSE(report) << exit_status(code);
    EXPECT_EQ(report.error().code, code);
    EXPECT_EQ(rows, 1) << "nothing is read to no purpose";
  }
}

// ------------------------------------------------------------------------------------------ parts and second sessions
TEST_F(Ingest, TakesASecondBlankRowOfTheDayAsASecondSession) {
  add_lifter();
  read("athlete,date,minutes,rpe\na1,2026-11-16,75,7\na1,2026-11-16,30,4\n");
  ASSERT_EQ(log().sessions.size(), 2U);
  EXPECT_EQ(log().sessions[1].part, 2);
  EXPECT_EQ(open_questions(), 0U);
}

TEST_F(Ingest, HoldsADifferentSessionOfAnotherFileAside) {
  add_lifter();
  read("athlete,date,minutes,rpe\na1,2026-11-16,75,7\n");
  const std::string_view other = "athlete,date,minutes,rpe\na1,2026-11-16,30,4\n";
  EXPECT_EQ(read(other).asked, 1U);
  ASSERT_EQ(log().sessions.size(), 1U);
  EXPECT_EQ(log().sessions[0].minutes, 75);
  EXPECT_EQ(log().questions.at(0).doubt, "second-session");
  EXPECT_EQ(read(other).asked, 0U);  // the same file again asks nothing
  EXPECT_EQ(open_questions(), 1U);
}

TEST_F(Ingest, HoldsTheSetsOfASecondSessionAsideWithIt) {
  write("athletes.csv", k_athletes);
  write("sessions.csv", "athlete,date,minutes,rpe\na1,2026-11-16,75,7\n");
  write("sets.csv", "athlete,date,lift,reps,weight\na1,2026-11-16,squat,5,100\n");
  read_folder();
  write("sessions.csv", "athlete,date,minutes,rpe\na1,2026-11-16,30,4\n");
  write("sets.csv", "athlete,date,lift,reps,weight\na1,2026-11-16,bench,8,60\n");
  read_folder();
  ASSERT_EQ(log().sets.size(), 1U);
  EXPECT_EQ(log().sets[0].lift, "squat");
  ASSERT_EQ(open_questions(), 1U);
  const std::string before = digest();
  read_folder();
  EXPECT_EQ(digest(), before);
  EXPECT_EQ(open_questions(), 1U);
  ASSERT_TRUE(keep(context, log().questions.at(0).id));
  ASSERT_EQ(log().sets.size(), 2U);
  EXPECT_EQ(log().sets[1].lift, "bench");
  EXPECT_EQ(log().sets[1].part, 2);
}

TEST_F(Ingest, DoesNotDoubtEqualSessionsWhoseSetsDiffer) {
  write("athletes.csv", k_athletes);
  write("sessions.csv", "athlete,date,part,minutes,rpe\na1,2026-11-16,1,60,7\na1,2026-11-16,2,60,7\n");
  write("sets.csv",
        "athlete,date,part,lift,reps,weight\n"
        "a1,2026-11-16,1,squat,5,100\n"
        "a1,2026-11-16,2,bench,5,80\n");
  read_folder();
  EXPECT_EQ(open_questions(), 0U);
  EXPECT_EQ(log().sessions.size(), 2U);
}

TEST_F(Ingest, HoldsTheSecondOfTwoEqualSessionsAsideWithItsSets) {
  write("athletes.csv", k_athletes);
  write("sessions.csv", "athlete,date,part,minutes,rpe\na1,2026-11-16,1,60,7\na1,2026-11-16,2,60,7\n");
  write("sets.csv",
        "athlete,date,part,lift,reps,weight\n"
        "a1,2026-11-16,1,squat,5,100\n"
        "a1,2026-11-16,2,squat,5,100\n");
  read_folder();
  EXPECT_EQ(open_questions(), 1U);
  EXPECT_EQ(log().sessions.size(), 1U);
  EXPECT_EQ(log().sets.size(), 1U);
  const std::string before = digest();
  read_folder();
  EXPECT_EQ(digest(), before);
  EXPECT_EQ(open_questions(), 1U);
}

TEST_F(Ingest, BlanksOneSetInTheMiddleOfItsPartAndKeepsTheOrder) {
  add_lifter();
  read(k_maxes);
  const std::string_view sets =
      "athlete,date,lift,reps,weight\n"
      "a1,2026-11-16,squat,5,100\n"
      "a1,2026-11-16,squat,5,275\n"  // pounds: 124.7 kg
      "a1,2026-11-16,squat,5,120\n";
  EXPECT_EQ(read(sets).asked, 1U);
  const auto stored = log().sets;
  ASSERT_EQ(stored.size(), 3U);
  EXPECT_EQ(stored[0].weight_kg, 100);
  EXPECT_FALSE(stored[1].weight_kg);
  EXPECT_EQ(stored[2].weight_kg, 120);
  const std::string before = digest();
  const auto again = read(sets);
  EXPECT_EQ(again.summary.id, 0);
  EXPECT_EQ(digest(), before);
}

TEST_F(Ingest, TwoDoubtsAboutOneRowAreBothAsked) {
  add_lifter();
  read("athlete,date,body_mass\na1,2026-11-15,80\na1,2026-11-16,80\n");
  const auto outcome = read("athlete,date,sleep_hours,sleep_quality,body_mass\na1,2026-11-17,0,6,176\n");
  EXPECT_EQ(outcome.asked, 2U);
  const Check stored = log().checks.back();
  EXPECT_FALSE(stored.sleep_hours);
  EXPECT_FALSE(stored.body_mass_kg);
  EXPECT_EQ(stored.sleep_quality, 6);
}

TEST_F(Ingest, ACorrectedRowClosesItsQuestion) {
  add_lifter();
  read("athlete,date,sleep_hours,sleep_quality\na1,2026-11-17,0,6\n");
  EXPECT_EQ(open_questions(), 1U);
  read("athlete,date,sleep_hours,sleep_quality\na1,2026-11-17,7.5,6\n");
  EXPECT_EQ(open_questions(), 0U);
  EXPECT_EQ(log().checks.at(0).sleep_hours, 7.5);
}

}  // namespace
}  // namespace steelyard::app
