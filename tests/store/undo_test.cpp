// Undo: single cases, and random chains of entries that are taken back one by one.
#include <gmock/gmock.h>

#include "random_log.hpp"

namespace steelyard::store {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

class UndoTest : public StoreTest {};
STEELYARD_ON_EVERY_STORE(UndoTest);

TEST_P(UndoTest, OfNothingGivesNothing) {
  EXPECT_EQ(must(open()->undo_last()), std::nullopt);
}

TEST_P(UndoTest, TakesAddedRowsAwayAndBringsReplacedAndRemovedOnesBack) {
  const auto store = open();
  enter(*store, {athlete("ada"), check("ada", "2026-01-05", 8), check("ada", "2026-01-06", 7)}, "first.csv");
  const auto before = picture(*store);
  const auto entry = must(store->begin("second.csv", k_noon));
  must(entry->put(check("ada", "2026-01-05", 5)));
  must(entry->put(check("ada", "2026-01-07", 5)));
  must(entry->remove(check("ada", "2026-01-06")));
  const auto summary = must(entry->commit());
  const auto undone = must(store->undo_last());
  EXPECT_EQ(undone->id, summary.id);
  EXPECT_EQ(undone->source, "second.csv");
  EXPECT_EQ(undone->at, k_noon);
  EXPECT_EQ(picture(*store), before);
  EXPECT_THAT(must(store->history("ada")), IsEmpty());
}

TEST_P(UndoTest, OfARowChangedTwiceInOneEntryBringsTheOldestBack) {
  const auto store = open();
  enter(*store, {athlete("ada"), check("ada", "2026-01-05", 8)});
  const auto before = picture(*store);
  enter(*store, {check("ada", "2026-01-05", 7), check("ada", "2026-01-05", 6), check("ada", "2026-01-06", 6),
                 check("ada", "2026-01-06", 5)});
  must(store->undo_last());
  EXPECT_EQ(picture(*store), before);
}

TEST_P(UndoTest, TakesTheDecisionsBackThatWroteThePlanAndNoOthers) {
  const auto store = open();
  enter(*store, {athlete("ada"), plan("ada", "2026-01-05", "squat", 85), plan("ada", "2026-01-06", "bench", 85)});
  const auto decide = [&](std::string_view date, std::string lift, bool follows, Instant at) {
    must(store->save_decision(
        {.athlete = "ada", .date = day(date), .lift = std::move(lift), .follows = follows, .called = "trim-intensity"},
        at));
  };
  decide("2026-01-06", "bench", true, k_noon);  // as planned: it wrote nothing
  decide("2026-01-05", "squat", true, k_noon);
  decide("2026-01-05", "bench", false, k_noon);
  enter(*store, {plan("ada", "2026-01-05", "squat", 75)}, "decide --follow");
  EXPECT_THAT(whole_log(*store, "ada").decisions, testing::SizeIs(3));
  must(store->undo_last());
  const auto left = whole_log(*store, "ada").decisions;
  ASSERT_THAT(left, testing::SizeIs(2));
  EXPECT_EQ(left[0].lift, "bench");
  EXPECT_EQ(left[1].lift, "bench");
}

TEST_P(UndoTest, SaysWhomTheEntryWasAboutAndCanBeHeldToOne) {
  const auto store = open();
  enter(*store, {athlete("ada"), athlete("bo")}, "both");
  enter(*store, {check("ada", "2026-01-05", 8)}, "hers");
  const auto whole = must(store->contents_digest());
  EXPECT_EQ(code_of(store->undo_last("bo")), Errc::not_allowed);
  EXPECT_EQ(must(store->contents_digest()), whole);
  const auto hers = must(store->undo_last("ada"));
  EXPECT_EQ(hers->source, "hers");
  EXPECT_THAT(hers->athletes, ElementsAre("ada"));
  EXPECT_EQ(code_of(store->undo_last("ada")), Errc::not_allowed) << "it is about bo too";
  EXPECT_THAT(must(store->undo_last())->athletes, ElementsAre("ada", "bo"));
  EXPECT_EQ(must(store->undo_last("ada")), std::nullopt);
}

TEST_P(UndoTest, OfAnAnswerNamesWhoseQuestionItWas) {
  const auto store = open();
  enter(*store, {athlete("ada")});
  auto entry = must(store->begin("asks", k_noon));
  must(entry->ask({.id = 0, .athlete = "ada", .date = day("2026-01-05"), .doubt = "minutes", .rows = {}}));
  must(entry->commit());
  entry = must(store->begin("answers", k_noon));
  must(entry->answer(must(store->questions({})).at(0).id, "dropped"));
  must(entry->commit());
  entry.reset();
  EXPECT_THAT(must(store->undo_last())->athletes, ElementsAre("ada"));
}

TEST_P(UndoTest, GoesBackEntryByEntryToAnEmptyStore) {
  const auto store = open();
  const auto empty = must(store->contents_digest());
  enter(*store, {athlete("ada")}, "one");
  enter(*store, {check("ada", "2026-01-05", 8)}, "two");
  enter(*store, {check("ada", "2026-01-05", 7)}, "three");
  EXPECT_EQ(must(store->undo_last())->source, "three");
  EXPECT_EQ(whole_log(*store, "ada").checks.at(0).sleep_hours, 8.0);
  EXPECT_EQ(must(store->undo_last())->source, "two");
  EXPECT_THAT(whole_log(*store, "ada").checks, IsEmpty());
  EXPECT_EQ(must(store->undo_last())->source, "one");
  EXPECT_THAT(must(store->athletes()), IsEmpty());
  EXPECT_EQ(must(store->contents_digest()), empty);
}

TEST_P(UndoTest, OfAGroupsPeriodTakesItAway) {
  const auto store = open();
  enter(*store, {athlete("ada", "club")});
  enter(*store, {Period{.athlete = "", .group = "club", .from = day("2026-01-01"), .to = day("2026-01-31")}});
  EXPECT_EQ(whole_log(*store, "ada").periods.size(), 1U);
  must(store->undo_last());
  EXPECT_THAT(whole_log(*store, "ada").periods, IsEmpty());
}

/// Random puts, removals, questions and answers in one entry.
void random_entry(Store& store, RandomLog& random) {
  const auto stored = whole_log(store, random.code());
  const auto open_questions = must(store.open_questions(std::nullopt));
  const auto entry = must(store.begin("random", k_noon));
  for (const auto& row : random.rows(1 + random.below(12))) {
    const auto put = entry->put(row);
    ASSERT_TRUE(put || put.error().what == "conflict");
    // An athlete with rows cannot be removed alone.
    if (!std::holds_alternative<Athlete>(row) && random.once_in(6)) must(entry->remove(row));
  }
  if (!stored.sets.empty() && random.once_in(2)) must(entry->remove(random.one_of(stored.sets)));
  if (!stored.plan.empty() && random.once_in(2)) must(entry->remove(random.one_of(stored.plan)));
  if (random.once_in(3)) {
    must(entry->ask({.id = 0,
                     .athlete = random.code(),
                     .date = random.date(),
                     .doubt = "minutes",
                     .say = "?",
                     .fields = {},
                     .rows = random.rows(2)}));
  }
  if (!open_questions.empty() && random.once_in(2)) must(entry->answer(random.one_of(open_questions).id, "kept"));
  if (random.once_in(8)) return;  // given up
  must(entry->commit());
}

TEST_P(UndoTest, ReversesRandomEntriesStepByStep) {
  for (unsigned seed = 1; seed <= seeds(8); ++seed) {
    SCOPED_TRACE("seed " + std::to_string(seed));
    RandomLog random(seed);
    const auto store = open("seed" + std::to_string(seed) + ".db");
    enter(*store, {athlete("ada", "club"), athlete("bo"), athlete("cy", "team")});
    const auto state = [&] { return std::pair(picture(*store), must(store->contents_digest())); };
    std::vector<std::pair<std::string, std::string>> states;
    for (int i = 0; i < 25; ++i) {
      const auto before = state();
      random_entry(*store, random);
      if (state() != before) states.push_back(before);
    }
    ASSERT_GT(states.size(), 10U);
    while (!states.empty()) {
      const auto now = state();
      ASSERT_TRUE(must(store->undo_last()));
      if (state() == now) continue;  // an entry that added a row and removed it again
      ASSERT_EQ(picture(*store), states.back().first);
      ASSERT_EQ(must(store->contents_digest()), states.back().second);
      states.pop_back();
    }
  }
}

}  // namespace
}  // namespace steelyard::store
