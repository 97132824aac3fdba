#include <gtest/gtest.h>

#include "ingest/reading.hpp"
#include "steelyard/domain/cells.hpp"

namespace steelyard::ingest {
namespace {

Outcome lines(const std::string& text) {
  return read_text(text, {}, std::size_t{1} << 20, "f.jsonl");
}
std::string error_of(const std::string& line) {
  return lines(line + "\n").errors();
}

const std::string k_flat = "allowed: a number, a text, null, or for a list an array of them";
const std::string k_syntax =
    "this is not JSON from here on; allowed: one object a line, such as "
    R"({"entry":"session","athlete":"anna","date":"2026-11-23","minutes":75,"rpe":7})";

TEST(JsonLines, ReadNumbersTextsListsAndNull) {
  const auto outcome = lines(
      "\xEF\xBB\xBF\n"
      R"({"entry":"check","athlete":"anna","date":"2026-11-23","sleep_hours":7.5,"soreness":"2","mood":null,)"
      R"("sore_regions":["quads:4","upper-back:3"],"symptoms":[],"pain":"knee-right:5:sharp","note":"a \"b\"\n\u00e4"})"
      "\r\n\n"
      R"({"entry":"athlete","athlete":"dora","plates_kg":[25,20,1.25],"weekdays":["mon","fri"]})"
      "\n"
      R"({"entry":"set","athlete":"ben","date":"2026-11-23","lift":"squat","reps":5,"weight":225})");
  EXPECT_EQ(outcome.errors(), "");
  ASSERT_EQ(outcome.rows.size(), 3U);
  const auto& check = std::get<Check>(outcome.rows[0]);
  EXPECT_EQ(check.sleep_hours, 7.5);
  EXPECT_EQ(check.soreness, 2);
  EXPECT_FALSE(check.mood);
  EXPECT_EQ(check.sore_regions, (std::vector<SoreRegion>{{"quads", 4}, {"upper-back", 3}}));
  EXPECT_TRUE(check.symptoms.empty());
  EXPECT_EQ(check.note, "a \"b\"\n\xC3\xA4");
  EXPECT_EQ(std::get<Athlete>(outcome.rows[1]).plates_kg, (std::vector<double>{25, 20, 1.25}));
  EXPECT_DOUBLE_EQ(std::get<SetRow>(outcome.rows[2]).weight_kg.value(), 102.05828325);
  EXPECT_EQ(outcome.lines, (std::vector<std::size_t>{2, 4, 5}));
  EXPECT_EQ(outcome.report->kinds, (std::set<RecordKind>{RecordKind::athletes, RecordKind::sets, RecordKind::checks}));
}

TEST(JsonLines, KeepTheNumberAsWritten) {
  const auto outcome = lines(
      R"({"entry":"session","athlete":"anna","date":"2026-11-23","minutes":0.1,"rpe":1e1,"tonnage":123456.789012345678})");
  EXPECT_EQ(outcome.errors(), "");
  const auto& session = std::get<Session>(outcome.rows.at(0));
  EXPECT_EQ(session.minutes, 0.1);
  EXPECT_EQ(session.rpe, 10);
  EXPECT_EQ(session.tonnage_kg, 123456.789012345678);
}

TEST(JsonLines, GiveTheErrorsOfAnyRow) {
  EXPECT_EQ(
      error_of(R"({"entry":"session","athlete":"zoe","date":"2026-11-23","minutes":0,"rpe":"7,5"})"),
      "f.jsonl:1:athlete: there is no athlete 'zoe'; allowed: athletes of the store; add this one with `steelyard "
      "athlete add zoe`, or correct the code\n"
      "f.jsonl:1:minutes: '0' is not allowed here; allowed: more than 0, up to 1440 min; correct it, or leave it "
      "blank if it was not recorded\n"
      "f.jsonl:1:rpe: '7,5' is not allowed here; allowed: 0 to 10; write decimals with a point, such as 7.5, and "
      "nothing between thousands\n");
  EXPECT_EQ(error_of(R"({"entry":"set","athlete":"anna","date":"2026-11-23","lift":"squat"})"),
            "f.jsonl:1:reps: this cell must not be blank; allowed: whole numbers from 0 to 100\n");
  EXPECT_EQ(error_of(R"({"entry":"session","athlete":"anna","date":"2026-11-23","note":"a\u0000b"})"),
            "f.jsonl:1:note: 'a\\x00b' is not allowed here; allowed: text without control characters; take them out\n");
}

