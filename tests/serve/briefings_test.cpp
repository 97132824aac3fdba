// Briefings over simulated days. Local times are worked out by hand from the published rules of the zones: Berlin is
// one hour ahead of UTC, two from 2026-03-29 01:00 UTC to 2026-10-25 01:00 UTC; New York five hours behind, four from
// 2026-03-08 to 2026-11-01; Auckland thirteen ahead until 2026-04-04 14:00 UTC and from 2026-09-26 14:00 UTC on.
#include "serve/briefings.hpp"

#include <sys/stat.h>

#include <filesystem>
#include <fstream>
#include <map>
#include <random>

#include "base/folder.hpp"
#include "service.hpp"
#include "steelyard/app/export.hpp"
#include "steelyard/serve/daemon.hpp"

namespace steelyard::serve {

namespace {

using std::chrono::hours;
using std::chrono::minutes;

Instant utc(unsigned month, unsigned day, int hour, int minute = 0) {
  return Instant{std::chrono::sys_days{std::chrono::year{2026} / std::chrono::month{month} / std::chrono::day{day}} +
                 hours{hour} + minutes{minute}};
}

class BriefingsTest : public ServiceBench {
 protected:
  BriefingsTest() {
    read(
        "athlete,time_zone,group\nberlin,Europe/Berlin,club\nny,America/New_York,club\nkiwi,Pacific/Auckland,far\n"
        "utc,,\n",
        "people.csv");
    options.outbox = folder.path().string();
  }
  BriefingReport make(Instant now) {
    context.now = now;
    auto report = make_briefings(context, options, [] { return Result<bool>(true); });
    if (!report) ADD_FAILURE() << report.error().text();
    for (const Error& error : report->errors) ADD_FAILURE() << error.text();
    return *std::move(report);
  }
  BriefingReport deliver() {
    return deliver_briefings(context, options, [] { return false; }).value();
  }
  std::vector<store::Briefing> waiting() { return store->service().undelivered(context.now).value(); }
  [[nodiscard]] std::size_t files() const {
    return static_cast<std::size_t>(std::distance(std::filesystem::directory_iterator(folder.path()), {}));
  }

