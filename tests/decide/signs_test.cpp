/// Stop signs: what closes training, for how long, and what does not. The rules are common coaching practice: a red
/// flag outranks everything, the program never clears anyone, negated words ask. Signs and wording:
/// models/cautions.toml with the sources named there.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "decide/build_log.hpp"
#include "decide/phrases.hpp"
#include "params/shipped_models.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/decide/call.hpp"
#include "steelyard/domain/vocabulary.hpp"

namespace steelyard::decide {
namespace {

using namespace steelyard::testing;
using ::testing::AnyOf;
using ::testing::Contains;
using ::testing::Each;
using ::testing::HasSubstr;
using ::testing::Not;
using ::testing::StartsWith;

/// A Monday: heavy squats, then bench presses.
constexpr Day k_today = k_monday + Days{84};
const std::vector<Action> k_stop{Action::stop_refer};
const std::vector<Action> k_as_planned{Action::run_as_planned};

const CautionsModel& cautions() {
  return shipped_models().cautions;
}

const LogBuilder& lifter() {
  static const LogBuilder builder(heavy_speed_volume(), k_today, 4);
  return builder;
}

Check usual() {
  return lifter().usual_morning();
}

DayCall called(const AthleteLog& log) {
  return call_for(log, k_today, shipped_models());
}

DayCall called(const Check& morning) {
  return called(lifter().with(morning));
}

Check with_note(std::string note) {
  Check c = usual();
  c.note = std::move(note);
  return c;
}

/// The log with this sign entered so many days ago and a usual check this morning.
AthleteLog signed_before(int days, const std::string& code, std::vector<PainEntry> pain = {}) {
  AthleteLog log = lifter().with(usual());
  for (Check& c : log.checks) {
    if (c.date != k_today - Days{days}) continue;
    if (!code.empty()) c.symptoms.push_back(code);
    c.pain = pain;
  }
  return log;
}

std::vector<std::string> ids(const DayCall& day) {
  std::vector<std::string> all;
  for (const Caution& c : day.cautions) all.push_back(c.id);
  return all;
}

void expect_stopped(const DayCall& day) {
  ASSERT_EQ(day.calls.size(), 2U);
  for (const LiftCall& c : day.calls) EXPECT_EQ(c.actions, k_stop) << c.lift;
}

bool stops(const SignModel& sign) {
  return sign.urgency == Urgency::now || sign.urgency == Urgency::today;
}

/// Symptom codes as they raise the sign: one of any, and all of those that are needed together.
std::vector<std::vector<std::string>> codes_of(const SignModel& sign) {
  std::vector<std::vector<std::string>> all;
  for (const std::string& any : sign.symptoms) {
    all.push_back(sign.together);
    all.back().push_back(any);
  }
  return all;
}

TEST(StopSigns, EachCodeStopsEveryLiftHoweverGoodTheMorning) {
  int tried = 0;
  for (const SignModel& sign : cautions().signs) {
    if (!stops(sign)) continue;
    for (const auto& codes : codes_of(sign)) {
      Check best = usual();
      best.sleep_hours = 9;
      best.sleep_quality = best.mood = 7;
      best.soreness = best.fatigue = best.stress = 1;
      best.symptoms = codes;
      const DayCall day = called(best);
      SCOPED_TRACE(sign.id + " by " + codes.back());
      expect_stopped(day);
      EXPECT_THAT(ids(day), Contains(sign.id));
      EXPECT_THAT(day.say.front(), StartsWith("You entered "));
      EXPECT_THAT(day.say, Contains(HasSubstr("until a licensed practitioner has cleared you")));
      EXPECT_THAT(day.say, Not(Contains(HasSubstr("as planned")))) << "nothing else is offered";
      if (sign.urgency == Urgency::now) {
        EXPECT_THAT(day.say,
                    Contains(AnyOf(HasSubstr("your local emergency number"), HasSubstr("emergency department now"))));
      } else {
        EXPECT_THAT(day.say, Contains(AnyOf(HasSubstr("doctor today"), HasSubstr("emergency number"))));
      }
      ++tried;
    }
  }
  EXPECT_GE(tried, 25);
}

TEST(StopSigns, EachPhraseInTheCheckOrInYesterdaysSessionNoteStops) {
  int tried = 0;
  for (const SignModel& sign : cautions().signs) {
    if (!stops(sign)) continue;
    for (const std::string& phrase : sign.words) {
      SCOPED_TRACE(sign.id + " by '" + phrase + "'");
      const DayCall day = called(with_note("Long drive home. Then " + phrase + "; better by now"));
      expect_stopped(day);
      EXPECT_THAT(ids(day), Contains(sign.id));
      ++tried;
    }
    if (sign.words.empty()) continue;
    AthleteLog log = lifter().with(usual());
    log.sessions.back().note = "last set: " + capitalized(sign.words.front());
    ASSERT_LT(log.sessions.back().date, k_today);
    const DayCall day = called(log);
    SCOPED_TRACE(sign.id + " in a session note");
    expect_stopped(day);
    EXPECT_THAT(ids(day), Contains(sign.id));
  }
  EXPECT_GE(tried, 200);
}

TEST(StopSigns, WordsInTheNoteOfTodaysOwnSessionStopTheRestOfTheDay) {
  AthleteLog log = lifter().with(usual());
  log.sessions.push_back(session(k_today, 60, 7, DayKind::sport));
  EXPECT_EQ(called(log).calls.front().actions, k_as_planned);
  const std::string before = called(log).inputs_digest;
  log.sessions.back().note = "chest pain on the last hill";
  expect_stopped(called(log));
  EXPECT_NE(called(log).inputs_digest, before);
}

TEST(StopSigns, EachStaysOpenUntilAClearanceDatedOnItsDayOrLater) {
  for (const SignModel& sign : cautions().signs) {
    if (!stops(sign) || sign.symptoms.empty() || !sign.together.empty()) continue;
    SCOPED_TRACE(sign.id);
    AthleteLog log = signed_before(5, sign.symptoms.front());
    const DayCall day = called(log);
    expect_stopped(day);
    EXPECT_THAT(day.say, Contains(HasSubstr(format_day(k_today - Days{5})))) << "it names its day";
    const auto cleared = [&](int days_ago, const std::string& id) {
      AthleteLog with = log;
      with.clearances = {{.athlete = "ada",
                          .date = k_today - Days{days_ago},
                          .caution = id,
                          .by = ClearedBy::practitioner,
                          .note = ""}};
      return called(with).calls.front().actions;
    };
    EXPECT_EQ(cleared(6, sign.id), k_stop) << "a clearance from before the sign";
    EXPECT_EQ(cleared(3, "another-sign"), k_stop);
    EXPECT_EQ(cleared(-1, sign.id), k_stop) << "a clearance from tomorrow";
    EXPECT_EQ(cleared(5, sign.id), k_as_planned);
    EXPECT_EQ(cleared(2, sign.id), k_as_planned);
    EXPECT_EQ(cleared(0, sign.id), k_as_planned);
  }
}

TEST(StopSigns, OneEnteredAgainAfterItsClearanceStopsAgain) {
  AthleteLog log = signed_before(5, "dizzy");
  log.clearances = {
      {.athlete = "ada", .date = k_today - Days{3}, .caution = "dizzy", .by = ClearedBy::mistake, .note = ""}};
  EXPECT_EQ(called(log).calls.front().actions, k_as_planned);
  log.checks.back().symptoms = {"dizzy"};
  expect_stopped(called(log));
}

TEST(StopSigns, AnEmergencyIsNotMixedWithAnythingLess) {
  Check c = usual();
  c.symptoms = {"dark-urine", "chest-pressure"};
  c.pain = {{"knee-right", 6, PainKind::sharp}};
  const DayCall day = called(c);
  expect_stopped(day);
  EXPECT_EQ(day.cautions.front().urgency, Urgency::now);
  EXPECT_THAT(day.say, Not(Contains(HasSubstr("dark urine"))));
  EXPECT_THAT(day.say, Not(Contains(HasSubstr("knee"))));
}

TEST(StopSigns, AMinorIsToldToTellAGuardian) {
  AthleteLog log = lifter().with(usual());
  log.athlete.birth_year = 2012;
  EXPECT_THAT(called(log).say, Not(Contains(HasSubstr("guardian"))));
  log.checks.back().symptoms = {"dizzy"};
  EXPECT_THAT(called(log).say, Contains(HasSubstr("parent or guardian")));
  log.checks.back().symptoms = {"fever"};
  EXPECT_THAT(called(log).say, Contains(HasSubstr("parent or guardian")));
}

// The year of birth alone leaves 17 or 18 open: whoever may be a minor is spoken to as one.
TEST(StopSigns, WhoeverMayStillBeAMinorIsToldToTellAGuardian) {
  AthleteLog log = signed_before(0, "dizzy");
  const auto told = [&](int age_this_year) {
    log.athlete.birth_year = static_cast<int>(std::chrono::year_month_day{k_today}.year()) - age_this_year;
    const DayCall day = called(log);
    return std::count_if(day.say.begin(), day.say.end(),
                         [](const std::string& s) { return s.find("guardian") != std::string::npos; }) > 0;
  };
  EXPECT_TRUE(told(17));
  EXPECT_TRUE(told(18));
  EXPECT_FALSE(told(19));
}

/// A stop ends by a clearance only (the rule of signs.hpp), whatever is entered about the same site afterwards.
TEST(StopSigns, OneIsNotTakenBackByAMilderEntryOfTheSameSite) {
  AthleteLog log = signed_before(3, "", {{"head", 8, PainKind::dull}});
  expect_stopped(called(log));
  log = signed_before(3, "", {{"head", 8, PainKind::dull}});
  for (Check& c : log.checks) {
    if (c.date == k_today - Days{2}) c.pain = {{"head", 3, PainKind::pressure}};
    if (c.date > k_today - Days{2}) c.pain = {{"head", 0, PainKind::dull}};
  }
  const DayCall day = called(log);
  expect_stopped(day);
  ASSERT_FALSE(day.cautions.empty());
  EXPECT_EQ(day.cautions.front().urgency, Urgency::today);
  EXPECT_THAT(day.say, Contains(HasSubstr("8 of 10"))) << "it names the entry that stopped";
  EXPECT_THAT(day.say, Not(Contains(HasSubstr("3 of 10"))));
  log.clearances = {{.athlete = "ada", .date = k_today, .caution = "pain-head", .note = ""}};
  EXPECT_EQ(called(log).calls.front().actions, k_as_planned);
}

TEST(StopSigns, WordsOfDistressAreAnsweredAlsoBesideAStop) {
  EXPECT_THAT(called(with_note("i cannot cope")).say, Contains(HasSubstr("someone you trust")));
  EXPECT_THAT(called(with_note("no point testing a max today")).say, Not(Contains(HasSubstr("someone you trust"))));
  Check c = with_note("want to die");
  c.symptoms = {"dizzy"};
  EXPECT_THAT(called(c).say, Contains(HasSubstr("someone you trust")));
}

TEST(StopSigns, ChestPainEnteredAsPainIsAnEmergencyAndNumbPainADoctorsMatter) {
  Check c = usual();
  c.pain = {{"chest", 2, PainKind::pressure}};
  expect_stopped(called(c));
  EXPECT_EQ(called(c).cautions.front().urgency, Urgency::now);
  c.pain = {{"thigh-left", 1, PainKind::numb}};
  expect_stopped(called(c));
  EXPECT_EQ(called(c).cautions.front().urgency, Urgency::today);
  c.pain = {{"chest", 2, PainKind::dull}};
  EXPECT_NE(called(c).calls.front().actions, k_stop) << "a dull ache of the chest muscles";
}

TEST(NegatedWords, AskAndDoNotStop) {
  for (const std::string note :
       {"no chest pain", "No chest pain today", "without any chest pain", "never fainted", "did not have chest pain",
        "I didn't faint; no dizziness", "isn't dizzy", "no more palpitations", "no chest pain, dizziness or fever",
        "no fever, no dizziness", "no chest pain and no dizziness", "free of dizziness"}) {
    const DayCall day = called(with_note(note));
    EXPECT_EQ(day.calls.front().actions, k_as_planned) << note;
    EXPECT_TRUE(day.cautions.empty()) << note;
    EXPECT_THAT(day.say, Contains(HasSubstr("Does that mean you have it?"))) << note;
  }
}

TEST(NegatedWords, OfAnotherClauseNegateNothing) {
  for (const std::string note : {"no sleep. chest pain", "not my day; fainted", "No time! dizzy on the stairs",
                                 "no sleep, chest pain", "no training because chest pain", "not bad, but dizzy"}) {
    expect_stopped(called(with_note(note)));
  }
  expect_stopped(called(with_note("no chest pain on monday. chest pain today")));
}

TEST(HarmlessWords, DoNotStopAndDoNotAsk) {
  for (const std::string note : {"hay fever again", "Hay Fever", "cabin fever", "chest day felt fine", "popped in late",
                                 "a dizzying number of sets", "knees locked out well"}) {
    const DayCall day = called(with_note(note));
    EXPECT_EQ(day.calls.front().actions, k_as_planned) << note;
    EXPECT_TRUE(day.cautions.empty()) << note;
    EXPECT_THAT(day.say, Not(Contains(HasSubstr("Does that mean")))) << note;
  }
  EXPECT_EQ(called(with_note("hay fever and now a fever")).calls.front().actions, std::vector{Action::rest});
}

TEST(FindPhrase, FindsWholeWordsWithAnyCaseAndWithTheApostropheOfPhones) {
  EXPECT_TRUE(find_phrase("FAINTED at the rack", "fainted", cautions()).found);
  EXPECT_TRUE(find_phrase("I can\xE2\x80\x99t breathe", "can't breathe", cautions()).found);
  EXPECT_FALSE(find_phrase("unfainted", "fainted", cautions()).found);
  EXPECT_FALSE(find_phrase("faintedly", "fainted", cautions()).found);
  EXPECT_TRUE(find_phrase("no dizzy, but then dizzy after all that work in the sun", "dizzy", cautions()).found);
  EXPECT_FALSE(find_phrase("not dizzy at first. dizzy later", "dizzy", cautions()).negated);
}

TEST(Pain, ClosesItsLiftsFromFiveOfTenOrSharpFromFour) {
  struct Case {
    PainEntry pain;
    bool squat_closed;
  };
  // Sharp 4, any 5: common coaching practice (models/limits.toml [pain]).
  for (const Case& c : {Case{{"knee-right", 5, PainKind::dull}, true}, Case{{"knee-right", 4, PainKind::sharp}, true},
                        Case{{"knee-right", 4, PainKind::dull}, false}, Case{{"knee-right", 3, PainKind::sharp}, false},
                        Case{{"knee-right", 1, PainKind::radiating}, true}}) {
    Check morning = usual();
    morning.pain = {c.pain};
    const DayCall day = called(morning);
    EXPECT_EQ(day.calls[0].actions == k_stop, c.squat_closed) << c.pain.level;
    EXPECT_EQ(day.calls[1].actions, k_as_planned) << "a knee does not close bench presses";
    ASSERT_FALSE(day.cautions.empty());
    EXPECT_EQ(day.cautions[0].urgency, c.squat_closed ? Urgency::soon : Urgency::watch);
    EXPECT_THAT(day.say, Contains(HasSubstr("right knee")));
  }
}

TEST(Pain, StaysClosedUntilZeroOnTwoMornings) {
  // Pain of 6 four days ago; then as given on the three mornings up to today (none = the site was not entered).
  const auto squat = [](std::vector<std::optional<double>> mornings) {
    AthleteLog log = signed_before(4, "", {{"knee-right", 6, PainKind::dull}});
    for (std::size_t i = 0; i < mornings.size(); ++i) {
      Check& c = log.checks[log.checks.size() - mornings.size() + i];
      if (mornings[i]) c.pain = {{"knee-right", *mornings[i], PainKind::dull}};
    }
    return called(log).calls.front().actions;
  };
  EXPECT_EQ(squat({std::nullopt, std::nullopt, std::nullopt}), k_stop) << "not entered is not gone";
  EXPECT_EQ(squat({std::nullopt, std::nullopt, 0}), k_stop) << "one morning";
  EXPECT_EQ(squat({std::nullopt, 0, 0}), k_as_planned);
  EXPECT_EQ(squat({0, std::nullopt, 0}), k_as_planned);
  EXPECT_EQ(squat({0, 0, 0}), k_as_planned);
  EXPECT_EQ(squat({0, 6, 0}), k_stop) << "it came back";
}

TEST(Pain, MayBeClearedByItsSite) {
  AthleteLog log = signed_before(4, "", {{"knee-right", 6, PainKind::dull}});
  EXPECT_EQ(called(log).calls.front().actions, k_stop);
  log.clearances = {{.athlete = "ada", .date = k_today - Days{1}, .caution = "pain-knee-right", .note = ""}};
  EXPECT_EQ(called(log).calls.front().actions, k_as_planned);
}

TEST(SoonSigns, EachLeavesItsLiftsOutUntilTwoQuietMornings) {
  for (const SignModel& sign : cautions().signs) {
    if (sign.urgency != Urgency::soon || sign.symptoms.empty()) continue;
    SCOPED_TRACE(sign.id);
    const auto squat = [&](int days_ago) {
      return called(signed_before(days_ago, sign.symptoms.front())).calls.front().actions;
    };
    EXPECT_EQ(squat(0), k_stop);
    EXPECT_EQ(squat(1), k_stop);
    EXPECT_EQ(squat(2), k_as_planned) << "two mornings without it";
  }
}

TEST(SoonSigns, ConcernTheLiftsOfThePainfulSiteElseAll) {
  Check c = usual();
  c.symptoms = {"swelling"};
  for (const LiftCall& call : called(c).calls) EXPECT_EQ(call.actions, k_stop) << call.lift;
  c.pain = {{"knee-right", 2, PainKind::dull}};
  const DayCall day = called(c);
  EXPECT_EQ(day.calls[0].actions, k_stop);
  EXPECT_EQ(day.calls[1].actions, k_as_planned);
}

TEST(SoonSigns, WithoutAPlaceCloseAlsoLiftsThatNobodyDescribed) {
  Check c = usual();
  c.symptoms = {"swelling"};
  AthleteLog log = lifter().with(c);
  PlanRow row = planned(k_today, DayKind::heavy, "zercher-squat");
  row.position = 3;
  const auto later = std::find_if(log.plan.begin(), log.plan.end(), [](const PlanRow& r) { return r.date > k_today; });
  log.plan.insert(later, row);
  const DayCall day = called(log);
  ASSERT_EQ(day.calls.size(), 3U);
  for (const LiftCall& call : day.calls) EXPECT_EQ(call.actions, k_stop) << call.lift;
}

TEST(SoonSigns, ConcernTheLiftsOfTheSiteThatTheNoteNames) {
  const auto closed = [](const char* note) {
    const DayCall day = called(with_note(note));
    return std::pair{day.calls[0].actions == k_stop, day.calls[1].actions == k_stop};
  };
  EXPECT_EQ(closed("my left knee gave way on the stairs"), std::pair(true, false));
  EXPECT_EQ(closed("felt a pop in the elbow"), std::pair(false, true)) << "squats do not load the elbows";
  EXPECT_EQ(closed("felt something pop"), std::pair(true, true)) << "nobody knows where";
}

TEST(Pain, ThatIsStrongInTheHeadOrTheAbdomenIsNoMatterOfOneLift) {
  for (const auto* site : {"head", "abdomen"}) {
    Check c = usual();
    c.pain = {{site, 4, PainKind::sharp}};
    const DayCall day = called(c);
    for (const LiftCall& call : day.calls) EXPECT_EQ(call.actions, k_stop) << site << call.lift;
    EXPECT_EQ(day.cautions[0].urgency, Urgency::today) << site;
    EXPECT_THAT(day.say.front(), HasSubstr("Speak to a doctor today")) << site;
    c.pain = {{site, 2, PainKind::dull}};
    EXPECT_EQ(called(c).calls[0].actions, k_as_planned) << site;
  }
}

/// Common practice: a stable dull ache up to 3 may be trained under a rule, a rising one is cut and looked at.
TEST(Pain, ThatClimbsOverTheDaysIsCutWhetherOrNotEachEntryIsAboveTheLast) {
  const auto squat = [](std::vector<double> levels) {
    AthleteLog log = lifter().with(usual());
    for (std::size_t i = 0; i < levels.size(); ++i)
      log.checks[log.checks.size() - levels.size() + i].pain = {{"knee-right", levels[i], PainKind::dull}};
    return called(log);
  };
  EXPECT_EQ(squat({2, 2, 2, 2}).calls[0].actions, k_as_planned);
  EXPECT_THAT(squat({2, 2, 2, 2}).say, Contains(HasSubstr("only while it stays at 3 of 10 or below")));
  EXPECT_EQ(squat({3, 2, 3, 2}).calls[0].actions, k_as_planned);
  for (const auto& rising : {std::vector<double>{1, 2, 3}, {1, 1, 2, 2, 3, 3}, {1, 3, 3}}) {
    EXPECT_NE(squat(rising).calls[0].actions, k_as_planned) << rising.size();
    EXPECT_THAT(squat(rising).say, Contains(HasSubstr("and rising")));
  }
}

TEST(Illness, WithFeverMeansRestAndAHeadColdLessWork) {
  // Above and below the neck: Eichner 1993 (from memory); shares: common practice.
  for (const SignModel& sign : cautions().signs) {
    if (sign.urgency != Urgency::watch) continue;
    SCOPED_TRACE(sign.id);
    Check c = usual();
    c.symptoms = {sign.symptoms.front()};
    const DayCall day = called(c);
    if (sign.rest_only) {
      for (const LiftCall& call : day.calls) EXPECT_EQ(call.actions, std::vector{Action::rest}) << call.lift;
    } else {
      const Prescription& work = day.calls.front().call;
      EXPECT_LE(work.sets * work.reps, 0.75 * 12);
      EXPECT_GT(work.sets, 0);
      EXPECT_LE(work.percent, 75);
    }
  }
}

}  // namespace
}  // namespace steelyard::decide
