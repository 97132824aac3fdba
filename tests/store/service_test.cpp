// What a running service keeps in the store. Expected values by hand.
#include "steelyard/store/service.hpp"

#include "support.hpp"

namespace steelyard::store {
namespace {

class ServiceTest : public StoreTest {};
STEELYARD_ON_EVERY_STORE(ServiceTest);

Instant later(int seconds) {
  return k_noon + std::chrono::seconds{seconds};
}

TEST_P(ServiceTest, KeepsTokensByTheirDigest) {
  const auto store = open();
  Service& service = store->service();
  const std::string hash("\0\xff digest", 9);
  const auto id = must(service.add_token(
      {.hash = hash, .role = "lifter", .athlete = "a1", .note = "phone", .made = k_noon, .expires = later(9)}));
  const auto child = must(service.add_token({.hash = "c", .parent = id, .role = "lifter", .expires = later(5)}));
  EXPECT_EQ(must(service.token(hash))->id, id);
  EXPECT_EQ(must(service.token(hash))->note, "phone");
  EXPECT_FALSE(must(service.token("other")));
  EXPECT_EQ(must(service.tokens()).size(), 1U);
  EXPECT_TRUE(must(service.revoke_token(id, later(1))));
  EXPECT_FALSE(must(service.revoke_token(id, later(2))));
  EXPECT_EQ(must(service.token(hash))->revoked, later(1));
  EXPECT_EQ(must(service.token("c"))->id, child);
  EXPECT_EQ(must(service.token("c"))->revoked, later(1));
  must(service.drop_sessions(later(2)));
  EXPECT_FALSE(must(service.token("c")));
  EXPECT_TRUE(must(service.token(hash)));
}

TEST_P(ServiceTest, WorkHoldsEntriesAndEverythingElseTogether) {
  const auto store = open();
  {
    const auto work = must(store->service().begin_work());
    enter(*store, {athlete("a1"), session("a1", "2026-11-23", 75)});
    must(store->service().save_reply("k", {.request_digest = "d", .status = 201, .body = "{}"}, k_noon));
    EXPECT_FALSE(store->service().begin_work());
  }
  EXPECT_TRUE(must(store->athletes()).empty());
  EXPECT_FALSE(must(store->service().reply("k")));
  {
    const auto work = must(store->service().begin_work());
    enter(*store, {athlete("a1"), session("a1", "2026-11-23", 75)});
    {
      const auto given_up = must(store->begin("test", k_noon));
      must(given_up->put(athlete("a2")));
    }
    enter(*store, {athlete("a1")});  // an entry that changes nothing
    must(store->service().save_reply("k", {.request_digest = "d", .status = 201, .body = "{}"}, k_noon));
    must(work->commit());
  }
  EXPECT_EQ(must(store->athletes()).size(), 1U);
  EXPECT_EQ(whole_log(*store, "a1").sessions.size(), 1U);
  EXPECT_EQ(must(store->service().reply("k"))->body, "{}");
  must(store->service().drop_replies(later(1)));
  EXPECT_FALSE(must(store->service().reply("k")));
}

TEST_P(ServiceTest, AKeyIsClaimedOnceAndLetGoWithTheWork) {
  const auto store = open();
  {
    const auto work = must(store->service().begin_work());
    EXPECT_TRUE(must(store->service().claim_reply("k", k_noon)));
    EXPECT_FALSE(must(store->service().claim_reply("k", k_noon)));
  }
  EXPECT_FALSE(must(store->service().reply("k")));
  {
    const auto work = must(store->service().begin_work());
    EXPECT_TRUE(must(store->service().claim_reply("k", k_noon)));
    must(store->service().save_reply("k", {.request_digest = "d", .status = 201, .body = "{}"}, k_noon));
    must(work->commit());
  }
  EXPECT_FALSE(must(store->service().claim_reply("k", k_noon)));
  EXPECT_EQ(must(store->service().reply("k"))->status, 201);
}

TEST_P(ServiceTest, WorkWithARowOfAnUnknownAthleteFailsAtItsEnd) {
  const auto store = open();
  const auto work = must(store->service().begin_work());
  enter(*store, {session("nobody", "2026-11-23", 75)});
  EXPECT_EQ(code_of(work->commit()), Errc::bad_data);
}

TEST_P(ServiceTest, ALeaseBelongsToOneUntilItEnds) {
  const auto store = open();
  Service& service = store->service();
  EXPECT_TRUE(must(service.hold_lease("work", "first", k_noon, later(30))));
  EXPECT_FALSE(must(service.hold_lease("work", "second", later(10), later(40))));
  EXPECT_TRUE(must(service.hold_lease("work", "first", later(20), later(50))));
  EXPECT_FALSE(must(service.hold_lease("work", "second", later(49), later(79))));
  EXPECT_TRUE(must(service.hold_lease("work", "second", later(50), later(80))));
  EXPECT_EQ(must(service.lease_holder("work")), "second");
  EXPECT_EQ(must(service.lease_holder("other")), "");
  must(service.release_lease("work", "first"));
  EXPECT_FALSE(must(service.hold_lease("work", "first", later(51), later(80))));
  must(service.release_lease("work", "second"));
  EXPECT_TRUE(must(service.hold_lease("work", "first", later(51), later(80))));
}

TEST_P(ServiceTest, ABriefingIsThereOnceUntilItIsHandedOver) {
  const auto store = open();
  Service& service = store->service();
  const Briefing b{
      .kind = "day", .subject = "a1", .date = day("2026-11-23"), .made_at = k_noon, .text = "t", .json = "{}"};
  must(service.add_briefing(b));
  EXPECT_EQ(code_of(service.add_briefing(b)), Errc::bad_data);
  EXPECT_TRUE(must(service.has_briefing("day", "a1", day("2026-11-23"))));
  EXPECT_FALSE(must(service.has_briefing("week", "a1", day("2026-11-23"))));
  ASSERT_EQ(must(service.undelivered(k_noon)).size(), 1U);
  must(service.put_off(b, later(60)));
  EXPECT_TRUE(must(service.undelivered(later(59))).empty());
  EXPECT_EQ(must(service.undelivered(later(60))).at(0).tries, 1);
  must(service.set_delivered(b, later(61)));
  EXPECT_TRUE(must(service.undelivered(later(99))).empty());
  EXPECT_TRUE(must(service.has_briefing("day", "a1", day("2026-11-23"))));
}

TEST_P(ServiceTest, FilesOfBriefingsAreFoundByWhomTheyTellOf) {
  const auto store = open();
  Service& service = store->service();
  const auto add = [&](const std::string& kind, const std::string& subject, const std::string& json) {
    const Briefing b{.kind = kind, .subject = subject, .date = day("2026-11-23"), .json = json};
    must(service.add_briefing(b));
    EXPECT_TRUE(must(service.note_outbox(b, "/out/" + kind + subject)));
  };
  add("day", "a1", "{}");
  add("day", "a2", "{}");
  add("week", "club", "[\"a1\"]");
  add("week", "other", "[\"b1\"]");
  EXPECT_EQ(must(service.outbox_paths("a1")), (std::vector<std::string>{"/out/daya1", "/out/weekclub"}));
  EXPECT_EQ(must(service.outbox_paths("a2")), (std::vector<std::string>{"/out/daya2"}));
  EXPECT_FALSE(must(service.note_outbox({.kind = "day", .subject = "none", .date = day("2026-11-23")}, "/x")));
}

TEST_P(ServiceTest, ADecisionOnAWeekSaysWhoMadeIt) {
  const auto store = open();
  must(store->service().save_week_decision(
      {.week = "2026-W47", .athlete = "a1", .decision = "change", .note = "n", .by = "coach of club", .at = k_noon}));
  const auto kept = must(store->service().week_decisions("2026-W47"));
  ASSERT_EQ(kept.size(), 1U);
  EXPECT_EQ(kept[0].by, "coach of club");
  EXPECT_EQ(kept[0].at, k_noon);
}

TEST(StoreVersion, ChangesWithEveryCommitOfSomebodyElse) {
  const Folder folder;
  const auto reader = must(open_sqlite_store(folder.file("a.db")));
  const auto writer = must(open_sqlite_store(folder.file("a.db")));
  const auto first = must(reader->service().version());
  EXPECT_EQ(must(reader->service().version()), first);
  enter(*writer, {athlete("a1")});
  const auto second = must(reader->service().version());
  EXPECT_NE(second, first);
  enter(*writer, {athlete("a1")});  // changes nothing
  EXPECT_EQ(must(reader->service().version()), second);
}

TEST_P(ServiceTest, AFileIsNotedUntilItIsForgotten) {
  const auto store = open();
  EXPECT_FALSE(must(store->service().noted_file("d")));
  must(store->service().note_file("d", "3 rows"));
  EXPECT_EQ(must(store->service().noted_file("d")), "3 rows");
  must(store->service().forget_file("d"));
  EXPECT_FALSE(must(store->service().noted_file("d")));
}

TEST_P(ServiceTest, ErasingLeavesNothingAboutTheAthlete) {
  const auto store = open();
  Service& service = store->service();
  enter(*store, {athlete("a1"), athlete("a2")});
  must(service.add_token({.hash = "h", .role = "lifter", .athlete = "a1", .note = "a1's phone"}));
  const std::vector<Access> lines{{.athlete = "a1", .what = "x"}, {.athlete = "a2", .what = "y"}};
  must(service.add_accesses(lines));
  must(service.add_briefing({.kind = "day", .subject = "a1", .date = day("2026-11-23")}));
  must(service.add_briefing(
      {.kind = "week", .subject = "", .date = day("2026-11-23"), .text = "about a1", .json = "\"a1\""}));
  const Briefing sent{.kind = "week", .subject = "", .date = day("2026-11-16"), .text = "a1", .json = "\"a1\""};
  must(service.add_briefing(sent));
  must(service.set_delivered(sent, k_noon));
  must(service.save_week_decision({.week = "2026-W47", .athlete = "a1", .decision = "accept"}));
  must(service.save_reply("k", {.body = "a1"}, k_noon));
  must(store->erase("a1"));
  const auto token = must(service.token("h"));
  ASSERT_TRUE(token) << "as long as there is one, the service asks for one";
  EXPECT_EQ(token->athlete + token->note, "");
  EXPECT_TRUE(token->revoked);
  EXPECT_TRUE(must(service.accesses("a1")).empty());
  EXPECT_EQ(must(service.accesses("a2")).size(), 1U);
  EXPECT_FALSE(must(service.has_briefing("day", "a1", day("2026-11-23"))));
  EXPECT_FALSE(must(service.has_briefing("week", "", day("2026-11-23")))) << "it is made again, without the athlete";
  EXPECT_TRUE(must(service.has_briefing("week", "", day("2026-11-16")))) << "it was handed over and is not made again";
  EXPECT_TRUE(must(service.outbox_paths("a1")).empty());
  EXPECT_TRUE(must(service.week_decisions("2026-W47")).empty());
  EXPECT_FALSE(must(service.reply("k")));
}

}  // namespace
}  // namespace steelyard::store