  Folder folder;
  BriefingOptions options;
};

TEST_F(BriefingsTest, ComeInTheMorningOfEachLifter) {
  make(utc(11, 24, 4, 59));  // a Tuesday; 17:59 in Auckland, 05:59 in Berlin, still Monday in New York
  const auto subjects = [&] {
    std::set<std::string> all;
    for (const auto& b : waiting()) all.insert(b.kind + ' ' + b.subject + ' ' + format_day(b.date));
    return all;
  };
  EXPECT_EQ(subjects(), (std::set<std::string>{"day kiwi 2026-11-24", "day ny 2026-11-23", "week club 2026-11-23",
                                               "week far 2026-11-23"}));
  make(utc(11, 24, 5));
  EXPECT_TRUE(subjects().contains("day berlin 2026-11-24"));
  EXPECT_FALSE(subjects().contains("day utc 2026-11-24"));
  make(utc(11, 24, 6));
  EXPECT_TRUE(subjects().contains("day utc 2026-11-24"));
  EXPECT_FALSE(subjects().contains("day ny 2026-11-24"));
  options.morning_of["ny"] = minutes{4 * 60 + 30};
  make(utc(11, 24, 9, 30));
  EXPECT_TRUE(subjects().contains("day ny 2026-11-24"));
}

TEST_F(BriefingsTest, OfTwentyFourDaysOverBothClockChangesComeOnceEachHoweverTheClockJumps) {
  std::mt19937 random(20261125);
  std::map<std::string, Instant> first;
  const auto run = [&](Instant from, Instant to) {
    for (Instant now = from; now < to; now += minutes{20}) {
      const auto luck = random() % 20;
      Instant seen = now;
      if (luck == 0) seen -= hours{static_cast<int>(random() % 30)};  // somebody set the clock back
      if (luck == 1) now += hours{3};                                 // the lid was closed
      make(luck == 1 ? now : seen);
      for (const auto& b : waiting()) {
        const std::string key = b.kind + ' ' + b.subject + ' ' + format_day(b.date);
        EXPECT_TRUE(first.emplace(key, b.made_at).second) << key << " came twice";
        ASSERT_TRUE(store->service().set_delivered(b, context.now));
      }
    }
  };
  run(utc(3, 23, 0), utc(4, 4, 0));     // twelve days around 29 March
  run(utc(10, 19, 0), utc(10, 31, 0));  // twelve days around 25 October
  const auto expect_days = [&](const std::string& athlete, unsigned month, unsigned from, unsigned to) {
    for (unsigned day = from; day <= to; ++day) {
      const std::string key = "day " + athlete + ' ' +
                              format_day(Day{std::chrono::local_days{
                                  std::chrono::year{2026} / std::chrono::month{month} / std::chrono::day{day}}});
      EXPECT_TRUE(first.contains(key)) << key << " was lost";
    }
  };
  for (const std::string athlete : {"berlin", "ny", "kiwi", "utc"}) {
    expect_days(athlete, 3, 23, 31);
    expect_days(athlete, 4, 1, 3);
    expect_days(athlete, 10, 19, 30);
  }
  // Summer time begins: 06:00 in Berlin is 05:00 UTC the day before and 04:00 UTC on the day and after it.
  EXPECT_GE(first.at("day berlin 2026-03-28"), utc(3, 28, 5));
  EXPECT_GE(first.at("day berlin 2026-03-29"), utc(3, 29, 4));
  EXPECT_LT(first.at("day berlin 2026-03-29"), utc(3, 29, 4) + hours{4});
  EXPECT_GE(first.at("day berlin 2026-10-25"), utc(10, 25, 5));
  EXPECT_GE(first.at("day kiwi 2026-03-24"), utc(3, 23, 17));
  for (const std::string monday : {"2026-03-23", "2026-03-30", "2026-10-19", "2026-10-26"}) {
    EXPECT_TRUE(first.contains("week club " + monday)) << monday;
    EXPECT_TRUE(first.contains("week far " + monday)) << monday;
  }
}

TEST_F(BriefingsTest, AMorningThatTheClockSkipsComesAfterTheGap) {
  options.morning = minutes{2 * 60 + 30};  // does not exist in Berlin on 29 March
  make(utc(3, 29, 0, 59));
  const auto has = [&] { return store->service().has_briefing("day", "berlin", *parse_day("2026-03-29")).value(); };
  EXPECT_FALSE(has());
  make(utc(3, 29, 1));
  EXPECT_TRUE(has());
}

TEST_F(BriefingsTest, AreThreeFilesEachAndSafeToShow) {
  read("athlete,name,group\nx1,X,a/b <c>\n", "odd.csv");
  read("athlete,date,soreness,note\nberlin,2026-11-23,6,<script>alert(1)</script>\n", "check.csv");
  make(utc(11, 23, 6));
  const std::size_t made = waiting().size();
  EXPECT_EQ(deliver().delivered, made);
  EXPECT_EQ(files(), 3 * made);
  EXPECT_TRUE(waiting().empty());
  const std::string json = bytes_of(folder.path() / "2026-11-23-berlin.json");
  EXPECT_EQ(boost::json::parse(json).at("athlete").as_string(), "berlin");
  const std::string html = bytes_of(folder.path() / "2026-11-23-berlin.html");
  EXPECT_NE(html.find("<!doctype html>"), std::string::npos);
  EXPECT_EQ(html.find("<script>"), std::string::npos);
  for (const auto& file : std::filesystem::directory_iterator(folder.path())) {
    const std::string name = file.path().filename();
    EXPECT_EQ(name.find_first_of("<> "), std::string::npos) << name;
  }
}

TEST_F(BriefingsTest, AreFilesForTheirOwnerOnlyAndGoWithWhomTheyTellOf) {
  ::umask(022);
  make(utc(11, 23, 20));  // Monday, and past six o'clock everywhere
  deliver();
  const auto names = [&] {
    std::set<std::string> all;
    for (const auto& file : std::filesystem::directory_iterator(folder.path())) {
      EXPECT_EQ(file.status().permissions() & std::filesystem::perms::all,
                std::filesystem::perms::owner_read | std::filesystem::perms::owner_write);
      if (file.path().extension() == ".json") all.insert(file.path().stem().string());
    }
    return all;
  };
  // In Auckland it is Tuesday already, so Monday's own call is not made there any more.
  EXPECT_EQ(names(), (std::set<std::string>{"2026-11-23-berlin", "2026-11-23-ny", "2026-11-24-kiwi", "2026-11-23-utc",
                                            "2026-11-23.week-club", "2026-11-23.week-far"}));
  const auto erased = app::erase(context, "berlin");
  ASSERT_TRUE(erased);
  EXPECT_EQ(erased->files, 6U);
  EXPECT_TRUE(erased->left.empty());
  EXPECT_EQ(names(),
            (std::set<std::string>{"2026-11-23-ny", "2026-11-24-kiwi", "2026-11-23-utc", "2026-11-23.week-far"}));
}

TEST_F(BriefingsTest, OfSomebodyWhoIsErasedWhileTheyAreWorkedOutAreNotKept) {
  context.now = utc(11, 24, 12);
  int asked = 0;
  const auto report = make_briefings(context, options, [&] {
    ++asked;  // before each is worked out, and in its transaction
    if (asked == 1) {
      EXPECT_TRUE(app::erase(context, "berlin"));
    }
    return Result<bool>(true);
  });
  ASSERT_TRUE(report);
  for (const auto& b : waiting()) {
    EXPECT_NE(b.subject, "berlin");
    EXPECT_EQ(b.json.find("berlin"), std::string::npos) << b.kind;
  }
}

TEST_F(BriefingsTest, FilesThatCannotBeRemovedAreNamed) {
  make(utc(11, 24, 12));
  deliver();
  const std::string file = folder.file("2026-11-24-berlin.txt");
  std::filesystem::remove(file);
  std::filesystem::create_directory(file);  // cannot be removed as a file, whoever tries
  const auto erased = app::erase(context, "berlin");
  ASSERT_TRUE(erased);
  ASSERT_EQ(erased->left.size(), 1U);
  EXPECT_EQ(erased->left[0].where, file);
}

TEST_F(BriefingsTest, AreHandedToTheCommandOnItsStandardInput) {
  const std::string got = folder.path().parent_path().string() + "/steelyard-briefing-got";
  std::filesystem::remove(got);
  options.command = "{ echo \"$STEELYARD_BRIEFING_ID\"; cat; } >>" + got;
  context.now = utc(11, 24, 6);
  ASSERT_TRUE(store->service().add_briefing(
      {.kind = "day", .subject = "utc", .date = *parse_day("2026-11-24"), .made_at = context.now, .text = "rest\n"}));
  EXPECT_EQ(deliver().delivered, 1U);
  EXPECT_EQ(deliver().delivered, 0U);
  EXPECT_EQ(bytes_of(got), "2026-11-24-utc\nrest\n");
  std::filesystem::remove(got);
}

TEST_F(BriefingsTest, ACommandThatFailsIsTriedAgainLaterAndGivenUpInTheEnd) {
  options.command = "exit 3";
  options.most_tries = 3;
  context.now = utc(11, 24, 6);
  ASSERT_TRUE(store->service().add_briefing(
      {.kind = "day", .subject = "utc", .date = *parse_day("2026-11-24"), .made_at = context.now, .text = "rest\n"}));
  const BriefingReport first = deliver();
  EXPECT_EQ(first.delivered, 0U);
  EXPECT_EQ(first.errors.at(0).what, "the command ended with status 3");
  EXPECT_TRUE(deliver().errors.empty()) << "the next try has to wait";
  context.now += minutes{1};
  EXPECT_EQ(deliver().errors.size(), 1U);
  context.now += minutes{4};
  EXPECT_EQ(deliver().given_up, 1U);
  context.now += hours{24};
  EXPECT_TRUE(waiting().empty());
}

TEST_F(BriefingsTest, ACommandThatHangsIsEndedWithWhatItStarted) {
  std::ofstream(folder.file("in")) << "x";
  const auto begun = std::chrono::steady_clock::now();
  const auto ran =
      run_command("sleep 60 & sleep 60", folder.file("in"), {}, std::chrono::milliseconds(300), [] { return false; });
  ASSERT_FALSE(ran);
  EXPECT_EQ(ran.error().what, "the command took too long and was ended");
  EXPECT_LT(std::chrono::steady_clock::now() - begun, std::chrono::seconds(10));
}

TEST_F(BriefingsTest, AnOutboxThatIsGoneLosesNothing) {
  context.now = utc(11, 24, 6);
  ASSERT_TRUE(store->service().add_briefing(
      {.kind = "day", .subject = "utc", .date = *parse_day("2026-11-24"), .made_at = context.now, .text = "rest\n"}));
  const std::string outbox = std::exchange(options.outbox, folder.file("gone"));
  EXPECT_EQ(deliver().delivered, 0U);
  options.outbox = outbox;
  context.now += hours{1};
  EXPECT_EQ(deliver().delivered, 1U);
}

TEST(ParseClock, TakesTimesOfDayOnly) {
  EXPECT_EQ(parse_clock("06:30").value(), minutes{390});
  EXPECT_EQ(parse_clock("23:59").value(), minutes{1439});
  for (const auto* text : {"", "6:30", "24:00", "06:60", "06-30", "06:3x", "-1:00", "006:00"}) {
    EXPECT_FALSE(parse_clock(text)) << text;
  }
}

}  // namespace
}  // namespace steelyard::serve
