// What reports hold; figures by hand.
#include "steelyard/app/report.hpp"

#include <gtest/gtest.h>

#include "app/bench.hpp"
#include "steelyard/app/loads.hpp"

namespace steelyard::app {
namespace {

class ReportBench : public Bench {
 protected:
  void SetUp() override {
    read("athlete,units,weekdays\na1,lb,mon wed fri\na2,kg,mon\n", "athletes.csv");
    read("athlete,lift,from,training_max\na1,squat,2026-01-01,330\n", "maxes.csv");
    read("athlete,date,lift,kind,sets,reps,percent,minutes\na1,2026-11-23,squat,heavy,3,3,85,75\n", "plan.csv");
    // Mondays of 300, 420 and 360 AU; the fourth is not logged.
    read("athlete,date,minutes,rpe\na1,2026-10-26,60,5\na1,2026-11-02,60,7\na1,2026-11-09,60,6\n", "sessions.csv");
  }
  Athlete athlete(const char* code) { return context.store.athlete(code).value().value(); }
  static Day day(const char* text) { return parse_day(text).value(); }
};

TEST_F(ReportBench, AnUnloggedDayCarriesWhatItsWeekdayUsuallyDoes) {
  const LoadReport report = loads(context, athlete("a1"), day("2026-11-17"), {}).value();
  const UsualLoad& monday = report.usual_loads.back();
  EXPECT_EQ(monday.date, day("2026-11-16"));
  EXPECT_EQ(monday.usual_au, 360);  // the middle one of 300, 360, 420
  EXPECT_EQ(monday.low_au, 300);
  EXPECT_EQ(monday.high_au, 420);
  for (const UsualLoad& usual : report.usual_loads) EXPECT_EQ(weekday_index(usual.date), 0);  // no other day is known
}

TEST_F(ReportBench, TheWallShowsSevenDaysInTheLiftersUnitAndNoReasonOfAStop) {
  const std::vector<Athlete> both{athlete("a1"), athlete("a2")};
  WallSheet sheet = wall_sheet(context, both, day("2026-11-23"), 7).value();
  ASSERT_EQ(sheet.lifters.size(), 2U);
  EXPECT_EQ(sheet.lifters[0].days.size(), 7U);
  EXPECT_EQ(sheet.lifters[0].units, Unit::lb);
  EXPECT_FALSE(sheet.lifters[0].stopped);
  read("athlete,date,symptoms\na1,2026-11-23,chest-pressure\n", "checks.csv");
  sheet = wall_sheet(context, both, day("2026-11-23"), 7).value();
  EXPECT_TRUE(sheet.lifters[0].stopped);
  EXPECT_FALSE(sheet.lifters[1].stopped);
}

TEST_F(ReportBench, TheSquadKnowsWhoIsSilent) {
  const SquadReport report = squad_report(context, std::nullopt, day("2026-11-23")).value();
  ASSERT_EQ(report.lifters.size(), 2U);
  EXPECT_EQ(report.lifters[0].days_since_entry, 14);  // 9 to 23 November
  EXPECT_EQ(report.lifters[1].days_since_entry, std::nullopt);
}

}  // namespace
}  // namespace steelyard::app
