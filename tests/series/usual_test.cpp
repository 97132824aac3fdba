#include "steelyard/series/usual.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <string>

#include "series/rows.hpp"
#include "steelyard/base/text.hpp"

namespace steelyard::series {
namespace {

using testing::k_monday;

/// A set of the NIST Statistical Reference Datasets, univariate, with its certified values (published).
struct Certified {
  double mean = 0;
  double sd = 0;
  std::vector<double> data;
};

Certified certified(const std::string& name) {
  std::ifstream file(std::string(STEELYARD_SOURCE_DIR "/tests/reference/nist-univ/") + name);
  EXPECT_TRUE(file.is_open()) << name;
  Certified set;
  for (std::string line; std::getline(file, line);) {
    const auto cells = split(line, ',');
    if (line.empty() || line.front() == '#' || cells.size() != 2) continue;
    const auto value = parse_number(cells[1]);
    EXPECT_TRUE(value) << line;
    if (cells[0] == "certified_mean") set.mean = value.value_or(0);
    if (cells[0] == "certified_sd") set.sd = value.value_or(0);
    if (cells[0] == "data") set.data.push_back(value.value_or(0));
  }
  return set;
}

void expect_certified(const Certified& set, std::size_t n, double relative) {
  ASSERT_EQ(set.data.size(), n);
  const auto found = moments(set.data);
  ASSERT_TRUE(found);
  EXPECT_EQ(found->n, static_cast<int>(n));
  EXPECT_NEAR(found->mean, set.mean, relative * std::abs(set.mean));
  EXPECT_NEAR(found->sd, set.sd, relative * set.sd);
}

/// First c, then c - 0.1 and c + 0.1 in turn, 500 times: mean c, SD 0.1 by construction.
Certified numacc(double c, double below, double above) {
  Certified set{.mean = c, .sd = 0.1, .data = {c}};
  for (int i = 0; i < 500; ++i) set.data.insert(set.data.end(), {below, above});
  return set;
}

TEST(Moments, ReproduceNistNumAcc1) {
  expect_certified({.mean = 10000002, .sd = 1, .data = {10000001, 10000003, 10000002}}, 3, 1e-15);
}
TEST(Moments, ReproduceNistNumAcc2) {
  expect_certified(numacc(1.2, 1.1, 1.3), 1001, 1e-12);
}
TEST(Moments, ReproduceNistNumAcc3) {
  expect_certified(numacc(1000000.2, 1000000.1, 1000000.3), 1001, 1e-9);
}
TEST(Moments, ReproduceNistNumAcc4) {
  // The numbers themselves are off by up to 1e-8 of their SD once written as doubles.
  expect_certified(numacc(10000000.2, 10000000.1, 10000000.3), 1001, 1e-7);
}
TEST(Moments, ReproduceNistLew) {
  expect_certified(certified("lew.csv"), 200, 1e-13);
}
TEST(Moments, ReproduceNistMavro) {
  expect_certified(certified("mavro.csv"), 50, 1e-12);
}
TEST(Moments, ReproduceNistMichelso) {
  expect_certified(certified("michelso.csv"), 100, 1e-12);
}

TEST(Moments, OfNothingAreAbsentAndOfOneValueHaveNoSpread) {
  EXPECT_FALSE(moments({}));
  const auto one = moments(std::vector<double>{7.5});
  EXPECT_EQ(one->mean, 7.5);
  EXPECT_EQ(one->sd, 0);
  EXPECT_EQ(one->n, 1);
}

TEST(Usual, LeavesTheJudgedDayOutAndReachesBackSoManyDays) {
  const Day day = k_monday + Days{40};
  const std::vector<Dated> values{
      {day - Days{29}, 100}, {day - Days{28}, 1}, {day - Days{1}, 3}, {day, 100}, {day + Days{1}, 100}};
  const auto found = usual(values, day, 28);
  ASSERT_TRUE(found);
  EXPECT_EQ(found->n, 2);
  EXPECT_EQ(found->mean, 2);
  EXPECT_DOUBLE_EQ(found->sd, std::sqrt(2.0));  // of 1 and 3, by hand
  EXPECT_FALSE(usual(values, day - Days{29}, 28));
}

TEST(Usual, DeviationIsTheStandardScore) {
  // Ten values of mean 12 and SD 1.1547, 17 today: 4.330127 (standard score, computed).
  const std::vector<double> sums{12, 11, 13, 12, 14, 10, 12, 13, 11, 12};
  const auto found = moments(sums);
  EXPECT_NEAR(found->sd, 1.1547005383792515, 1e-12);
  EXPECT_NEAR(found->deviation(17, 0.5), 4.330127018922194, 1e-12);
}

TEST(Usual, ASpreadOfZeroNeverDivides) {
  const Usual same{.mean = 3, .sd = 0, .n = 20};
  EXPECT_DOUBLE_EQ(same.deviation(5, 0.8), 2.5);
}

TEST(Median, IsTheMiddleOrTheMeanOfTheTwoMiddleValues) {
  EXPECT_FALSE(median({}));
  EXPECT_EQ(median({4}), 4);
  EXPECT_EQ(median({9, 1, 4}), 4);
  EXPECT_EQ(median({9, 1, 4, 5}), 4.5);
}

}  // namespace
}  // namespace steelyard::series
