#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "params/never_said.hpp"
#include "params/shipped_models.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"

namespace steelyard {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using testing::shipped_models;
using ::testing::StartsWith;
using ::testing::UnorderedElementsAre;

const CautionsModel& cautions() {
  return shipped_models().cautions;
}

std::string with_emergency(std::string text) {
  for (auto at = text.find("{emergency}"); at != std::string::npos; at = text.find("{emergency}")) {
    text.replace(at, std::string("{emergency}").size(), cautions().emergency_number);
  }
  return text;
}

/// Everything of the files that a person may read.
std::vector<std::string> all_texts() {
  std::vector<std::string> texts;
  for (const auto& s : cautions().signs) texts.push_back("You entered " + s.what + ". " + with_emergency(s.say));
  for (const auto& [name, text] : cautions().texts) texts.push_back(with_emergency(text));
  for (const auto& step : shipped_models().limits.comeback.steps) texts.push_back(step.say);
  for (const auto& [region, text] : shipped_models().lifts.mobility) texts.push_back(text);
  for (const auto& lift : shipped_models().lifts.lifts) {
    texts.push_back(lift.say);
    texts.insert(texts.end(), lift.warmup.begin(), lift.warmup.end());
  }
  return texts;
}

const SignModel& sign(std::string_view id) {
  const auto found =
      std::find_if(cautions().signs.begin(), cautions().signs.end(), [&](const auto& s) { return s.id == id; });
  EXPECT_NE(found, cautions().signs.end()) << id;
  static const SignModel none;
  return found == cautions().signs.end() ? none : *found;
}

/// The sign that one code raises by itself.
const SignModel* sign_of(std::string_view code) {
  for (const auto& s : cautions().signs) {
    if (s.together.empty() && std::find(s.symptoms.begin(), s.symptoms.end(), code) != s.symptoms.end()) return &s;
  }
  return nullptr;
}

/// Where a phrase stands in a note as whole words.
std::size_t place_of(const std::string& note, const std::string& phrase) {
  const auto is_word = [](char c) { return std::isalnum(static_cast<unsigned char>(c)) != 0; };
  for (auto at = note.find(phrase); at != std::string::npos; at = note.find(phrase, at + 1)) {
    const auto end = at + phrase.size();
    if ((at == 0 || !is_word(note[at - 1])) && (end == note.size() || !is_word(note[end]))) return at;
  }
  return std::string::npos;
}

/// Ids of the signs in a note; a phrase inside a longer one does not count.
std::set<std::string> signs_in(const std::string& note) {
  std::vector<std::string> all = cautions().harmless;
  for (const auto& s : cautions().signs) all.insert(all.end(), s.words.begin(), s.words.end());
  std::set<std::string> found;
  for (const auto& s : cautions().signs) {
    for (const auto& phrase : s.words) {
      if (place_of(note, phrase) == std::string::npos) continue;
      const bool inside = std::any_of(all.begin(), all.end(), [&](const auto& longer) {
        return longer.size() > phrase.size() && longer.find(phrase) != std::string::npos &&
               place_of(note, longer) != std::string::npos;
      });
      if (!inside) found.insert(s.id);
    }
  }
  return found;
}

// No diagnosis, no promise, no probability, no bravado: words that no text for a lifter may hold (common practice).
TEST(Texts, HoldNoWordThatDiagnosesPromisesOrGoads) {
  for (const auto& text : all_texts()) {
    const std::string lower = to_lower(text);
    for (const auto word : testing::k_never_said) {
      EXPECT_EQ(lower.find(word), std::string::npos) << word << " in: " << text;
    }
    for (const auto* word :
         {"stroke", "fracture", "sprain", "clot", "thrombosis", "no risk", "fine to train", "overdid", "probably"}) {
      EXPECT_EQ(lower.find(word), std::string::npos) << word << " in: " << text;
    }
    for (std::string_view word : split_words(lower)) {
      while (!word.empty() && (word.back() == '.' || word.back() == ',')) word.remove_suffix(1);
      EXPECT_NE(word, "safe") << text;
    }
  }
}

TEST(Texts, ArePlainAsciiWithoutExclamation) {
  for (const auto& text : all_texts()) {
    EXPECT_EQ(text.find('!'), std::string::npos) << text;
    EXPECT_TRUE(std::all_of(text.begin(), text.end(), [](char c) { return c >= ' ' && c <= '~'; })) << text;
  }
}

TEST(Texts, EndAsSentences) {
  for (const auto& s : cautions().signs) EXPECT_EQ(s.say.back(), '.') << s.id;
  for (const auto& [name, text] : cautions().texts) EXPECT_EQ(text.back(), '.') << name;
}

// 238 words a minute in silent reading (Brysbaert 2019, from memory): 20 words are read in 5 s.
TEST(Texts, OfSignsSayWhatToDoWithinFiveSeconds) {
  for (const auto& s : cautions().signs) {
    const auto second = s.say.find(". ", s.say.find(". ") + 1);
    EXPECT_LE(split_words(s.say.substr(0, second)).size(), 20U) << s.id;
    EXPECT_LE(split_words(s.say).size(), 36U) << s.id;
  }
}

TEST(Signs, CoverEverySymptomCodeByItself) {
  for (const auto code : symptom_codes()) EXPECT_NE(sign_of(code), nullptr) << code;
}

// Readers that look a code up take the first sign that names it.
TEST(Signs, ThatNeedSeveralCodesComeLast) {
  const auto& signs = cautions().signs;
  EXPECT_TRUE(std::is_partitioned(signs.begin(), signs.end(), [](const auto& s) { return s.together.empty(); }));
}

TEST(Signs, HaveUniqueNames) {
  std::set<std::string> ids;
  for (const auto& s : cautions().signs) EXPECT_TRUE(ids.insert(s.id).second) << s.id;
}

// Grades as published cautions and common practice give them; when in doubt the more urgent one.
TEST(Signs, HaveTheirGradeOfUrgency) {
  const auto expect = [](Urgency urgency, std::initializer_list<const char*> codes) {
    for (const auto* code : codes) {
      ASSERT_NE(sign_of(code), nullptr) << code;
      EXPECT_EQ(sign_of(code)->urgency, urgency) << code;
    }
  };
  expect(Urgency::now, {"chest-pressure", "fainted", "numb-saddle", "bladder-change", "sudden-weakness",
                        "speech-trouble", "worst-headache", "breathless-at-rest"});
  expect(Urgency::today,
         {"dark-urine", "near-faint-exertion", "dizzy", "hot-swollen-calf", "deformity", "cannot-bear-weight",
          "leg-weakness", "numb-limb", "head-knock", "palpitations", "breathless-in-effort", "arm-pain"});
  expect(Urgency::soon, {"swelling", "locking", "giving-way", "night-pain", "limping"});
  expect(Urgency::watch, {"fever", "aching-all-over", "chest-cold", "stomach", "vomiting", "diarrhoea", "sore-throat",
                          "runny-nose", "cough"});
}

// Eichner 1993, from memory: below the neck or with fever no training, above the neck easy work at most.
TEST(Signs, RestOnlyForIllnessBelowTheNeck) {
  for (const auto* code : {"fever", "aching-all-over", "chest-cold", "stomach", "vomiting", "diarrhoea"}) {
    EXPECT_TRUE(sign_of(code)->rest_only) << code;
    EXPECT_THAT(sign_of(code)->say, StartsWith("No training today")) << code;
  }
  for (const auto* code : {"sore-throat", "runny-nose", "cough"}) EXPECT_FALSE(sign_of(code)->rest_only) << code;
  EXPECT_THAT(sign("head-cold").say, HasSubstr("fever"));
}

TEST(Signs, SpellOutWhatToDoAtOnce) {
  for (const auto& s : cautions().signs) {
    if (s.urgency == Urgency::now) {
      EXPECT_THAT(s.say, StartsWith("Stop.")) << s.id;
      EXPECT_THAT(s.say, HasSubstr("Call {emergency} or go to an emergency department now. Do not drive yourself."))
          << s.id;
    }
    if (s.urgency == Urgency::today) {
      EXPECT_THAT(s.say, StartsWith("Do not train")) << s.id;
      EXPECT_THAT(s.say, HasSubstr("Speak to a doctor today")) << s.id;
      EXPECT_THAT(s.say, ::testing::AnyOf(HasSubstr("{emergency}"), HasSubstr("emergency department"))) << s.id;
    }
    if (s.urgency == Urgency::soon) {
      EXPECT_THAT(s.say, HasSubstr("doctor or physiotherapist")) << s.id;
    }
  }
  EXPECT_THAT(sign("chest-pressure").say, HasSubstr("Sit down, do not stay alone."));
  EXPECT_EQ(cautions().emergency_number, "your local emergency number");
}

TEST(Signs, HearWhatPeopleWrite) {
  EXPECT_THAT(signs_in("vision went black in the second work set, sat down"), ElementsAre("near-faint-exertion"));
  EXPECT_THAT(signs_in("passed out after the third set"), ElementsAre("fainted"));
  EXPECT_THAT(signs_in("nearly passed out after the third set"), ElementsAre("near-faint-exertion"));
  EXPECT_THAT(signs_in("pressure in my chest on the stairs"), ElementsAre("chest-pressure"));
  EXPECT_THAT(signs_in("feels numb between the legs since yesterday"), ElementsAre("numb-saddle"));
  EXPECT_THAT(signs_in("urine the colour of cola, arms hurt a lot"), ElementsAre("dark-urine"));
  EXPECT_THAT(signs_in("brown urine this morning"), ElementsAre("dark-urine"));
  EXPECT_THAT(signs_in("hit my head on the rack, now vomited all night"),
              UnorderedElementsAre("head-knock", "stomach"));
  EXPECT_THAT(signs_in("left leg is numb and i can't lift my foot"), UnorderedElementsAre("numb-limb", "leg-weakness"));
  EXPECT_THAT(signs_in("cold with fever"), ElementsAre("fever"));
}

TEST(Signs, StaySilentOnOrdinaryGymTalk) {
  for (const auto* note : {"chest day",
                           "chest is sore from dips",
                           "tight hamstrings",
                           "chocolate milk and a cola after training",
                           "hay fever again",
                           "legs felt weak today",
                           "squat form collapsed on rep five",
                           "grip gave way on the last pull",
                           "knees locked at the top",
                           "left leg weaker than right",
                           "heart was racing after the last set of twenty",
                           "out of breath after 20 reps",
                           "baby woke me at night",
                           "dead tired",
                           "arms are dead",
                           "numb from boredom",
                           "popped in late",
                           "killed it today",
                           "no point testing a max",
                           "felt a bit off",
                           "my back pump is insane",
                           "blacked the bar with chalk",
                           "high on coffee",
                           "cold gym",
                           "hurt my pride",
                           "felt like death after leg day",
                           "cramp in the calf",
                           "can't wait for friday",
                           "couldn't walk after leg day",
                           "weight felt heavy"}) {
    EXPECT_THAT(signs_in(note), IsEmpty()) << note;
    for (const auto& phrase : cautions().distress_words) EXPECT_EQ(place_of(note, phrase), std::string::npos) << note;
  }
}

TEST(Distress, HearsWhatPeopleWrite) {
  for (const auto* note : {"i cannot cope any more", "feeling hopeless since monday", "i want to die",
                           "sometimes i want to hurt myself", "they would be better off without me"}) {
    EXPECT_TRUE(std::any_of(cautions().distress_words.begin(), cautions().distress_words.end(),
                            [&](const auto& phrase) { return place_of(note, phrase) != std::string::npos; }))
        << note;
  }
  EXPECT_THAT(cautions().texts.at("distress"), HasSubstr("{emergency}"));
  EXPECT_THAT(cautions().texts.at("distress-coach"), HasSubstr("privately"));
}

TEST(Texts, CarryTheSentencesThatEveryCautionNeeds) {
  const auto& texts = cautions().texts;
  EXPECT_EQ(texts.size(), k_caution_texts.size());
  EXPECT_THAT(texts.at("pain-soon"), HasSubstr("swells, locks, gives way, goes numb or wakes you at night"));
  EXPECT_THAT(texts.at("pain-lighter"), HasSubstr("not above 3 of 10"));
  EXPECT_THAT(texts.at("pain-watch"), HasSubstr("at 3 of 10 or below"));
  EXPECT_THAT(texts.at("pain-head"), HasSubstr("Speak to a doctor today"));
  EXPECT_THAT(texts.at("long-layoff"), HasSubstr("dark urine"));
  EXPECT_THAT(texts.at("clearance"), HasSubstr("until a licensed practitioner has cleared you"));
  EXPECT_THAT(texts.at("minors"), HasSubstr("parent or guardian"));
  EXPECT_THAT(texts.at("ratio"), HasSubstr("does not predict injury"));
  EXPECT_THAT(texts.at("hierarchy"), HasSubstr("outrank this tool"));
}

}  // namespace
}  // namespace steelyard
