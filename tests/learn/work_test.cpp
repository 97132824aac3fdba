#include "learn/work.hpp"

#include <gtest/gtest.h>

namespace steelyard::learn {
namespace {

Day day(int n) {
  return day_from_number(20000 + n);
}

const Kept k_kept{.slow = {0.9}, .fast = {0.5}};
constexpr int k_gap = 3;

/// Worked on day 0; days 1 and 2 are a gap that the entry of day 3 makes rest. Usual work is 10.
DayWork days(Day d) {
  const int n = days_between(day(0), d);
  if (n == 0) return {.amount = 30, .needs = d};
  if (n == 1 || n == 2) return {.amount = 0, .needs = day(3), .gap = true};
  return {.amount = 10, .needs = d};
}

WorkState started() {
  WorkState work;
  start_work(work, day(0));
  work.usual = 10;
  return work;
}

// By hand: fast response 1 -> 0.5 x 1 + 0.5 x 3 = 2 on the morning of day 1; a day as usual brings it to 1.5 and 1.25,
// a day of rest to 1 and 0.5.
TEST(Responses, TakeAGapAsUsualUntilTheNextEntryMakesItRest) {
  const WorkState work = started();
  EXPECT_DOUBLE_EQ(responses_on(work, k_kept, day(1), day(0), days).fast[0], 2);
  EXPECT_DOUBLE_EQ(responses_on(work, k_kept, day(3), day(2), days).fast[0], 1.25);  // the evening before the entry
  EXPECT_DOUBLE_EQ(responses_on(work, k_kept, day(3), day(3), days).fast[0], 0.5);   // the morning of the entry
  EXPECT_NEAR(responses_on(work, k_kept, day(1), day(0), days).slow[0], 0.9 + 0.1 * 3, 1e-12);
}

TEST(Settle, WaitsForAGapAndThenTakesItAsRest) {
  WorkState work = started();
  settle(work, k_kept, day(1), k_gap, days);
  EXPECT_EQ(work.settled, day(1));
  settle(work, k_kept, day(2), k_gap, days);
  EXPECT_EQ(work.settled, day(1));  // day 1 may yet have been anything
  settle(work, k_kept, day(3), k_gap, days);
  EXPECT_EQ(work.settled, day(3));
  EXPECT_DOUBLE_EQ(work.fast[0], 0.5);
}

TEST(Settle, TakesAGapThatIsTooLongAsUsual) {
  WorkState work = started();
  const auto silence = [](Day d) {
    return d == day(0) ? days(d) : DayWork{.amount = std::nullopt, .needs = d, .gap = true};
  };
  settle(work, k_kept, day(4), k_gap, silence);
  EXPECT_EQ(work.settled, day(1));
  settle(work, k_kept, day(6), k_gap, silence);
  EXPECT_EQ(work.settled, day(2));
  EXPECT_DOUBLE_EQ(work.fast[0], 1.5);
}

// 28 known days from the first with work on: 3 of them with 28 units make a usual day of 3, whatever came before or
// between.
TEST(Settle, FreezesTheMeanOf28KnownDays) {
  WorkState work;
  start_work(work, day(0));
  const auto log = [](Day d) {
    const int n = days_between(day(0), d);
    if (n < 10) return DayWork{.amount = 0, .needs = d};                  // nothing lifted yet
    if (n % 10 == 9) return DayWork{.amount = std::nullopt, .needs = d};  // not known
    return DayWork{.amount = n % 9 == 1 ? std::optional(28.0) : 0, .needs = d};
  };
  for (int n = 1; n <= 60; ++n) {
    settle(work, k_kept, day(n), k_gap, log);
    if (n <= 40) {
      EXPECT_FALSE(work.usual) << n;
    }
  }
  EXPECT_EQ(work.known_days, 28);
  EXPECT_DOUBLE_EQ(work.usual.value(), 3);  // 10, 28 and 37 have work; 19, 29 and 39 are not known
}

}  // namespace
}  // namespace steelyard::learn
