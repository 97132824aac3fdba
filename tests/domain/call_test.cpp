#include "steelyard/domain/call.hpp"

#include <gtest/gtest.h>

namespace steelyard {
namespace {

// The words of the contract of `today --json`.
TEST(ActionCode, IsTheWordOfTheContract) {
  EXPECT_EQ(action_code(Action::run_as_planned), "run-as-planned");
  EXPECT_EQ(action_code(Action::trim_sets), "trim-sets");
  EXPECT_EQ(action_code(Action::trim_intensity), "trim-intensity");
  EXPECT_EQ(action_code(Action::swap_to_heavy), "swap-to-heavy");
  EXPECT_EQ(action_code(Action::swap_to_volume), "swap-to-volume");
  EXPECT_EQ(action_code(Action::swap_to_speed), "swap-to-speed");
  EXPECT_EQ(action_code(Action::light_technique), "light-technique");
  EXPECT_EQ(action_code(Action::rest), "rest");
  EXPECT_EQ(action_code(Action::stop_refer), "stop-refer");
}

TEST(UrgencyWord, AndConfidenceWordAreThoseOfTheContract) {
  EXPECT_EQ(urgency_word(Urgency::now), "now");
  EXPECT_EQ(urgency_word(Urgency::today), "today");
  EXPECT_EQ(urgency_word(Urgency::soon), "soon");
  EXPECT_EQ(urgency_word(Urgency::watch), "watch");
  EXPECT_EQ(confidence_word(Confidence::high), "high");
  EXPECT_EQ(confidence_word(Confidence::medium), "medium");
  EXPECT_EQ(confidence_word(Confidence::low), "low");
}

}  // namespace
}  // namespace steelyard
