// Which rows Store::log gives: the sentences of store.hpp, counted by hand.
#include <gmock/gmock.h>

#include "support.hpp"

namespace steelyard::store {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

class LogTest : public StoreTest {};
STEELYARD_ON_EVERY_STORE(LogTest);

template <class R>
std::vector<std::string> dates(const std::vector<R>& rows) {
  std::vector<std::string> all;
  for (const auto& r : rows) {
    if constexpr (requires { r.date; }) {
      all.push_back(format_day(r.date));
    } else {
      all.push_back(format_day(r.from));
    }
  }
  return all;
}

TEST_P(LogTest, RefusesAnUnknownAthleteByName) {
  const auto store = open();
  const auto log = store->log("nobody", day("2026-01-01"), day("2026-02-01"));
  EXPECT_EQ(code_of(log), Errc::no_input);
  EXPECT_THAT(log.error().what, testing::HasSubstr("\"nobody\""));
}

TEST_P(LogTest, GivesTheRowsOfTheSpanWithBothEndsAndOfNobodyElse) {
  const auto store = open();
  std::vector<Record> rows{athlete("ada"), athlete("bo")};
  for (const auto* d : {"2026-01-09", "2026-01-10", "2026-01-11", "2026-01-20", "2026-01-21"}) {
    rows.push_back(plan("ada", d, "squat"));
    rows.push_back(session("ada", d, 60));
    rows.push_back(set("ada", d, 100));
    rows.push_back(check("ada", d));
    rows.push_back(BarSpeed{.athlete = "ada", .date = day(d), .lift = "squat", .percent = 60, .speed_m_s = 0.8});
    rows.push_back(session("bo", d, 60));
    rows.push_back(set("bo", d, 100));
  }
  enter(*store, rows);
  const auto log = must(store->log("ada", day("2026-01-10"), day("2026-01-20")));
  const auto inside = ElementsAre("2026-01-10", "2026-01-11", "2026-01-20");
  EXPECT_THAT(dates(log.plan), inside);
  EXPECT_THAT(dates(log.sessions), inside);
  EXPECT_THAT(dates(log.sets), inside);
  EXPECT_THAT(dates(log.checks), inside);
  EXPECT_THAT(dates(log.bar), inside);
  EXPECT_EQ(log.first_entry, day("2026-01-09"));
}

TEST_P(LogTest, GivesAllMaxesAndClearancesAndWhatTouchesTheSpanOrLiesAfterIt) {
  const auto store = open();
  const auto off = [](std::string_view from, std::string_view to) {
    return DaysOff{.athlete = "ada", .from = day(from), .to = day(to)};
  };
  const auto period = [](std::string who, std::string group, std::string_view from, std::string_view to) {
    return Period{.athlete = std::move(who), .group = std::move(group), .from = day(from), .to = day(to)};
  };
  const auto max = [](std::string lift, std::string_view from) {
    return TrainingMax{.athlete = "ada", .lift = std::move(lift), .from = day(from), .training_max_kg = 100};
  };
  const auto clear = [](std::string_view date) {
    return Clearance{.athlete = "ada", .date = day(date), .caution = "knee"};
  };
  enter(*store, {athlete("ada", "club"), athlete("bo", "team"), max("squat", "2027-01-01"), max("squat", "2019-01-01"),
                 max("bench", "2020-01-01"), clear("2018-05-05"), clear("2026-12-01"), off("2026-01-01", "2026-01-09"),
                 off("2026-01-02", "2026-01-10"), off("2026-03-01", "2026-03-02"),
                 period("ada", "", "2025-12-01", "2026-01-10"), period("ada", "", "2025-11-01", "2026-01-09"),
                 period("", "club", "2025-12-02", "2026-05-01"), period("", "team", "2025-12-03", "2026-05-01"),
                 period("bo", "", "2025-12-04", "2026-05-01")});
  const auto log = must(store->log("ada", day("2026-01-10"), day("2026-01-20")));
  EXPECT_THAT(dates(log.maxes), ElementsAre("2019-01-01", "2020-01-01", "2027-01-01"));
  EXPECT_THAT(dates(log.clearances), ElementsAre("2018-05-05", "2026-12-01"));
  EXPECT_THAT(dates(log.days_off), ElementsAre("2026-01-02", "2026-03-01"));
  EXPECT_THAT(dates(log.periods), ElementsAre("2025-12-01", "2025-12-02"));
}

TEST_P(LogTest, WithoutAGroupGivesNoPeriodsOfGroups) {
  const auto store = open();
  enter(*store,
        {athlete("ada"), Period{.athlete = "", .group = "club", .from = day("2026-01-01"), .to = day("2026-05-01")}});
  EXPECT_THAT(whole_log(*store, "ada").periods, IsEmpty());
}

TEST_P(LogTest, AddsOlderSymptomsPainAndNotesUpTo400DaysBack) {
  const auto store = open();
  const auto symptom = [](std::string_view d) {
    Check c = check("ada", d);
    c.symptoms = {"dizzy"};
    return c;
  };
  const auto pain = [](std::string_view d) {
    Check c = check("ada", d);
    c.pain = {{"knee-left", 3, PainKind::dull}};
    return c;
  };
  const auto note = [](auto row) {
    row.note = "hm";
    return row;
  };
  // 400 days before 2026-01-20 is 2024-12-16 (a leap year's end lies not between: 35 days of 2024/25, 365 of 2025).
  enter(*store, {athlete("ada"), symptom("2024-12-15"), symptom("2024-12-16"), pain("2025-02-01"),
                 note(check("ada", "2025-03-01")), check("ada", "2025-04-01"), check("ada", "2026-01-10"),
                 note(session("ada", "2024-12-15", 60)), note(session("ada", "2024-12-16", 60)),
                 session("ada", "2025-05-01", 60), session("ada", "2026-01-11", 60), symptom("2026-01-21")});
  const auto log = must(store->log("ada", day("2026-01-10"), day("2026-01-20")));
  EXPECT_THAT(dates(log.checks), ElementsAre("2024-12-16", "2025-02-01", "2025-03-01", "2026-01-10"));
  EXPECT_THAT(dates(log.sessions), ElementsAre("2024-12-16", "2026-01-11"));
  EXPECT_EQ(log.first_entry, day("2024-12-15"));
}

TEST_P(LogTest, ASpanLongerThan400DaysIsGivenWhole) {
  const auto store = open();
  enter(*store, {athlete("ada"), check("ada", "2020-01-01"), session("ada", "2020-01-01", 60)});
  const auto log = must(store->log("ada", day("2020-01-01"), day("2026-01-01")));
  EXPECT_EQ(log.checks.size(), 1U);
  EXPECT_EQ(log.sessions.size(), 1U);
}

TEST_P(LogTest, IsAscending) {
  const auto store = open();
  enter(*store,
        {athlete("ada"), session("ada", "2026-01-12", 60, 2), session("ada", "2026-01-12", 60, 1),
         session("ada", "2026-01-11", 60), set("ada", "2026-01-12", 3, 2), set("ada", "2026-01-12", 2, 1),
         set("ada", "2026-01-11", 1), check("ada", "2026-01-12"), check("ada", "2026-01-11"),
         plan("ada", "2026-01-12", "row"), plan("ada", "2026-01-12", "bench"), plan("ada", "2026-01-11", "squat")});
  const auto log = whole_log(*store, "ada");
  EXPECT_EQ(log.sessions[0].date, day("2026-01-11"));
  EXPECT_EQ(log.sessions[1].part, 1);
  EXPECT_EQ(log.sessions[2].part, 2);
  EXPECT_THAT(weights(*store, "ada"), ElementsAre(1, 2, 3));
  EXPECT_THAT(planned_lifts(*store, "ada"), ElementsAre("squat", "row", "bench"));
  EXPECT_EQ(log.checks[0].date, day("2026-01-11"));
}

TEST_P(LogTest, HasNoFirstEntryWithoutSessionsAndChecks) {
  const auto store = open();
  enter(*store, {athlete("ada"), plan("ada", "2026-01-12", "row")});
  EXPECT_EQ(whole_log(*store, "ada").first_entry, std::nullopt);
}

TEST_P(LogTest, GivesTheLastDecisionOfALiftAndDayInTheSpan) {
  const auto store = open();
  enter(*store, {athlete("ada")});
  const auto decide = [&](std::string_view d, std::string lift, std::string reason) {
    must(store->save_decision({.athlete = "ada",
                               .date = day(d),
                               .lift = std::move(lift),
                               .follows = reason.empty(),
                               .reason = reason,
                               .done = "3x5"},
                              k_noon));
  };
  decide("2026-01-09", "squat", "early");
  decide("2026-01-10", "squat", "felt good");
  decide("2026-01-10", "squat", "");
  decide("2026-01-10", "bench", "shoulder");
  decide("2026-01-21", "squat", "late");
  const auto log = must(store->log("ada", day("2026-01-10"), day("2026-01-20")));
  ASSERT_EQ(log.decisions.size(), 2U);
  EXPECT_EQ(log.decisions[0].lift, "bench");
  EXPECT_EQ(log.decisions[0].reason, "shoulder");
  EXPECT_FALSE(log.decisions[0].follows);
  EXPECT_EQ(log.decisions[1].lift, "squat");
  EXPECT_TRUE(log.decisions[1].follows);
  EXPECT_EQ(log.decisions[1].done, "3x5");
}

TEST_P(LogTest, AFollowedCallIsOverOnceThePlanOfThatLiftIsWrittenAnew) {
  const auto store = open();
  enter(*store, {athlete("ada"), plan("ada", "2026-01-05", "squat", 85), plan("ada", "2026-01-05", "bench", 85)});
  for (const char* lift : {"squat", "bench"}) {
    must(store->save_decision({.athlete = "ada", .date = day("2026-01-05"), .lift = lift, .called = "trim-intensity"},
                              k_noon));
  }
  EXPECT_THAT(whole_log(*store, "ada").decisions, testing::SizeIs(2));
  const auto later = must(store->begin("plan set", k_noon + std::chrono::minutes(1)));
  must(later->put(plan("ada", "2026-01-05", "squat", 87.5)));
  must(later->commit());
  const auto left = whole_log(*store, "ada").decisions;
  ASSERT_THAT(left, testing::SizeIs(1));
  EXPECT_EQ(left[0].lift, "bench");
}

}  // namespace
}  // namespace steelyard::store
