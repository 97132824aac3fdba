// How often a plan stands. Source: common practice, on 7 to 8 of 10 days of an ordinary lifter the right answer is "as
// planned", and a tool that changes something every day is not followed. The lifters are the invented ones of
// sample-logs; hc01 is the ordinary one.
#include <gtest/gtest.h>

#include "app/bench.hpp"
#include "steelyard/app/ingest.hpp"
#include "steelyard/app/today.hpp"

namespace steelyard::app {
namespace {

/// Days on the plan of the ten weeks to today, and those on which every lift stood as planned.
struct Stood {
  int days = 0;
  int as_planned = 0;
};

class SampleClub : public Bench {
 protected:
  SampleClub() {
    const std::vector<std::string> paths{STEELYARD_SOURCE_DIR "/sample-logs"};
    const auto read = ingest_paths(context, paths, {});
    EXPECT_TRUE(read) << read.error().text();
  }

  Stood stood(const Athlete& athlete) {
    const Day last = *parse_day("2026-11-23");
    Stood result;
    for (Day day = last - Days{69}; day <= last; day += Days{1}) {
      const auto call = today(context, athlete, day);
      EXPECT_TRUE(call) << call.error().text();
      if (!call || call->calls.empty()) continue;
      ++result.days;
      const bool all = std::all_of(call->calls.begin(), call->calls.end(), [](const LiftCall& lift) {
        return lift.actions == std::vector{Action::run_as_planned};
      });
      result.as_planned += all ? 1 : 0;
    }
    return result;
  }
};

TEST_F(SampleClub, SevenToEightOfTenDaysOfTheOrdinaryLifterStandAsPlanned) {
  const Stood ordinary = stood(store->athlete("hc01").value().value());
  ASSERT_GE(ordinary.days, 25);
  EXPECT_GE(ordinary.as_planned, 0.7 * ordinary.days) << ordinary.days;
  EXPECT_LE(ordinary.as_planned, 0.8 * ordinary.days) << ordinary.days;
}

TEST_F(SampleClub, NobodyIsChangedOnMostDays) {
  for (const auto* code : {"hc02", "hc03", "hc05", "hc06"}) {  // those with trouble in these weeks
    const Stood lifter = stood(store->athlete(code).value().value());
    EXPECT_GE(lifter.as_planned, 0.7 * lifter.days) << code << ", of " << lifter.days;
  }
}

}  // namespace
}  // namespace steelyard::app
