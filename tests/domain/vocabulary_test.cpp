#include "steelyard/domain/vocabulary.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "steelyard/base/text.hpp"

namespace steelyard {
namespace {

std::string joined(std::span<const std::string_view> words) {
  std::string text;
  for (const auto w : words) text += text.empty() ? std::string(w) : " " + std::string(w);
  return text;
}

// The closed lists of the contract, "Files".
TEST(WordsOf, AreThoseOfTheContract) {
  EXPECT_EQ(joined(words_of<Unit>()), "kg lb");
  EXPECT_EQ(joined(words_of<DayKind>()), "heavy volume speed light rest sport other");
  EXPECT_EQ(joined(words_of<OffReason>()), "planned holiday illness injury travel match missed");
  EXPECT_EQ(joined(words_of<Intent>()), "hard easy ramp camp taper");
  EXPECT_EQ(joined(words_of<PainKind>()), "dull sharp numb pressure burning radiating");
  EXPECT_EQ(joined(words_of<ClearedBy>()), "practitioner mistake");
  EXPECT_EQ(joined(words_of<RecordKind>()), "athletes maxes plan periods days-off sessions sets checks bar clearances");
}

TEST(SymptomCodes, AreThoseOfTheContract) {
  EXPECT_EQ(
      joined(symptom_codes()),
      "chest-pressure arm-pain dizzy fainted near-faint-exertion numb-limb numb-saddle bladder-change dark-urine "
      "swelling locking giving-way night-pain fever aching-all-over sore-throat runny-nose chest-cold stomach "
      "head-knock breathless-at-rest breathless-in-effort leg-weakness sudden-weakness speech-trouble "
      "worst-headache palpitations deformity cannot-bear-weight hot-swollen-calf limping vomiting diarrhoea cough");
}

TEST(SoreRegions, AreThoseOfTheContract) {
  EXPECT_EQ(joined(sore_regions()),
            "calves knees quads hamstrings hips glutes low-back upper-back chest shoulders elbows wrists neck");
  EXPECT_EQ(joined(default_share()), "load checks pain stops distress-flag");
}

TEST(PainSites, HoldEveryRegionAndTheSitesOfTheContract) {
  const auto sites = pain_sites();
  const auto has = [&](std::string_view site) { return std::find(sites.begin(), sites.end(), site) != sites.end(); };
  for (const auto region : sore_regions()) EXPECT_TRUE(has(region)) << region;
  for (const auto site :
       split_words("knee quad hamstring hip glute shoulder elbow wrist calf shin ankle foot groin thigh "
                   "rib abdomen forearm hand head jaw back")) {
    EXPECT_TRUE(has(site)) << site;
  }
  const auto regions = sore_regions();
  for (const auto site : sites) {
    EXPECT_NE(std::find(regions.begin(), regions.end(), region_of(site)), regions.end()) << site;
  }
}

TEST(FromWord, IsTheInverseOfWord) {
  for (const auto text : words_of<DayKind>()) EXPECT_EQ(word(from_word<DayKind>(text).value()), text);
  EXPECT_FALSE(from_word<DayKind>("Heavy"));
  EXPECT_FALSE(from_word<DayKind>(""));
}

TEST(SplitSide, TakesASideOnlyFromTheEnd) {
  EXPECT_EQ(split_side("knee-right").site, "knee");
  EXPECT_EQ(split_side("knee-right").side, "right");
  EXPECT_EQ(split_side("upper-back-left").site, "upper-back");
  EXPECT_EQ(split_side("low-back").site, "low-back");
  EXPECT_EQ(split_side("low-back").side, "");
  EXPECT_EQ(split_side("left").site, "left");
  EXPECT_EQ(split_side("-left").site, "-left");
}

TEST(SpokenSite, PutsTheSideInFront) {
  EXPECT_EQ(spoken_site("knee-right"), "right knee");
  EXPECT_EQ(spoken_site("upper-back"), "upper back");
  EXPECT_EQ(spoken_lift("split-squat"), "split squat");
}

TEST(RegionOf, KnowsSingularPluralAndNeighbours) {
  EXPECT_EQ(region_of("knee-right"), "knees");
  EXPECT_EQ(region_of("knees"), "knees");
  EXPECT_EQ(region_of("groin"), "hips");
  EXPECT_EQ(region_of("shin-left"), "calves");
  EXPECT_EQ(region_of("moon"), "");
}

TEST(AthleteCode, HasItsLetters) {
  EXPECT_TRUE(is_athlete_code("A-b_3.x"));
  EXPECT_TRUE(is_athlete_code(std::string(64, 'a')));
  for (const auto& bad :
       {std::string(), std::string(65, 'a'), std::string("an na"), std::string("a/b"), std::string("\xC3\xA4")}) {
    EXPECT_FALSE(is_athlete_code(bad)) << bad;
  }
}

TEST(LiftCode, WritesBlanksAndCapitalsAsTheCodeDoes) {
  EXPECT_EQ(lift_code(" Front Squat "), "front-squat");
  EXPECT_EQ(lift_code("romanian_deadlift"), "romanian-deadlift");
  EXPECT_EQ(lift_code("squat+"), "");
  EXPECT_EQ(lift_code("\xC3\x9C"), "");
  EXPECT_EQ(lift_code(std::string(65, 'a')), "");
  EXPECT_EQ(lift_code(""), "");
}

}  // namespace
}  // namespace steelyard
