// Calls, states and forecasts: the sentences about them in store.hpp.
#include <gmock/gmock.h>

#include "support.hpp"

namespace steelyard::store {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

class SavedTest : public StoreTest {
 protected:
  static StoredCall call(std::string inputs, int minute, std::string model = "m1") {
    return {.athlete = "ada",
            .date = day("2026-01-05"),
            .command = "today",
            .made_at = k_noon + std::chrono::minutes(minute),
            .inputs_digest = std::move(inputs),
            .model_version = "1.0",
            .model_digest = std::move(model),
            .json = "{\"n\": " + std::to_string(minute) + "}",
            .text = "Squat 100 kg."};
  }
  static StoredState state(std::string_view date, std::string bytes, std::string target = "strength:squat") {
    return {.athlete = "ada",
            .target = std::move(target),
            .date = day(date),
            .model_digest = "m1",
            .bytes = std::move(bytes)};
  }
  static std::string newest(Store& store) {
    const auto found = must(store.call("ada", day("2026-01-05"), "today"));
    return found ? found->json : "none";
  }
  static std::string bytes(Store& store, std::string_view date, std::string_view target = "strength:squat") {
    const auto found = must(store.state("ada", target, day(date)));
    return found ? found->bytes : "none";
  }
};
STEELYARD_ON_EVERY_STORE(SavedTest);

TEST_P(SavedTest, CallComesBackWhole) {
  const auto store = open();
  const StoredCall saved = call("i1", 1);
  must(store->save_call(saved));
  const auto found = must(store->call("ada", day("2026-01-05"), "today"));
  ASSERT_TRUE(found);
  EXPECT_EQ(found->athlete, saved.athlete);
  EXPECT_EQ(found->date, saved.date);
  EXPECT_EQ(found->command, saved.command);
  EXPECT_EQ(found->made_at, saved.made_at);
  EXPECT_EQ(found->inputs_digest, saved.inputs_digest);
  EXPECT_EQ(found->model_version, saved.model_version);
  EXPECT_EQ(found->model_digest, saved.model_digest);
  EXPECT_EQ(found->json, saved.json);
  EXPECT_EQ(found->text, saved.text);
}

TEST_P(SavedTest, StatesOfALogThatHasChangedSinceAreNotKept) {
  const auto store = open();
  enter(*store, {athlete("ada"), athlete("bo"), check("ada", "2026-01-02")});
  const auto of = [](const AthleteLog& log) {
    StoredState made = state("2026-01-05", "made");
    made.newest_entry = log.newest_entry;
    return made;
  };
  const AthleteLog before = whole_log(*store, "ada");
  enter(*store, {check("bo", "2026-01-02")});
  must(store->save_states({of(before)}));
  EXPECT_EQ(bytes(*store, "2026-01-05"), "made") << "somebody else's entry";
  enter(*store, {check("ada", "2026-01-02", 6)});
  const AthleteLog changed = whole_log(*store, "ada");
  EXPECT_GT(changed.newest_entry, before.newest_entry);
  must(store->save_states({of(before)}));
  EXPECT_EQ(bytes(*store, "2026-01-05"), "none");
  must(store->save_states({of(changed)}));
  EXPECT_EQ(bytes(*store, "2026-01-05"), "made");
  must(store->undo_last());
  must(store->save_states({of(changed)}));
  EXPECT_EQ(bytes(*store, "2026-01-05"), "none");
  EXPECT_EQ(whole_log(*store, "ada").newest_entry, before.newest_entry);
}

TEST_P(SavedTest, CallOfAnotherDayCommandOrAthleteIsNotThere) {
  const auto store = open();
  must(store->save_call(call("i1", 1)));
  EXPECT_FALSE(must(store->call("bo", day("2026-01-05"), "today")));
  EXPECT_FALSE(must(store->call("ada", day("2026-01-06"), "today")));
  EXPECT_FALSE(must(store->call("ada", day("2026-01-05"), "compare")));
}

TEST_P(SavedTest, CallFromTheSameInputsAndModelIsKeptOnce) {
  const auto store = open();
  must(store->save_call(call("i1", 1)));
  must(store->save_call(call("i1", 2)));
  EXPECT_EQ(newest(*store), "{\"n\": 1}");
  must(store->save_call(call("i1", 3, "m2")));
  EXPECT_EQ(newest(*store), "{\"n\": 3}");
  must(store->save_call(call("i2", 4, "m2")));
  EXPECT_EQ(newest(*store), "{\"n\": 4}");
}

TEST_P(SavedTest, CallWhoseInputsCameBackIsTheNewestAgain) {
  const auto store = open();
  must(store->save_call(call("i1", 1)));
  must(store->save_call(call("i2", 2)));
  must(store->save_call(call("i1", 3)));
  EXPECT_EQ(newest(*store), "{\"n\": 3}");
}

TEST_P(SavedTest, StateIsTheNewestOnOrBeforeTheDay) {
  const auto store = open();
  const std::string binary("a\0b\xFF", 4);
  must(store->save_states(
      {state("2026-01-05", binary), state("2026-01-10", "ten"), state("2026-01-10", "other", "soreness")}));
  EXPECT_EQ(bytes(*store, "2026-01-04"), "none");
  EXPECT_EQ(bytes(*store, "2026-01-05"), binary);
  EXPECT_EQ(bytes(*store, "2026-01-09"), binary);
  EXPECT_EQ(bytes(*store, "2026-01-31"), "ten");
  EXPECT_EQ(bytes(*store, "2026-01-31", "soreness"), "other");
  must(store->save_states({state("2026-01-10", "ten again")}));
  EXPECT_EQ(bytes(*store, "2026-01-10"), "ten again");
  must(store->drop_states("ada", day("2026-01-10")));
  EXPECT_EQ(bytes(*store, "2026-01-31"), binary);
  EXPECT_EQ(bytes(*store, "2026-01-31", "soreness"), "none");
}

TEST_P(SavedTest, StatesGoFromTheFirstTouchedDayOn) {
  const auto store = open();
  enter(*store, {athlete("ada"), athlete("bo")});
  const auto save = [&] { must(store->save_states({state("2026-01-05", "five"), state("2026-01-10", "ten")})); };
  save();
  enter(*store, {check("bo", "2026-01-01")});
  EXPECT_EQ(bytes(*store, "2026-01-31"), "ten") << "another athlete's row";
  enter(*store, {check("ada", "2026-01-06")});
  EXPECT_EQ(bytes(*store, "2026-01-31"), "five");
  save();
  must(store->undo_last());
  EXPECT_EQ(bytes(*store, "2026-01-31"), "five") << "undo takes them too";
  enter(*store, {TrainingMax{.athlete = "ada", .lift = "squat", .from = day("2026-01-20"), .training_max_kg = 100}});
  EXPECT_EQ(bytes(*store, "2026-01-31"), "none") << "a training max concerns every day";
  save();
  must(store->undo_last());
  EXPECT_EQ(bytes(*store, "2026-01-31"), "none");
}

TEST_P(SavedTest, ForecastKeepsWhatWasObserved) {
  const auto store = open();
  StoredForecast f{.athlete = "ada",
                   .date = day("2026-01-05"),
                   .target = "soreness",
                   .made_on = day("2026-01-04"),
                   .mean = 3.5,
                   .low80 = 2.5,
                   .high80 = 4.5,
                   .observed = 4.0};
  StoredForecast earlier = f;
  earlier.made_on = day("2026-01-03");
  earlier.observed.reset();
  must(store->save_forecasts({f, earlier}));
  f.observed.reset();
  f.mean = 3.6;
  must(store->save_forecasts({f}));
  const auto all = must(store->forecasts("ada"));
  ASSERT_EQ(all.size(), 2U);
  EXPECT_EQ(all[0].made_on, day("2026-01-03"));
  EXPECT_EQ(all[0].observed, std::nullopt);
  EXPECT_EQ(all[1].mean, 3.6);
  EXPECT_EQ(all[1].low80, 2.5);
  EXPECT_EQ(all[1].high80, 4.5);
  EXPECT_EQ(all[1].observed, 4.0);
  EXPECT_EQ(all[1].target, "soreness");
  EXPECT_THAT(must(store->forecasts("bo")), IsEmpty());
}

TEST_P(SavedTest, WhatIsSavedInAnOpenEntryFollowsIt) {
  const auto store = open();
  enter(*store, {athlete("ada")});
  {
    const auto given_up = must(store->begin("test", k_noon));
    must(store->save_call(call("i1", 1)));
    must(store->save_states({state("2026-01-05", "five")}));
  }
  EXPECT_EQ(newest(*store), "none");
  EXPECT_EQ(bytes(*store, "2026-01-31"), "none");
  const auto entry = must(store->begin("test", k_noon));
  must(store->save_call(call("i1", 1)));
  EXPECT_EQ(must(entry->commit()).id, 0);
  EXPECT_EQ(newest(*store), "{\"n\": 1}") << "an entry without rows commits it all the same";
  EXPECT_EQ(must(store->undo_last())->source, "test");
  EXPECT_EQ(must(store->undo_last()), std::nullopt);
}

}  // namespace
}  // namespace steelyard::store
