#include <gtest/gtest.h>

#include "ingest/reading.hpp"
#include "steelyard/base/text.hpp"

namespace steelyard::ingest {
namespace {

Day day(std::string_view text) {
  return parse_day(text).value();
}

template <class R>
R only(const Outcome& outcome) {
  EXPECT_EQ(outcome.errors(), "");
  EXPECT_EQ(outcome.rows.size(), 1U);
  return std::get<R>(outcome.rows.at(0));
}

TEST(ReadLog, ReadsSessions) {
  const auto outcome = read_text(
      "athlete,date,part,kind,minutes,rpe,tonnage,note\n"
      "anna,2026-11-23,1,heavy,75,7.5,8400,\"felt ok, mostly\"\n"
      "anna,2026-11-24,,,,,,\n");
  EXPECT_EQ(outcome.errors(), "");
  ASSERT_EQ(outcome.rows.size(), 2U);
  EXPECT_EQ(outcome.rows[0],
            Record(Session{"anna", day("2026-11-23"), 1, DayKind::heavy, 75, 7.5, 8400, "felt ok, mostly"}));
  EXPECT_EQ(outcome.rows[1], Record(Session{.athlete = "anna", .date = day("2026-11-24")}));  // blank is not zero
  EXPECT_EQ(outcome.lines, (std::vector<std::size_t>{2, 3}));
  EXPECT_EQ(outcome.report->kinds, std::set<RecordKind>{RecordKind::sessions});
  EXPECT_EQ(outcome.report->rows, 2U);
  EXPECT_EQ(outcome.report->error_count, 0U);
}

TEST(ReadLog, TakesColumnsInAnyOrderAndLeavesOthersOut) {
  const auto row = only<Session>(read_text("rpe,date,minutes,athlete\n7,2026-11-23,60,anna\n"));
  EXPECT_EQ(row, (Session{.athlete = "anna", .date = day("2026-11-23"), .minutes = 60, .rpe = 7}));
}

TEST(ReadLog, TakesAByteOrderMarkCrlfAndBlanksAroundCells) {
  const auto row = only<Session>(read_text("\xEF\xBB\xBF\r\n athlete , date ,rpe\r\n anna ,2026-11-23 ,\t7\r\n\r\n"));
  EXPECT_EQ(row, (Session{.athlete = "anna", .date = day("2026-11-23"), .rpe = 7}));
}

TEST(ReadLog, KeepsANoteToTheLastBlank) {
  const auto row = only<Session>(read_text("athlete,date,rpe,note\nanna,2026-11-23,7,\"  two\nlines \"\n"));
  EXPECT_EQ(row.note, "  two\nlines ");
}

TEST(ReadLog, ReadsEveryColumnOfSets) {
  const auto row =
      only<SetRow>(read_text("athlete,date,part,lift,sets,reps,weight,unit,percent,rpe,speed,missed\n"
                             "anna,2026-11-23,2,Front Squat,3,5,142.5,kg,82.5,8.5,0.45,1\n"));
  EXPECT_EQ(row, (SetRow{.athlete = "anna",
                         .date = day("2026-11-23"),
                         .part = 2,
                         .lift = "front-squat",
                         .sets = 3,
                         .reps = 5,
                         .weight_kg = 142.5,
                         .unit = Unit::kg,
                         .percent = 82.5,
                         .rpe = 8.5,
                         .speed_m_s = 0.45,
                         .missed = 1}));
}

TEST(ReadLog, CountsABlankNumberOfSetsAsOne) {
  EXPECT_EQ(only<SetRow>(read_text("athlete,date,lift,reps,sets\nanna,2026-11-23,squat,5,\n")).sets, 1);
  EXPECT_EQ(only<SetRow>(read_text("athlete,date,lift,reps\nanna,2026-11-23,squat,0\n")).reps, 0);
}

// 1 lb = 0.45359237 kg (international yard and pound agreement, 1959).
TEST(ReadLog, ConvertsAWeightByTheRowThenTheAthleteThenKilograms) {
  const std::string header = "athlete,date,lift,reps,weight,unit\n";
  const auto weight = [&](const std::string& athlete, const std::string& unit) {
    return only<SetRow>(read_text(header + athlete + ",2026-11-23,squat,5,225," + unit + "\n")).weight_kg.value();
  };
  EXPECT_EQ(weight("anna", ""), 225);
  EXPECT_EQ(weight("cleo", ""), 225);
  EXPECT_DOUBLE_EQ(weight("ben", ""), 102.05828325);
  EXPECT_EQ(weight("ben", "kg"), 225);
  EXPECT_DOUBLE_EQ(weight("anna", "lb"), 102.05828325);
  const auto row = only<SetRow>(read_text("unit,weight,reps,lift,date,athlete\nlb,225,5,squat,2026-11-23,anna\n"));
  EXPECT_DOUBLE_EQ(row.weight_kg.value(), 102.05828325);
  EXPECT_EQ(row.unit, Unit::lb);
  const auto max = only<TrainingMax>(read_text("athlete,lift,from,training_max\nben,squat,2026-01-01,400\n"));
  EXPECT_DOUBLE_EQ(max.training_max_kg, 181.436948);
  EXPECT_FALSE(max.unit);
}

TEST(ReadLog, ReadsChecks) {
  const auto row = only<Check>(read_text(
      "athlete,date,sleep_hours,sleep_quality,soreness,fatigue,stress,mood,sore_regions,pain,symptoms,"
      "resting_hr,hrv,body_mass,jump,minutes_available,note\n"
      "anna,2026-11-23,7.5,6,2,3,1.5,7,quads:4 upper-back:3,knee-right:5:sharp,cough fever,52,80,82.4,41,60,ok\n"));
  EXPECT_EQ(row.sleep_hours, 7.5);
  EXPECT_EQ(row.sleep_quality, 6);
  EXPECT_EQ(row.soreness, 2);
  EXPECT_EQ(row.fatigue, 3);
  EXPECT_EQ(row.stress, 1.5);
  EXPECT_EQ(row.mood, 7);
  EXPECT_EQ(row.sore_regions, (std::vector<SoreRegion>{{"quads", 4}, {"upper-back", 3}}));
  EXPECT_EQ(row.pain, (std::vector<PainEntry>{{"knee-right", 5, PainKind::sharp}}));
  EXPECT_EQ(row.symptoms, (std::vector<std::string>{"cough", "fever"}));
  EXPECT_EQ(row.resting_hr, 52);
  EXPECT_EQ(row.hrv_ms, 80);
  EXPECT_EQ(row.body_mass_kg, 82.4);
  EXPECT_EQ(row.jump_cm, 41);
  EXPECT_EQ(row.minutes_available, 60);
  EXPECT_EQ(row.note, "ok");
}

TEST(ReadLog, ReadsAthletesThatNobodyKnowsYet) {
  const auto row = only<Athlete>(read_text(
      "athlete,name,birth_year,training_since,units,weekdays,time_zone,meet_date,group,bar_kg,plates_kg,share\n"
      "dora,Dora D.,1990,2015-03,lb,fri mon,Europe/Berlin,2027-03-06,b1,15,25 20 1.25,load notes\n"));
  WeekdaySet days;
  days.add(0);
  days.add(4);
  EXPECT_EQ(row, (Athlete{"dora",
                          "Dora D.",
                          1990,
                          day("2015-03-01"),
                          Unit::lb,
                          days,
                          "Europe/Berlin",
                          day("2027-03-06"),
                          "b1",
                          15,
                          {25, 20, 1.25},
                          {"load", "notes"}}));
}

TEST(ReadLog, ReadsPlansDaysOffPeriodsBarsAndClearances) {
  EXPECT_EQ(only<PlanRow>(read_text("athlete,date,lift,kind,sets,reps,percent,minutes,note\n"
                                    "anna,2026-11-23,squat,heavy,5,3,85,90,main\n")),
            (PlanRow{"anna", day("2026-11-23"), "squat", DayKind::heavy, 5, 3, 85, 90, "main"}));
  EXPECT_EQ(only<DaysOff>(read_text("athlete,from,to,reason\nanna,2026-11-23,2026-11-23,illness\n")),
            (DaysOff{"anna", day("2026-11-23"), day("2026-11-23"), OffReason::illness}));
  EXPECT_EQ(only<Period>(read_text("group,from,to,intent\nb1,2026-11-23,2026-11-29,camp\n")),
            (Period{"", "b1", day("2026-11-23"), day("2026-11-29"), Intent::camp, ""}));
  EXPECT_EQ(only<Period>(read_text("athlete,group,from,to,intent,note\nanna,,2026-11-23,2026-11-29,taper,x\n")),
            (Period{"anna", "", day("2026-11-23"), day("2026-11-29"), Intent::taper, "x"}));
  EXPECT_EQ(only<BarSpeed>(read_text("athlete,date,lift,percent,speed\nanna,2026-11-23,bench,60,0.72\n")),
            (BarSpeed{"anna", day("2026-11-23"), "bench", 60, 0.72}));
  EXPECT_EQ(only<Clearance>(read_text("athlete,date,caution,by\nanna,2026-11-23,chest-pressure,practitioner\n")),
            (Clearance{"anna", day("2026-11-23"), "chest-pressure", ClearedBy::practitioner, ""}));
}

TEST(ReadLog, ReadsTheSameInPiecesOfAnySize) {
  const std::string text =
      "athlete,date,minutes,rpe,note\nanna,2026-11-23,60,7,\"a\nb\"\nben,2026-11-23,45,,x\ncleo,2026-02-30,1,1,\n";
  const auto whole = read_text(text);
  ASSERT_EQ(whole.rows.size(), 2U);
  for (std::size_t piece = 1; piece < text.size(); ++piece) {
    const auto outcome = read_text(text, {}, piece);
    EXPECT_EQ(outcome.rows, whole.rows);
    EXPECT_EQ(outcome.errors(), whole.errors());
  }
}

TEST(ReadLog, ReadsFilesLongerThanItsBuffer) {
  std::string text = "athlete,date,minutes,rpe\n";
  for (int i = 0; i < 60000; ++i) text += "anna,2026-11-23," + std::to_string(1 + i % 1440) + ",7\n";
  std::vector<std::size_t> progress;
  ReadOptions options;
  options.progress = [&](std::size_t bytes) { progress.push_back(bytes); };
  const auto outcome = read_text(text, options, 100000);
  ASSERT_EQ(outcome.rows.size(), 60000U);
  EXPECT_EQ(outcome.errors(), "");
  for (std::size_t i = 0; i < outcome.rows.size(); ++i) {
    ASSERT_EQ(std::get<Session>(outcome.rows[i]).minutes, 1 + static_cast<int>(i) % 1440);
    ASSERT_EQ(outcome.lines[i], i + 2);
  }
  ASSERT_FALSE(progress.empty());
  EXPECT_TRUE(std::is_sorted(progress.begin(), progress.end()));
  EXPECT_EQ(progress.back(), text.size());
}

TEST(ReadLog, AcceptsUnknownCodesOnlyWhereAsked) {
  const std::string text = "athlete,date,minutes,rpe\nzoe,2026-11-23,60,7\n";
  EXPECT_EQ(read_text(text).report->error_count, 1U);
  ReadOptions options;
  options.any_athlete = true;
  EXPECT_EQ(read_text(text, options).rows.size(), 1U);
  EXPECT_EQ(read_text("athlete,date,minutes\nz oe,2026-11-23,60\n", options).report->error_count, 1U);
}

TEST(ReadLog, AsksOnceForEachAthleteUntilAthletesChange) {
  int asked = 0;
  std::optional<KnownAthlete> known;
  const AthleteLookup lookup = [&](std::string_view) {
    ++asked;
    return known;
  };
  const std::string max =
      "{\"entry\":\"max\",\"athlete\":\"new\",\"lift\":\"squat\",\"from\":\"2026-01-01\",\"training_max\":100}\n";
  const std::string athlete = "{\"entry\":\"athlete\",\"athlete\":\"new\",\"units\":\"UNIT\"}\n";
  const std::string in_kg = std::string(athlete).replace(athlete.find("UNIT"), 4, "kg");
  const std::string in_lb = std::string(athlete).replace(athlete.find("UNIT"), 4, "lb");
  TextSource source(max + in_kg + max + max + in_lb + max + max);
  std::vector<double> kilograms;
  const auto report = read_log(source, "x.jsonl", lookup, [&](Record&& record, std::size_t) -> Result<void> {
    if (const auto* row = std::get_if<Athlete>(&record)) known = KnownAthlete{row->units};
    if (const auto* row = std::get_if<TrainingMax>(&record)) kilograms.push_back(row->training_max_kg);
    return {};
  });
  ASSERT_TRUE(report);
  EXPECT_EQ(report->error_count, 1U);  // the first row, before anybody was known
  EXPECT_EQ(kilograms, (std::vector<double>{100, 100, 100 * 0.45359237, 100 * 0.45359237}));
  EXPECT_EQ(asked, 3);  // unknown, in kg, in lb
}

TEST(ReadLog, LetsTheSinkRefuseARow) {
  TextSource source("athlete,date,minutes\nanna,2026-11-23,60\nanna,2026-11-24,60\n");
  int calls = 0;
  const auto report = read_log(source, "s.csv", squad, [&](Record&&, std::size_t) -> Result<void> {
    return ++calls == 1 ? Result<void>(fail(Errc::bad_data, "the row is there already", "date")) : Result<void>();
  });
  ASSERT_TRUE(report);
  EXPECT_EQ(calls, 2);
  EXPECT_EQ(report->rows, 1U);
  ASSERT_EQ(report->errors.size(), 1U);
  EXPECT_EQ(report->errors[0].text(), "s.csv:2:date: the row is there already");
}

TEST(ReadLog, StopsWhenTheSinkOrTheSourceFails) {
  for (const Errc code : {Errc::io, Errc::busy, Errc::failed}) {
    TextSource source("athlete,date,minutes\nanna,2026-11-23,60\nanna,2026-11-24,60\n");
    int calls = 0;
    const auto report = read_log(source, "s.csv", squad, [&](Record&&, std::size_t) -> Result<void> {
      ++calls;
      return fail(code, "no room left");
    });
    ASSERT_FALSE(report);
    EXPECT_EQ(report.error().code, code);
    EXPECT_EQ(calls, 1);
  }
  const std::string text = "athlete,date,minutes\nanna,2026-11-23,60\nanna,2026-11-24,60\n";
  for (std::size_t bytes = 0; bytes <= text.size(); ++bytes) {
    TextSource source(text, 7, bytes);
    const auto report = read_log(source, "s.csv", squad, [](Record&&, std::size_t) -> Result<void> { return {}; });
    ASSERT_FALSE(report);
    EXPECT_EQ(report.error().code, Errc::io);
    EXPECT_EQ(report.error().what, "the disk is gone");
  }
}

TEST(KindOfHeader, TellsTheKindByTheColumns) {
  EXPECT_EQ(kind_of_header("\xEF\xBB\xBF"
                           "athlete,name\r\n"),
            RecordKind::athletes);
  EXPECT_EQ(kind_of_header("athlete"), RecordKind::athletes);
  EXPECT_EQ(kind_of_header("athlete,lift,from,training_max"), RecordKind::maxes);
  EXPECT_EQ(kind_of_header("athlete,date,lift,kind"), RecordKind::plan);
  EXPECT_EQ(kind_of_header("athlete,from,to,intent"), RecordKind::periods);
  EXPECT_EQ(kind_of_header("group,from,to,intent"), RecordKind::periods);
  EXPECT_EQ(kind_of_header("athlete,from,to,reason"), RecordKind::days_off);
  EXPECT_EQ(kind_of_header("athlete,date,minutes,rpe,tonnage"), RecordKind::sessions);
  EXPECT_EQ(kind_of_header("athlete,date,rpe"), RecordKind::sessions);
  EXPECT_EQ(kind_of_header("athlete,date,lift,reps"), RecordKind::sets);
  EXPECT_EQ(kind_of_header("athlete,date,lift,reps,percent,speed"), RecordKind::sets);
  EXPECT_EQ(kind_of_header("\"athlete\",\"date\",\"soreness\""), RecordKind::checks);
  EXPECT_EQ(kind_of_header("athlete,date,lift,percent,speed"), RecordKind::bar);
  EXPECT_EQ(kind_of_header("athlete,date,caution,by"), RecordKind::clearances);
  for (const auto* other : {"", "{\"entry\":\"set\"}", "athlete,date", "athlete,date,note", "athlete,date,weather",
                            "athlete,date,lift", "athlete,\"date", "a,b,c", "from,to,intent"}) {
    EXPECT_FALSE(kind_of_header(other)) << other;
  }
}

}  // namespace
}  // namespace steelyard::ingest
