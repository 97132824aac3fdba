/// Who is flagged, watched and left alone in a coach's week. What is expected is common practice: pain and stop signs
/// before agreeing signals, silence after them, one sign alone is not enough, a planned high is no alarm.

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "params/shipped_models.hpp"
#include "week_club.hpp"

namespace steelyard::testing {
namespace {

using ::testing::AllOf;
using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;
using ::testing::SizeIs;

WeekReview review(const std::vector<Lifter>& lifters, Day last_known = k_sunday) {
  std::vector<AthleteLog> logs;
  for (const Lifter& lifter : lifters) logs.push_back(lifter.log());
  return decide::review_week(logs, iso_week(k_sunday), last_known, "club", shipped_models());
}

std::vector<std::string> flagged(const WeekReview& r) {
  std::vector<std::string> codes;
  for (const WeekFlag& flag : r.flags) codes.push_back(flag.athlete);
  return codes;
}

std::vector<std::string> watched(const WeekReview& r) {
  std::vector<std::string> codes;
  for (const WatchLine& line : r.watch) codes.push_back(line.athlete);
  return codes;
}

/// The kinds of the only lifter's flag; empty = not flagged.
std::vector<std::string> kinds(const Lifter& lifter) {
  const WeekReview r = review({lifter});
  return r.flags.empty() ? std::vector<std::string>{} : r.flags.front().kinds;
}

std::string all_text(const WeekReview& r) {
  std::string text;
  const auto add = [&](const std::string& s) { text += s + "\n"; };
  for (const auto& s : r.squad) add(s);
  for (const WeekFlag& f : r.flags) {
    for (const auto* list : {&f.because, &f.caused_by, &f.unknown}) std::for_each(list->begin(), list->end(), add);
    add(f.next_step);
  }
  for (const WatchLine& w : r.watch) add(w.because);
  return text;
}

Lifter lifter() {
  return Lifter("a1");
}

TEST(ReviewWeek, NobodyIsAPossibleAnswer) {
  const WeekReview r = review(club(6));
  EXPECT_THAT(r.flags, IsEmpty());
  EXPECT_THAT(r.watch, IsEmpty());
  EXPECT_THAT(r.squad, IsEmpty());
  EXPECT_THAT(r.quiet, ElementsAre("a1", "a2", "a3", "a4", "a5", "a6"));
}

TEST(ReviewWeek, NoAthletesAndAWeekAheadGiveAnEmptyReview) {
  EXPECT_THAT(review({}).quiet, IsEmpty());
  EXPECT_THAT(review(club(2), k_monday - Days{1}).quiet, IsEmpty());
}

TEST(ReviewWeek, OrdersStopPainSignalsSilenceStrengthMonotonyReturn) {
  auto c = club(8);
  c[7].symptom(6, "chest-pressure");
  c[6].pain("knee-right", PainKind::dull, {{0, 2}, {2, 3}, {4, 4}, {6, 5}});
  c[5].week(&Check::sleep_hours, -2).week(&Check::fatigue, 2);
  c[4].silent_from(1);
  c[3].harder_sets(1, 2);
  c[2].same_every_day().week(&Check::mood, -1.5);
  c[1].no_sessions(k_monday - Days{12}, k_monday - Days{1})
      .off(k_monday - Days{12}, k_monday - Days{1}, OffReason::holiday);
  const WeekReview r = review(c);
  EXPECT_THAT(flagged(r), ElementsAre("a8", "a7", "a6", "a5", "a4", "a3", "a2"));
  for (std::size_t i = 0; i < r.flags.size(); ++i) EXPECT_EQ(r.flags[i].order, static_cast<int>(i) + 1);
  EXPECT_EQ(r.flags[0].kinds, std::vector<std::string>{"stop"});
  EXPECT_EQ(r.flags[1].kinds, std::vector<std::string>{"pain"});
  EXPECT_EQ(r.flags[2].kinds, std::vector<std::string>{"signals"});
  EXPECT_EQ(r.flags[3].kinds, std::vector<std::string>{"silent"});
  EXPECT_EQ(r.flags[4].kinds, std::vector<std::string>{"strength"});
  EXPECT_EQ(r.flags[5].kinds, std::vector<std::string>{"monotony"});
  EXPECT_EQ(r.flags[6].kinds, std::vector<std::string>{"returned"});
  EXPECT_THAT(r.quiet, ElementsAre("a1"));
}

TEST(ReviewWeek, DoesNotDependOnTheOrderOfTheAthletes) {
  auto c = club(6);
  c[0].pain("knee-left", PainKind::sharp, {{5, 4}});
  c[1].pain("elbow-left", PainKind::sharp, {{5, 4}});
  c[2].week(&Check::sleep_hours, -2).week(&Check::mood, -2);
  c[3].silent_from(2);
  c[4].week(&Check::soreness, 2);
  const WeekReview first = review(c);
  std::sort(c.begin(), c.end(),
            [](const Lifter& a, const Lifter& b) { return a.log().athlete.athlete > b.log().athlete.athlete; });
  const WeekReview second = review(c);
  EXPECT_EQ(flagged(first), flagged(second));
  EXPECT_EQ(watched(first), watched(second));
  EXPECT_EQ(first.quiet, second.quiet);
  EXPECT_EQ(all_text(first), all_text(second));
  EXPECT_THAT(flagged(first), SizeIs(4));
}

TEST(ReviewWeek, KnowsNothingOfLaterEntries) {
  const Day wednesday = k_monday + Days{2};
  auto silent = lifter();
  silent.silent_from(0);
  auto later = lifter();  // writes again from Thursday on, ill and in pain
  later.no_sessions(k_monday, wednesday).symptom(3, "fever").symptom(4, "chest-pressure");
  later.pain("knee-left", PainKind::sharp, {{5, 8}}).note(6, "I cannot cope any more");
  later.edit([&](AthleteLog& log) {
    std::erase_if(log.checks, [&](const Check& c) { return c.date >= k_monday && c.date <= wednesday; });
  });
  const WeekReview r = review({later}, wednesday);
  EXPECT_EQ(all_text(review({silent}, wednesday)), all_text(r));
  ASSERT_THAT(flagged(r), ElementsAre("a1"));
  EXPECT_THAT(r.flags[0].kinds, ElementsAre("silent"));
}

TEST(ReviewWeek, PainIsFlaggedByLevelAndByDirection) {
  EXPECT_THAT(kinds(lifter().pain("knee-right", PainKind::dull, {{0, 1}, {2, 2}, {4, 3}})), ElementsAre("pain"));
  EXPECT_THAT(kinds(lifter().pain("knee-right", PainKind::dull, {{0, 2}, {2, 2.5}, {4, 3}})), ElementsAre("pain"));
  EXPECT_THAT(kinds(lifter().pain("knee-right", PainKind::dull, {{0, 2}, {2, 2}, {4, 3}})), IsEmpty());
  EXPECT_THAT(kinds(lifter().pain("knee-right", PainKind::dull, {{5, 5}})), ElementsAre("pain"));
  EXPECT_THAT(kinds(lifter().pain("calf-left", PainKind::sharp, {{5, 4}})), ElementsAre("pain"));
  EXPECT_THAT(kinds(lifter().pain("calf-left", PainKind::dull, {{5, 4}})), ElementsAre("pain")) << "new and above 3";
  EXPECT_THAT(kinds(lifter().pain("knee-right", PainKind::dull, {{0, 3}, {2, 2}, {4, 1}})), IsEmpty()) << "fading";
  EXPECT_THAT(kinds(lifter().pain("knee-right", PainKind::dull, {{0, 4}, {4, 0}})), IsEmpty()) << "gone";
}

TEST(ReviewWeek, AKnownAcheThatStaysAsItIsIsWatched) {
  auto ache = lifter();
  ache.edit([](AthleteLog& log) {
    for (Check& c : log.checks)
      c.pain.push_back({"low-back", c.date.time_since_epoch().count() % 2 == 0 ? 2.0 : 3.0, PainKind::dull});
  });
  const WeekReview r = review({ache});
  EXPECT_THAT(r.flags, IsEmpty());
  ASSERT_THAT(watched(r), ElementsAre("a1"));
  EXPECT_THAT(r.watch[0].because, HasSubstr("As in the weeks before"));
}

TEST(ReviewWeek, PainThatNobodyMentionsAnyMoreIsAskedAbout) {
  auto quiet = lifter();
  quiet.edit([](AthleteLog& log) {
    for (Check& c : log.checks) {
      if (c.date == k_monday - Days{2}) c.pain.push_back({"knee-left", 6, PainKind::sharp});
    }
  });
  const WeekReview r = review({quiet});
  ASSERT_THAT(watched(r), ElementsAre("a1"));
  EXPECT_THAT(r.watch[0].because, HasSubstr("Pain in the left knee is open since"));
}

TEST(ReviewWeek, SaysHowMuchIsHeldAside) {
  auto asked = lifter();
  asked.symptom(6, "fainted");
  for (const char* said : {"1 entry is held aside", "2 entries are held aside"}) {
    asked.edit(
        [](AthleteLog& log) { log.questions.push_back({.athlete = "a1", .date = k_sunday, .doubt = "weight"}); });
    const WeekReview r = review({asked});
    ASSERT_THAT(r.flags, SizeIs(1));
    EXPECT_THAT(r.flags[0].unknown, Contains(HasSubstr(said)));
  }
}

TEST(ReviewWeek, PainNamesSiteLevelsLiftAndWhomToAsk) {
  const WeekReview r = review({lifter().pain("knee-right", PainKind::dull, {{0, 2}, {2, 3}, {4, 4}, {6, 5}})});
  ASSERT_THAT(r.flags, SizeIs(1));
  EXPECT_THAT(r.flags[0].because[0],
              AllOf(HasSubstr("right knee"), HasSubstr("2 on Monday"), HasSubstr("5 on Sunday")));
  EXPECT_THAT(r.flags[0].because, Contains(HasSubstr("unchanged load")));
  EXPECT_THAT(r.flags[0].next_step, AllOf(HasSubstr("squats"), HasSubstr("physiotherapist or doctor")));
}

TEST(ReviewWeek, AStopOfAnEarlierWeekStaysUntilItIsCleared) {
  auto stopped = lifter();
  const Day before = k_monday - Days{3};
  stopped.edit([&](AthleteLog& log) {
    for (Check& c : log.checks) {
      if (c.date == before) c.symptoms = {"dark-urine"};
    }
  });
  EXPECT_THAT(kinds(stopped), ElementsAre("stop"));
  stopped.edit([&](AthleteLog& log) {
    log.clearances.push_back({.athlete = "a1", .date = k_monday + Days{1}, .caution = "dark-urine", .note = {}});
  });
  EXPECT_THAT(kinds(stopped), IsEmpty());
}

TEST(ReviewWeek, FeverIsFlaggedWhileItLastsAndWatchedAfterwards) {
  EXPECT_THAT(kinds(lifter().symptom(5, "fever").symptom(6, "fever")), ElementsAre("stop"));
  const WeekReview over = review({lifter().symptom(0, "fever").symptom(1, "fever")});
  EXPECT_THAT(over.flags, IsEmpty());
  EXPECT_THAT(watched(over), ElementsAre("a1"));
}

TEST(ReviewWeek, TwoIllAreOneEvent) {
  auto c = club(4);
  c[0].symptom(6, "fever");
  EXPECT_THAT(review(c).squad, IsEmpty());
  c[1].symptom(6, "runny-nose");
  EXPECT_THAT(review(c).squad, Contains(HasSubstr("2 of 4 entered signs of illness")));
}

TEST(ReviewWeek, DistressIsQuotedOnlyWhereNotesAreShared) {
  auto worried = lifter();
  worried.note(5, "I cannot cope any more");
  const WeekReview r = review({worried});
  ASSERT_THAT(r.flags, SizeIs(1));
  EXPECT_THAT(r.flags[0].kinds, ElementsAre("distress"));
  EXPECT_THAT(all_text(r), AllOf(HasSubstr("Saturday"), Not(HasSubstr("cope"))));
  EXPECT_THAT(r.flags[0].next_step, AllOf(HasSubstr("a1"), HasSubstr("privately"), HasSubstr("support")));

  worried.athlete([](Athlete& a) { a.share = {"distress-flag", "notes"}; });
  EXPECT_THAT(all_text(review({worried})), HasSubstr("cannot cope"));
  worried.athlete([](Athlete& a) { a.share = {"load", "checks", "notes"}; });
  EXPECT_THAT(review({worried}).flags, IsEmpty());
  EXPECT_THAT(kinds(lifter().note(5, "no point testing a max today")), IsEmpty());
}

TEST(ReviewWeek, MoodFarBelowForDaysIsDistress) {
  EXPECT_THAT(kinds(lifter().week(&Check::mood, -3)), ElementsAre("distress"));
  EXPECT_THAT(kinds(lifter().week(&Check::mood, -1.9)), IsEmpty());
}

TEST(ReviewWeek, UnderEighteenTheGuardiansAreNamed) {
  auto young = lifter();
  young.pain("knee-left", PainKind::sharp, {{6, 5}}).athlete([](Athlete& a) { a.birth_year = 2010; });
  EXPECT_THAT(review({young}).flags.at(0).next_step, HasSubstr("parent or guardian"));
  young.athlete([](Athlete& a) { a.birth_year = 1990; });
  EXPECT_THAT(review({young}).flags.at(0).next_step, Not(HasSubstr("guardian")));
}

TEST(ReviewWeek, WhatIsNotSharedIsNotShownButStopsAre) {
  auto closed = lifter();
  closed.week(&Check::sleep_hours, -3)
      .week(&Check::fatigue, 3)
      .pain("knee-left", PainKind::sharp, {{6, 5}})
      .pain("elbow-left", PainKind::dull, {{0, 1}, {1, 2}, {2, 3}})
      .athlete([](Athlete& a) { a.share = {"load"}; });
  EXPECT_THAT(kinds(closed), IsEmpty());
  closed.symptom(6, "fainted");
  const WeekReview r = review({closed});
  ASSERT_THAT(r.flags, SizeIs(1));
  EXPECT_THAT(r.flags[0].kinds, ElementsAre("stop"));
  EXPECT_THAT(all_text(r), AllOf(Not(HasSubstr("knee")), Not(HasSubstr("elbow")), Not(HasSubstr("Slept")),
                                 Not(HasSubstr("Fatigue"))));
  EXPECT_THAT(r.flags[0].unknown, Contains(HasSubstr("not shared")));
}

TEST(ReviewWeek, SaysNothingThatMustNotBeSaid) {
  auto c = club(8);
  c[0].symptom(6, "chest-pressure").symptom(5, "dark-urine");
  c[1].pain("knee-right", PainKind::sharp, {{0, 2}, {2, 5}, {4, 7}});
  c[2].note(4, "I feel hopeless").week(&Check::mood, -3);
  c[3].week(&Check::sleep_hours, -2).week(&Check::fatigue, 2);
  c[4].silent_from(1);
  c[5].minutes(1, 1.8, false);
  c[6].same_every_day().week(&Check::mood, -1.5);
  const std::string text = all_text(review(c));
  for (const auto* word : {"!", "safe", "injury risk", "guarantee", "prevent", "probably", "overtraining", "score"})
    EXPECT_THAT(text, Not(HasSubstr(word)));
}

}  // namespace
}  // namespace steelyard::testing
