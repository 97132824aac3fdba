// Whole runs of the program: standard output, standard error and exit status. Sources: the contract's commands, its
// --json keys and its exit statuses (1, 64, 65, 66, 69, 74).
#include <gmock/gmock.h>

#include "cli/program.hpp"

namespace steelyard::cli {
namespace {

class Commands : public Program {
 protected:
  std::string with(const std::string& arguments) const { return arguments + " --data s.db --date 2026-11-23"; }
  /// A lifter with a training max and a plan for Monday 2026-11-23.
  void set_up_lifter() {
    ok(with("athlete add a1 --weekdays 'mon wed fri' --own-units kg"));
    ok(with("max set squat 150 2026-01-01"));
    ok(with("plan set 2026-11-23 squat heavy 3x4@82.5 --minutes 75"));
  }
};

TEST_F(Commands, AthleteMaxPlanAndOffSayWhatTheyStored) {
  EXPECT_EQ(ok(with("athlete add a1 --weekdays 'mon wed fri' --group club")),
            "a1\n  weekdays        mon wed fri\n  group           club\n");
  EXPECT_EQ(ok(with("max set squat 150")), "Squat: training max 150 kg from 2026-11-23 on.\n");
  EXPECT_EQ(ok(with("plan set 2026-11-27 squat heavy 3x4@82.5 --minutes 75")),
            "Now planned:\n  Fri 2026-11-27  squat  heavy 3x4 at 82.5 %, 75 min\n");
  EXPECT_EQ(ok(with("plan move 2026-11-27 2026-11-25")),
            "Now planned:\n  Wed 2026-11-25  squat  heavy 3x4 at 82.5 %, 75 min\n");
  EXPECT_EQ(ok(with("off 2026-12-24 2026-12-31 holiday")), "Off from 2026-12-24 to 2026-12-31: holiday.\n");
  EXPECT_EQ(ok(with("plan show --from 2026-11-23 --to 2026-12-31")),
            "Plan of a1, 2026-11-23 to 2026-12-31:\n"
            "  Wed 2026-11-25  squat  heavy 3x4 at 82.5 %, 75 min\n"
            "  off 2026-12-24 to 2026-12-31: holiday\n");
  EXPECT_TRUE(ok(with("undo")).starts_with("Taken back: off of 2"));
}

TEST_F(Commands, TodayDecidesAgainAtTheBar) {
  set_up_lifter();
  EXPECT_EQ(
      ok(with("today --warmup-rpe 7")),
      "The last warm-up was RPE 7, heavier than usual: take 5 % off, 115 kg.\n");  // 77.5 % of 150 kg, rounded down
  ok(with("today --speed 60:0.62"));
  EXPECT_NE(ok(with("export out")).size(), 0U);
  EXPECT_NE(read("out/bar.csv").find("a1,2026-11-23,squat,60,0.62"), std::string::npos);
  EXPECT_EQ(run(with("today --speed 60")).status, 64);
  EXPECT_EQ(run(with("today --speed 60:9")).status, 65);
  EXPECT_EQ(run(with("today --warmup-rpe hard")).status, 64);
}

TEST_F(Commands, LogEchoesThenStores) {
  set_up_lifter();
  const std::string out = ok(with("log 'squat 120 3x5 @8, 60 min, rpe 7'"));
  EXPECT_EQ(out.substr(0, out.find('\n') + 1), "a1, Monday 2026-11-23:\n");
  EXPECT_NE(out.find("120 kg"), std::string::npos) << out;
  EXPECT_TRUE(out.ends_with("Stored.\n")) << out;
  const Outcome other = run(with("log 'bench 80 3x5, 30 min, rpe 6'"));
  EXPECT_EQ(other.status, 64);
  EXPECT_EQ(other.err,
            "steelyard: 2026-11-23 has a session already: --part 2 stores a second one, --part 1 corrects the one that "
            "is there\n");
  ok(with("log 'bench 80 3x5, 30 min, rpe 6' --part 2"));
}

TEST_F(Commands, LogShowsWhereTheTextGoesWrong) {
  set_up_lifter();
  const Outcome outcome = run(with("log 'squatt 120 3x5'"));
  EXPECT_EQ(outcome.status, 65);
  EXPECT_NE(outcome.err.find("^"), std::string::npos) << outcome.err;
  EXPECT_NE(outcome.err.find("squat"), std::string::npos) << outcome.err;
}

TEST_F(Commands, CheckStoresAndEndsWithTheCall) {
  set_up_lifter();
  const std::string json =
      ok(with("check --sleep 7.5 --quality 5 --soreness 2 --fatigue 3 --stress 3 --mood 5 --json"));
  for (const char* key : {"\"schema\":1", "\"athlete\":\"a1\"", "\"date\":\"2026-11-23\"", "\"calls\":[", "\"say\":[",
                          "\"cautions\":[", "\"questions\":[", "\"coverage\":{", "\"model\":{"}) {
    EXPECT_NE(json.find(key), std::string::npos) << key;
  }
  EXPECT_EQ(ok(with("today --json")), json);
}

TEST_F(Commands, JsonIsOneLine) {
  set_up_lifter();
  for (const char* command : {"today", "compare", "ahead", "why", "loads", "loads --all", "questions",
                              "week --week 2026-W47", "strength", "marks", "plan show", "learn"}) {
    const std::string json = ok(with(std::string(command) + " --json"));
    EXPECT_EQ(json.find('\n'), json.size() - 1) << command;
  }
}

TEST_F(Commands, CheckNamesTheOptionOfAWrongValue) {
  set_up_lifter();
  const Outcome outcome = run(with("check --soreness 8"));
  EXPECT_EQ(outcome.status, 65);
  EXPECT_TRUE(outcome.err.starts_with("steelyard: --soreness: ")) << outcome.err;
  EXPECT_EQ(run(with("check")).status, 64);  // nobody to ask, nothing given
}

TEST_F(Commands, CheckStoresAllThatItWasGivenOrNothing) {
  set_up_lifter();
  ok(with("plan set 2026-11-20 squat volume 4x10@65 --minutes 75"));
  EXPECT_EQ(run(with("check --done 2026-11-20 --sleep abc")).status, 65);
  EXPECT_EQ(run(with("check --sleep 7 --done 2026-11-19")).status, 66);  // nothing is planned on that day
  EXPECT_NE(ok(with("undo")).find("plan set"), std::string::npos) << "the last entry that was stored";
}

TEST_F(Commands, QuestionsOfAMisspeltAthleteAreNotNone) {
  set_up_lifter();
  const Outcome outcome = run(with("questions --athlete a2"));
  EXPECT_EQ(outcome.status, 66);
  EXPECT_NE(outcome.err.find("did you mean 'a1'?"), std::string::npos) << outcome.err;
  EXPECT_EQ(ok(with("questions --athlete a1")), "No entry waits for an answer.\n");
}

TEST_F(Commands, CheckTellsAboutAPlannedSessionThatWasNotEntered) {
  set_up_lifter();
  ok(with("plan set 2026-11-20 squat volume 4x10@65 --minutes 75"));
  const Outcome told = run(with("check --sleep 7"));
  EXPECT_NE(
      told.err.find("note: Friday 2026-11-20: volume squat planned, nothing entered (--done 2026-11-20 or --missed "
                    "2026-11-20)"),
      std::string::npos)
      << told.err;
  ok(with("check --missed 2026-11-20"));
  EXPECT_EQ(run(with("check --sleep 7")).err, "");
}

TEST_F(Commands, IngestTellsEveryErrorAndExits65) {
  ok(with("athlete add a1"));
  write("log.csv", "athlete,date,minutes,rpe\na1,2026-11-16,75,7\na1,2026-11-18,1500,5\nzz,2026-11-18,60,5\n");
  const Outcome outcome = run(with("ingest log.csv"));
  EXPECT_EQ(outcome.status, 65);
  EXPECT_EQ(outcome.out, "log.csv: nothing stored\n");
  EXPECT_NE(outcome.err.find("log.csv:3:minutes: "), std::string::npos) << outcome.err;
  EXPECT_NE(outcome.err.find("log.csv:4:athlete: "), std::string::npos) << outcome.err;
  const Outcome kept = run(with("ingest --keep-good log.csv"));
  EXPECT_EQ(kept.status, 65);
  EXPECT_EQ(kept.out, "log.csv: 1 rows of sessions, 1 new\n");
}

TEST_F(Commands, IngestReadsStandardInput) {
  ok(with("athlete add a1"));
  const Outcome outcome =
      shell("printf 'athlete,date,minutes,rpe\\na1,2026-11-16,75,7\\n' | \"$PROGRAM\" ingest - --data s.db");
  EXPECT_EQ(outcome.status, 0) << outcome.err;
  EXPECT_EQ(outcome.out, "standard input: 1 rows of sessions, 1 new\n");
}

TEST_F(Commands, QuestionsAreShownAndAnswered) {
  ok(with("athlete add a1"));
  write("checks.csv", "athlete,date,sleep_hours,sleep_quality\na1,2026-11-20,0,6\n");
  EXPECT_EQ(ok(with("ingest checks.csv")), "checks.csv: 1 rows of checks, 1 new, 1 held aside as questions\n");
  EXPECT_NE(ok(with("questions")).find("0 hours"), std::string::npos);
  EXPECT_EQ(ok(with("questions --fix 1 sleep_hours=7.5")),
            "Question 1: the entry of a1 on 2026-11-20 counts as corrected.\n");
  EXPECT_EQ(ok(with("ingest checks.csv")), "checks.csv: 1 rows of checks, 1 unchanged\n");
  EXPECT_EQ(run(with("questions --keep 7")).status, 66);
}

TEST_F(Commands, WhyRepeatsTheCallThatWasMade) {
  set_up_lifter();
  EXPECT_EQ(run(with("why")).status, 66);
  const std::string json = ok(with("today --json"));
  EXPECT_EQ(ok(with("why --json")), json);
  EXPECT_NE(ok(with("why")).find("Squat"), std::string::npos);
}

TEST_F(Commands, ExportAndEraseAndReadBack) {
  set_up_lifter();
  EXPECT_EQ(ok(with("export out")), "out/athletes.csv: 1 rows\nout/maxes.csv: 1 rows\nout/plan.csv: 1 rows\n");
  EXPECT_EQ(run(with("erase a1")).status, 64);  // nobody to confirm it
  const Outcome erased = run(with("erase a1 --yes"));
  EXPECT_TRUE(erased.out.starts_with("Everything about a1 is gone from the store.\nReceipt: ")) << erased.out;
  EXPECT_NE(erased.err.find("what 'export' and 'report' wrote"), std::string::npos) << erased.err;
  EXPECT_EQ(run(with("today")).status, 66);
  ok(with("ingest out"));
  EXPECT_EQ(run(with("today")).status, 0);
}

TEST_F(Commands, WhatIsWrittenAboutPeopleIsForItsOwnerOnly) {
  set_up_lifter();
  const Outcome modes = shell(
      "umask 022; $PROGRAM export new/out --data s.db >log.txt; echo old >page.html; chmod 644 page.html; "
      "$PROGRAM report --out page.html --data s.db >>log.txt; "
      "$PROGRAM report --calendar --out days.ics --data s.db >>log.txt; "
      "stat -c '%a %n' new new/out new/out/athletes.csv page.html days.ics s.db");
  EXPECT_EQ(modes.out, "700 new\n700 new/out\n600 new/out/athletes.csv\n600 page.html\n600 days.ics\n600 s.db\n")
      << modes.err;
}

TEST_F(Commands, ADecisionOnALineOfTheWeekIsShownThere) {
  ok(with("athlete add a1"));
  write("pain.csv",
        "athlete,date,pain\na1,2026-11-16,knee-right:1:dull\na1,2026-11-18,knee-right:3:dull\n"
        "a1,2026-11-21,knee-right:5:dull\n");
  ok(with("ingest pain.csv"));
  EXPECT_EQ(run(with("week --accept a1")).status, 64) << "of which week?";
  EXPECT_EQ(run(with("week --week 2026-W47 --accept nobody")).status, 66);
  EXPECT_EQ(run(with("week --week 2026-W47 --change a1")).status, 65);
  const Outcome decided = run(with("week --week 2026-W47 --accept a1 --note 'saw him'"));
  EXPECT_NE(decided.err.find("the plan is as it was"), std::string::npos) << decided.err;
  EXPECT_NE(decided.out.find("decided     accepted at the machine on 20"), std::string::npos) << decided.out;
  EXPECT_NE(ok(with("week --week 2026-W47")).find(": saw him"), std::string::npos);
}

TEST_F(Commands, UndoSaysWhoseEntryItTookBackAndIsHeldToTheAthleteNamed) {
  set_up_lifter();
  ok(with("athlete add b2"));
  const Outcome other = run(with("undo --athlete a1"));
  EXPECT_EQ(other.status, 77);
  EXPECT_EQ(other.err, "steelyard: the last entry is about b2, not about a1 alone; nothing was taken back\n");
  EXPECT_EQ(run(with("undo --athlete nobody")).status, 66);
  const std::string out = ok(with("undo --athlete b2"));
  EXPECT_TRUE(out.starts_with("Taken back: athlete add of 2") && out.ends_with(", about b2.\n")) << out;
  EXPECT_TRUE(ok(with("undo")).ends_with(", about a1.\n"));
}

// ------------------------------------------------------------------------------------------ loads from files
TEST_F(Commands, LoadsFromFilesNeedNoStore) {
  write("log.csv",
        "athlete,date,minutes,rpe,tonnage\nx,2026-01-01,60,5,1000\n\"y\",2026-01-01,30,6,\nx,2026-01-03,40,5,\n");
  for (const char* other : {"--from 2026-11-01", "--to 2026-11-20", "--csv", "--json", "--athlete a1"}) {
    const Outcome refused = run(std::string("loads --logs log.csv --gaps rest --out out ") + other);
    EXPECT_EQ(refused.status, 64) << other;
    EXPECT_NE(refused.err.find("goes without --out"), std::string::npos) << refused.err;
  }
  EXPECT_EQ(ok("loads --logs log.csv --all --latest --gaps rest --out out"), "");
  EXPECT_EQ(read("out/last.csv"),
            "athlete,date,load,acute,chronic,acwr,acwr_unc,ewma_a,ewma_c,ewma_r,monotony,strain\n"
            "x,2026-01-03,200,,,,,,,,,\ny,2026-01-01,180,,,,,,,,,\n");
  const std::string sums = read("out/sum.csv");
  EXPECT_NE(sums.find("\n3,4,1000,680,"), std::string::npos) << sums;
  const std::string csv = ok("loads --logs log.csv --all --csv");
  EXPECT_NE(csv.find("x,2026-01-01,trained,300,false"), std::string::npos) << csv;
  EXPECT_FALSE(std::filesystem::exists(folder / ".local"));  // no store was made
  const Outcome which = run("loads --logs log.csv");
  EXPECT_EQ(which.status, 64);
}

// ------------------------------------------------------------------------------------------ where settings come from
TEST_F(Commands, CommandLineBeatsEnvironmentBeatsSettings) {
  for (const char* code : {"a1", "b2", "c3"}) ok(with(std::string("athlete add ") + code));
  write("own.ini", "data = s.db\n[user]\nathlete = a1\n");
  const auto who = [&](const std::string& arguments, const std::string& environment) {
    const std::string json = ok("today --json --date 2026-11-23 " + arguments, environment);
    const auto at = json.find("\"athlete\":\"") + 11;
    return json.substr(at, 2);
  };
  EXPECT_EQ(who("--config own.ini", ""), "a1");
  EXPECT_EQ(who("--config own.ini", "STEELYARD_ATHLETE=b2"), "b2");
  EXPECT_EQ(who("--config own.ini --athlete c3", "STEELYARD_ATHLETE=b2"), "c3");
  EXPECT_EQ(who("", "STEELYARD_CONFIG=own.ini"), "a1");
  EXPECT_EQ(run("today", "STEELYARD_DATA=s.db").status, 64);  // three athletes, none named
}

TEST_F(Commands, SettingsAreReadFromTheirUsualPlace) {
  ok(with("athlete add a1"));
  ok(with("athlete add b2"));
  std::filesystem::create_directories(folder / "conf/steelyard");
  write("conf/steelyard/steelyard.ini", "[user]\nathlete = b2\n");
  const std::string json = ok(with("today --json"), "XDG_CONFIG_HOME=\"$PWD/conf\"");
  EXPECT_NE(json.find("\"athlete\":\"b2\""), std::string::npos);
}

TEST_F(Commands, AWrongSettingIsNamed) {
  write("own.ini", "dat = s.db\n");
  expect_failure("today --config own.ini", 65,
                 "steelyard: own.ini: the setting 'dat' is not known; did you mean 'data'?\n");
  expect_failure("today --config no.ini", 66, "steelyard: no.ini: cannot be opened: No such file or directory\n");
}

// ------------------------------------------------------------------------------------------ exit statuses
TEST_F(Commands, ExitStatusesAreThoseOfTheContract) {
  ok(with("athlete add a1"));
  const Outcome no_server = run("today --data 'postgresql:///club?host=/nowhere'");
  EXPECT_EQ(no_server.status, 69);
  EXPECT_THAT(no_server.err, testing::HasSubstr("the PostgreSQL server cannot be reached; check that it runs"));
  EXPECT_EQ(run(with("ingest nowhere.csv")).status, 66);
  EXPECT_EQ(run(with("today --athlete nobody")).status, 66);
  EXPECT_EQ(run("today --data s.db --date 2026-02-30").status, 64);
  EXPECT_EQ(shell("\"$PROGRAM\" athlete list --data s.db >/dev/full").status, 74);
}

TEST_F(Commands, AClosedPipeEndsQuietly) {
  std::string text = "athlete,date,minutes,rpe\n";
  for (int i = 0; i < 20000; ++i) text += "x" + std::to_string(i) + ",2026-01-01,60,5\n";
  write("log.csv", text);
  const Outcome outcome = shell("set -o pipefail; \"$PROGRAM\" loads --logs log.csv --all --csv | head -1");
  EXPECT_EQ(outcome.status, 0);
  EXPECT_EQ(outcome.err, "");
  EXPECT_TRUE(outcome.out.starts_with("athlete,date,"));
}

}  // namespace
}  // namespace steelyard::cli
