#include "steelyard/report/csv.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "report/examples.hpp"

namespace steelyard::report {
namespace {

DayFigures full_day() {
  DayFigures day;
  day.date = examples::day(3, 2);
  day.status = DayStatus::trained;
  day.load_au = 525;
  day.acute7_au = 1325;
  day.chronic28_au = 1300.5;
  day.ratio_coupled = 1.25;
  day.ratio_uncoupled = 1.5;
  day.ewma_acute_au = 190.25;
  day.ewma_chronic_au = 180;
  day.ratio_ewma = 0.1;
  day.monotony = 0.8;
  day.week_strain_au = 1060;
  day.state = RatioState::known;
  return day;
}

TEST(LastCsv, WritesEmptyFieldsForAbsentFigures) {
  std::string out(last_csv_header());
  append_last_csv(out, "anna", full_day());
  DayFigures bare;
  bare.date = examples::day(3, 1);
  append_last_csv(out, "ben", bare);
  EXPECT_EQ(out,
            "athlete,date,load,acute,chronic,acwr,acwr_unc,ewma_a,ewma_c,ewma_r,monotony,strain\n"
            "anna,2026-03-02,525,1325,1300.5,1.25,1.5,190.25,180,0.1,0.8,1060\n"
            "ben,2026-03-01,,,,,,,,,,\n");
}

TEST(LoadsCsv, HasAsManyFieldsAsColumns) {
  std::string row;
  append_loads_csv(row, "anna", full_day());
  EXPECT_EQ(row, "anna,2026-03-02,trained,525,false,1325,1300.5,1.25,1.5,190.25,180,0.1,0.8,1060,,0,,,known\n");
  const std::string_view header = loads_csv_header();
  EXPECT_EQ(std::count(row.begin(), row.end(), ','), std::count(header.begin(), header.end(), ','));
}

TEST(LoadSums, LeaveAbsentFiguresOut) {
  LoadSums sums;
  sums.rows = 5;
  sums.tonnage = 1234.5;
  sums.add(full_day());
  sums.add(full_day());
  sums.add(DayFigures{});
  EXPECT_EQ(sum_csv(sums),
            "rows,days,tonnage,load,acute,chronic,acwr,acwr_unc,ewma_a,ewma_c,ewma_r,monotony,strain\n"
            "5,3,1234.5,1050,2650,2601,2.5,3,380.5,360,0.2,1.6,2120\n");
}

TEST(AppendCsvText, QuotesWhatNeedsIt) {
  // RFC 4180, section 2, rules 5 to 7
  const auto of = [](std::string_view text) {
    std::string out;
    append_csv_text(out, text);
    return out;
  };
  EXPECT_EQ(of("anna"), "anna");
  EXPECT_EQ(of("a,b"), "\"a,b\"");
  EXPECT_EQ(of("say \"x\"\n"), "\"say \"\"x\"\"\n\"");
}

}  // namespace
}  // namespace steelyard::report
