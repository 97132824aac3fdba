#include "steelyard/base/result.hpp"

#include <gtest/gtest.h>

#include <memory>

namespace steelyard {
namespace {

Result<int> half(int value) {
  if (value % 2 != 0) return fail(Errc::bad_data, "odd", "here");
  return value / 2;
}
Result<int> quarter(int value) {
  STEELYARD_TRY(half(value));
  STEELYARD_TRY_ASSIGN(const int once, half(value));
  return half(once);
}
Result<std::unique_ptr<int>> boxed(int value) {
  STEELYARD_TRY_ASSIGN(auto box, [](int v) -> Result<std::unique_ptr<int>> { return std::make_unique<int>(v); }(value));
  return box;
}

TEST(Result, PassesErrorsUp) {
  EXPECT_EQ(quarter(12).value(), 3);
  EXPECT_EQ(quarter(6).error().what, "odd");
  EXPECT_EQ(quarter(7).error().where, "here");
  EXPECT_EQ(*boxed(5).value(), 5);
}

TEST(Error, NamesItsPlaceFirst) {
  EXPECT_EQ((Error{Errc::bad_data, "odd", "a.csv:2:reps"}.text()), "a.csv:2:reps: odd");
  EXPECT_EQ((Error{Errc::bad_data, "odd", ""}.text()), "odd");
}

// Statuses 64-77: sysexits.h of BSD (from memory).
TEST(ExitStatus, FollowsSysexits) {
  EXPECT_EQ(exit_status(Errc::failed), 1);
  EXPECT_EQ(exit_status(Errc::usage), 64);
  EXPECT_EQ(exit_status(Errc::bad_data), 65);
  EXPECT_EQ(exit_status(Errc::no_input), 66);
  EXPECT_EQ(exit_status(Errc::unavailable), 69);
  EXPECT_EQ(exit_status(Errc::io), 74);
  EXPECT_EQ(exit_status(Errc::busy), 75);
  EXPECT_EQ(exit_status(Errc::not_allowed), 77);
}

}  // namespace
}  // namespace steelyard
