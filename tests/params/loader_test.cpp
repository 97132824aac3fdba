#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

#include "params/shipped_models.hpp"

namespace steelyard {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using testing::shipped_file;
using testing::shipped_files;
using testing::shipped_models;

ModelFile own(std::string file, std::string text) {
  std::string shown = "mine/" + file;
  return {.file = std::move(file), .shown = std::move(shown), .text = std::move(text)};
}

/// The shipped models with one override.
Result<Models> with(std::string file, std::string text) {
  return load_models(shipped_files(), {own(std::move(file), std::move(text))});
}

/// The whole message of the error.
std::string message(const Result<Models>& result) {
  return result ? "no error" : result.error().text();
}

std::string refusal(std::string file, std::string text) {
  return message(with(std::move(file), std::move(text)));
}

/// The shipped files with `from` replaced by `to` in one of them.
std::string refusal_of_shipped(std::string_view file, std::string_view from, std::string_view to) {
  auto files = shipped_files();
  for (ModelFile& f : files) {
    if (f.file != file) continue;
    const auto at = f.text.find(from);
    EXPECT_NE(at, std::string::npos) << from;
    f.text.replace(at, from.size(), to);
  }
  return message(load_models(files, {}));
}

/// "load.toml:9", where the text stands in the shipped file.
std::string place_of(std::string_view file, std::string_view text) {
  const std::string all = shipped_file(file).text;
  const auto end = all.begin() + static_cast<std::ptrdiff_t>(all.find(text));
  return std::string(file) + ":" + std::to_string(1 + std::count(all.begin(), end, '\n'));
}

TEST(LoadModels, NamesAnUnknownKeyWithItsNearest) {
  EXPECT_EQ(refusal("load.toml", "[monotony]\nds = \"population\"\n"),
            "mine/load.toml:2:1: 'ds' in [monotony] is not a known key; nearest: 'sd'; allowed: alike, sd, source");
  EXPECT_EQ(refusal("strength.toml", "\n  [rep-max]\n"),
            "mine/strength.toml:2:4: 'rep-max' is not a known key; nearest: 'rep_max'; allowed: date, error, format, "
            "handbook, name, recent, rep_max, training_max");
  EXPECT_EQ(
      refusal("strength.toml", "[recent]\nxyz = 1\n"),
      "mine/strength.toml:2:1: 'xyz' in [recent] is not a known key; allowed: least_sd, least_sessions, sessions, "
      "source, weeks");
}

TEST(LoadModels, PrefersTheMisspeltKeyOverTheMissingOne) {
  EXPECT_EQ(refusal_of_shipped("load.toml", "alike = 2 ", "alikes = 2"),
            place_of("load.toml", "alike = 2") +
                ":1: 'alikes' in [monotony] is not a known key; nearest: 'alike'; allowed: alike, sd, source");
}

TEST(LoadModels, NamesAMissingKeyAndTable) {
  EXPECT_EQ(
      refusal_of_shipped("load.toml", "alike = 2 ", "# "),
      place_of("load.toml", "[monotony]") + ":1: 'alike' in [monotony] is missing; allowed: a number from 1 to 10");
  EXPECT_EQ(refusal_of_shipped("limits.toml", "[minutes]\nsource = \"common practice, no source\"\nwarmup = 12", "#"),
            "limits.toml:1:1: the table [minutes] is missing");
}

TEST(LoadModels, RefusesAValueOfTheWrongType) {
  EXPECT_EQ(refusal("load.toml", "[monotony]\nalike = \"two\"\n"),
            "mine/load.toml:2:9: 'alike' in [monotony] is 'two'; allowed: a number from 1 to 10");
  EXPECT_EQ(refusal("load.toml", "[monotony]\nalike = true\n"),
            "mine/load.toml:2:9: 'alike' in [monotony] is true or false; allowed: a number from 1 to 10");
  EXPECT_EQ(refusal("load.toml", "[ewma]\nacute_days = 7.5\n"),
            "mine/load.toml:2:14: 'acute_days' in [ewma] is 7.5; allowed: a whole number from 2 to 14");
  EXPECT_EQ(refusal("load.toml", "monotony = 2\n"),
            "mine/load.toml:1:12: 'monotony' is 2; allowed: a table [monotony]");
  EXPECT_EQ(refusal("day-kinds.toml", "[heavy]\nsets = 3\n"),
            "mine/day-kinds.toml:2:8: 'sets' in [heavy] is 3; allowed: [low, high] with numbers from 1 to 20");
  EXPECT_EQ(refusal("lifts.toml", "[gear]\nplates_kg = [20, \"10\"]\n"),
            "mine/lifts.toml:2:18: 'plates_kg' in [gear] is '10'; allowed: a list of numbers from 0.1 to 50");
  EXPECT_EQ(refusal("cautions.toml", "negations = [\"no\", 1]\n"),
            "mine/cautions.toml:1:20: 'negations' is 1; allowed: texts that are not empty");
  EXPECT_EQ(refusal("lifts.toml", "lift = 3\n"), "mine/lifts.toml:1:8: 'lift' is 3; allowed: tables [[lift]]");
  EXPECT_EQ(refusal("load.toml", "date = \"2026-11-25\"\n"),
            "mine/load.toml:1:8: 'date' is '2026-11-25'; allowed: a date, such as 2026-11-25 (without quotes)");
}

TEST(LoadModels, RefusesAValueOutsideItsRange) {
  EXPECT_EQ(refusal("load.toml", "[monotony]\nalike = 20\n"),
            "mine/load.toml:2:9: 'alike' in [monotony] is 20; allowed: a number from 1 to 10");
  EXPECT_EQ(refusal("load.toml", "[monotony]\nalike = nan\n"),
            "mine/load.toml:2:9: 'alike' in [monotony] is nan; allowed: a number from 1 to 10");
  EXPECT_EQ(refusal("load.toml", "[ewma]\nchronic_days = 7\n"),
            "mine/load.toml:2:16: 'chronic_days' in [ewma] is 7; allowed: a whole number from 15 to 84");
  EXPECT_EQ(refusal("load.toml", "format = 2\n"),
            "mine/load.toml:1:10: 'format' is 2; allowed: a whole number from 1 to 1");
  EXPECT_EQ(refusal("limits.toml", "[pain]\nany_stop = 7\n"),
            "mine/limits.toml:2:12: 'any_stop' in [pain] is 7; allowed: a number from 1 to 5");
}

TEST(LoadModels, RefusesAWordThatIsNotInTheList) {
  EXPECT_EQ(refusal("load.toml", "[monotony]\nsd = \"sampel\"\n"),
            "mine/load.toml:2:6: 'sd' in [monotony] is 'sampel'; nearest: 'sample'; allowed: sample, population");
  EXPECT_EQ(refusal("strength.toml", "[rep_max]\ncurve = \"x\"\n"),
            "mine/strength.toml:2:9: 'curve' in [rep_max] is 'x'; allowed: epley, brzycki, lombardi, oconner, wathan, "
            "mayhew, lander, handbook");
}

TEST(LoadModels, RefusesTextThatIsNotToml) {
  EXPECT_EQ(refusal("load.toml", "[monotony]\nalike = = 2\n"),
            "mine/load.toml:2:9: this is not TOML: Error while parsing value: could not determine value type");
  EXPECT_EQ(
      refusal("load.toml", "[monotony]\nalike = 2\nalike = 3\n"),
      "mine/load.toml:3:9: this is not TOML: Error while parsing key-value pair: cannot redefine existing integer "
      "'alike'");
  EXPECT_EQ(refusal("load.toml", "name = \"\xff\"\n"),
            "mine/load.toml:1:8: this is not TOML: Encountered invalid utf-8 sequence");
}

TEST(LoadModels, RefusesListsThatDisagree) {
  EXPECT_EQ(refusal("load.toml", "[effort]\nrpe = [5, 5]\n"),
            "mine/load.toml:2:7: 'rpe' in [effort] does not ascend; allowed: each number larger than the one before");
  EXPECT_EQ(refusal("load.toml", "[effort]\nrpe = [5, 6]\n"),
            "mine/load.toml:2:7: 'rpe' in [effort] does not fit; allowed: as many numbers in factor as in rpe");
  EXPECT_EQ(refusal_of_shipped("load.toml", "factor = [0.7, ", "factor = ["),
            place_of("load.toml", "factor = [") +
                ":10: 'factor' in [effort] does not fit; allowed: as many numbers in factor as in rpe");
  EXPECT_EQ(refusal("strength.toml", "[handbook]\nreps = [1, 2]\npercent = [95, 100]\n"),
            "mine/strength.toml:3:11: 'percent' in [handbook] does not descend; allowed: each number smaller than the "
            "one before");
  EXPECT_EQ(refusal("lifts.toml", "[gear]\nwarmup_reps = [5]\n"),
            "mine/lifts.toml:2:15: 'warmup_reps' in [gear] does not fit; allowed: as many numbers in warmup_reps as in "
            "warmup_percent");
  EXPECT_EQ(refusal("lifts.toml", "[gear]\nplates_kg = [5, 10]\n"),
            "mine/lifts.toml:2:13: 'plates_kg' in [gear] is out of order; allowed: the heaviest first");
  EXPECT_EQ(refusal("load.toml", "[effort]\nrpe = []\n"),
            "mine/load.toml:2:7: 'rpe' in [effort] is empty; allowed: a list of numbers from 1 to 10");
  EXPECT_EQ(refusal("day-kinds.toml", "[rotation]\none = [\"heavy\", \"speed\"]\n"),
            "mine/day-kinds.toml:2:7: 'one' in [rotation] has 2 kinds; allowed: 1 to 1");
}

TEST(LoadModels, RefusesValuesThatDisagree) {
  EXPECT_EQ(refusal("day-kinds.toml", "[speed]\nrpe_cap = 5\n"),
            "mine/day-kinds.toml:2:11: 'rpe_cap' in [speed] does not fit; allowed: rpe_cap not below target_rpe");
  EXPECT_EQ(refusal("day-kinds.toml", "[speed]\ntarget_rpe = 9\n"),
            "mine/day-kinds.toml:2:14: 'target_rpe' in [speed] does not fit; allowed: rpe_cap not below target_rpe");
  EXPECT_EQ(refusal("day-kinds.toml", "[speed]\nusual_reps = 4\n"),
            "mine/day-kinds.toml:2:14: 'usual_reps' in [speed] does not fit; allowed: usual_reps inside reps");
  EXPECT_EQ(
      refusal("day-kinds.toml", "[heavy]\nsets = [5, 2]\n"),
      "mine/day-kinds.toml:2:8: 'sets' in [heavy] runs from 5 down to 2; allowed: [low, high] with numbers from 1 "
      "to 20");
  EXPECT_EQ(refusal("day-kinds.toml", "[heavy]\nsets = [2, 3, 5]\n"),
            "mine/day-kinds.toml:2:8: 'sets' in [heavy] is a list; allowed: [low, high] with numbers from 1 to 20");
  EXPECT_EQ(refusal("day-kinds.toml", "[block]\neasy_week = 6\n"),
            "mine/day-kinds.toml:2:13: 'easy_week' in [block] does not fit; allowed: easy_week 0 (none) to weeks");
  EXPECT_EQ(
      refusal("limits.toml", "[soreness]\nextreme = 4\n"),
      "mine/limits.toml:2:11: 'extreme' in [soreness] does not fit; allowed: signal, trim and extreme in ascending "
      "order");
  EXPECT_EQ(refusal("limits.toml",
                    "[[comeback.steps]]\nfrom_days = 8\nto_days = 14\nsessions = 1\nsay = \"a\"\n"
                    "[[comeback.steps]]\nfrom_days = 16\nto_days = 20\nsessions = 1\nsay = \"b\"\n"),
            "mine/limits.toml:7:13: 'from_days' in [comeback.steps] is 16; allowed: 15, the day after the step before "
            "it");
  EXPECT_EQ(refusal("limits.toml",
                    "[[comeback.steps]]\nfrom_days = 8\nto_days = 14\nsessions = 1\nsay = \"a\"\n"
                    "[[comeback.steps]]\nfrom_days = 8\nto_days = 20\nsessions = 3\nsay = \"b\"\n"),
            "mine/limits.toml:8:11: 'to_days' in [comeback.steps] is 20; allowed: 14, as in the step before it");
  EXPECT_EQ(refusal("limits.toml", "[[comeback.steps]]\nfrom_days = 8\nto_days = 7\nsessions = 1\nsay = \"a\"\n"),
            "mine/limits.toml:3:11: 'to_days' in [comeback.steps] lies before from_days; allowed: not before it");
}

TEST(LoadModels, RefusesLiftsThatCannotBeToldApart) {
  EXPECT_EQ(refusal("lifts.toml", "[[lift]]\nlift = \"x\"\nsay = \"x\"\nmovers = [\"quads\"]\naliases = [\"sq\"]\n"),
            "mine/lifts.toml:5:11: 'aliases' in [lift] has 'sq', which already means squat; allowed: each name once");
  EXPECT_EQ(refusal("lifts.toml", "[[lift]]\nlift = \"x\"\nsay = \"x\"\nmovers = [\"quad\"]\n"),
            "mine/lifts.toml:4:11: 'movers' in [lift] is 'quad'; nearest: 'quads'; allowed: calves, knees, quads, "
            "hamstrings, hips, glutes, low-back, upper-back, chest, shoulders, elbows, wrists, neck");
  EXPECT_EQ(refusal("lifts.toml", "[[lift]]\nlift = \"X y\"\nsay = \"x\"\nmovers = [\"quads\"]\n"),
            "mine/lifts.toml:2:8: 'lift' in [lift] is 'X y'; allowed: lower-case letters, digits and '-'");
  EXPECT_EQ(
      refusal("lifts.toml", "[[lift]]\nlift = \"x\"\nsay = \"x\"\nmovers = [\"quads\"]\nvariant_of = \"sqat\"\n"),
      "mine/lifts.toml:5:14: 'variant_of' in [lift] is 'sqat'; allowed: another lift of this file that is no variant "
      "itself");
  EXPECT_EQ(refusal("lifts.toml", "[[lift]]\nlift = \"x\"\n[[lift]]\nlift = \"x\"\n"),
            "mine/lifts.toml:4:8: 'lift' in [lift] is 'x' a second time; allowed: each name once in a file");
  EXPECT_EQ(refusal("lifts.toml", "[[lift]]\nlift = \"x\"\nsay = \"x\"\n"),
            "mine/lifts.toml:1:1: 'movers' in [lift] is missing; allowed: a list of texts");
}

TEST(LoadModels, RefusesSentencesWithBlanksThatNobodyFills) {
  EXPECT_EQ(refusal("cautions.toml", "[texts]\npain-soon = \"{pian}: no {lift}\"\n"),
            "mine/cautions.toml:2:13: 'pain-soon' in [texts] has '{pian}', which nothing fills in; allowed in braces: "
            "pain, lift");
  EXPECT_EQ(refusal("cautions.toml", "distress_words = [\"Cannot cope\"]\n"),
            "mine/cautions.toml:1:18: 'distress_words' has 'Cannot cope'; allowed: lower-case phrases");
  EXPECT_EQ(refusal("cautions.toml",
                    "[[sign]]\nid = \"x\"\nsource = \"y\"\nurgency = \"now\"\nwhat = \"x\"\nsay = \"Stop.\"\n"),
            "mine/cautions.toml:2:6: 'id' in [sign] has neither symptoms nor words; allowed: at least one");
}

TEST(LoadModels, RefusesEffectsThatCannotBeLearned) {
  EXPECT_EQ(refusal("response.toml", "[effects]\nsleep = [0.4, 0.7]\n"),
            "mine/response.toml:2:9: 'sleep' in [effects] has 2 numbers; allowed: mean, SD and share kept a day");
  EXPECT_EQ(refusal("response.toml", "[effects]\nsleep = [0.4, 0, 0.99]\n"),
            "mine/response.toml:2:9: 'sleep' in [effects] has no SD above 0; allowed: a positive SD");
  EXPECT_EQ(refusal("response.toml", "[items]\nload = [0.5, 1.2]\n"),
            "mine/response.toml:2:8: 'load' in [items] keeps a share of 1.2 a day; allowed: 0.5 to 1");
  EXPECT_EQ(
      refusal("response.toml", "[strength]\ntau_fitness = [10, 20, 30, 40]\n"),
      "mine/response.toml:2:15: 'tau_fitness' in [strength] makes more than 12 pairs; allowed: at most 12 pairs of "
      "constants");
  EXPECT_EQ(refusal("response.toml", "[items]\ntau = []\n"),
            "mine/response.toml:2:7: 'tau' in [items] is empty; allowed: a list of numbers from 0.2 to 200");
}

TEST(LoadModels, NamesAFileThatIsMissingOrUnknown) {
  auto files = shipped_files();
  files.erase(files.begin() + 2);
  EXPECT_EQ(message(load_models(files, {})),
            "the model file day-kinds.toml is missing; allowed: a folder that holds all seven");
  EXPECT_EQ(refusal("loads.toml", ""),
            "mine/loads.toml: 'loads.toml' is not a model file; allowed: load.toml, strength.toml, day-kinds.toml, "
            "limits.toml, lifts.toml, cautions.toml, response.toml");
}

TEST(LoadModels, RefusesATableWithoutItsSource) {
  int sources = 0;
  for (const auto name : k_model_files) {
    const std::string text = shipped_file(name).text;
    for (auto at = text.find("\nsource = "); at != std::string::npos; at = text.find("\nsource = ", at + 1)) {
      auto files = shipped_files();
      for (ModelFile& f : files) {
        if (f.file == name) f.text.insert(at + 1, "# ");
      }
      EXPECT_THAT(message(load_models(files, {})), HasSubstr("is missing; allowed: where the values come from"))
          << name << " at " << at;
      ++sources;
    }
  }
  EXPECT_GT(sources, 60);
}

TEST(Overlay, ReplacesSingleKeysAndMarksTheirSource) {
  const auto models = with("load.toml", "[monotony]\nsd = \"population\"\n[ewma]\nstart = \"first-load\"\n");
  ASSERT_TRUE(models) << message(models);
  EXPECT_EQ(models->load.monotony.sd, Sd::population);
  EXPECT_EQ(models->load.monotony.alike, shipped_models().load.monotony.alike);
  EXPECT_EQ(models->load.monotony.source, shipped_models().load.monotony.source + "; changed in mine/load.toml");
  EXPECT_EQ(models->load.ewma.start, EwmaStart::first_load);
  EXPECT_EQ(models->load.ratio.source, shipped_models().load.ratio.source);
}

TEST(Overlay, KeepsASourceOfItsOwn) {
  const auto models = with("strength.toml", "[rep_max]\ncurve = \"brzycki\"\nsource = \"Brzycki 1993\"\n");
  ASSERT_TRUE(models) << message(models);
  EXPECT_EQ(models->strength.rep_max.curve, RepMaxCurve::brzycki);
  EXPECT_EQ(models->strength.rep_max.source, "Brzycki 1993");
}

TEST(Overlay, ReplacesListsAsAWhole) {
  const auto models = with("lifts.toml", "[gear]\nplates_kg = [20, 10]\n");
  ASSERT_TRUE(models) << message(models);
  EXPECT_THAT(models->lifts.gear.plates_kg, ElementsAre(20, 10));
  EXPECT_EQ(models->lifts.gear.bar_kg, shipped_models().lifts.gear.bar_kg);
}

TEST(Overlay, ReplacesUnnamedTablesAsAWhole) {
  const auto models = with(
      "limits.toml", "[[comeback.steps]]\nfrom_days = 10\nto_days = 99\nsessions = 2\nsay = \"{days} days off\"\n");
  ASSERT_TRUE(models) << message(models);
  ASSERT_EQ(models->limits.comeback.steps.size(), 1U);
  EXPECT_EQ(models->limits.comeback.steps[0].to_days, 99);
  EXPECT_EQ(models->limits.comeback.steps[0].sets_share, 1);
  EXPECT_EQ(models->limits.comeback.light_percent, shipped_models().limits.comeback.light_percent);
}

TEST(Overlay, ReplacesKeysOfNestedTablesOneByOne) {
  const auto models =
      with("limits.toml", "[meet]\nlast_heavy_days.bench = [5, 9]\nlast_heavy_days.overhead-press = [4, 7]\n");
  ASSERT_TRUE(models) << message(models);
  const auto& days = models->limits.meet.last_heavy_days;
  EXPECT_THAT(days.at("bench"), ElementsAre(5, 9));
  EXPECT_THAT(days.at("overhead-press"), ElementsAre(4, 7));
  EXPECT_EQ(days.at("squat"), shipped_models().limits.meet.last_heavy_days.at("squat"));
}

TEST(Overlay, ReplacesLiftsByNameAndAddsNewOnes) {
  const auto models = with("lifts.toml",
                           "[[lift]]\nlift = \"squat\"\nsay = \"knee bends\"\nmovers = [\"quads\"]\n"
                           "[[lift]]\nlift = \"sled-push\"\nsay = \"sled pushes\"\nmovers = [\"quads\", \"calves\"]\n");
  ASSERT_TRUE(models) << message(models);
  const auto& shipped = shipped_models().lifts;
  EXPECT_EQ(models->lifts.lifts.size(), shipped.lifts.size() + 1);
  EXPECT_EQ(models->lifts.lifts[0].lift, "squat");
  EXPECT_EQ(models->lifts.lifts[0].say, "knee bends");
  EXPECT_FALSE(models->lifts.lifts[0].main);  // the entry as a whole: what it leaves out is not kept
  EXPECT_EQ(models->lifts.lifts.back().lift, "sled-push");
  EXPECT_EQ(models->lifts.lifts[1].say, shipped.lifts[1].say);
}

TEST(Overlay, ReplacesSignsByName) {
  const auto models =
      with("cautions.toml",
           "emergency_number = \"112\"\n[[sign]]\nid = \"dizzy\"\nsource = \"club doctor\"\n"
           "urgency = \"today\"\nsymptoms = [\"dizzy\"]\nwhat = \"dizziness\"\nsay = \"Ring the club.\"\n");
  ASSERT_TRUE(models) << message(models);
  const auto& signs = models->cautions.signs;
  EXPECT_EQ(signs.size(), shipped_models().cautions.signs.size());
  EXPECT_EQ(std::count_if(signs.begin(), signs.end(), [](const auto& s) { return s.say == "Ring the club."; }), 1);
  EXPECT_EQ(models->cautions.emergency_number, "112");
  EXPECT_EQ(models->cautions.negations, shipped_models().cautions.negations);
}

TEST(Version, IsTheNewestDateAndNamesWhatChanged) {
  EXPECT_EQ(shipped_models().version, "2026-11-25");
  const auto unnamed = with("load.toml", "[monotony]\nalike = 3\n");
  ASSERT_TRUE(unnamed) << message(unnamed);
  EXPECT_EQ(unnamed->version, "2026-11-25 + load.toml");
  const auto named = load_models(shipped_files(), {own("load.toml", "name = \"club\"\ndate = 2027-01-05\n"),
                                                   own("strength.toml", "name = \"club\"\n")});
  ASSERT_TRUE(named) << message(named);
  EXPECT_EQ(named->version, "2027-01-05 + club");
}

TEST(Digest, TellsValuesApartAndNothingElse) {
  const auto digest = shipped_models().digest;
  EXPECT_EQ(digest.size(), 16U);
  const auto changed = with("load.toml", "[monotony]\nalike = 3\n");
  ASSERT_TRUE(changed) << message(changed);
  EXPECT_NE(changed->digest, digest);
  const auto text = with("cautions.toml", "[texts]\nsleepless = \"Take the bus.\"\n");
  ASSERT_TRUE(text) << message(text);
  EXPECT_NE(text->digest, digest);
  for (const auto name : k_model_files) {
    const auto same = with(std::string(name), "# a copy\n" + shipped_file(name).text);
    ASSERT_TRUE(same) << message(same);
    EXPECT_EQ(same->digest, digest) << name;
  }
}

}  // namespace
}  // namespace steelyard
