#include "steelyard/domain/row_bytes.hpp"

#include <gtest/gtest.h>

namespace steelyard {
namespace {

template <class Row>
std::string bytes_of(const Row& row) {
  std::string bytes;
  add_row_bytes(bytes, row);
  return bytes;
}

Check check() {
  Check c{.athlete = "a", .date = day_from_number(20000)};
  c.soreness = 3;
  c.sore_regions = {{"quads", 4}};
  c.pain = {{"knee-right", 5, PainKind::sharp}};
  c.note = "fine";
  return c;
}

TEST(RowBytes, AreTheSameForEqualRowsAndTellEveryFieldApart) {
  EXPECT_EQ(bytes_of(check()), bytes_of(check()));
  std::vector<Check> others(7, check());
  others[0].soreness = 3.5;
  others[1].soreness.reset();
  others[2].sore_regions[0].region = "calves";
  others[3].pain[0].kind = PainKind::dull;
  others[4].note = "fin";
  others[5].date += Days{1};
  others[6].fatigue = 3;
  for (const Check& other : others) EXPECT_NE(bytes_of(other), bytes_of(check()));
}

// What follows a word cannot pass for a part of it.
TEST(RowBytes, KeepWordsApart) {
  SetRow a{.athlete = "ab", .date = day_from_number(1), .lift = "c", .reps = 1};
  SetRow b{.athlete = "a", .date = day_from_number(1), .lift = "bc", .reps = 1};
  EXPECT_NE(bytes_of(a), bytes_of(b));
}

}  // namespace
}  // namespace steelyard
