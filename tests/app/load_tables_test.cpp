// The figures of many athletes. Sources: the figures of load::figures as a second way to the same numbers; 22 sums of
// seven days and one of 28 over 28 equal days, by hand.
#include <sys/resource.h>

#include <cmath>
#include <csignal>
#include <filesystem>
#include <fstream>
#include <random>
#include <sstream>

#include "app/bench.hpp"
#include "app/rolling_loads.hpp"
#include "steelyard/app/loads.hpp"
#include "steelyard/load/figures.hpp"

namespace steelyard::app {
namespace {

namespace fs = std::filesystem;

/// The same days as a series for load::figures.
series::DaySeries series_of(const std::vector<double>& loads, Day first) {
  series::DaySeries series;
  series.first_entry = first;
  for (std::size_t i = 0; i < loads.size(); ++i) {
    series.days.push_back(
        {.date = first + Days{static_cast<int>(i)}, .status = DayStatus::trained, .load_au = loads[i]});
  }
  return series;
}

void expect_close(double a, double b, const char* what) {
  EXPECT_LE(std::fabs(a - b), 1e-12 * std::max(1.0, std::fabs(b))) << what << ": " << a << " against " << b;
}
void expect_close(const std::optional<double>& a, const std::optional<double>& b, const char* what) {
  ASSERT_EQ(a.has_value(), b.has_value()) << what;
  if (a) expect_close(*a, *b, what);
}

/// Days without a session are not added, as in a log.
DayFigures finish(RollingLoads& rolling, const std::vector<double>& loads, Day first, const LoadModel& model) {
  const RollingModel rolling_model(model);
  for (std::size_t i = 0; i < loads.size(); ++i) {
    if (loads[i] == 0 && i > 0 && i + 1 < loads.size()) continue;
    EXPECT_TRUE(rolling.add(day_number(first) + static_cast<int>(i), loads[i], rolling_model));
  }
  return rolling.finish(rolling_model);
}

TEST(RollingLoads, EqualTheFiguresOfTheLoadRoom) {
  std::mt19937 random(11);
  for (const auto start : {EwmaStart::mean_of_first_28, EwmaStart::first_load}) {
    for (const auto sd : {Sd::sample, Sd::population}) {
      for (const int days : {1, 6, 7, 8, 27, 28, 29, 93, 94, 95, 101, 102, 128, 200, 1000}) {
        LoadModel model = testing::shipped_models().load;
        model.ewma.start = start;
        model.monotony.sd = sd;
        std::vector<double> loads;
        for (int i = 0; i < days; ++i) {  // rest runs, equal blocks, ordinary days
          const bool block = i % 50 > 35;
          loads.push_back(block ? 0.1 * 411 : random() % 3 == 0 ? 0 : static_cast<double>(random() % 1800) / 2);
        }
        const Day first = *parse_day("2026-01-01");
        RollingLoads rolling;
        const DayFigures last = finish(rolling, loads, first, model);
        const auto figures = load::figures(series_of(loads, first), model, false);
        report::LoadSums sums;
        for (const DayFigures& day : figures) sums.add(day);
        SCOPED_TRACE(days);
        EXPECT_EQ(rolling.sums().days, sums.days);
        expect_close(rolling.sums().load, sums.load, "load");
        expect_close(rolling.sums().acute, sums.acute, "acute");
        expect_close(rolling.sums().chronic, sums.chronic, "chronic");
        expect_close(rolling.sums().acwr, sums.acwr, "acwr");
        expect_close(rolling.sums().acwr_unc, sums.acwr_unc, "acwr_unc");
        expect_close(rolling.sums().ewma_a, sums.ewma_a, "ewma_a");
        expect_close(rolling.sums().ewma_c, sums.ewma_c, "ewma_c");
        expect_close(rolling.sums().ewma_r, sums.ewma_r, "ewma_r");
        expect_close(last.acute7_au, figures.back().acute7_au, "last acute");
        expect_close(last.ratio_coupled, figures.back().ratio_coupled, "last ratio");
        expect_close(last.ewma_chronic_au, figures.back().ewma_chronic_au, "last ewma");
      }
    }
  }
}

TEST(RollingLoads, MonotonyAndStrainEqualTheFiguresOfTheLoadRoom) {
  const LoadModel& model = testing::shipped_models().load;
  const std::vector<double> loads{300, 0, 450, 0, 380, 0, 0, 320, 0, 470, 0, 360, 0, 0};
  RollingLoads rolling;
  finish(rolling, loads, *parse_day("2026-01-01"), model);
  report::LoadSums sums;
  for (const DayFigures& day : load::figures(series_of(loads, *parse_day("2026-01-01")), model, false)) sums.add(day);
  expect_close(rolling.sums().monotony, sums.monotony, "monotony");
  expect_close(rolling.sums().strain, sums.strain, "strain");
}

TEST(RollingLoads, TakeADayOfTheLastWeekOnceMoreAndRefuseAnOlderOne) {
  const RollingModel model(testing::shipped_models().load);
  RollingLoads rolling;
  for (int day = 0; day < 500; ++day) {
    ASSERT_TRUE(rolling.add(day, 100, model));
    ASSERT_TRUE(rolling.add(std::max(0, day - 6), 10, model));
  }
  EXPECT_FALSE(rolling.add(0, 10, model));
  (void)rolling.finish(model);
  EXPECT_EQ(rolling.sums().days, 500);
  EXPECT_EQ(rolling.sums().load, 500 * 110);
}

// ------------------------------------------------------------------------------------------ tables of files
class LoadTables : public Bench {
 protected:
  LoadTables() {
    folder = fs::temp_directory_path() /
             (std::string("steelyard-tables-") + ::testing::UnitTest::GetInstance()->current_test_info()->name());
    fs::remove_all(folder);
    fs::create_directories(folder);
  }
  ~LoadTables() override { fs::remove_all(folder); }
  std::string write(const std::string& name, std::string_view text) {
    std::ofstream(folder / name, std::ios::binary) << text;
    return (folder / name).string();
  }
  Result<FileFaults> write_tables(const std::vector<std::string>& paths, series::Gaps gaps = series::Gaps::rest) {
    return write_load_tables(paths, context.models, gaps, (folder / "out").string(), {});
  }
  /// Both tables.
  std::string tables(const std::vector<std::string>& paths, series::Gaps gaps = series::Gaps::rest) {
    const auto faults = write_tables(paths, gaps);
    EXPECT_TRUE(faults && faults->count == 0) << (faults ? "faults" : faults.error().text());
    std::ostringstream text;
    for (const char* name : {"last.csv", "sum.csv"}) text << std::ifstream(folder / "out" / name).rdbuf();
    return text.str();
  }
  fs::path folder;
};

constexpr std::string_view k_header = "athlete,date,minutes,rpe,tonnage,note\n";

/// Invented sessions of many athletes in the order of days, some of them on one day; each row with its line end.
std::vector<std::string> session_rows(int days, const std::string& note) {
  std::mt19937 random(5);
  std::vector<std::string> rows;
  for (int day = 0; day < days; ++day) {
    for (int athlete = 0; athlete < 40; ++athlete) {
      if (day > 0 && random() % 7 > 3) continue;
      for (unsigned part = 0; part <= random() % 5 / 4; ++part) {
        rows.push_back("a" + std::to_string(athlete) + "," + format_day(*parse_day("2022-01-01") + Days{day}) + "," +
                       std::to_string(30 + random() % 60) + "," + std::to_string(3 + random() % 6) + "," +
                       (random() % 2 == 0 ? "" : std::to_string(1000 + random() % 9000)) + "," + note + "\n");
      }
    }
  }
  return rows;
}

std::string joined(const std::vector<std::string>& rows) {
  std::string text(k_header);
  for (const std::string& row : rows) text += row;
  return text;
}

TEST_F(LoadTables, OfTwentyEightEqualDays) {
  std::string text(k_header);
  for (int i = 0; i < 28; ++i) text += "x," + format_day(*parse_day("2026-01-01") + Days{i}) + ",60,5,1000,\n";
  const std::string all = tables({write("log.csv", text)});
  EXPECT_NE(all.find("rows,days,tonnage,load,acute,chronic,acwr,acwr_unc,ewma_a,ewma_c,ewma_r,monotony,strain\n"
                     "28,28,28000,8400,46200,2100,1,1,"),
            std::string::npos)
      << all;  // 22 weeks of 2100, one of 28 days
}

TEST_F(LoadTables, HoldTheFiguresOfEveryAthlete) {
  const std::string path = write("log.csv", joined(session_rows(400, "")));
  std::istringstream all(tables({path}));
  const std::vector<std::string> paths{path};
  const auto files = LoadFiles::read(paths, context.models, {}).value();
  std::string line;
  std::getline(all, line);
  for (const std::string& athlete : files.athletes()) {
    const DayFigures last = files.figures(athlete, series::Gaps::rest).back();
    std::getline(all, line);
    std::istringstream cells(line);
    std::string cell;
    std::getline(cells, cell, ',');
    EXPECT_EQ(cell, athlete);
    std::getline(cells, cell, ',');
    EXPECT_EQ(cell, format_day(last.date));
    for (const auto& figure :
         {last.load_au, last.acute7_au, last.chronic28_au, last.ratio_coupled, last.ratio_uncoupled, last.ewma_acute_au,
          last.ewma_chronic_au, last.ratio_ewma, last.monotony, last.week_strain_au}) {
      std::getline(cells, cell, ',');
      expect_close(cell.empty() ? std::nullopt : std::optional(std::stod(cell)), figure, athlete.c_str());
    }
  }
}

// A file of some megabytes is read by all processors, its rows are then shuffled, and at last it is so large that it is
// sorted in parts on the disk.
TEST_F(LoadTables, AreTheSameInWhateverOrderTheRowsCome) {
  for (const std::size_t note : {std::size_t{0}, std::size_t{150}, std::size_t{1100}}) {
    auto rows = session_rows(700, std::string(note, 'n'));
    const std::string in_order = tables({write("order.csv", joined(rows))});
    std::shuffle(rows.begin(), rows.end(), std::mt19937(9));
    const std::string text = joined(rows);
    EXPECT_EQ(text.size() > std::size_t{17} << 20, note == 1100);
    EXPECT_EQ(tables({write("shuffled.csv", text)}), in_order) << note;
  }
}

TEST_F(LoadTables, OfTwoFilesAreThoseOfOne) {
  const auto rows = session_rows(60, "");
  const std::vector<std::string> first(rows.begin(), rows.begin() + 700);
  const std::vector<std::string> second(rows.begin() + 700, rows.end());
  const std::string whole = tables({write("whole.csv", joined(rows))});
  const std::string a = write("a.csv", joined(first));
  const std::string b = write("b.csv", joined(second));
  EXPECT_EQ(tables({a, b}), whole);
  EXPECT_EQ(tables({b, a}), whole);
}

TEST_F(LoadTables, EstimateASessionWithoutRpe) {
  const std::string all =
      tables({write("log.csv",
                    "athlete,date,kind,minutes,rpe\nx,2026-01-01,heavy,60,6\nx,2026-01-03,heavy,60,8\n"
                    "x,2026-01-05,heavy,60,\ny,2026-01-05,heavy,30,4\n")});
  EXPECT_NE(all.find("\nx,2026-01-05,420,"), std::string::npos) << all;  // the median RPE of 7
  EXPECT_NE(all.find("\ny,2026-01-05,120,"), std::string::npos) << all;
  EXPECT_NE(all.find("\n4,6,0,1380,"), std::string::npos) << all;  // 360 + 480 + 420 + 120 on 5 days and on 1
}

TEST_F(LoadTables, LeaveAnUnknownDayUnknown) {
  const std::string path = write("log.csv", "athlete,date,minutes,rpe\nx,2026-01-01,60,5\nx,2026-01-20,60,5\n");
  EXPECT_NE(tables({path}, series::Gaps::unknown).find("\nx,2026-01-20,300,,,"), std::string::npos);
  EXPECT_NE(tables({path}).find("\nx,2026-01-20,300,300,,"), std::string::npos);
}

TEST_F(LoadTables, AreNotWrittenOfFilesWithErrors) {
  auto rows = session_rows(700, std::string(200, 'n'));
  rows.push_back("x,2026-01-01,soon,5,,\n");
  const auto faults = write_tables({write("log.csv", joined(rows))});
  ASSERT_TRUE(faults);
  ASSERT_EQ(faults->count, 1U);
  EXPECT_NE(faults->errors.at(0).where.find("log.csv:" + std::to_string(rows.size() + 1) + ":minutes"),
            std::string::npos)
      << faults->errors[0].where;
  EXPECT_FALSE(fs::exists(folder / "out"));
  EXPECT_EQ(write_tables({"/nowhere/log.csv"}).error().code, Errc::no_input);
}

TEST_F(LoadTables, OfALargeFileWithALineBreakInsideAQuoteHoldItAsOneCell) {
  std::string note;
  for (int i = 0; i < 2000; ++i) note += "zoe,2022-03-01,60,5,,\n";  // looks like rows, and is one cell
  auto rows = session_rows(700, std::string(200, 'n'));
  const std::string without = tables({write("plain.csv", joined(rows))});
  const std::string quoted = "zoe,2022-03-01,60,5,,\"" + note + "\"\n";
  for (std::size_t at = 0; at < rows.size(); at += rows.size() / 60)
    rows.insert(rows.begin() + static_cast<std::ptrdiff_t>(at), quoted);
  const std::string all = tables({write("quoted.csv", joined(rows))});
  const std::size_t zoe = all.find("zoe,2022-03-01,");
  ASSERT_NE(zoe, std::string::npos);
  EXPECT_EQ(all.substr(0, zoe), without.substr(0, without.find("rows,")));
}

/// No file of this process becomes larger, as on a full disk, while it lives.
class FileLimit {
 public:
  explicit FileLimit(rlim_t bytes) {
    ::getrlimit(RLIMIT_FSIZE, &before_);
    handler_ = std::signal(SIGXFSZ, SIG_IGN);
    const rlimit limit{.rlim_cur = bytes, .rlim_max = before_.rlim_max};
    ::setrlimit(RLIMIT_FSIZE, &limit);
  }
  FileLimit(const FileLimit&) = delete;
  FileLimit& operator=(const FileLimit&) = delete;
  ~FileLimit() {
    ::setrlimit(RLIMIT_FSIZE, &before_);
    std::signal(SIGXFSZ, handler_);
  }

 private:
  rlimit before_{};
  void (*handler_)(int) = nullptr;
};

// Sorted in two parts on the disk, 16 bytes a row; the last bytes of each are written when it is read again.
TEST_F(LoadTables, AFullDiskWhileRowsAreSortedIsAnErrorAndNotFewerRows) {
  std::string text(k_header);
  const std::string note(2000, 'n');
  constexpr int days = 4200;
  for (int day = days; day-- > 0;) {
    for (const char* athlete : {"x", "y"}) {
      text += athlete + ("," + format_day(*parse_day("2010-01-01") + Days{day}) + ",60,5,," + note + "\n");
    }
  }
  ASSERT_GT(text.size(), std::size_t{16} << 20);
  const std::string path = write("log.csv", text);
  const std::string whole = tables({path});
  EXPECT_NE(whole.find("\n8400,"), std::string::npos) << whole;
  const FileLimit limit(16 * days - 8);
  const auto written = write_tables({path});
  ASSERT_FALSE(written);
  EXPECT_EQ(written.error().code, Errc::io);
}

}  // namespace
}  // namespace steelyard::app
