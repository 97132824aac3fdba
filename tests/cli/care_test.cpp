// backup, verify and erase as a person runs them.
#include "cli/program.hpp"

namespace steelyard::cli {
namespace {

/// The statements that bring version 5 to 7, backwards.
const std::string k_back_to_version_5 =
    "drop index touches_by_athlete; alter table touches drop column done; pragma user_version = 5; ";

class Care : public Program {
 protected:
  void set_up_store() {
    ok("ingest '" STEELYARD_SOURCE_DIR "/sample-logs' --data s.db");
    ok("today --athlete hc05 --date 2026-11-23 --data s.db");
    ok("compare --athlete hc05 --date 2026-11-23 --data s.db");
    ok("today --athlete hc01 --date 2026-11-23 --data s.db");
  }
  void enter_two() {
    write("people.csv", "athlete,name\nhq77,Quillon Zephyrine\nhq78,Other One\n");
    write("checks.csv",
          "athlete,date,sleep_hours,note\nhq77,2026-11-23,7,vexingly sore\nhq78,2026-11-23,7,keep this\n");
    ok("ingest people.csv checks.csv --data s.db");
    std::filesystem::remove(folder / "people.csv");
    std::filesystem::remove(folder / "checks.csv");
  }
  /// SQL behind the program's back.
  void tamper(const std::string& sql) {
    const Outcome outcome = shell("python3 -c \"import sqlite3; c = sqlite3.connect('s.db'); c.executescript(\\\"" +
                                  sql + "\\\"); c.commit()\"");
    ASSERT_EQ(outcome.status, 0) << outcome.err;
  }
  bool anywhere(const std::string& text) const {
    for (const auto& file : std::filesystem::directory_iterator(folder)) {
      if (read(file.path().filename()).find(text) != std::string::npos && file.path().extension() != ".sh") return true;
    }
    return false;
  }
};

TEST_F(Care, BackupIsVerifiedAndTakesThePlaceOfTheStore) {
  set_up_store();
  const std::string said = ok("backup copy.db --data s.db");
  EXPECT_TRUE(said.starts_with("copy.db: 9 athletes, ")) << said;
  expect_failure("backup copy.db --data s.db", 77,
                 "steelyard: copy.db: there is a file of that name already; --overwrite replaces it\n");
  ok("backup copy.db --overwrite --data s.db");
  EXPECT_EQ(ok("today --athlete hc05 --date 2026-11-23 --data copy.db"),
            ok("today --athlete hc05 --date 2026-11-23 --data s.db"));
  EXPECT_EQ(run("backup copy2.db --data none.db").status, 66);
  EXPECT_FALSE(std::filesystem::exists(folder / "none.db"));
}

TEST_F(Care, VerifyRepeatsTheDigestOfEveryCall) {
  set_up_store();
  // Moments are kept in seconds, and what was entered in the second of a call counts as later than it.
  tamper("update entries set at = at - 60");
  const std::string sound = ok("verify --data s.db");
  EXPECT_NE(sound.find("3 of 3 calls have the inputs that they were made from.\n"), std::string::npos) << sound;
  EXPECT_TRUE(sound.ends_with("The store is sound.\n")) << sound;

  ok("check --athlete hc01 --date 2026-11-23 --sleep 5 --data s.db");
  const std::string corrected = ok("verify --data s.db");
  EXPECT_NE(corrected.find("3 of 4 calls have the inputs that they were made from; those of 1 were changed since"),
            std::string::npos)
      << corrected;

  tamper("update checks set sleep_hours = 3 where athlete = 'hc05'");
  const Outcome wrong = run("verify --data s.db");
  EXPECT_EQ(wrong.status, 1);
  EXPECT_NE(wrong.out.find("FAULT call 1 (today of hc05 on 2026-11-23): the entries behind it"), std::string::npos)
      << wrong.out;
  EXPECT_NE(wrong.out.find("The store is not sound."), std::string::npos);
  EXPECT_EQ(run("verify --json --data s.db").out.find("{\"schema\":1,\"sound\":false,"), 0U);
}

TEST_F(Care, VerifyNamesAWordThatNoRowMayHold) {
  set_up_store();
  tamper("update athletes set units = 'stone' where athlete = 'hc02'");
  const Outcome wrong = run("verify --data s.db");
  EXPECT_EQ(wrong.status, 1);
  EXPECT_NE(wrong.out.find("FAULT damaged: "), std::string::npos) << wrong.out;
  EXPECT_EQ(run("verify --data none.db").status, 66);
}

TEST_F(Care, VerifyBringsAnOlderStoreForwardAndLooksAtThat) {
  set_up_store();
  tamper(k_back_to_version_5);
  const Outcome sound = run("verify --data s.db");
  EXPECT_EQ(sound.status, 0) << sound.out;
  EXPECT_NE(sound.out.find("note  its tables had version 5 and were brought forward to 7; a copy of it as it was lies "
                           "beside it, under a name that begins with FILE.before-7\n"),
            std::string::npos)
      << sound.out;
  EXPECT_TRUE(sound.out.ends_with("The store is sound.\n")) << sound.out;
  EXPECT_TRUE(std::filesystem::exists(folder / "s.db.before-7"));

  tamper(k_back_to_version_5 + "delete from athletes where athlete = 'hc05'");
  const Outcome wrong = run("verify --data s.db");
  EXPECT_EQ(wrong.status, 1);
  EXPECT_NE(wrong.out.find("FAULT checks: "), std::string::npos) << wrong.out;

  tamper("drop table touches; pragma user_version = 5");
  const Outcome broken = run("verify --data s.db");
  EXPECT_EQ(broken.status, 1);
  EXPECT_TRUE(broken.out.starts_with("FAULT its tables of version 5 cannot be brought forward: ")) << broken.out;
  EXPECT_NE(broken.out.find("The store is not sound."), std::string::npos) << broken.out;

  write("none.db", "");
  expect_failure("verify --data none.db", 66, "steelyard: none.db: the store is empty\n");
}

TEST_F(Care, EraseLeavesNoTraceOfNameOrNotes) {
  enter_two();
  ok("today --athlete hq77 --date 2026-11-23 --data s.db");
  ASSERT_TRUE(anywhere("vexingly"));
  ASSERT_TRUE(anywhere("Zephyrine"));
  ok("check --athlete hq77 --date 2026-11-23 --sleep 6 --data s.db");  // the first form of it goes to the history
  const std::string receipt = ok("erase hq77 --yes --data s.db");
  EXPECT_NE(receipt.find("Receipt: 2 entries and 1 earlier forms of entries removed"), std::string::npos) << receipt;
  const std::string verified = ok("verify --data s.db");
  const auto at = verified.find("digest ") + 7;
  EXPECT_NE(receipt.find("what is left has the digest " + verified.substr(at, 16)), std::string::npos) << receipt;
  write("out.txt", "");
  write("command.sh", "");
  for (const char* trace : {"vexingly", "Zephyrine", "hq77"}) EXPECT_FALSE(anywhere(trace)) << trace;
  EXPECT_TRUE(anywhere("keep this"));
  EXPECT_TRUE(ok("verify --data s.db").ends_with("The store is sound.\n"));
}

TEST_F(Care, EraseNamesTheCopiesThatTheProgramMadeAndRemovesNone) {
  enter_two();
  tamper(k_back_to_version_5);
  ok("athlete list --data s.db");
  std::filesystem::copy_file(folder / "s.db.before-7", folder / "s.db.before-5");
  for (int i = 0; i < 2; ++i) {  // the second time they are in the copies only
    const Outcome erased = run("erase hq77 --yes --data s.db");
    EXPECT_EQ(erased.status, 74);
    for (const char* copy : {"s.db.before-5", "s.db.before-7"}) {
      EXPECT_NE(erased.err.find(copy), std::string::npos) << erased.err;
      EXPECT_TRUE(std::filesystem::exists(folder / copy));
    }
  }
  EXPECT_EQ(run("erase hq79 --yes --data s.db").status, 66);
}

}  // namespace
}  // namespace steelyard::cli
