/// Where a missed heavy day goes: what is said on one morning is what the named morning does. The rule is common
/// practice: of a week's days the heavy one is the hardest to replace, it is moved or dropped and never stacked, 48
/// hours from other heavy work of its group.
#include <fmt/core.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "decide/build_log.hpp"
#include "params/shipped_models.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/decide/ahead.hpp"
#include "steelyard/decide/call.hpp"
#include "steelyard/domain/vocabulary.hpp"

namespace steelyard::decide {
namespace {

using namespace steelyard::testing;
using ::testing::HasSubstr;

/// Squats and deadlifts heavy on Monday and Thursday, what is long on Saturday.
Pattern four_days() {
  using enum DayKind;
  return {{0, 75, 7, {{"squat", heavy, 3, 4, 82.5, 8}}},
          {1, 60, 6, {{"bench", heavy, 3, 5, 80, 8}}},
          {3, 75, 7, {{"deadlift", heavy, 3, 3, 82.5, 8}, {"squat", speed, 6, 2, 67.5, 6}}},
          {5, 80, 7, {{"squat", volume, 4, 8, 65, 7.5}}}};
}

Pattern twice_heavy() {
  using enum DayKind;
  return {{0, 75, 7, {{"squat", heavy, 3, 4, 82.5, 8}}},
          {2, 55, 5, {{"squat", speed, 8, 2, 70, 6}}},
          {4, 75, 7, {{"squat", heavy, 3, 3, 82.5, 8}}}};
}

/// The call of a usual morning so many days after the heavy day of that weekday, which was missed; everything else was
/// done as planned.
DayCall after_missing(const Pattern& pattern, int weekday, int days_after, bool with_check = true) {
  const Day missed = k_monday + Days{84 + weekday};
  LogBuilder builder(pattern, missed + Days{days_after}, 12);
  auto& log = builder.log();
  log.days_off.push_back({.athlete = "ada", .from = missed, .to = missed, .reason = OffReason::missed});
  std::erase_if(log.sessions, [&](const Session& s) { return s.date == missed; });
  std::erase_if(log.sets, [&](const SetRow& s) { return s.date == missed; });
  const AthleteLog known = with_check ? builder.with(builder.usual_morning()) : log;
  return call_for(known, builder.today(), shipped_models());
}

std::string about_missed(const DayCall& call, std::string_view lifts) {
  for (const std::string& text : call.say) {
    if (text.find(fmt::format("heavy {} were missed", lifts)) != std::string::npos) return text;
  }
  return {};
}

bool does_it_today(const DayCall& call, std::string_view lift, const std::string& text) {
  const bool swapped = std::any_of(call.calls.begin(), call.calls.end(), [&](const LiftCall& c) {
    return c.lift == lift && c.actions == std::vector{Action::swap_to_heavy};
  });
  return swapped || text.find("today is the day") != std::string::npos;
}

struct Missed {
  std::string name;
  Pattern pattern;
  int weekday;
  std::string lift;
  std::string lifts;
  int made_up_on;  ///< weekday; -1 = let go
};

class MissedDays : public ::testing::TestWithParam<Missed> {};

TEST_P(MissedDays, AreMadeUpForOnTheDayThatEveryMorningBeforeNames) {
  const Missed& c = GetParam();
  for (int after = 1; c.weekday + after < 7; ++after) {
    const DayCall call = after_missing(c.pattern, c.weekday, after);
    const std::string text = about_missed(call, c.lifts);
    if (c.made_up_on < 0) {
      if (after > 3) return;  // Friday is the next heavy day
      EXPECT_THAT(text, HasSubstr("let them go")) << after;
      EXPECT_FALSE(does_it_today(call, c.lift, text)) << after;
      continue;
    }
    if (c.weekday + after == c.made_up_on) {
      EXPECT_TRUE(does_it_today(call, c.lift, text)) << text;
      return;
    }
    EXPECT_FALSE(does_it_today(call, c.lift, text)) << after << text;
    EXPECT_THAT(text, HasSubstr(fmt::format("{} is the day for them", weekday_name(k_monday + Days{c.made_up_on}))));
  }
}

INSTANTIATE_TEST_SUITE_P(Weeks, MissedDays,
                         ::testing::Values(Missed{"SpeedDayGivesWay", heavy_speed_volume(), 0, "squat", "squats", 2},
                                           Missed{"ADayOfOtherWorkHasRoom", four_days(), 0, "squat", "squats", 1},
                                           Missed{"OtherLiftsVolumeGivesWay", four_days(), 3, "deadlift", "deadlifts",
                                                  5},
                                           Missed{"TheNextOnesAreNear", twice_heavy(), 0, "squat", "squats", -1}),
                         [](const auto& one) { return one.param.name; });

TEST(MissedDay, SaysThatTheNextOnesComeWhenItIsLetGo) {
  EXPECT_THAT(about_missed(after_missing(twice_heavy(), 0, 1), "squats"),
              HasSubstr("the last ones are only 4 days back: let them go this week; the next are on Friday."));
}

TEST(MissedDay, WithoutACheckWaitsForTheMorning) {
  const DayCall call = after_missing(heavy_speed_volume(), 0, 2, false);
  EXPECT_EQ(call.calls.at(0).actions, std::vector{Action::run_as_planned});
  EXPECT_THAT(about_missed(call, "squats"), HasSubstr("today is the day for them in place of the speed work, which is "
                                                      "what drops out, if the morning check holds nothing against it"));
}

TEST(MissedDay, NamesTheDaysThatHaveNoRoomForIt) {
  EXPECT_THAT(about_missed(after_missing(four_days(), 0, 2), "squats"),
              HasSubstr("Saturday is the day for them in place of the volume work, which is what drops out. Not on "
                        "Thursday: heavy work needs two days between."));
}

/// Friday's heavy squats of last week, with Friday's of this week ahead: Monday leaves four days to them, Wednesday
/// two.
TEST(MissedDay, OfLastWeekKeepsADayMoreToTheHeavyDayOfThisOne) {
  const DayCall monday = after_missing(volume_speed_heavy(), 4, 3);
  EXPECT_EQ(monday.calls.at(0).actions, std::vector{Action::swap_to_heavy});
  const DayCall wednesday = after_missing(volume_speed_heavy(), 4, 5);
  EXPECT_EQ(wednesday.calls.at(0).actions, std::vector{Action::run_as_planned});
  EXPECT_THAT(about_missed(wednesday, "squats"), HasSubstr("let them go"));
}

// ---------------------------------------------------------------------------------------------- what closes it
/// Two days after Monday's heavy squats were missed, the speed day, with something else to heed.
struct Heeded {
  explicit Heeded(OffReason reason = OffReason::missed)
      : builder(heavy_speed_volume(), k_monday + Days{86}, 12), morning(builder.usual_morning()) {
    const Day missed = k_monday + Days{84};
    auto& log = builder.log();
    log.days_off.push_back({.athlete = "ada", .from = missed, .to = missed, .reason = reason});
    std::erase_if(log.sessions, [&](const Session& s) { return s.date == missed; });
    std::erase_if(log.sets, [&](const SetRow& s) { return s.date == missed; });
  }
  /// No sentence and no call names heavy squats for a day, and the days ahead do not hold more of them than the plan.
  void expect_nothing_heavier() {
    for (const bool with_check : {true, false}) {
      const AthleteLog log = with_check ? builder.with(morning) : builder.log();
      const DayCall call = call_for(log, builder.today(), shipped_models());
      EXPECT_EQ(about_missed(call, "squats"), "") << with_check;
      EXPECT_NE(call.calls.at(0).call.kind, DayKind::heavy) << with_check;
      for (const AheadDay& day : look_ahead(log, builder.today(), call, shipped_models()).days) {
        for (const AheadLift& lift : day.lifts)
          EXPECT_FALSE(lift.lift == "squat" && lift.work.kind == DayKind::heavy && lift.planned != DayKind::heavy)
              << format_day(day.date);
      }
    }
  }
  LogBuilder builder;
  Check morning;
};

TEST(MissedDay, IsNotMadeUpForAgainstWhatIsKnown) {
  Heeded nothing;
  EXPECT_EQ(call_for(nothing.builder.with(nothing.morning), nothing.builder.today(), shipped_models()).calls[0].actions,
            std::vector{Action::swap_to_heavy})
      << "with nothing to heed it is";
  Heeded knee;
  knee.builder.log().checks.back().pain = {{"knee-right", 6, PainKind::sharp}};
  knee.expect_nothing_heavier();
  Heeded fever;
  fever.builder.log().checks.back().symptoms = {"fever"};
  fever.expect_nothing_heavier();
  Heeded young;
  young.builder.log().athlete.birth_year = 2026 - 14;
  young.expect_nothing_heavier();
  Heeded ill(OffReason::illness);
  ill.expect_nothing_heavier();
}

/// Masters: 72 h (models/limits.toml [spacing]) for what the program moves; Wednesday has 48 to Friday's deadlifts.
TEST(MissedDay, OfAnOlderLifterNeedsThreeDays) {
  Heeded older;
  older.builder.log().athlete.birth_year = 2026 - 67;
  const DayCall call = call_for(older.builder.with(older.morning), older.builder.today(), shipped_models());
  EXPECT_EQ(call.calls.at(0).actions, std::vector{Action::run_as_planned});
}

}  // namespace
}  // namespace steelyard::decide
