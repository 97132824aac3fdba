#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "params/shipped_models.hpp"
#include "steelyard/domain/vocabulary.hpp"

namespace steelyard {
namespace {

using ::testing::Contains;
using ::testing::Not;
using testing::shipped_models;

const LiftModel& lift(std::string_view name) {
  const LiftModel* found = shipped_models().lifts.find(name);
  EXPECT_NE(found, nullptr) << name;
  static const LiftModel none;
  return found == nullptr ? none : *found;
}

TEST(Lifts, AreTheOnesThatLiftersTrain) {
  for (const auto* name : {"squat",
                           "front-squat",
                           "high-bar-squat",
                           "paused-squat",
                           "tempo-squat",
                           "box-squat",
                           "split-squat",
                           "leg-press",
                           "deadlift",
                           "romanian-deadlift",
                           "deficit-deadlift",
                           "bench",
                           "close-grip-bench",
                           "paused-bench",
                           "incline-bench",
                           "overhead-press",
                           "dip",
                           "row",
                           "pulldown",
                           "pull-up",
                           "curl",
                           "triceps-extension",
                           "leg-curl",
                           "leg-extension",
                           "lunge",
                           "good-morning",
                           "back-extension",
                           "hip-thrust",
                           "calf-raise"}) {
    EXPECT_EQ(lift(name).lift, name);
  }
}

TEST(Lifts, AreFoundByGymWords) {
  EXPECT_EQ(lift("sq").lift, "squat");
  EXPECT_EQ(lift("dl").lift, "deadlift");
  EXPECT_EQ(lift("bp").lift, "bench");
  EXPECT_EQ(lift("ohp").lift, "overhead-press");
  EXPECT_EQ(lift("rdl").lift, "romanian-deadlift");
  EXPECT_EQ(shipped_models().lifts.find("no-such-lift"), nullptr);
}

// A unit or a scale in a line of shorthand must never be read as a lift.
TEST(Lifts, LeaveTheWordsOfUnitsAlone) {
  for (const auto* word : {"kg", "kgs", "lb", "lbs", "rpe", "min", "minutes", "x", "rest", "bar", "percent", "tm"}) {
    EXPECT_EQ(shipped_models().lifts.find(word), nullptr) << word;
  }
}

TEST(Lifts, UseOnlyRegionsOfTheVocabulary) {
  const auto known = sore_regions();
  for (const auto& l : shipped_models().lifts.lifts) {
    for (const auto* list : {&l.movers, &l.support, &l.joints}) {
      for (const auto& region : *list) {
        EXPECT_NE(std::find(known.begin(), known.end(), region), known.end()) << l.lift << " " << region;
      }
    }
  }
}

TEST(Lifts, CloseSomewhereForEveryPainSite) {
  for (const auto site : pain_sites()) {
    const std::string region(region_of(site));
    const auto& lifts = shipped_models().lifts.lifts;
    EXPECT_TRUE(std::any_of(lifts.begin(), lifts.end(), [&](const LiftModel& l) {
      return std::count(l.joints.begin(), l.joints.end(), region) +
                 std::count(l.movers.begin(), l.movers.end(), region) >
             0;
    })) << site;
  }
}

// Common practice: heavy pulls the day before show in hamstrings, glutes and low back and must be seen by the squats.
TEST(Lifts, ShareTheGlutesBetweenSquatAndDeadlift) {
  EXPECT_THAT(lift("squat").movers, Contains("glutes"));
  EXPECT_THAT(lift("squat").movers, Contains("quads"));
  EXPECT_THAT(lift("deadlift").movers, Contains("glutes"));
  EXPECT_THAT(lift("squat").movers, Not(Contains("upper-back")));  // sore upper back: adjust, seldom cancel
  EXPECT_THAT(lift("bench").movers, Not(Contains("quads")));
}

// Common practice: knee pain closes squats and other loaded knee bends, and leaves the pressing alone.
TEST(Lifts, ClosedByKneePainAreTheKneeBends) {
  for (const auto* name : {"squat", "front-squat", "leg-press", "split-squat", "lunge", "leg-extension"}) {
    EXPECT_THAT(lift(name).joints, Contains("knees")) << name;
  }
  for (const auto* name : {"bench", "row", "pulldown", "curl", "overhead-press"}) {
    EXPECT_THAT(lift(name).joints, Not(Contains("knees"))) << name;
  }
}

TEST(Lifts, KeepSquatAndDeadliftInOneSpacingGroup) {
  for (const auto* name : {"squat", "front-squat", "high-bar-squat", "paused-squat", "deadlift", "deficit-deadlift"}) {
    EXPECT_EQ(lift(name).spacing_group, "squat-deadlift") << name;
  }
  EXPECT_EQ(lift("bench").spacing_group, lift("close-grip-bench").spacing_group);
  EXPECT_NE(lift("bench").spacing_group, lift("squat").spacing_group);
}

TEST(Lifts, GiveVariantsAShareOfTheirParent) {
  EXPECT_EQ(lift("front-squat").variant_of, "squat");
  EXPECT_DOUBLE_EQ(lift("front-squat").variant_share, 0.85);  // common practice
  for (const auto& l : shipped_models().lifts.lifts) {
    if (l.variant_of.empty()) continue;
    EXPECT_TRUE(lift(l.variant_of).variant_of.empty()) << l.lift << ": shares are not chained";
    EXPECT_LE(l.variant_share, 1) << l.lift;
  }
}

// A chain of variants would need a share of a share, and one that goes round has no end.
TEST(Lifts, AreVariantsOfALiftThatIsNone) {
  const auto with_parent = [](const std::string& lift, const std::string& parent) {
    return load_models(testing::shipped_files(),
                       {{.file = "lifts.toml",
                         .shown = "lifts.toml",
                         .text = "[[lift]]\nlift = \"" + lift + "\"\nsay = \"lifts\"\nmovers = [\"quads\"]\n" +
                                 "variant_of = \"" + parent + "\"\n"}});
  };
  EXPECT_TRUE(with_parent("zercher-squat", "squat"));
  const auto chained = with_parent("zercher-squat", "front-squat");
  ASSERT_FALSE(chained);
  EXPECT_THAT(chained.error().what, ::testing::HasSubstr("variant_of"));
  EXPECT_THAT(chained.error().what, ::testing::HasSubstr("front-squat"));
  EXPECT_FALSE(with_parent("squat", "front-squat")) << "which is a variant of the squat";
}

TEST(Lifts, HaveASentenceAndAWarmUpForTheMainOnes) {
  for (const auto& l : shipped_models().lifts.lifts) {
    EXPECT_FALSE(l.say.empty()) << l.lift;
    EXPECT_GE(l.warmup.size(), l.main ? 2U : 1U) << l.lift;
  }
  EXPECT_THAT(lift("squat").warmup.back(), ::testing::HasSubstr("upper back"));
}

// By hand, mover 1 and support 0.5: squat (quads 1, glutes 1, hamstrings .5, low back .5, upper back .5), deadlift
// (hamstrings 1, glutes 1, low back 1, quads .5, upper back .5): 2.75 / sqrt(2.75 x 3.5) = 0.88641; bench (chest 1,
// shoulders 1, upper back .5) and squat: 0.25 / sqrt(2.25 x 2.75) = 0.10050; curl and squat have nothing in common.
TEST(Overlap, IsTheCosineOfTheRegionVectors) {
  const auto& lifts = shipped_models().lifts;
  EXPECT_NEAR(lifts.overlap("squat", "deadlift"), 0.88641, 5e-6);
  EXPECT_NEAR(lifts.overlap("squat", "bench"), 0.10050, 5e-6);
  EXPECT_EQ(lifts.overlap("squat", "curl"), 0);
}

TEST(Overlap, IsSymmetricOneWithItselfAndZeroForTheUnknown) {
  const auto& lifts = shipped_models().lifts;
  for (const auto& a : lifts.lifts) {
    EXPECT_NEAR(lifts.overlap(a.lift, a.lift), 1, 1e-12) << a.lift;
    for (const auto& b : lifts.lifts) {
      EXPECT_EQ(lifts.overlap(a.lift, b.lift), lifts.overlap(b.lift, a.lift));
      EXPECT_LE(lifts.overlap(a.lift, b.lift), 1 + 1e-12);
    }
  }
  EXPECT_EQ(lifts.overlap("squat", "no-such-lift"), 0);
  EXPECT_EQ(lifts.overlap("no-such-lift", "no-such-lift"), 0);
}

// IPF rules, Bar and Discs: discs of 1.25 to 25 kg; IWF: bar of 20 kg.
TEST(Gear, IsAPowerliftingSet) {
  const auto& gear = shipped_models().lifts.gear;
  EXPECT_EQ(gear.bar_kg, 20);
  EXPECT_THAT(gear.plates_kg, ::testing::ElementsAre(25, 20, 15, 10, 5, 2.5, 1.25));
}

// A bar of 45 lb is 20.41 kg; common practice of gyms that reckon in pounds.
TEST(Gear, OfThePoundsIsWhatSuchGymsHave) {
  const auto& gear = shipped_models().lifts.gear_lb;
  EXPECT_EQ(gear.bar_lb, 45);
  EXPECT_THAT(gear.plates_lb, ::testing::ElementsAre(45, 35, 25, 10, 5, 2.5));
}

TEST(Mobility, HasAnAnswerForEveryRegion) {
  for (const auto region : sore_regions()) EXPECT_TRUE(shipped_models().lifts.mobility.contains(std::string(region)));
  EXPECT_EQ(shipped_models().lifts.mobility.size(), sore_regions().size());
}

}  // namespace
}  // namespace steelyard
