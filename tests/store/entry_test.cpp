// What is expected here are the sentences of store.hpp.
#include <gmock/gmock.h>

#include "support.hpp"

namespace steelyard::store {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

class EntryTest : public StoreTest {};
STEELYARD_ON_EVERY_STORE(EntryTest);

/// One row of each kind with every column filled.
std::vector<Record> full_rows() {
  Athlete a{.athlete = "Ada.L-1_x",
            .name = "Ada Løve",
            .birth_year = 1990,
            .training_since = day("2012-09-01"),
            .units = Unit::lb,
            .weekdays = {0b0010101},
            .time_zone = "Europe/Berlin",
            .meet_date = day("2026-03-14"),
            .group = "club",
            .bar_kg = 20.5,
            .plates_kg = {25, 2.5, 1.25},
            .share = {"load", "notes"}};
  const std::string& code = a.athlete;
  const Day d = day("2026-01-05");
  return {
      a,
      TrainingMax{.athlete = code, .lift = "squat", .from = d, .training_max_kg = 315 * 0.45359237, .unit = Unit::lb},
      PlanRow{.athlete = code,
              .date = d,
              .lift = "squat",
              .kind = DayKind::speed,
              .sets = 8,
              .reps = 2,
              .percent = 62.5,
              .minutes = 75,
              .note = "fast, \"crisp\"\nand clean",
              .position = 1},
      Period{.athlete = code, .group = "", .from = d, .to = day("2026-01-18"), .intent = Intent::camp, .note = "hills"},
      DaysOff{.athlete = code, .from = d, .to = day("2026-01-06"), .reason = OffReason::travel},
      Session{.athlete = code,
              .date = d,
              .part = 2,
              .kind = DayKind::sport,
              .minutes = 0.1 + 0.2,
              .rpe = 6.5,
              .tonnage_kg = 4321.5,
              .note = "späť"},
      SetRow{.athlete = code,
             .date = d,
             .part = 2,
             .lift = "bench",
             .sets = 3,
             .reps = 5,
             .weight_kg = 1.0 / 3,
             .unit = Unit::kg,
             .percent = 71,
             .rpe = 8.5,
             .speed_m_s = 0.47,
             .missed = 1,
             .position = 1},
      Check{.athlete = code,
            .date = d,
            .sleep_hours = 6.75,
            .sleep_quality = 4,
            .soreness = 3,
            .fatigue = 2,
            .stress = 5,
            .mood = 6,
            .sore_regions = {{"quads", 4}, {"upper-back", 2.5}},
            .pain = {{"knee-right", 5, PainKind::sharp}},
            .symptoms = {"fever", "cough"},
            .resting_hr = 52,
            .hrv_ms = 61.2,
            .body_mass_kg = 81.3,
            .jump_cm = 38.4,
            .minutes_available = 60,
            .note = "slept badly"},
      BarSpeed{.athlete = code, .date = d, .lift = "squat", .percent = 60, .speed_m_s = 0.81},
      Clearance{.athlete = code, .date = d, .caution = "knee", .by = ClearedBy::mistake, .note = "typed it wrong"}};
}

TEST_P(EntryTest, GivesEveryColumnOfEveryKindBackAsItWas) {
  const auto store = open();
  const auto rows = full_rows();
  EXPECT_EQ(enter(*store, rows).added, static_cast<std::int64_t>(rows.size()));
  const AthleteLog log = whole_log(*store, "Ada.L-1_x");
  EXPECT_EQ(Record(log.athlete), rows[0]);
  EXPECT_EQ(Record(log.maxes.at(0)), rows[1]);
  EXPECT_EQ(Record(log.plan.at(0)), rows[2]);
  EXPECT_EQ(Record(log.periods.at(0)), rows[3]);
  EXPECT_EQ(Record(log.days_off.at(0)), rows[4]);
  EXPECT_EQ(Record(log.sessions.at(0)), rows[5]);
  EXPECT_EQ(Record(log.sets.at(0)), rows[6]);
  EXPECT_EQ(Record(log.checks.at(0)), rows[7]);
  EXPECT_EQ(Record(log.bar.at(0)), rows[8]);
  EXPECT_EQ(Record(log.clearances.at(0)), rows[9]);
}

TEST_P(EntryTest, KeepsBlankColumnsBlank) {
  const auto store = open();
  const Check blank{.athlete = "ada", .date = day("2026-01-05")};
  SetRow bodyweight{.athlete = "ada", .date = day("2026-01-05"), .lift = "pull-up", .reps = 0};
  Session zero = session("ada", "2026-01-05", 30);
  zero.rpe = 0;
  enter(*store, {athlete("ada"), blank, bodyweight, zero});
  const AthleteLog log = whole_log(*store, "ada");
  EXPECT_EQ(log.checks.at(0), blank);
  EXPECT_EQ(log.sets.at(0).weight_kg, std::nullopt);
  EXPECT_EQ(log.sessions.at(0).rpe, 0.0);
  EXPECT_EQ(log.sessions.at(0).tonnage_kg, std::nullopt);
}

TEST_P(EntryTest, TheSameRowsAgainChangeNothingAndLeaveNoEntry) {
  const auto store = open();
  const auto rows = full_rows();
  EXPECT_GT(enter(*store, rows).id, 0);
  const auto digest = must(store->contents_digest());
  const auto again = enter(*store, rows);
  EXPECT_EQ(again.id, 0);
  EXPECT_EQ(again.unchanged, static_cast<std::int64_t>(rows.size()));
  EXPECT_EQ(again.added + again.replaced + again.removed, 0);
  EXPECT_EQ(must(store->contents_digest()), digest);
  EXPECT_THAT(must(store->history("Ada.L-1_x")), IsEmpty());
  EXPECT_EQ(must(store->undo_last())->source, "test");
  EXPECT_EQ(must(store->undo_last()), std::nullopt) << "the second entry must not be there to be undone";
}

TEST_P(EntryTest, ARowWithTheSameKeyReplacesTheOldOneWhichGoesToTheHistory) {
  const auto store = open();
  enter(*store, {athlete("ada"), check("ada", "2026-01-05", 8)}, "first.csv");
  const auto entry = must(store->begin("second.csv", k_noon + std::chrono::seconds(60)));
  EXPECT_EQ(must(entry->put(check("ada", "2026-01-05", 6))), PutOutcome::replaced);
  EXPECT_EQ(must(entry->put(check("ada", "2026-01-06", 7))), PutOutcome::added);
  EXPECT_EQ(must(entry->put(check("ada", "2026-01-06", 7))), PutOutcome::unchanged);
  const auto summary = must(entry->commit());
  EXPECT_EQ(summary.replaced, 1);
  EXPECT_EQ(summary.added, 1);
  EXPECT_EQ(summary.unchanged, 1);

  const auto log = whole_log(*store, "ada");
  ASSERT_EQ(log.checks.size(), 2U);
  EXPECT_EQ(log.checks[0].sleep_hours, 6.0);
  const auto history = must(store->history("ada"));
  ASSERT_EQ(history.size(), 1U);
  EXPECT_EQ(history[0].before, Record(check("ada", "2026-01-05", 8)));
  EXPECT_EQ(history[0].replaced_by.id, summary.id);
  EXPECT_EQ(history[0].replaced_by.source, "second.csv");
  EXPECT_EQ(history[0].replaced_by.at, k_noon + std::chrono::seconds(60));
}

TEST_P(EntryTest, TheColumnsOfTheKeyTellRowsApart) {
  const auto store = open();
  const Day d = day("2026-01-05");
  const auto max = [&](std::string lift, Day from, double kg) {
    return TrainingMax{.athlete = "ada", .lift = std::move(lift), .from = from, .training_max_kg = kg};
  };
  const auto bar = [&](double percent) {
    return BarSpeed{.athlete = "ada", .date = d, .lift = "squat", .percent = percent, .speed_m_s = 0.7};
  };
  const auto off = [&](Day from) { return DaysOff{.athlete = "ada", .from = from, .to = day("2026-02-01")}; };
  const auto period = [&](std::string who, std::string group) {
    return Period{.athlete = std::move(who), .group = std::move(group), .from = d, .to = d};
  };
  const auto clear = [&](std::string caution) {
    return Clearance{.athlete = "ada", .date = d, .caution = std::move(caution)};
  };
  const auto summary =
      enter(*store,
            {athlete("ada", "club"), athlete("Ada", "club"), max("squat", d, 100), max("bench", d, 100),
             max("squat", d + Days(1), 100), bar(60), bar(60.5), off(d), off(d + Days(1)), period("ada", ""),
             period("", "club"), period("", "team"), clear("knee"), clear("chest"), session("ada", "2026-01-05", 60, 1),
             session("ada", "2026-01-05", 60, 2), check("ada", "2026-01-05"), check("Ada", "2026-01-05")});
  EXPECT_EQ(summary.added, 18);
  EXPECT_EQ(enter(*store, {max("squat", d, 105), bar(60)}).replaced, 1);
  EXPECT_EQ(whole_log(*store, "ada").maxes.size(), 3U);
}

TEST_P(EntryTest, IsGivenUpWithoutCommit) {
  const auto store = open();
  enter(*store, {athlete("ada")});
  const auto digest = must(store->contents_digest());
  {
    const auto entry = must(store->begin("test", k_noon));
    must(entry->put(check("ada", "2026-01-05")));
    must(entry->put(athlete("bo")));
    EXPECT_NE(must(store->contents_digest()), digest);
  }
  EXPECT_EQ(must(store->contents_digest()), digest);
  EXPECT_THAT(whole_log(*store, "ada").checks, IsEmpty());
}

TEST_P(EntryTest, ReadsThroughItsOwnChanges) {
  const auto store = open();
  const auto entry = must(store->begin("test", k_noon));
  EXPECT_EQ(must(entry->athlete("ada")), std::nullopt);
  EXPECT_EQ(code_of(entry->log("ada", day("2026-01-01"), day("2026-02-01"))), Errc::no_input);
  must(entry->put(athlete("ada", "club")));
  must(entry->put(check("ada", "2026-01-05")));
  EXPECT_EQ(must(entry->athlete("ada"))->group, "club");
  EXPECT_EQ(must(entry->log("ada", day("2026-01-01"), day("2026-02-01"))).checks.size(), 1U);
  EXPECT_GT(must(entry->commit()).id, 0) << "a question about an unknown athlete is no error of the store";
}

TEST_P(EntryTest, TellsWhomItTouchedFromWhichDayOn) {
  const auto store = open();
  enter(*store, {athlete("bo", "club"), athlete("ada", "club"), athlete("cy"), check("cy", "2026-01-05")});
  const auto entry = must(store->begin("test", k_noon));
  must(entry->put(check("bo", "2026-01-09")));
  must(entry->put(session("bo", "2026-01-07", 60)));
  must(entry->put(DaysOff{.athlete = "bo", .from = day("2026-01-08"), .to = day("2026-01-30")}));
  must(entry->put(check("cy", "2026-01-05")));  // as it was
  const auto line = [](const Touched& t) { return t.athlete + " " + format_day(t.from); };
  const auto lines = [&] {
    std::vector<std::string> all;
    for (const auto& t : must(entry->touched())) all.push_back(line(t));
    return all;
  };
  EXPECT_THAT(lines(), ElementsAre("bo 2026-01-07"));
  must(entry->put(Period{.athlete = "", .group = "club", .from = day("2026-01-06"), .to = day("2026-01-30")}));
  EXPECT_THAT(lines(), ElementsAre("ada 2026-01-06", "bo 2026-01-06"));
  must(entry->put(TrainingMax{.athlete = "cy", .lift = "squat", .from = day("2026-01-05"), .training_max_kg = 90}));
  must(entry->put(athlete("ada", "team")));
  EXPECT_EQ(must(entry->touched()).at(0).from, Day{});
  EXPECT_EQ(must(entry->touched()).at(2).athlete, "cy");
  EXPECT_EQ(must(entry->touched()).at(2).from, Day{});
  must(entry->remove(check("bo", "2026-01-09")));
  EXPECT_EQ(must(entry->touched()).at(1).from, day("2026-01-06"));
}

TEST_P(EntryTest, RemovesTheRowWithTheKeyAndNothingElse) {
  const auto store = open();
  enter(*store, {athlete("ada"), check("ada", "2026-01-05", 8), check("ada", "2026-01-06", 7)});
  const auto entry = must(store->begin("test", k_noon));
  must(entry->remove(check("ada", "2026-01-05", 3)));  // other values, same key
  must(entry->remove(check("ada", "2026-01-07")));     // no such row
  EXPECT_EQ(must(entry->commit()).removed, 1);
  const auto log = whole_log(*store, "ada");
  ASSERT_EQ(log.checks.size(), 1U);
  EXPECT_EQ(log.checks[0].date, day("2026-01-06"));
  EXPECT_EQ(must(store->history("ada")).at(0).before, Record(check("ada", "2026-01-05", 8)));
  const auto nothing = must(store->begin("test", k_noon));
  must(nothing->remove(check("ada", "2026-01-07")));
  EXPECT_EQ(must(nothing->commit()).id, 0);
}

TEST_P(EntryTest, RefusesRowsOfAnAthleteWhoIsNotStored) {
  const auto store = open();
  const auto entry = must(store->begin("test", k_noon));
  must(entry->put(check("ada", "2026-01-05")));
  const auto refused = entry->commit();
  EXPECT_EQ(code_of(refused), Errc::bad_data);
  EXPECT_THAT(refused.error().what, testing::HasSubstr("athlete who is not in the store"));
}

TEST_P(EntryTest, AcceptsTheAthleteAfterTheRows) {
  const auto store = open();
  enter(*store, {check("ada", "2026-01-05"), athlete("ada")});
  EXPECT_EQ(whole_log(*store, "ada").checks.size(), 1U);
}

TEST_P(EntryTest, IsTheOnlyOneOfItsStoreAndIsClosedByCommit) {
  const auto store = open();
  const auto entry = must(store->begin("one", k_noon));
  EXPECT_EQ(code_of(store->begin("two", k_noon)), Errc::failed);
  EXPECT_EQ(code_of(store->undo_last()), Errc::failed);
  EXPECT_EQ(code_of(store->erase("ada")), Errc::failed);
  must(entry->put(athlete("ada")));
  must(entry->commit());
  EXPECT_EQ(code_of(entry->put(athlete("bo"))), Errc::failed);
  EXPECT_EQ(code_of(entry->commit()), Errc::failed);
  EXPECT_EQ(must(store->athletes()).size(), 1U);
  must(store->begin("three", k_noon));
}

TEST_P(EntryTest, ListsAthletesByCode) {
  const auto store = open();
  enter(*store, {athlete("cy"), athlete("ada"), athlete("bo")});
  std::vector<std::string> codes;
  for (const auto& a : must(store->athletes())) codes.push_back(a.athlete);
  EXPECT_THAT(codes, ElementsAre("ada", "bo", "cy"));
  EXPECT_EQ(must(store->athlete("dee")), std::nullopt);
}

}  // namespace
}  // namespace steelyard::store
