// By-products of reads that are saved after the answer. Each expectation is what a store without saved states answers:
// what was learned is a function of the entries and the models alone.
#include "serve/later_store.hpp"

#include "service.hpp"

namespace steelyard::serve {
namespace {

class LaterStoreTest : public ServiceBench {
 protected:
  LaterStoreTest() {
    add_people();
    read(sessions_until("2026-11-14", 8), "sets.csv");
  }
  /// Three sets of five every other day since the first of October.
  static std::string sessions_until(std::string_view last, int rpe) {
    std::string text = "athlete,date,part,lift,sets,reps,weight,rpe\n";
    for (Day day = *parse_day("2026-10-01"); day <= *parse_day(last); day += Days{2}) {
      text += "a1," + format_day(day) + ",1,squat,3,5,130," + std::to_string(rpe) + "\n";
    }
    return text;
  }

  Response read_today(const Models& models) {
    LaterStore later(*store, before);
    app::Context reading{later, models, context.now};
    Request request{.method = "GET", .target = k_today, .headers = {}, .body = {}, .peer = "127.0.0.1"};
    request.headers.emplace_back("host", "localhost");
    Response response = api.handle(request, &reading);
    waiting.add(later.take());
    return response;
  }
  Response read_today() { return read_today(context.models); }
  void save() {
    for (const auto& save : waiting.take()) ASSERT_TRUE(save.run(*store));
  }
  /// What is answered without anything that was saved before.
  std::string answered_anew() {
    EXPECT_TRUE(store->drop_states("a1", k_first));
    return read_today().body;
  }
  /// Of the day before; one further back may stay whatever is entered later.
  bool has_state() {
    const Day yesterday = *parse_day("2026-11-22");
    const auto newest = store->state("a1", "learned", yesterday).value();
    return newest && newest->date == yesterday;
  }

  const std::string k_today = "/v1/athletes/a1/today?date=2026-11-23";
  const Day k_first = *parse_day("1950-01-01");
  SavedBefore before;
  WaitingSaves waiting;
};

TEST_F(LaterStoreTest, AnswersAfterTheModelsHaveChanged) {
  ASSERT_EQ(read_today().status, 200);
  save();
  ASSERT_TRUE(has_state());
  Models other = context.models;
  other.digest = "another";
  const Response changed = read_today(other);
  EXPECT_EQ(changed.status, 200) << changed.body;
  save();
  EXPECT_NE(store->state("a1", "learned", *parse_day("2026-11-22")).value()->model_digest, context.models.digest);
}

TEST_F(LaterStoreTest, AnswersOnTheMorningOnWhichOldStatesAreThinned) {
  for (Day day = *parse_day("2026-11-10"); day <= *parse_day("2026-12-20"); day += Days{1}) {
    LaterStore later(*store, before);
    app::Context reading{later, context.models, context.now};
    const Request request{.method = "GET",
                          .target = "/v1/athletes/a1/today?date=" + format_day(day),
                          .headers = {{"host", "localhost"}},
                          .body = {},
                          .peer = "127.0.0.1"};
    EXPECT_EQ(api.handle(request, &reading).status, 200) << format_day(day);
    waiting.add(later.take());
    save();
    EXPECT_EQ(store->state("a1", "learned", day - Days{1}).value()->date, day - Days{1});
  }
  const auto state = store->state("a1", "learned", *parse_day("2026-11-25")).value();
  EXPECT_LT(state->date, *parse_day("2026-11-25")) << "thinned to one a week";
}

TEST_F(LaterStoreTest, KeepsNothingThatAnEntryMeanwhileContradicts) {
  ASSERT_EQ(read_today().status, 200);
  read(sessions_until("2026-11-20", 10), "the import that it waited for.csv");
  save();
  EXPECT_FALSE(has_state());
  const std::string after = read_today().body;
  save();
  EXPECT_EQ(read_today().body, after);
  EXPECT_EQ(answered_anew(), after);
}

TEST_F(LaterStoreTest, KeepsNothingThatAnUndoMeanwhileContradicts) {
  read(sessions_until("2026-11-20", 10), "later undone.csv");
  ASSERT_EQ(read_today().status, 200);
  ASSERT_TRUE(store->undo_last().value());
  save();
  EXPECT_FALSE(has_state());
}

TEST_F(LaterStoreTest, KeepsTheStateAgainAfterAnEntryAndItsUndo) {
  read_today();
  save();
  ASSERT_TRUE(has_state());
  read("athlete,date,sleep_hours\na1,2026-11-20,7\n", "check.csv");
  ASSERT_TRUE(store->undo_last().value());
  ASSERT_FALSE(has_state());
  read_today();
  save();
  EXPECT_TRUE(has_state());
}

TEST_F(LaterStoreTest, TheSameStatesWaitOnce) {
  read_today();
  const auto first = waiting.take();
  waiting.give_back(first);
  for (int i = 0; i < 50; ++i) read_today();
  const auto all = waiting.take();
  const auto keyed = [](const auto& saves) {
    return std::count_if(saves.begin(), saves.end(), [](const auto& save) { return !save.key.empty(); });
  };
  EXPECT_EQ(keyed(all), keyed(first));
  EXPECT_EQ(keyed(first), 1);
}

}  // namespace
}  // namespace steelyard::serve
