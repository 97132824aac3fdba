// Reports as files. The calendar is read by Debian's python3-icalendar, which knows nothing of this project.
#include "cli/program.hpp"

namespace steelyard::cli {
namespace {

class Report : public Program {
 protected:
  static std::string with(const std::string& arguments) { return arguments + " --data s.db --date 2026-11-23"; }
  void SetUp() override {
    ok(with("athlete add a1 --weekdays 'mon wed fri' --own-units kg --group club --name 'Ann <b>&'"));
    ok(with("max set squat 150 2026-01-01 --athlete a1"));
    ok(with("plan set 2026-11-23 squat heavy 3x4@82.5 --minutes 75 --athlete a1"));
    ok(with("plan set 2026-11-25 squat volume 4x10@65 --minutes 75 --athlete a1"));
  }
};

TEST_F(Report, WritesOneLifterAsAPage) {
  const Outcome outcome = run(with("report --out a1.html"));
  EXPECT_EQ(outcome.status, 0);
  EXPECT_EQ(outcome.out, "");
  EXPECT_EQ(outcome.err, "note: a1.html is written\n");
  const std::string html = read("a1.html");
  EXPECT_TRUE(html.starts_with("<!DOCTYPE html>\n")) << html.substr(0, 80);
  EXPECT_NE(html.find("Ann &lt;b&gt;&amp;"), std::string::npos);
  EXPECT_NE(html.find("@page { size: A4"), std::string::npos);
  EXPECT_NE(html.find("prefers-color-scheme: dark"), std::string::npos);
}

TEST_F(Report, SaysOnPaperWhatTheTerminalSays) {
  const std::string text = ok(with("today"));
  const std::string sentence = text.substr(0, text.find('\n'));
  ASSERT_GT(sentence.size(), 20U);
  std::string html = ok(with("report"));
  for (std::size_t at = 0; (at = html.find("\xC2\xA0", at)) != std::string::npos;) html.replace(at, 2, " ");
  for (std::size_t at = 0; (at = html.find("\xC3\x97", at)) != std::string::npos;) html.replace(at, 2, "x");
  EXPECT_NE(html.find(sentence), std::string::npos) << sentence;
}

TEST_F(Report, CoversTheSquad) {
  ok(with("athlete add b2 --group club"));
  const std::string html = ok(with("report --group club"));
  EXPECT_NE(html.find("Week 2026-W47"), std::string::npos);
  EXPECT_NE(html.find(">a1<"), std::string::npos);
  EXPECT_NE(html.find(">b2<"), std::string::npos);
  EXPECT_EQ(run(with("report --group nobody")).status, 66);
}

TEST_F(Report, PutsTheComingDaysOnTheWall) {
  const std::string html = ok(with("report --week-sheet"));
  EXPECT_NE(html.find("2026-11-23 to 2026-11-29"), std::string::npos);
  EXPECT_NE(html.find("class=\"box\""), std::string::npos);
  EXPECT_NE(html.find("\xC2\xA0kg</td>"), std::string::npos);
}

TEST_F(Report, CalendarIsReadByAnotherProgram) {
  ok(with("report --calendar --out a1.ics"));
  write("read.py",
        "import icalendar\n"
        "c = icalendar.Calendar.from_ical(open('a1.ics', 'rb').read())\n"
        "assert c['version'] == '2.0' and c['prodid']\n"
        "for e in c.walk('VEVENT'):\n"
        "    assert not e.errors, e.errors\n"
        "    assert (e['dtend'].dt - e['dtstart'].dt).days == 1 and e['uid'] and e['dtstamp'].dt.tzinfo\n"
        "    print(e['dtstart'].dt, e['summary'])\n");
  const Outcome outcome = shell("/usr/bin/python3 read.py");
  EXPECT_EQ(outcome.status, 0) << outcome.err;
  EXPECT_EQ(outcome.out.substr(0, outcome.out.find('\n')), "2026-11-23 Heavy: squat");
}

TEST_F(Report, RefusesWhatMakesNoSense) {
  EXPECT_EQ(run(with("report --calendar --week-sheet")).status, 64);
  ok(with("athlete add b2"));
  EXPECT_EQ(run(with("report")).status, 64);  // two athletes, none named
  EXPECT_EQ(run(with("report --athlete b2 --calendar")).status, 66);
  EXPECT_EQ(run(with("report --athlete a1 --out no/where.html")).status, 66);
}

}  // namespace
}  // namespace steelyard::cli
