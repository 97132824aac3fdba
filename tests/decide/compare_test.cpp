/// The options side by side. The lifter is the invented one of limit_case.hpp; that more work before a heavy day leaves less
/// strength for it is the sign of the prior in models/response.toml (tiredness: Banister et al. 1975).
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "decide/limit_case.hpp"
#include "steelyard/learn/learner.hpp"

namespace steelyard::decide {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;

struct Learned {
  explicit Learned(const AthleteLog& log) : learner(*learn::Learner::make(shipped_models())) {
    learn::LearnedState state = learner.start();
    learner.walk(log, k_heavy_day - Days{1}, state);
    today = learner.today(log, k_heavy_day, std::move(state));
  }
  learn::Learner learner;
  learn::Today today;
};

TEST(Compare, ForecastsAHeavyDayToComeByWhatIsDoneUntilThen) {
  Case c;
  c.morning.sleep_hours = 3;  // so that the call is lighter and the heavy day would move
  c.morning.fatigue = 7;
  c.morning.mood = 1;
  const AthleteLog log = c.builder.with(c.morning);
  const Learned learned(log);
  ASSERT_TRUE(learned.today.find("squat") != nullptr && learned.today.find("squat")->ahead);
  const auto on_wednesday = [&](const AthleteLog& some) {
    const auto options = compare(some, k_heavy_day, "squat", shipped_models(), &learned.today).options;
    const auto found = std::find_if(options.begin(), options.end(),
                                    [](const Option& o) { return o.heavy_on == k_heavy_day + Days{2}; });
    EXPECT_NE(found, options.end());
    return found == options.end() ? Option{} : *found;
  };
  const Option light = on_wednesday(log);
  ASSERT_TRUE(light.expected_percent && light.cap_chance);
  EXPECT_LT(*light.expected_low80, *light.expected_percent);
  EXPECT_LT(*light.expected_percent, *light.expected_high80);
  AthleteLog more = log;
  const auto later =
      std::find_if(more.plan.begin(), more.plan.end(), [](const auto& row) { return row.date > k_heavy_day; });
  more.plan.insert(later, {.athlete = "ada",
                           .date = k_heavy_day + Days{1},
                           .lift = "deadlift",
                           .kind = DayKind::volume,
                           .sets = 6,
                           .reps = 8,
                           .percent = 70});
  const Option tired = on_wednesday(more);
  ASSERT_TRUE(tired.expected_percent && tired.cap_chance);
  EXPECT_LT(*tired.expected_percent, *light.expected_percent);
  EXPECT_GE(*tired.cap_chance, *light.cap_chance);
}

TEST(Compare, SaysWhatATrimmedDayLoses) {
  Case c;
  c.morning.sleep_hours = 5;
  c.morning.fatigue = 6;  // two signals: about 60 % of the repetitions (models/limits.toml [agreement])
  const auto options = compare(c.builder.with(c.morning), k_heavy_day, "squat", shipped_models()).options;
  const auto chosen = std::find_if(options.begin(), options.end(), [](const Option& o) { return o.chosen; });
  ASSERT_NE(chosen, options.end());
  ASSERT_LT(chosen->today.sets * chosen->today.reps, 12);
  EXPECT_THAT(chosen->loses,
              Contains(std::to_string(12 - chosen->today.sets * chosen->today.reps) + " of 12 repetitions"));
}

TEST(Compare, HasNothingToSayOfADayWithoutPlan) {
  Case c(k_heavy_day + Days{1});
  const AthleteLog log = c.builder.with(c.morning);
  const auto any = compare(log, k_heavy_day + Days{1}, std::nullopt, shipped_models());
  EXPECT_TRUE(any.options.empty());
  EXPECT_THAT(any.say, Contains(HasSubstr("Nothing is planned today")));
  const auto squat = compare(log, k_heavy_day + Days{1}, "squat", shipped_models());
  EXPECT_EQ(squat.lift, "squat");
  EXPECT_THAT(squat.say, Contains(HasSubstr("No squats are planned today")));
}

}  // namespace
}  // namespace steelyard::decide
