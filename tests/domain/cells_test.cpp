#include "steelyard/domain/cells.hpp"

#include <gtest/gtest.h>

#include <random>

#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"

namespace steelyard {
namespace {

TEST(Weekdays, ArePrintedInTheOrderOfTheWeek) {
  EXPECT_EQ(print_weekdays(parse_weekdays("fri mon  wed mon").value()), "mon wed fri");
  EXPECT_TRUE(parse_weekdays("").value().empty());
  for (unsigned bits = 0; bits < 128; ++bits) {
    const WeekdaySet days{bits};
    EXPECT_EQ(parse_weekdays(print_weekdays(days)).value(), days);
  }
}

TEST(Weekdays, RefuseOtherWords) {
  EXPECT_EQ(parse_weekdays("mon Tue").error().what,
            "'Tue' is not a weekday; allowed: mon, tue, wed, thu, fri, sat, sun; did you mean 'tue'?");
  EXPECT_EQ(parse_weekdays("mon,wed").error().what,
            "'mon,wed' is not a weekday; allowed: mon, tue, wed, thu, fri, sat, sun");
}

TEST(SoreRegions, AreRegionAndLevel) {
  const auto regions = parse_sore_regions("quads:4 upper-back-left:2.5").value();
  ASSERT_EQ(regions.size(), 2U);
  EXPECT_EQ(regions[0], (SoreRegion{"quads", 4}));
  EXPECT_EQ(regions[1], (SoreRegion{"upper-back-left", 2.5}));
  EXPECT_EQ(print_sore_regions(regions), "quads:4 upper-back-left:2.5");
}

TEST(SoreRegions, SayWhatIsAllowed) {
  EXPECT_EQ(parse_sore_regions("quad:4").error().what,
            "'quad' is not a region; allowed: calves, knees, quads, hamstrings, hips, glutes, low-back, upper-back, "
            "chest, shoulders, elbows, wrists, neck; did you mean 'quads'?");
  EXPECT_EQ(parse_sore_regions("quads:8").error().what, "'8' is not a level of soreness; allowed: 1 to 7, 7 = worst");
  EXPECT_EQ(parse_sore_regions("quads:0").error().what, "'0' is not a level of soreness; allowed: 1 to 7, 7 = worst");
  EXPECT_EQ(parse_sore_regions("quads").error().what,
            "'quads' is not a sore region; allowed: REGION:LEVEL, such as quads:4");
  EXPECT_EQ(parse_sore_regions("quads:4:5").error().what,
            "'quads:4:5' is not a sore region; allowed: REGION:LEVEL, such as quads:4");
  EXPECT_EQ(parse_sore_regions("quads:4 quads:5").error().what, "'quads' is there twice; allowed: each region once");
  EXPECT_FALSE(parse_sore_regions("quads:nan"));
  EXPECT_FALSE(parse_sore_regions("quads:"));
  EXPECT_FALSE(parse_sore_regions(":4"));
}

TEST(Pain, IsSiteLevelAndKind) {
  const auto pain = parse_pain("knee-right:5:sharp low-back:2:dull jaw:0").value();
  ASSERT_EQ(pain.size(), 3U);
  EXPECT_EQ(pain[0], (PainEntry{"knee-right", 5, PainKind::sharp}));
  EXPECT_EQ(pain[1], (PainEntry{"low-back", 2, PainKind::dull}));
  EXPECT_EQ(pain[2], (PainEntry{"jaw", 0, PainKind::dull}));
  EXPECT_EQ(print_pain(pain), "knee-right:5:sharp low-back:2:dull jaw:0:dull");
}

TEST(Pain, SaysWhatIsAllowed) {
  EXPECT_EQ(parse_pain("knee:5").error().what,
            "'knee:5' lacks its kind; allowed: SITE:LEVEL:KIND, such as knee:5:dull");
  EXPECT_EQ(parse_pain("knee:11:dull").error().what, "'11' is not a level of pain; allowed: 0 to 10, 0 = gone");
  EXPECT_EQ(parse_pain("knee:5:shrap").error().what,
            "'shrap' is not a kind of pain; allowed: dull, sharp, numb, pressure, burning, radiating; did you mean "
            "'sharp'?");
  EXPECT_EQ(parse_pain("knee").error().what,
            "'knee' is not a pain; allowed: SITE:LEVEL:KIND, such as knee-right:5:sharp");
  EXPECT_EQ(parse_pain("knee:5:dull knee:6:dull").error().what, "'knee' is there twice; allowed: each site once");
  EXPECT_TRUE(parse_pain("kneee:5:dull").error().what.ends_with("; did you mean 'knees'?"));
  EXPECT_FALSE(parse_pain("knee:-1:dull"));
}

TEST(List, KeepsEachWordOnce) {
  EXPECT_EQ(print_list(parse_list("fever cough fever", symptom_codes(), "symptom").value()), "fever cough");
  const auto error = parse_list("cough fevr", symptom_codes(), "symptom").error();
  EXPECT_EQ(error.code, Errc::bad_data);
  EXPECT_TRUE(error.what.starts_with("'fevr' is not a symptom; allowed: chest-pressure, arm-pain, "));
  EXPECT_TRUE(error.what.ends_with(", diarrhoea, cough; did you mean 'fever'?"));
}

TEST(Numbers, StayInTheirRange) {
  EXPECT_EQ(print_numbers(parse_numbers("25 20 1.25", 0.1, 100).value()), "25 20 1.25");
  EXPECT_EQ(parse_numbers("25 0", 0.1, 100).error().what,
            "'0' is not allowed here; allowed: numbers from 0.1 to 100, separated by blanks");
  EXPECT_FALSE(parse_numbers("25,20", 0.1, 100));
}

TEST(Weight, ConvertsPoundsExactly) {
  EXPECT_EQ(to_kg(140, Unit::kg), 140);
  EXPECT_EQ(to_kg(1, Unit::lb), 0.45359237);
  EXPECT_DOUBLE_EQ(to_kg(225, Unit::lb), 102.05828325);
}

TEST(PrintWeight, IsTheShortestTextThatReadsBack) {
  EXPECT_EQ(print_weight(140, Unit::kg), "140");
  EXPECT_EQ(print_weight(0, Unit::lb), "0");
  EXPECT_EQ(print_weight(to_kg(315, Unit::lb), Unit::lb), "315");
  EXPECT_EQ(print_weight(to_kg(2.5, Unit::lb), Unit::lb), "2.5");
  EXPECT_EQ(print_weight(100, Unit::lb), "220.46226218487757");
}

TEST(PrintWeight, ReadsBackWhateverWasTyped) {
  std::mt19937 random(7);
  std::uniform_real_distribution<double> pounds(0, 2204);
  for (int i = 0; i < 20000; ++i) {
    const double steps = i % 4 == 0 ? 4 : 1e5;
    const double typed = i % 2 == 0 ? std::floor(pounds(random) * steps) / steps : pounds(random);
    const double kg = to_kg(typed, Unit::lb);
    const auto text = print_weight(kg, Unit::lb);
    ASSERT_EQ(to_kg(parse_number(text).value(), Unit::lb), kg) << text;
    ASSERT_EQ(exact_unit(kg, Unit::lb), Unit::lb);
    if (i % 2 == 0) {
      ASSERT_EQ(text, format_number(typed));
    }
  }
}

// A double of pounds between 256 and 512 is a step of 2^-44; times 0.4536 that is more than the step 2^-46 of kilograms
// between 64 and 128, so that some kilograms lie between two pounds (by hand).
TEST(ExactUnit, FallsBackToKilogramsWherePoundsAreTooCoarse) {
  int too_coarse = 0;
  for (double kg = 117; kg < 127; kg += 0.1) {
    const bool exact = to_kg(parse_number(print_weight(kg, Unit::lb)).value(), Unit::lb) == kg;
    EXPECT_EQ(exact_unit(kg, Unit::lb), exact ? Unit::lb : Unit::kg);
    too_coarse += exact ? 0 : 1;
  }
  EXPECT_GT(too_coarse, 10);
  EXPECT_EQ(exact_unit(120.3, Unit::kg), Unit::kg);
}

SetRow set_row() {
  return {.athlete = "anna", .date = parse_day("2026-11-23").value(), .lift = "squat", .sets = 3, .reps = 5};
}

std::string cell(const std::vector<Cell>& cells, std::string_view column) {
  for (const auto& c : cells) {
    if (c.column == column) return c.text;
  }
  return "no such column";
}

TEST(CellsOf, WritesAWeightInTheUnitOfItsRow) {
  SetRow row = set_row();
  row.weight_kg = to_kg(315, Unit::lb);
  row.unit = Unit::lb;
  EXPECT_EQ(cell(cells_of(row, Unit::kg), "weight"), "315");
  EXPECT_EQ(cell(cells_of(row, Unit::kg), "unit"), "lb");
  row.unit.reset();
  EXPECT_EQ(cell(cells_of(row, Unit::lb), "weight"), "315");
  EXPECT_EQ(cell(cells_of(row, Unit::lb), "unit"), "");
  EXPECT_EQ(cell(cells_of(row, std::nullopt), "weight"), format_number(315 * 0.45359237));
  EXPECT_EQ(cell(cells_of(row, std::nullopt), "unit"), "kg");
  row.weight_kg.reset();
  EXPECT_EQ(cell(cells_of(row, std::nullopt), "weight"), "");
  EXPECT_EQ(cell(cells_of(row, std::nullopt), "unit"), "");
}

TEST(PrintJsonLine, LeavesBlanksOutAndEscapes) {
  SetRow row = set_row();
  row.weight_kg = 142.5;
  row.unit = Unit::kg;
  row.rpe = 8.5;
  EXPECT_EQ(print_json_line(row),
            R"({"entry":"set","athlete":"anna","date":"2026-11-23","lift":"squat","sets":3,"reps":5,"weight":142.5,)"
            R"("unit":"kg","rpe":8.5})");
  Session session{.athlete = "anna", .date = row.date, .rpe = 0, .note = "\"a\\b\"\n\x01\xC3\xA4"};
  EXPECT_EQ(print_json_line(session),
            "{\"entry\":\"session\",\"athlete\":\"anna\",\"date\":\"2026-11-23\",\"rpe\":0,"
            "\"note\":\"\\\"a\\\\b\\\"\\u000a\\u0001\xC3\xA4\"}");
}

TEST(PrintJsonLine, PrintsEveryKindOfField) {
  Athlete athlete{.athlete = "a1", .name = "A", .birth_year = 1990, .training_since = parse_month("2015-03").value()};
  athlete.units = Unit::lb;
  athlete.weekdays.add(0);
  athlete.weekdays.add(4);
  athlete.bar_kg = 20;
  athlete.plates_kg = {25, 1.25};
  athlete.share = {"load", "notes"};
  EXPECT_EQ(print_json_line(athlete),
            R"({"entry":"athlete","athlete":"a1","name":"A","birth_year":1990,"training_since":"2015-03","units":"lb",)"
            R"("weekdays":"mon fri","bar_kg":20,"plates_kg":"25 1.25","share":"load notes"})");
  EXPECT_EQ(print_json_line(
                DaysOff{"a1", parse_day("2026-01-02").value(), parse_day("2026-01-05").value(), OffReason::match}),
            R"({"entry":"day-off","athlete":"a1","from":"2026-01-02","to":"2026-01-05","reason":"match"})");
}

TEST(EntryWord, IsTheSingularOfTheKind) {
  const char* const expected[] = {"athlete", "max", "plan",  "period", "day-off",
                                  "session", "set", "check", "bar",    "clearance"};
  for (int i = 0; i < k_record_kinds; ++i) EXPECT_EQ(entry_word(static_cast<RecordKind>(i)), expected[i]);
}

}  // namespace
}  // namespace steelyard
