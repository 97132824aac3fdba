// Parts of a day, the sets of a part and the rows of a planned day: the sentences about them in store.hpp.
#include <gmock/gmock.h>

#include "support.hpp"

namespace steelyard::store {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

class SessionPart : public StoreTest {};
class SetsOfAPart : public StoreTest {};
class PlannedDay : public StoreTest {};
STEELYARD_ON_EVERY_STORE(SessionPart);
STEELYARD_ON_EVERY_STORE(SetsOfAPart);
STEELYARD_ON_EVERY_STORE(PlannedDay);

std::vector<std::pair<int, double>> parts(Store& store) {
  std::vector<std::pair<int, double>> found;
  for (const auto& s : whole_log(store, "ada").sessions) found.emplace_back(s.part.value_or(0), s.minutes.value_or(0));
  return found;
}
using Parts = std::vector<std::pair<int, double>>;

TEST_P(SessionPart, IsOneWhenNotSaid) {
  const auto store = open();
  enter(*store, {athlete("ada"), session("ada", "2026-01-05", 60)});
  EXPECT_EQ(parts(*store), (Parts{{1, 60}}));
  EXPECT_EQ(enter(*store, {session("ada", "2026-01-05", 70, 1)}).replaced, 1);
  EXPECT_EQ(parts(*store), (Parts{{1, 70}}));
}

TEST_P(SessionPart, NotSaidTwiceInOneEntryTakesTheNextNumber) {
  const auto store = open();
  const std::vector<Record> file{athlete("ada"), session("ada", "2026-01-05", 60), session("ada", "2026-01-06", 10),
                                 session("ada", "2026-01-05", 60), session("ada", "2026-01-05", 30)};
  EXPECT_EQ(enter(*store, file).added, 5);
  EXPECT_EQ(parts(*store), (Parts{{1, 60}, {2, 60}, {3, 30}, {1, 10}}));
  EXPECT_EQ(enter(*store, file).id, 0);
}

TEST_P(SessionPart, NotSaidGoesBehindPartsThatWereSaid) {
  const auto store = open();
  enter(*store, {athlete("ada"), session("ada", "2026-01-05", 60, 1), session("ada", "2026-01-05", 30),
                 session("ada", "2026-01-06", 20, 2), session("ada", "2026-01-06", 10)});
  EXPECT_EQ(parts(*store), (Parts{{1, 60}, {2, 30}, {1, 10}, {2, 20}}));
}

TEST_P(SessionPart, NotSaidIsOneAlsoBehindAnotherPartThatWasSaid) {
  const auto store = open();
  enter(*store, {athlete("ada"), session("ada", "2026-01-05", 60)});
  const auto summary = enter(*store, {session("ada", "2026-01-05", 30, 2), session("ada", "2026-01-05", 60)});
  EXPECT_EQ(summary.unchanged, 1);
  EXPECT_EQ(parts(*store), (Parts{{1, 60}, {2, 30}}));
}

TEST_P(SessionPart, NotSaidThatDiffersFromAnEarlierEntryIsAConflict) {
  const auto store = open();
  enter(*store, {athlete("ada"), session("ada", "2026-01-05", 60)});
  const auto entry = must(store->begin("test", k_noon));
  const auto put = entry->put(session("ada", "2026-01-05", 45));
  EXPECT_EQ(code_of(put), Errc::not_allowed);
  EXPECT_EQ(put.error().what, "conflict");
  // The caller's two ways on, in the same entry.
  EXPECT_EQ(must(entry->put(session("ada", "2026-01-05", 45, 2))), PutOutcome::added);
  EXPECT_EQ(must(entry->put(session("ada", "2026-01-05", 50, 1))), PutOutcome::replaced);
  must(entry->commit());
  EXPECT_EQ(parts(*store), (Parts{{1, 50}, {2, 45}}));
}

TEST_P(SessionPart, AConflictAloneChangesNothing) {
  const auto store = open();
  enter(*store, {athlete("ada"), session("ada", "2026-01-05", 60)});
  EXPECT_EQ(enter(*store, {session("ada", "2026-01-05", 45)}).id, 0);
  EXPECT_EQ(parts(*store), (Parts{{1, 60}}));
}

TEST_P(SessionPart, AConflictCountsAsOneOfTheDay) {
  const auto store = open();
  enter(*store, {athlete("ada"), session("ada", "2026-01-05", 60), session("ada", "2026-01-05", 30)});
  const auto entry = must(store->begin("test", k_noon));
  EXPECT_EQ(code_of(entry->put(session("ada", "2026-01-05", 61))), Errc::not_allowed);
  EXPECT_EQ(must(entry->put(session("ada", "2026-01-05", 30))), PutOutcome::unchanged);
}

TEST_P(SessionPart, AWrongNumberAfterUndoDoesNotCountAsNamed) {
  const auto store = open();
  enter(*store, {athlete("ada"), session("ada", "2026-01-05", 60)});
  enter(*store, {session("ada", "2026-01-05", 60), check("ada", "2026-01-05")});  // names the session again
  must(store->undo_last());
  // Had the new entry the number of the one that was undone, its first row would take part 2.
  EXPECT_EQ(enter(*store, {session("ada", "2026-01-05", 60)}).id, 0);
  EXPECT_EQ(parts(*store), (Parts{{1, 60}}));
}

TEST_P(SetsOfAPart, KeepTheOrderOfArrival) {
  const auto store = open();
  enter(*store,
        {athlete("ada"), set("ada", "2026-01-05", 100), set("ada", "2026-01-05", 60), set("ada", "2026-01-05", 80)});
  EXPECT_THAT(weights(*store, "ada"), ElementsAre(100, 60, 80));
  const auto log = whole_log(*store, "ada");
  EXPECT_EQ(log.sets[0].position, 1);
  EXPECT_EQ(log.sets[2].position, 3);
  EXPECT_EQ(log.sets[0].part, 1);
}

TEST_P(SetsOfAPart, AreReplacedAsAWholeByALaterEntry) {
  const auto store = open();
  enter(*store, {athlete("ada"), set("ada", "2026-01-05", 100), set("ada", "2026-01-05", 110),
                 set("ada", "2026-01-05", 120), set("ada", "2026-01-05", 50, 2), set("ada", "2026-01-06", 70)});
  const auto summary = enter(*store, {set("ada", "2026-01-05", 100), set("ada", "2026-01-05", 115)});
  EXPECT_THAT(weights(*store, "ada"), ElementsAre(100, 115, 50, 70));
  EXPECT_EQ(summary.unchanged, 1);
  EXPECT_EQ(summary.replaced, 1);
  EXPECT_EQ(summary.removed, 1);
  std::vector<double> before;
  for (const auto& h : must(store->history("ada"))) before.push_back(std::get<SetRow>(h.before).weight_kg.value_or(0));
  EXPECT_THAT(before, ElementsAre(110, 120));
}

TEST_P(SetsOfAPart, MayBecomeMore) {
  const auto store = open();
  enter(*store, {athlete("ada"), set("ada", "2026-01-05", 100)});
  EXPECT_EQ(enter(*store, {set("ada", "2026-01-05", 100), set("ada", "2026-01-05", 110)}).added, 1);
  EXPECT_THAT(weights(*store, "ada"), ElementsAre(100, 110));
}

TEST_P(SetsOfAPart, EqualOnesChangeNothingAlsoWhenScattered) {
  const auto store = open();
  const std::vector<Record> file{athlete("ada"),
                                 set("ada", "2026-01-05", 100),
                                 set("ada", "2026-01-06", 50),
                                 set("ada", "2026-01-05", 110),
                                 set("ada", "2026-01-06", 55),
                                 set("ada", "2026-01-05", 120)};
  EXPECT_EQ(enter(*store, file).added, 6);
  EXPECT_THAT(weights(*store, "ada"), ElementsAre(100, 110, 120, 50, 55));
  const auto again = enter(*store, file);
  EXPECT_EQ(again.id, 0);
  EXPECT_EQ(again.unchanged, 6);
  EXPECT_THAT(weights(*store, "ada"), ElementsAre(100, 110, 120, 50, 55));
}

TEST_P(SetsOfAPart, ScatteredOnesReplaceTheWholePartToo) {
  const auto store = open();
  enter(*store, {athlete("ada"), set("ada", "2026-01-05", 100), set("ada", "2026-01-05", 110),
                 set("ada", "2026-01-05", 120), set("ada", "2026-01-05", 130)});
  enter(*store, {set("ada", "2026-01-05", 100), set("ada", "2026-01-06", 50), set("ada", "2026-01-05", 111)});
  EXPECT_THAT(weights(*store, "ada"), ElementsAre(100, 111, 50));
}

TEST_P(SetsOfAPart, AreWholeWhenTheEntryReadsThem) {
  const auto store = open();
  enter(*store, {athlete("ada"), set("ada", "2026-01-05", 100), set("ada", "2026-01-05", 110)});
  const auto entry = must(store->begin("test", k_noon));
  must(entry->put(set("ada", "2026-01-05", 90)));
  EXPECT_EQ(must(entry->log("ada", day("2026-01-05"), day("2026-01-05"))).sets.size(), 1U);
  must(entry->put(set("ada", "2026-01-05", 95)));
  must(entry->commit());
  EXPECT_THAT(weights(*store, "ada"), ElementsAre(90, 95));
}

TEST_P(SetsOfAPart, LoseOneByItsPosition) {
  const auto store = open();
  enter(*store,
        {athlete("ada"), set("ada", "2026-01-05", 100), set("ada", "2026-01-05", 110), set("ada", "2026-01-05", 120)});
  const auto entry = must(store->begin("test", k_noon));
  must(entry->remove(whole_log(*store, "ada").sets.at(1)));
  must(entry->remove(set("ada", "2026-01-05", 100)));  // position 0 is nobody's
  EXPECT_EQ(must(entry->commit()).removed, 1);
  EXPECT_THAT(weights(*store, "ada"), ElementsAre(100, 120));
  EXPECT_EQ(enter(*store, {set("ada", "2026-01-05", 100), set("ada", "2026-01-05", 120)}).id, 0);
}

TEST_P(SetsOfAPart, MayLoseSomeBetweenTheSetsOfTheSameEntry) {
  const auto store = open();
  enter(*store,
        {athlete("ada"), set("ada", "2026-01-05", 100), set("ada", "2026-01-05", 110), set("ada", "2026-01-05", 120)});
  const auto stored = whole_log(*store, "ada").sets;
  const auto entry = must(store->begin("test", k_noon));
  EXPECT_EQ(must(entry->put(set("ada", "2026-01-05", 100))), PutOutcome::unchanged);
  must(entry->remove(stored.at(1)));
  must(entry->remove(stored.at(2)));
  EXPECT_EQ(must(entry->put(set("ada", "2026-01-05", 120))), PutOutcome::added);
  EXPECT_EQ(must(entry->commit()).removed, 2);
  EXPECT_THAT(weights(*store, "ada"), ElementsAre(100, 120));
}

TEST_P(SetsOfAPart, WithAGapHaveTheDigestOfTheSameSetsWithoutOne) {
  const auto gap = open("gap.db");
  enter(*gap,
        {athlete("ada"), set("ada", "2026-01-05", 100), set("ada", "2026-01-05", 110), set("ada", "2026-01-05", 120)});
  const auto entry = must(gap->begin("test", k_noon));
  must(entry->remove(whole_log(*gap, "ada").sets.at(1)));
  must(entry->commit());
  const auto fresh = open("fresh.db");
  enter(*fresh, {athlete("ada"), set("ada", "2026-01-05", 100), set("ada", "2026-01-05", 120)});
  EXPECT_EQ(must(gap->contents_digest()), must(fresh->contents_digest()));
  const auto swapped = open("swapped.db");
  enter(*swapped, {athlete("ada"), set("ada", "2026-01-05", 120), set("ada", "2026-01-05", 100)});
  EXPECT_NE(must(swapped->contents_digest()), must(fresh->contents_digest())) << "the order of sets counts";
}

TEST_P(PlannedDay, KeepsTheOrderOfArrival) {
  const auto store = open();
  const std::vector<Record> file{athlete("ada"), plan("ada", "2026-01-05", "squat"), plan("ada", "2026-01-05", "bench"),
                                 plan("ada", "2026-01-06", "row"), plan("ada", "2026-01-05", "squat", 60)};
  enter(*store, file);
  EXPECT_THAT(planned_lifts(*store, "ada"), ElementsAre("squat", "bench", "squat", "row"));
  EXPECT_EQ(whole_log(*store, "ada").plan[0].position, 1);
  EXPECT_EQ(whole_log(*store, "ada").plan[2].position, 3);
  EXPECT_EQ(enter(*store, file).id, 0);
}

TEST_P(PlannedDay, ALaterEntryLeavesOtherLiftsAlone) {
  const auto store = open();
  enter(*store, {athlete("ada"), plan("ada", "2026-01-05", "squat"), plan("ada", "2026-01-05", "bench")});
  EXPECT_EQ(enter(*store, {plan("ada", "2026-01-05", "squat", 70)}).replaced, 1);
  EXPECT_THAT(planned_lifts(*store, "ada"), ElementsAre("squat", "bench"));
  EXPECT_EQ(whole_log(*store, "ada").plan[0].percent, 70.0);
  EXPECT_EQ(enter(*store, {plan("ada", "2026-01-05", "row")}).added, 1);
  EXPECT_THAT(planned_lifts(*store, "ada"), ElementsAre("squat", "bench", "row"));
}

TEST_P(PlannedDay, TheRowsOfALiftAreTheWholeOfIt) {
  const auto store = open();
  enter(*store, {athlete("ada"), plan("ada", "2026-01-05", "squat", 80), plan("ada", "2026-01-05", "bench"),
                 plan("ada", "2026-01-05", "squat", 60)});
  const auto summary = enter(*store, {plan("ada", "2026-01-05", "squat", 80)});
  EXPECT_EQ(summary.unchanged, 1);
  EXPECT_EQ(summary.removed, 1);
  EXPECT_THAT(planned_lifts(*store, "ada"), ElementsAre("squat", "bench"));
}

TEST_P(PlannedDay, TakesANewOrder) {
  const auto store = open();
  enter(*store, {athlete("ada"), plan("ada", "2026-01-05", "squat"), plan("ada", "2026-01-05", "bench")});
  const std::vector<Record> turned{plan("ada", "2026-01-05", "bench"), plan("ada", "2026-01-05", "row"),
                                   plan("ada", "2026-01-05", "squat")};
  enter(*store, turned);
  EXPECT_THAT(planned_lifts(*store, "ada"), ElementsAre("bench", "row", "squat"));
  EXPECT_EQ(enter(*store, turned).id, 0);
  must(store->undo_last());
  EXPECT_THAT(planned_lifts(*store, "ada"), ElementsAre("squat", "bench"));
}

TEST_P(PlannedDay, HasADigestOfItsOrder) {
  const auto digest_of = [&](const std::string& name, const std::vector<std::string>& lifts) {
    const auto store = open(name);
    enter(*store, {athlete("ada")});
    for (const auto& lift : lifts) enter(*store, {plan("ada", "2026-01-05", lift)});
    return must(store->contents_digest());
  };
  EXPECT_EQ(digest_of("a.db", {"squat", "bench"}), digest_of("b.db", {"squat", "bench"}));
  EXPECT_NE(digest_of("c.db", {"squat", "bench"}), digest_of("d.db", {"bench", "squat"}));
}

TEST_P(PlannedDay, LosesOneRowByItsPosition) {
  const auto store = open();
  enter(*store, {athlete("ada"), plan("ada", "2026-01-05", "squat", 80), plan("ada", "2026-01-05", "squat", 60)});
  const auto entry = must(store->begin("test", k_noon));
  must(entry->remove(whole_log(*store, "ada").plan.at(0)));
  must(entry->commit());
  ASSERT_EQ(whole_log(*store, "ada").plan.size(), 1U);
  EXPECT_EQ(whole_log(*store, "ada").plan[0].percent, 60.0);
}

}  // namespace
}  // namespace steelyard::store
