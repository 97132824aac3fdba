// Load figures from the store and from files. Sources: session RPE load = minutes x RPE (Foster 1998); the ratios by
// hand on a constant load, where every one of them is 1; the figures of load::figures as a second way to the same sums.
#include "steelyard/app/loads.hpp"

#include <filesystem>
#include <fstream>
#include <random>

#include "app/bench.hpp"

namespace steelyard::app {
namespace {

namespace fs = std::filesystem;

class Loads : public Bench {
 protected:
  Loads() {
    folder = fs::temp_directory_path() /
             (std::string("steelyard-loads-") + ::testing::UnitTest::GetInstance()->current_test_info()->name());
    fs::remove_all(folder);
    fs::create_directories(folder);
  }
  ~Loads() override { fs::remove_all(folder); }
  std::string write(const std::string& name, std::string_view text) {
    std::ofstream(folder / name, std::ios::binary) << text;
    return (folder / name).string();
  }
  LoadFiles files_of(const std::vector<std::string>& paths) {
    return LoadFiles::read(paths, context.models, {}).value();
  }
  fs::path folder;
};

std::string constant_days(int days) {
  std::string text = "athlete,date,minutes,rpe,tonnage\n";
  for (int i = 0; i < days; ++i) text += "x," + format_day(*parse_day("2026-01-01") + Days{i}) + ",60,5,1000\n";
  return text;
}

TEST_F(Loads, AConstantLoadHasRatiosOfOneAndNoMonotony) {
  const auto files = files_of({write("log.csv", constant_days(40))});
  const auto report = files.report("x", {.latest = true}).value();
  ASSERT_EQ(report.days.size(), 1U);
  const DayFigures& last = report.days[0];
  EXPECT_EQ(last.load_au, 300);
  EXPECT_EQ(last.acute7_au, 2100);
  EXPECT_EQ(last.chronic28_au, 2100);
  EXPECT_EQ(last.ratio_coupled, 1);
  EXPECT_EQ(last.ratio_uncoupled, 1);
  EXPECT_NEAR(last.ratio_ewma.value_or(0), 1, 1e-12);
  EXPECT_FALSE(last.monotony);
  EXPECT_TRUE(last.no_variation);
}

TEST_F(Loads, FilesAndStoreGiveTheSameFigures) {
  std::string text = "athlete,date,minutes,rpe\n";
  std::mt19937 random(7);
  for (int i = 0; i < 60; i += 1 + static_cast<int>(random() % 3)) {
    text += "a1," + format_day(*parse_day("2026-09-01") + Days{i}) + "," + std::to_string(30 + random() % 60) + "," +
            std::to_string(3 + random() % 6) + "\n";
  }
  add_lifter();
  read(text);
  const auto files = files_of({write("log.csv", text)});
  const auto from_files = files.report("a1", {}).value();
  const auto from_store = loads(context, lifter(), k_today, {.to = from_files.days.back().date}).value();
  ASSERT_EQ(from_store.days.size(), from_files.days.size());
  for (std::size_t i = 0; i < from_files.days.size(); ++i) {
    EXPECT_EQ(from_store.days[i].load_au, from_files.days[i].load_au) << i;
    EXPECT_EQ(from_store.days[i].acute7_au, from_files.days[i].acute7_au) << i;
    EXPECT_EQ(from_store.days[i].ratio_coupled, from_files.days[i].ratio_coupled) << i;
    EXPECT_EQ(from_store.days[i].state, from_files.days[i].state) << i;
  }
}

TEST_F(Loads, RowsMayComeInAnyOrderAndOverSeveralFiles) {
  const std::string a = write("a.csv", "athlete,date,minutes,rpe\nx,2026-01-05,60,5\nx,2026-01-01,30,4\n");
  const std::string b = write("b.csv", "athlete,date,minutes,rpe\nx,2026-01-05,20,5\nx,2026-01-03,40,4\n");
  const auto report = files_of({a, b}).report("x", {.gaps = series::Gaps::rest}).value();
  ASSERT_EQ(report.days.size(), 5U);
  EXPECT_EQ(report.days[0].load_au, 120);
  EXPECT_EQ(report.days[1].load_au, 0);
  EXPECT_EQ(report.days[4].load_au, 400);
}

TEST_F(Loads, AGapIsUnknownUnlessItIsDeclaredRest) {
  const std::string path = write("log.csv", "athlete,date,minutes,rpe\nx,2026-01-01,60,5\nx,2026-01-10,60,5\n");
  const auto files = files_of({path});
  const auto unknown = files.report("x", {}).value();
  EXPECT_EQ(unknown.days.at(4).status, DayStatus::unlogged);
  EXPECT_FALSE(unknown.days.at(4).load_au);
  EXPECT_FALSE(unknown.days.back().acute7_au);
  const auto rest = files.report("x", {.gaps = series::Gaps::rest}).value();
  EXPECT_EQ(rest.days.at(4).load_au, 0);
  EXPECT_EQ(rest.days.back().acute7_au, 300);
}

TEST_F(Loads, ASessionWithoutRpeIsEstimatedFromTheLiftersOwnMedian) {
  const auto report = files_of({write("log.csv",
                                      "athlete,date,kind,minutes,rpe\n"
                                      "x,2026-01-01,heavy,60,6\nx,2026-01-03,heavy,60,8\nx,2026-01-05,heavy,60,\n")})
                          .report("x", {})
                          .value();
  EXPECT_EQ(report.days.back().load_au, 60 * 7);
  EXPECT_TRUE(report.days.back().estimated);
}

TEST_F(Loads, ErrorsInAFileAreTold) {
  const auto files = files_of({write("log.csv", "athlete,date,minutes,rpe\nx,2026-01-01,60,11\n")});
  EXPECT_EQ(files.error_count(), 1U);
  EXPECT_NE(files.errors().at(0).where.find("log.csv:2:rpe"), std::string::npos);
  const std::vector<std::string> missing{"/nowhere/log.csv"};
  EXPECT_EQ(LoadFiles::read(missing, context.models, {}).error().code, Errc::no_input);
}

/// More than the size from which a file is read in pieces; `odd` stands in the middle.
std::string large_file(const std::string& odd) {
  std::string text = "athlete,date,minutes,rpe,note\n";
  for (int i = 0; i < 120000; ++i) {
    if (i == 60000) text += odd;
    const Day day = *parse_day("2024-01-01") + Days{i / 200};
    text += "a" + std::to_string(i % 150) + "," + format_day(day) + "," + std::to_string(30 + i % 61) + ",5,\n";
  }
  return text;
}

// The second way: the same rows in many small files, which are read whole.
TEST_F(Loads, ALargeFileIsThatOfItsParts) {
  const std::string text = large_file("");
  ASSERT_GT(text.size(), std::size_t{2} << 20);
  std::vector<std::string> small;
  const std::size_t header = text.find('\n') + 1;
  for (std::size_t at = header; at < text.size();) {
    const std::size_t end = text.find('\n', std::min(text.size() - 1, at + 500000)) + 1;
    small.push_back(
        write("part" + std::to_string(small.size()) + ".csv", text.substr(0, header) + text.substr(at, end - at)));
    at = end;
  }
  const auto whole = files_of({write("whole.csv", text)});
  const auto parts = files_of(small);
  ASSERT_EQ(whole.athletes(), parts.athletes());
  ASSERT_EQ(whole.athletes().size(), 150U);
  for (const std::string athlete : {"a0", "a77", "a149"}) {
    const auto a = whole.report(athlete, {}).value().days;
    const auto b = parts.report(athlete, {}).value().days;
    ASSERT_EQ(a.size(), b.size());
    for (std::size_t i = 0; i < a.size(); ++i) EXPECT_EQ(a[i].load_au, b[i].load_au) << athlete << " " << i;
  }
}

TEST_F(Loads, ALargeFileWithALineBreakInsideEveryQuoteIsReadAllTheSame) {
  std::string notes = "zoe,2024-03-01,60,5,\"";
  for (int i = 0; i < 5000; ++i) notes += "zoe,2024-03-01,60,5,\n";  // looks like rows, and is one cell
  const auto files = files_of({write("large.csv", large_file(notes + "\"\n"))});
  EXPECT_EQ(files.error_count(), 0U);
  EXPECT_EQ(files.report("zoe", {}).value().days.back().load_au, 300);
}

TEST_F(Loads, ErrorsOfALargeFileStandInTheirLines) {
  const auto files = files_of({write("large.csv", large_file("") + "zoe,2024-03-01,soon,5,\n")});
  ASSERT_EQ(files.error_count(), 1U);
  EXPECT_NE(files.errors()[0].where.find("large.csv:120002:minutes"), std::string::npos) << files.errors()[0].where;
}

}  // namespace
}  // namespace steelyard::app
