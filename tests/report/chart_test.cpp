#include "steelyard/report/chart.hpp"

#include <gtest/gtest.h>

namespace steelyard::report {
namespace {

constexpr Look k_ascii{};
using Rows = std::vector<std::string>;

TEST(BarChart, DrawsBarsMarksAndTheScale) {
  const std::vector<Bar> bars{{100.0}, {50.0, true}, {0.0, false, "."}, {std::nullopt, false, "o"}};
  const std::vector<AxisLabel> labels{{0, "Mon"}};
  EXPECT_EQ(bar_chart(bars, labels, k_ascii, 4), (Rows{"  100 |#",         //
                                                       "      |#",         //
                                                       "   50 |# :",       //
                                                       "      |# : . o",   //
                                                       "    0 +--------",  //
                                                       "       Mon"}));
}

TEST(BarChart, ShowsTheLeastLoadThatIsNotZero) {
  const std::vector<Bar> bars{{1000.0}, {1.0}};
  EXPECT_EQ(bar_chart(bars, {}, k_ascii, 3)[2], "       |# #");
}

TEST(BarChart, ShowsTheLastBarsWhenTheyDoNotFit) {
  std::vector<Bar> bars(200, Bar{1.0});
  bars.back().value = 4;
  const Rows rows = bar_chart(bars, {}, k_ascii, 4);
  EXPECT_LE(rows[3].size(), 80U);
  EXPECT_EQ(rows[0].back(), '#');
  EXPECT_EQ(rows[0].find('#'), rows[3].size() - 1);
}

TEST(BarChart, LeavesOutALabelThatWouldTouchTheOneBefore) {
  const std::vector<Bar> bars(10, Bar{1.0});
  const std::vector<AxisLabel> labels{{0, "Mon 02"}, {2, "Mon 09"}, {7, "Mon 16"}};
  EXPECT_EQ(bar_chart(bars, labels, k_ascii, 2).back(), "       Mon 02        Mon 16");
}

TEST(LineChart, LeavesAGapWhereNothingIsKnown) {
  const std::vector<std::optional<double>> values{100, std::nullopt, 104, 102};
  EXPECT_EQ(line_chart(values, {}, k_ascii, 5), (Rows{"  104 |  o",   //
                                                      "      |",      //
                                                      "      |   o",  //
                                                      "      |",      //
                                                      "      |o",     //
                                                      "  100 +----"}));
}

TEST(LineChart, ThinsByTheMeanOfWhatIsKnown) {
  std::vector<std::optional<double>> values;
  for (int i = 0; i < 400; ++i) values.emplace_back(i % 2 == 0 ? std::optional<double>(10) : std::nullopt);
  values[399] = 20;
  const Rows rows = line_chart(values, {}, k_ascii, 3);
  for (const auto& row : rows) EXPECT_LE(row.size(), 80U);
  EXPECT_EQ(rows[0].find('o'), std::string::npos);  // 10, 10, 20 at most on the last column: no column reaches 20
  EXPECT_NE(rows[2].find("ooooo"), std::string::npos);
}

TEST(LineChart, DrawsNothingForNothing) {
  for (const auto& row : line_chart({}, {}, k_ascii, 3)) EXPECT_EQ(row.find('o'), std::string::npos);
}

TEST(LevelRows, HangsPlanAndCallOnTheArm) {
  const Level level{.plan = 82.5, .call = 77.5, .expected = 97, .low80 = 94, .high80 = 100, .bands = {}};
  EXPECT_EQ(level_rows(level, k_ascii),
            (Rows{"                              call 77.5 % v    v plan 82.5 %",
                  "    +---------+---------+---------+---------+---------+---------+---------+",
                  "    40        50        60        70        80        90       100       110 %",
                  "                                                          |--o--| expected"}));
}

TEST(LevelRows, NamesOneMarkWhenPlanAndCallAreTheSame) {
  const Level level{.plan = 80.0, .call = 80.0, .expected = {}, .low80 = 0, .high80 = 0, .bands = {}};
  EXPECT_EQ(level_rows(level, k_ascii)[0], "                                            v plan and call 80 %");
}

TEST(LevelRows, WidensForWhatLiesOutside) {
  const Level level{.plan = 130.0, .call = 20.0, .expected = {}, .low80 = 0, .high80 = 0, .bands = {}};
  const Rows rows = level_rows(level, k_ascii);
  EXPECT_NE(rows[rows.size() - 1].find("130 %"), std::string::npos);
  EXPECT_NE(rows[rows.size() - 1].find(" 20 "), std::string::npos);
}

TEST(LevelRows, SharesASegmentAmongKindsOfTheSameRange) {
  const Level level{.plan = {},
                    .call = {},
                    .expected = {},
                    .low80 = 0,
                    .high80 = 0,
                    .bands = {{DayKind::volume, 60, 75}, {DayKind::speed, 60, 75}}};
  EXPECT_EQ(level_rows(level, k_ascii).back(), "                        |--------------| volume, speed");
}

}  // namespace
}  // namespace steelyard::report
