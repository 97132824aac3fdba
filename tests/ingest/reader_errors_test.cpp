// Whole messages: a person must find the place, the value, what is allowed and what to do in each of them.
#include <gtest/gtest.h>

#include "ingest/reading.hpp"

namespace steelyard::ingest {
namespace {

/// The errors of rows under a header; every row is one of anna's on 2026-11-23.
std::string sessions(const std::string& cells) {
  return read_text("athlete,date,part,kind,minutes,rpe,tonnage,note\nanna,2026-11-23," + cells + "\n").errors();
}
std::string sets(const std::string& cells) {
  return read_text("athlete,date,lift,sets,reps,weight,unit,percent,missed\nanna,2026-11-23," + cells + "\n").errors();
}
std::string header(const std::string& columns) {
  return read_text(columns + "\n").errors();
}

TEST(ReadLogErrors, NumbersOutOfRange) {
  EXPECT_EQ(
      sessions(",,0,,,"),
      "f.csv:2:minutes: '0' is not allowed here; allowed: more than 0, up to 1440 min; correct it, or leave it blank "
      "if it was not recorded\n");
  EXPECT_EQ(
      sessions(",,1440.5,,,"),
      "f.csv:2:minutes: '1440.5' is not allowed here; allowed: more than 0, up to 1440 min; correct it, or leave it "
      "blank if it was not recorded\n");
  EXPECT_EQ(sessions(",,,-1,,"),
            "f.csv:2:rpe: '-1' is not allowed here; allowed: 0 to 10; correct it, or leave it blank if it was not "
            "recorded\n");
  EXPECT_EQ(
      sessions("0,,,,,"),
      "f.csv:2:part: '0' is not allowed here; allowed: whole numbers from 1 to 20; correct it, or leave it blank if "
      "it was not recorded\n");
  EXPECT_EQ(sessions(",,1440,10,1000000,"), "");
}

TEST(ReadLogErrors, TextThatIsNoPlainNumber) {
  const std::string leave = "; correct it, or leave it blank if it was not recorded\n";
  for (const std::string text : {"nan", "NaN", "inf", "-inf", "infinity", "n/a", "-", "0x10", "1e999", "seven"}) {
    EXPECT_EQ(sessions(",,," + text + ",,"), "f.csv:2:rpe: '" + text + "' is not allowed here; allowed: 0 to 10" +
                                                 (text == "0x10" ? "; write the number alone\n" : leave));
  }
  EXPECT_EQ(sessions(",,,+7,,"), "f.csv:2:rpe: '+7' is not allowed here; allowed: 0 to 10; leave the plus sign out\n");
  EXPECT_EQ(sessions(",,,\"7,5\",,"),
            "f.csv:2:rpe: '7,5' is not allowed here; allowed: 0 to 10; write decimals with a point, such as 7.5, and "
            "nothing between thousands\n");
  EXPECT_EQ(
      sessions(",,75 min,,,"),
      "f.csv:2:minutes: '75 min' is not allowed here; allowed: more than 0, up to 1440 min; write the number alone\n");
  EXPECT_EQ(
      sessions("1.5,,,,,"),
      "f.csv:2:part: '1.5' is not allowed here; allowed: whole numbers from 1 to 20; correct it, or leave it blank "
      "if it was not recorded\n");
}

TEST(ReadLogErrors, WholeNumbers) {
  EXPECT_EQ(
      sets("squat,3.5,5,100,,,"),
      "f.csv:2:sets: '3.5' is not allowed here; allowed: whole numbers from 1 to 50; correct it, or leave it blank "
      "if it was not recorded\n");
  EXPECT_EQ(sets("squat,3,101,100,,,"),
            "f.csv:2:reps: '101' is not allowed here; allowed: whole numbers from 0 to 100; correct it\n");
  EXPECT_EQ(sets("squat,3,99999999999,100,,,"),
            "f.csv:2:reps: '99999999999' is not allowed here; allowed: whole numbers from 0 to 100; correct it\n");
  EXPECT_EQ(sets("squat,3.0,5,100,,,"), "");  // spreadsheets write whole numbers so
}

TEST(ReadLogErrors, Weights) {
  EXPECT_EQ(
      sets("squat,3,5,1000.1,,,"),
      "f.csv:2:weight: '1000.1' is not allowed here; allowed: 0 to 1000 kg; correct it, or leave it blank if it was "
      "not recorded\n");
  EXPECT_EQ(
      sets("squat,3,5,2205,lb,,"),  // 2204.6 lb are 1000 kg
      "f.csv:2:weight: '2205' is not allowed here; allowed: 0 to 1000 kg (2204.6 lb); correct it, or leave it blank "
      "if it was not recorded\n");
  EXPECT_EQ(sets("squat,3,5,2204,lb,,"), "");
  EXPECT_EQ(
      sets("squat,3,5,100kg,,,"),
      "f.csv:2:weight: '100kg' is not allowed here; allowed: 0 to 1000 kg; write the number alone, and its unit (kg "
      "or lb) into the column unit\n");
  EXPECT_EQ(sets("squat,3,5,1500,lbs,,"),
            "f.csv:2:unit: 'lbs' is not allowed here; allowed: kg, lb; did you mean 'lb'?\n");
}

TEST(ReadLogErrors, RequiredCells) {
  EXPECT_EQ(
      sets(",3,,100,,,"),
      "f.csv:2:lift: this cell must not be blank; allowed: 1 to 64 letters a-z, digits and '-', such as split-squat\n"
      "f.csv:2:reps: this cell must not be blank; allowed: whole numbers from 0 to 100\n");
  EXPECT_EQ(read_text("athlete,date,minutes\n,,60\n").errors(),
            "f.csv:2:athlete: this cell must not be blank; allowed: 1 to 64 letters, digits, '-', '_' and '.'\n"
            "f.csv:2:date: this cell must not be blank; allowed: YYYY-MM-DD, a day that exists, such as 2026-11-23\n");
  EXPECT_EQ(read_text("athlete,date,lift,percent,speed\nanna,2026-11-23,squat,,\n").errors(),
            "f.csv:2:percent: this cell must not be blank; allowed: 0 to 150 %\n"
            "f.csv:2:speed: this cell must not be blank; allowed: 0 to 3 m/s\n");
  EXPECT_EQ(read_text("athlete,date,caution,by\nanna,2026-11-23,,\n").errors(),
            "f.csv:2:caution: this cell must not be blank; allowed: a text\n"
            "f.csv:2:by: this cell must not be blank; allowed: practitioner, mistake\n");
}

TEST(ReadLogErrors, Dates) {
  EXPECT_EQ(read_text("athlete,date,minutes\nanna,2026-02-30,60\nanna,23.11.2026,60\n").errors(),
            "f.csv:2:date: '2026-02-30' is not a date; allowed: YYYY-MM-DD, a day that exists, such as 2026-11-23\n"
            "f.csv:3:date: '23.11.2026' is not a date; allowed: YYYY-MM-DD, a day that exists, such as 2026-11-23\n");
  EXPECT_EQ(
      read_text("athlete,training_since,meet_date\ndora,2015,2026-13-01\n").errors(),
      "f.csv:2:training_since: '2015' is not a month; allowed: YYYY-MM, such as 2021-09\n"
      "f.csv:2:meet_date: '2026-13-01' is not a date; allowed: YYYY-MM-DD, a day that exists, such as 2026-11-23\n");
}

TEST(ReadLogErrors, Athletes) {
  EXPECT_EQ(read_text("athlete,date,minutes\nzoe,2026-11-23,60\nan na,2026-11-23,60\nAnna,2026-11-23,60\n").errors(),
            "f.csv:2:athlete: there is no athlete 'zoe'; allowed: athletes of the store; add this one with `steelyard "
            "athlete add zoe`, or correct the code\n"
            "f.csv:3:athlete: 'an na' is not allowed here; allowed: 1 to 64 letters, digits, '-', '_' and '.'\n"
            "f.csv:4:athlete: there is no athlete 'Anna'; allowed: athletes of the store; add this one with `steelyard "
            "athlete add Anna`, or correct the code\n");
}

TEST(ReadLogErrors, WordsOfClosedLists) {
  EXPECT_EQ(
      sessions(",hevy,,,,"),
      "f.csv:2:kind: 'hevy' is not allowed here; allowed: heavy, volume, speed, light, rest, sport, other; did you "
      "mean 'heavy'?\n");
  EXPECT_EQ(
      sessions(",rest,,,,"),
      "f.csv:2:kind: 'rest' is not allowed here; allowed: heavy, volume, speed, light, sport, other; a day of rest "
      "has no session; enter it as a day off\n");
  EXPECT_EQ(
      read_text("athlete,date,lift,kind\nanna,2026-11-23,squat,sport\n").errors(),
      "f.csv:2:kind: 'sport' is not allowed here; allowed: heavy, volume, speed, light, rest; a plan names work with "
      "a lift\n");
  EXPECT_EQ(
      read_text("athlete,weekdays,share,time_zone\ndora,mon tues,load paim,../etc/passwd\n").errors(),
      "f.csv:2:weekdays: 'tues' is not a weekday; allowed: mon, tue, wed, thu, fri, sat, sun; did you mean 'tue'?\n"
      "f.csv:2:time_zone: '../etc/passwd' is not allowed here; allowed: a name of the time-zone database, such as "
      "Europe/Berlin\n"
      "f.csv:2:share: 'paim' is not a part to be shared; allowed: load, checks, pain, stops, distress-flag, notes; "
      "did you mean 'pain'?\n");
}

TEST(ReadLogErrors, Lists) {
  EXPECT_EQ(read_text("athlete,date,sore_regions,pain\nanna,2026-11-23,quad:4,knee:5\n").errors(),
            "f.csv:2:sore_regions: 'quad' is not a region; allowed: calves, knees, quads, hamstrings, hips, glutes, "
            "low-back, upper-back, chest, shoulders, elbows, wrists, neck; did you mean 'quads'?\n"
            "f.csv:2:pain: 'knee:5' lacks its kind; allowed: SITE:LEVEL:KIND, such as knee:5:dull\n");
  EXPECT_EQ(read_text("athlete,plates_kg\ndora,25 20 0.05\n").errors(),
            "f.csv:2:plates_kg: '0.05' is not allowed here; allowed: numbers from 0.1 to 100, separated by blanks\n");
}

TEST(ReadLogErrors, WhatHoldsBetweenColumns) {
  EXPECT_EQ(sets("squat,1,5,100,,,6"),
            "f.csv:2:missed: '6' is not allowed here; allowed: whole numbers from 0 to 5, the repetitions attempted\n");
  EXPECT_EQ(sets("squat,1,5,100,,,5"), "");
  EXPECT_EQ(read_text("athlete,from,to,reason\nanna,2026-11-23,2026-11-22,illness\n").errors(),
            "f.csv:2:to: '2026-11-22' is not allowed here; allowed: 2026-11-23 or later, the day in the column from\n");
  EXPECT_EQ(read_text("athlete,group,from,to,intent\nanna,b1,2026-11-23,2026-11-29,hard\n"
                      ",,2026-11-23,2026-11-29,hard\nanna,,2026-11-23,2026-11-20,hard\n")
                .errors(),
            "f.csv:2:group: athlete and group are both filled; allowed: one of them\n"
            "f.csv:3:athlete: athlete and group are blank; allowed: one of them\n"
            "f.csv:4:to: '2026-11-20' is not allowed here; allowed: 2026-11-23 or later, the day in the column from\n");
}

TEST(ReadLogErrors, ControlCharactersInText) {
  EXPECT_EQ(
      sessions(",,,,,a\x1B[31mb"),
      "f.csv:2:note: 'a\\x1B[31mb' is not allowed here; allowed: text without control characters; take them out\n");
  EXPECT_EQ(read_text("athlete,name\ndora,\"a\nb\"\n").errors(),
            "f.csv:2:name: 'a\\nb' is not allowed here; allowed: text without control characters; take them out\n");
}

TEST(ReadLogErrors, TheFormOfTheRow) {
  EXPECT_EQ(
      read_text("athlete,date,minutes\nanna,2026-11-23\nanna,2026-11-23,60,7\nanna,2026-11-23,60\n").errors(),
      "f.csv:2: the row has 2 cells; allowed: 3, as many as the header has columns; put text with a comma between "
      "quotes\n"
      "f.csv:3: the row has 4 cells; allowed: 3, as many as the header has columns; put text with a comma between "
      "quotes\n");
  EXPECT_EQ(
      read_text("athlete,date,minutes,note\nanna,2026-11-23,60,5\" off\n").errors(),
      "f.csv:2:note: a quote stands inside a cell without quotes around it; allowed: \"5\"\" plate\" for 5\" plate\n");
  EXPECT_EQ(read_text("athlete,date,minutes,note\nanna,2026-11-23,60,\xFC"
                      "bel\n")
                .errors(),
            "f.csv:2:note: the text is not UTF-8; allowed: UTF-8 without NUL; save the file as UTF-8\n");
}

TEST(ReadLogErrors, CountBlankLinesAboveTheHeader) {
  EXPECT_EQ(read_text("\xEF\xBB\xBF\n\n\n\nathlete,date,minutes\nanna,2026-11-23,0\n").report->errors.at(0).where,
            "f.csv:6:minutes");
}

TEST(ReadLogErrors, LeaveOneRowOutAndKeepTheOthers) {
  const auto outcome = read_text(
      "athlete,date,minutes,note\nanna,2026-11-23,60,\"two\nlines\"\nanna,2026-11-24,0,\nanna,2026-11-25,50,\n");
  EXPECT_EQ(outcome.rows.size(), 2U);
  EXPECT_EQ(outcome.lines, (std::vector<std::size_t>{2, 5}));
  EXPECT_EQ(outcome.report->error_count, 1U);
  EXPECT_EQ(outcome.report->errors.at(0).where, "f.csv:4:minutes");
}

TEST(ReadLogErrors, AllAreCountedAndSomeKept) {
  std::string text = "athlete,date,minutes\n";
  for (int i = 0; i < 100; ++i) text += "anna,2026-11-23,0\n";
  ReadOptions options;
  options.most_errors = 3;
  const auto outcome = read_text(text, options);
  EXPECT_EQ(outcome.report->error_count, 100U);
  ASSERT_EQ(outcome.report->errors.size(), 3U);
  EXPECT_EQ(outcome.report->errors[2].where, "f.csv:4:minutes");
}

TEST(HeaderErrors, UnknownColumns) {
  EXPECT_EQ(header("athlete,date,sleap_hours,soreness"),
            "f.csv:1:sleap_hours: 'sleap_hours' is not a column of checks; allowed: athlete, date, sleep_hours, "
            "sleep_quality, soreness, fatigue, stress, mood, sore_regions, pain, symptoms, resting_hr, hrv, body_mass, "
            "jump, minutes_available and note; did you mean 'sleep_hours'?\n");
  EXPECT_EQ(
      header("athlete,date,lift,reps,load"),
      "f.csv:1:load: 'load' is not a column of sets; allowed: athlete, date, part, lift, sets, reps, weight, unit, "
      "percent, rpe, speed and missed\n");
  EXPECT_EQ(header("Athlete,date,minutes"),
            "f.csv:1:Athlete: 'Athlete' is not a column of sessions; allowed: athlete, date, part, kind, minutes, rpe, "
            "tonnage and note; did you mean 'athlete'?\n");
}

TEST(HeaderErrors, AMisspeltColumnTellsTheKind) {
  EXPECT_TRUE(
      header("athlete,date,sorenes").starts_with("f.csv:1:sorenes: 'sorenes' is not a column of checks; allowed: "));
  EXPECT_TRUE(
      header("athlete,date,minuts").starts_with("f.csv:1:minuts: 'minuts' is not a column of sessions; allowed: "));
}

TEST(HeaderErrors, ColumnsThatFitTwoKinds) {
  EXPECT_EQ(
      header("athlete,date"),
      "f.csv:1: the columns athlete and date fit sessions and checks; add a column that only one of them has, even "
      "an empty one\n");
  EXPECT_EQ(
      header("note,date,athlete"),
      "f.csv:1: the columns note, date and athlete fit sessions and checks; add a column that only one of them has, "
      "even an empty one\n");
}

TEST(HeaderErrors, ColumnsThatLackOne) {
  EXPECT_EQ(
      header("athlete,date,lift,weight"),
      "f.csv:1: the columns athlete, date, lift and weight fit no kind of file; a file of sets also needs reps\n");
  EXPECT_EQ(header("from,to,intent"),
            "f.csv:1: the columns from, to and intent fit no kind of file; a file of periods also needs athlete\n");
}

TEST(HeaderErrors, FormOfTheHeader) {
  EXPECT_EQ(header("athlete,date,date"), "f.csv:1:date: column 'date' is there twice; take one out\n");
  EXPECT_EQ(header("athlete,,date"), "f.csv:1: column 2 has no name; give it one or take it out\n");
  EXPECT_EQ(
      header("athlete;date;minutes"),
      "f.csv:1: the columns are not separated by commas; allowed: commas; save the file as comma-separated values\n");
  EXPECT_EQ(header("\n\nathlete,\"date"),
            "f.csv:3: the quote that opens this cell is never closed; close it with \"\n");
  EXPECT_EQ(read_text("").errors(), "f.csv: the file is empty; allowed: a header row and rows below it\n");
  EXPECT_EQ(read_text("\n \r\n").errors(), "f.csv: the file is empty; allowed: a header row and rows below it\n");
  EXPECT_EQ(read_text(std::string("\xFF\xFE"
                                  "a\0t\0\n\0",
                                  8))
                .errors(),
            "f.csv:1: the text is not UTF-8; allowed: UTF-8 without NUL; save the file as UTF-8\n");
  EXPECT_EQ(read_text("athlete,date,minutes\ranna,2026-11-23,60\r").errors(),
            "f.csv:1: a carriage return stands alone; allowed: line ends LF or CRLF; save the file with one of them\n");
  EXPECT_EQ(read_text("").report.error().code, Errc::bad_data);
  EXPECT_EQ(read_text("athlete,date,minutes\n").errors(), "");
  EXPECT_EQ(read_text("athlete,date,minutes\n").report->kinds, std::set<RecordKind>{RecordKind::sessions});
}

}  // namespace
}  // namespace steelyard::ingest
