// Entries held aside: the sentences about ask, answer and questions in store.hpp.
#include <gmock/gmock.h>

#include "support.hpp"

namespace steelyard::store {
namespace {

using testing::IsEmpty;
using testing::SizeIs;

class QuestionTest : public StoreTest {
 protected:
  static Question question(std::string code = "ada") {
    SetRow slip = set(code, "2026-01-05", 1400);
    slip.position = 3;
    Session second = session(code, "2026-01-05", 45);
    PlanRow planned = plan(code, "2026-01-05", "squat");
    return {.id = 0,
            .athlete = std::move(code),
            .date = day("2026-01-05"),
            .doubt = "weight-slip",
            .say = "1400 kg: was it 140?",
            .fields = {"weight", "unit"},
            .rows = {second, slip, planned, slip}};
  }
  static bool ask(Store& store, const Question& q) {
    const auto entry = must(store.begin("test", k_noon));
    const bool kept = must(entry->ask(q));
    must(entry->commit());
    return kept;
  }
  static Result<void> answer(Store& store, std::int64_t id, std::string_view state) {
    const auto entry = must(store.begin("test", k_noon));
    auto answered = entry->answer(id, state);
    must(entry->commit());
    return answered;
  }
};
STEELYARD_ON_EVERY_STORE(QuestionTest);

TEST_P(QuestionTest, ComesBackAsAskedWithANumber) {
  const auto store = open();
  enter(*store, {athlete("ada")});
  EXPECT_TRUE(ask(*store, question()));
  const auto open = must(store->open_questions(std::nullopt));
  ASSERT_THAT(open, SizeIs(1));
  Question expected = question();
  EXPECT_GT(open[0].id, 0);
  expected.id = open[0].id;
  EXPECT_EQ(open[0], expected);
  EXPECT_EQ(must(store->question(expected.id)), expected);
  EXPECT_EQ(whole_log(*store, "ada").questions.at(0), expected);
  EXPECT_EQ(must(store->question(expected.id + 1)), std::nullopt);
}

TEST_P(QuestionTest, IsAskedOnceAnsweredOrNot) {
  const auto store = open();
  enter(*store, {athlete("ada")});
  EXPECT_TRUE(ask(*store, question()));
  Question reworded = question();
  reworded.say = "other words";
  EXPECT_FALSE(ask(*store, reworded));
  must(answer(*store, must(store->open_questions("ada")).at(0).id, "kept"));
  EXPECT_FALSE(ask(*store, question()));
  EXPECT_THAT(must(store->open_questions("ada")), IsEmpty());
}

TEST_P(QuestionTest, IsAnotherOneWhenAthleteDateDoubtOrRowsDiffer) {
  const auto store = open();
  enter(*store, {athlete("ada"), athlete("bo")});
  EXPECT_TRUE(ask(*store, question()));
  EXPECT_TRUE(ask(*store, question("bo")));
  Question q = question();
  q.date = day("2026-01-06");
  EXPECT_TRUE(ask(*store, q));
  q = question();
  q.doubt = "minutes";
  EXPECT_TRUE(ask(*store, q));
  q = question();
  std::get<SetRow>(q.rows[1]).weight_kg = 1401;
  EXPECT_TRUE(ask(*store, q));
  q = question();
  q.rows.pop_back();
  EXPECT_TRUE(ask(*store, q));
  EXPECT_THAT(must(store->open_questions("bo")), SizeIs(1));
  EXPECT_THAT(must(store->open_questions("ada")), SizeIs(5));
  EXPECT_THAT(must(store->open_questions(std::nullopt)), SizeIs(6));
}

TEST_P(QuestionTest, AskedAloneMakesAnEntryAndAskedAgainDoesNot) {
  const auto store = open();
  enter(*store, {athlete("ada")});
  const auto entry = must(store->begin("asks", k_noon));
  must(entry->ask(question()));
  EXPECT_GT(must(entry->commit()).id, 0);
  const auto again = must(store->begin("asks", k_noon));
  must(again->ask(question()));
  EXPECT_EQ(must(again->commit()).id, 0);
  EXPECT_EQ(must(store->undo_last())->source, "asks");
  EXPECT_THAT(must(store->open_questions(std::nullopt)), IsEmpty());
  EXPECT_TRUE(ask(*store, question())) << "a question that was taken back may be asked again";
}

TEST_P(QuestionTest, RefusesOtherAnswersUnknownNumbersAndASecondAnswer) {
  const auto store = open();
  enter(*store, {athlete("ada")});
  ask(*store, question());
  const auto id = must(store->open_questions(std::nullopt)).at(0).id;
  EXPECT_EQ(code_of(answer(*store, id, "maybe")), Errc::usage);
  EXPECT_EQ(code_of(answer(*store, id + 7, "kept")), Errc::no_input);
  for (const auto* state : {"kept", "fixed", "dropped"}) {
    must(answer(*store, id, state));
    EXPECT_EQ(code_of(answer(*store, id, "dropped")), Errc::not_allowed);
    must(store->undo_last());
    EXPECT_THAT(must(store->open_questions("ada")), SizeIs(1)) << "undo opens it again";
  }
}

TEST_P(QuestionTest, AreAllListedAnsweredOrNot) {
  const auto store = open();
  enter(*store, {athlete("ada"), athlete("bo")});
  ask(*store, question("bo"));
  ask(*store, question("ada"));
  must(answer(*store, must(store->open_questions("bo")).at(0).id, "dropped"));
  const auto all = must(store->questions({}));
  ASSERT_THAT(all, SizeIs(2));
  EXPECT_EQ(all[0].athlete, "bo");
  EXPECT_EQ(all[1].athlete, "ada");
  const auto of_bo = must(store->questions("bo"));
  ASSERT_THAT(of_bo, SizeIs(1));
  EXPECT_EQ(of_bo[0].athlete, "bo");
  EXPECT_EQ(of_bo[0].rows, all[0].rows);
  EXPECT_THAT(must(store->questioned_athletes()), testing::ElementsAre("ada", "bo"));
}

TEST_P(QuestionTest, OpenOnesAreThereWhateverTheSpanOfTheLog) {
  const auto store = open();
  enter(*store, {athlete("ada")});
  ask(*store, question());
  EXPECT_THAT(must(store->log("ada", day("2030-01-01"), day("2030-02-01"))).questions, SizeIs(1));
}

}  // namespace
}  // namespace steelyard::store