TEST(JsonLines, RefuseUnknownAndRepeatedFields) {
  EXPECT_EQ(error_of(R"({"entry":"session","athlete":"anna","date":"2026-11-23","minuts":60})"),
            "f.jsonl:1:minuts: 'minuts' is not a field of sessions; allowed: athlete, date, part, kind, minutes, rpe, "
            "tonnage and note; did you mean 'minutes'?\n");
  EXPECT_EQ(error_of(R"({"entry":"session","athlete":"anna","date":"2026-11-23","rpe":7,"rpe":8})"),
            "f.jsonl:1:rpe: this field is there twice; allowed: once\n");
  EXPECT_EQ(
      error_of(R"({"athlete":"anna","date":"2026-11-23"})"),
      "f.jsonl:1:entry: this field is missing; allowed: athlete, max, plan, period, day-off, session, set, check, "
      "bar, clearance\n");
  EXPECT_EQ(
      error_of(R"({"entry":"sesion","athlete":"anna"})"),
      "f.jsonl:1:entry: 'sesion' is not a kind of entry; allowed: athlete, max, plan, period, day-off, session, set, "
      "check, bar, clearance; did you mean 'session'?\n");
}

TEST(JsonLines, RefuseWhatIsNotFlat) {
  const std::string start = R"({"entry":"session","athlete":"anna","date":"2026-11-23","rpe":)";
  EXPECT_EQ(error_of(start + R"({"value":7}})"), "f.jsonl:1:rpe: an object is not allowed here; " + k_flat + "\n");
  EXPECT_EQ(error_of(start + "true}"), "f.jsonl:1:rpe: true is not allowed here; " + k_flat + "\n");
  EXPECT_EQ(error_of(start + "[7]}"), "f.jsonl:1:rpe: an array is not allowed here; allowed: one value\n");
  EXPECT_EQ(error_of(start + "[[7]]}"), "f.jsonl:1:rpe: an array in an array is not allowed here; " + k_flat + "\n");
  EXPECT_EQ(error_of(start + "[null]}"), "f.jsonl:1:rpe: null is not allowed in an array; leave it out\n");
  EXPECT_EQ(error_of(start + "[{}]}"), "f.jsonl:1:rpe: an object is not allowed here; " + k_flat + "\n");
  const std::string ok = R"({"entry":"session","athlete":"anna","date":"2026-11-23","rpe":7})";
  for (const std::string line : {"[1]", "7", "\"text\"", "null", "true"}) {
    EXPECT_EQ(lines(ok + "\n" + line + "\n").errors().substr(0, 12), "f.jsonl:2: t") << line;
  }
  EXPECT_EQ(lines(ok + "\n[1]\n").errors(), "f.jsonl:2: this is not an object; allowed: one object {...} a line\n");
}

TEST(JsonLines, PointAtTheColumnWhereTheSyntaxBreaks) {
  EXPECT_EQ(error_of(R"({"entry":"session",})"), "f.jsonl:1:20: " + k_syntax + "\n");
  EXPECT_EQ(error_of(R"({"entry":"session"} x)"), "f.jsonl:1:21: " + k_syntax + "\n");
  EXPECT_EQ(error_of(R"({"entry":"session"}{})"), "f.jsonl:1:20: " + k_syntax + "\n");
  EXPECT_EQ(error_of(R"({"rpe":+7})"), "f.jsonl:1:8: " + k_syntax + "\n");
  EXPECT_EQ(error_of(R"({"rpe":NaN})"), "f.jsonl:1:8: " + k_syntax + "\n");
  EXPECT_EQ(error_of(R"({"rpe":07})"), "f.jsonl:1:9: " + k_syntax + "\n");
  EXPECT_EQ(error_of(R"({'rpe':7})"), "f.jsonl:1:2: " + k_syntax + "\n");
}

TEST(JsonLines, RefuseUnfinishedLinesAndKeepTheOthers) {
  const auto outcome = lines(
      "{\"entry\":\"session\",\n"
      "{\"entry\":\"session\",\"athlete\":\"anna\",\"date\":\"2026-11-23\",\"rpe\":7}\n"
      "{\"note\":\"\xE4\"}\n");
  EXPECT_EQ(outcome.rows.size(), 1U);
  EXPECT_EQ(outcome.errors(),
            "f.jsonl:1:20: " + k_syntax + "\n" +
                "f.jsonl:3: the text is not UTF-8; allowed: UTF-8 without NUL; save the file as UTF-8\n");
}

TEST(JsonLines, DeepNestingIsAnErrorNotACrash) {
  const std::string deep = "{\"rpe\":" + std::string(100000, '[') + std::string(100000, ']') + "}";
  EXPECT_EQ(error_of(deep), "f.jsonl:1:rpe: an array in an array is not allowed here; " + k_flat + "\n");
}

TEST(ParseJsonLine, GivesTheFirstError) {
  const auto good = parse_json_line(R"({"entry":"session","athlete":"anna","date":"2026-11-23","rpe":7})", squad);
  ASSERT_TRUE(good);
  EXPECT_EQ(std::get<Session>(*good).rpe, 7);
  const auto bad =
      parse_json_line(R"({"entry":"session","athlete":"anna","date":"2026-11-23","rpe":11,"minutes":0})", squad);
  ASSERT_FALSE(bad);
  EXPECT_EQ(bad.error().where, "minutes");
  EXPECT_EQ(bad.error().code, Errc::bad_data);
  EXPECT_EQ(parse_json_line("", squad).error().where, "1");
  EXPECT_FALSE(parse_json_line("\xFF", squad));
}

}  // namespace
}  // namespace steelyard::ingest
