#include "steelyard/report/json.hpp"

#include <gtest/gtest.h>

#include <bit>
#include <boost/json.hpp>
#include <cmath>
#include <cstdlib>
#include <limits>
#include <random>

#include "report/examples.hpp"

/// Answers are read back by an independent parser (Boost.JSON) and compared field by field with the record.
/// source  keys: the project's contract of its JSON answers; escapes: RFC 8259, section 7

namespace steelyard::report {
namespace {

namespace bj = boost::json;

bj::object parsed(const std::string& text) {
  return bj::parse(text).as_object();
}

std::vector<std::string> keys(const bj::value& object) {
  std::vector<std::string> names;
  for (const auto& member : object.as_object()) names.emplace_back(member.key());
  return names;
}

std::string text_of(const bj::value& v) {
  return std::string(v.as_string());
}
double number_of(const bj::value& v) {
  return v.to_number<double>();
}
void expect_maybe(const bj::value& v, const std::optional<double>& expected) {
  ASSERT_EQ(v.is_null(), !expected.has_value());
  if (expected) {
    EXPECT_DOUBLE_EQ(number_of(v), *expected);  // the parser of Boost 1.81 may miss the last bit
  }
}
std::vector<std::string> texts(const bj::value& v) {
  std::vector<std::string> out;
  for (const auto& element : v.as_array()) out.push_back(text_of(element));
  return out;
}
std::vector<double> numbers(const bj::value& v) {
  std::vector<double> out;
  for (const auto& element : v.as_array()) out.push_back(number_of(element));
  return out;
}

template <class Fill>
std::string written(Layout layout, const Fill& fill) {
  std::string out;
  JsonWriter json(out, layout);
  fill(json);
  return out;
}

TEST(JsonWriter, KeepsKeysInTheOrderOfWriting) {
  const auto fill = [](JsonWriter& json) {
    json.begin_object().field("b", 1).field("a", true).key("c").begin_array().end_array().key("d").null().end_object();
  };
  EXPECT_EQ(written(Layout::compact, fill), R"({"b":1,"a":true,"c":[],"d":null})");
}

TEST(JsonWriter, IndentsByTwoBlanks) {
  const auto fill = [](JsonWriter& json) {
    json.begin_object().field("a", std::vector<double>{1, 2.5}).key("b").begin_object().end_object().end_object();
  };
  EXPECT_EQ(written(Layout::pretty, fill), "{\n  \"a\": [\n    1,\n    2.5\n  ],\n  \"b\": {}\n}");
}

TEST(JsonWriter, WritesTheShortestTextThatReadsBackTheSame) {
  const auto of = [](double x) { return written(Layout::compact, [x](JsonWriter& json) { json.value(x); }); };
  EXPECT_EQ(of(0.1), "0.1");
  EXPECT_EQ(of(82.5), "82.5");
  EXPECT_EQ(of(-0.0), "0");
  EXPECT_EQ(of(1.0 / 3), "0.3333333333333333");
  EXPECT_EQ(of(5e-324), "5e-324");  // IEEE 754: the least positive double
  EXPECT_EQ(of(1.7976931348623157e308), "1.7976931348623157e+308");
}

TEST(JsonWriter, EveryDoubleReadsBackToTheLastBit) {
  std::mt19937_64 bits(7);
  for (int i = 0; i < 2000; ++i) {
    const double x = std::bit_cast<double>(bits());
    if (!std::isfinite(x)) continue;
    const std::string text = written(Layout::compact, [x](JsonWriter& json) { json.value(x); });
    ASSERT_EQ(std::strtod(text.c_str(), nullptr), x) << text;
  }
}

TEST(JsonWriter, WritesNullOnlyForAnAbsentValue) {
  EXPECT_EQ(written(Layout::compact, [](JsonWriter& json) { json.value(std::optional<double>{}); }), "null");
  std::string out;
  JsonWriter json(out);
  EXPECT_THROW(json.value(std::numeric_limits<double>::quiet_NaN()), std::domain_error);
  EXPECT_THROW(json.value(std::optional(std::numeric_limits<double>::infinity())), std::domain_error);
  EXPECT_EQ(out, "");
}

TEST(JsonWriter, EscapesWhatWouldEndTheTextOrSteerATerminal) {
  const auto of = [](std::string_view x) { return written(Layout::compact, [x](JsonWriter& json) { json.value(x); }); };
  EXPECT_EQ(of("a\"b\\c"), R"("a\"b\\c")");
  EXPECT_EQ(of("\n\r\t\x1b[31m"), R"("\n\r\t\u001b[31m")");
  EXPECT_EQ(of(std::string_view("\0", 1)), R"("\u0000")");
  EXPECT_EQ(of("\x7f\xC2\x9B"), R"("\u007f\u009b")");  // DEL and the one-byte form of ESC [
  EXPECT_EQ(of("J\xC3\xBCrgen"), "\"J\xC3\xBCrgen\"");
}

TEST(JsonWriter, ReplacesInvalidUtf8ByTheReplacementCharacter) {
  const std::string bad = "\xEF\xBF\xBD";
  const auto of = [](std::string_view x) { return written(Layout::compact, [x](JsonWriter& json) { json.value(x); }); };
  EXPECT_EQ(of("a\xFFz"), "\"a" + bad + "z\"");
  EXPECT_EQ(of("\xC3"), "\"" + bad + "\"");                                // cut off
  EXPECT_EQ(of("\xC0\xAF"), "\"" + bad + bad + "\"");                      // overlong '/'
  EXPECT_EQ(of("\xED\xA0\x80"), "\"" + bad + bad + bad + "\"");            // a surrogate
  EXPECT_EQ(of("\xF4\x90\x80\x80"), "\"" + bad + bad + bad + bad + "\"");  // above U+10FFFF
}

TEST(JsonWriter, EveryByteStringGivesTextThatParses) {
  for (int a = 0; a < 256; ++a) {
    for (int b = 0; b < 256; b += 5) {
      const std::string raw{static_cast<char>(a), static_cast<char>(b), 'x'};
      bj::error_code error;
      const bj::value v = bj::parse(written(Layout::compact, [&](JsonWriter& json) { json.value(raw); }), error);
      ASSERT_FALSE(error) << a << ' ' << b;
      ASSERT_TRUE(v.is_string());
    }
  }
}

void expect_prescription(const bj::object& o, const Prescription& p, std::string_view kind) {
  EXPECT_EQ(text_of(o.at("kind")), kind);
  EXPECT_EQ(o.at("sets").as_int64(), p.sets);
  EXPECT_EQ(o.at("reps").as_int64(), p.reps);
  EXPECT_EQ(number_of(o.at("percent")), p.percent);
}

void expect_limit(const bj::object& o, const LimitResult& limit) {
  EXPECT_EQ(keys(o),
            (std::vector<std::string>{"id", "held", "measured", "limit", "unit", "source", "would_hold_if", "say"}));
  EXPECT_EQ(text_of(o.at("id")), limit.id);
  EXPECT_EQ(o.at("held").as_bool(), limit.held);
  expect_maybe(o.at("measured"), limit.measured);
  expect_maybe(o.at("limit"), limit.limit);
  EXPECT_EQ(text_of(o.at("unit")), limit.unit);
  EXPECT_EQ(text_of(o.at("source")), limit.source);
  EXPECT_EQ(text_of(o.at("would_hold_if")), limit.would_hold_if);
}

TEST(TodayJson, HoldsTheWholeCall) {
  const DayCall call = examples::short_night();
  const bj::object o = parsed(today_json(call, Layout::pretty));
  EXPECT_EQ(keys(o), (std::vector<std::string>{"schema", "athlete", "date", "calls", "say", "cautions", "questions",
                                               "coverage", "model", "inputs_digest"}));
  EXPECT_EQ(o.at("schema").as_int64(), 1);
  EXPECT_EQ(text_of(o.at("athlete")), "anna");
  EXPECT_EQ(text_of(o.at("date")), "2026-03-02");
  EXPECT_EQ(texts(o.at("say")), call.say);
  EXPECT_EQ(o.at("coverage").at("days_of_28").as_int64(), 26);
  EXPECT_EQ(o.at("coverage").at("checks_of_28").as_int64(), 21);
  EXPECT_EQ(o.at("coverage").at("days_since_entry").as_int64(), 1);
  EXPECT_EQ(text_of(o.at("coverage").at("ratio_state")), "known");
  EXPECT_EQ(text_of(o.at("model").at("version")), call.model_version);
  EXPECT_EQ(text_of(o.at("model").at("digest")), call.model_digest);
  EXPECT_EQ(text_of(o.at("inputs_digest")), call.inputs_digest);
  EXPECT_EQ(o.at("calls").as_array().size(), 2U);
}

TEST(TodayJson, HoldsEveryFieldOfALift) {
  const DayCall call = examples::short_night();
  const LiftCall& lift = call.calls[0];
  const bj::value document = parsed(today_json(call));
  const bj::object& o = document.at("calls").as_array()[0].as_object();
  EXPECT_EQ(keys(o),
            (std::vector<std::string>{"lift", "planned", "actions", "kind", "sets", "reps", "percent",
                                      "training_max_kg", "weight_kg", "plates_per_side", "rpe_cap", "prepare", "warmup",
                                      "at_the_bar", "confidence", "expected_strength", "limits", "move"}));
  EXPECT_EQ(text_of(o.at("lift")), "squat");
  expect_prescription(o.at("planned").as_object(), *lift.planned, "heavy");
  EXPECT_EQ(texts(o.at("actions")), (std::vector<std::string>{"trim-sets", "trim-intensity"}));
  expect_prescription(o, lift.call, "heavy");
  expect_maybe(o.at("weight_kg"), lift.weight_kg);
  EXPECT_EQ(numbers(o.at("plates_per_side")), lift.plates_per_side);
  expect_maybe(o.at("rpe_cap"), lift.rpe_cap);
  ASSERT_EQ(o.at("warmup").as_array().size(), lift.warmup.size());
  for (std::size_t i = 0; i < lift.warmup.size(); ++i) {
    const bj::object& set = o.at("warmup").as_array()[i].as_object();
    EXPECT_EQ(number_of(set.at("weight_kg")), lift.warmup[i].weight_kg);
    EXPECT_EQ(set.at("reps").as_int64(), lift.warmup[i].reps);
    EXPECT_EQ(numbers(set.at("plates_per_side")), lift.warmup[i].plates_per_side);
  }
  EXPECT_EQ(text_of(o.at("at_the_bar")), lift.at_the_bar);
  EXPECT_EQ(text_of(o.at("confidence")), "medium");
  const bj::object& expected = o.at("expected_strength").as_object();
  EXPECT_EQ(number_of(expected.at("percent")), lift.expected->percent);
  EXPECT_EQ(number_of(expected.at("low80")), lift.expected->low80);
  EXPECT_EQ(number_of(expected.at("high80")), lift.expected->high80);
  ASSERT_EQ(expected.at("shares").as_array().size(), lift.expected->shares.size());
  EXPECT_EQ(text_of(expected.at("shares").at(0).at("from")), "short sleep");
  EXPECT_EQ(number_of(expected.at("shares").at(0).at("percent")), -1.62);
  ASSERT_EQ(o.at("limits").as_array().size(), lift.limits.size());
  for (std::size_t i = 0; i < lift.limits.size(); ++i) expect_limit(o.at("limits").at(i).as_object(), lift.limits[i]);
  EXPECT_TRUE(o.at("move").is_null());
}

TEST(TodayJson, WritesMovesCautionsAndQuestions) {
  const bj::value o = parsed(today_json(examples::short_night()));
  const bj::value& rest = o.at("calls").at(1);
  EXPECT_TRUE(rest.at("weight_kg").is_null());
  EXPECT_TRUE(rest.at("expected_strength").is_null());
  EXPECT_EQ(text_of(rest.at("move").at("to_date")), "2026-03-06");
  EXPECT_EQ(text_of(rest.at("move").at("kind")), "heavy");
  EXPECT_EQ(text_of(rest.at("move").at("displaced").at("kind")), "volume");
  EXPECT_TRUE(rest.at("move").at("displaced").at("to_date").is_null());
  const bj::value& caution = o.at("cautions").at(0);
  EXPECT_EQ(text_of(caution.at("id")), "pain-low-back");
  EXPECT_EQ(text_of(caution.at("urgency")), "soon");
  EXPECT_EQ(texts(caution.at("lifts")), (std::vector<std::string>{"romanian-deadlift", "deadlift"}));
  EXPECT_EQ(text_of(caution.at("since")), "2026-03-01");
  const bj::value& question = o.at("questions").at(0);
  EXPECT_EQ(question.at("id").as_int64(), 12);
  EXPECT_EQ(texts(question.at("fields")), std::vector<std::string>{"body_mass"});
  EXPECT_EQ(number_of(question.at("rows").at(0).at("body_mass")), 45.2);
}

TEST(TodayJson, WritesNoPlanAsNull) {
  DayCall call = examples::short_night();
  call.calls[0].planned.reset();
  call.coverage.days_since_entry.reset();
  const bj::value o = parsed(today_json(call));
  EXPECT_TRUE(o.at("calls").at(0).at("planned").is_null());
  EXPECT_TRUE(o.at("coverage").at("days_since_entry").is_null());
}

void expect_day(const bj::object& o, const DayFigures& day) {
  EXPECT_EQ(text_of(o.at("date")), format_day(day.date));
  EXPECT_EQ(text_of(o.at("status")), status_word(day.status));
  EXPECT_EQ(text_of(o.at("state")), state_word(day.state));
  EXPECT_EQ(o.at("estimated").as_bool(), day.estimated);
  EXPECT_EQ(o.at("unlogged_of_28").as_int64(), day.unlogged_of_28);
  const std::vector<std::pair<const char*, std::optional<double>>> figures{
      {"load_au", day.load_au},
      {"acute7_au", day.acute7_au},
      {"chronic28_au", day.chronic28_au},
      {"ratio_coupled", day.ratio_coupled},
      {"ratio_uncoupled", day.ratio_uncoupled},
      {"ewma_acute_au", day.ewma_acute_au},
      {"ewma_chronic_au", day.ewma_chronic_au},
      {"ratio_ewma", day.ratio_ewma},
      {"monotony", day.monotony},
      {"week_strain_au", day.week_strain_au},
      {"week_change_percent", day.week_change_percent},
      {"ratio_low", day.ratio_low},
      {"ratio_high", day.ratio_high},
  };
  for (const auto& [key, value] : figures) {
    SCOPED_TRACE(key);
    expect_maybe(o.at(key), value);
  }
}

TEST(LoadsJson, HoldsEveryDayAndNamesItsConventions) {
  const LoadReport report = examples::loads_with_a_gap();
  const bj::object o = parsed(loads_json(report));
  EXPECT_EQ(o.at("schema").as_int64(), 1);
  EXPECT_EQ(text_of(o.at("athlete")), "anna");
  EXPECT_EQ(text_of(o.at("monotony_sd")), "sample");
  EXPECT_EQ(text_of(o.at("ewma_start")), "mean-of-first-28");
  ASSERT_EQ(o.at("days").as_array().size(), report.days.size());
  for (std::size_t i = 0; i < report.days.size(); ++i) expect_day(o.at("days").at(i).as_object(), report.days[i]);
}

TEST(LoadsAllJson, InChunksEqualsTheWhole) {
  std::vector<LoadReport> reports{examples::loads(), examples::loads()};
  reports[1].athlete = "ben";
  std::string sink;
  std::string chunks;
  LoadsAllJson all(sink);
  for (const auto& report : reports) {
    all.add(report);
    chunks += sink;
    sink.clear();
  }
  all.finish();
  chunks += sink;
  EXPECT_EQ(chunks, loads_all_json(reports));
  const bj::object o = parsed(chunks);
  EXPECT_EQ(keys(o), (std::vector<std::string>{"schema", "athletes"}));
  ASSERT_EQ(o.at("athletes").as_array().size(), 2U);
  EXPECT_EQ(text_of(o.at("athletes").at(1).at("athlete")), "ben");
}

TEST(CompareJson, HoldsEveryOption) {
  const Comparison c = examples::options();
  const bj::object o = parsed(compare_json(c));
  EXPECT_EQ(keys(o), (std::vector<std::string>{"schema", "athlete", "date", "lift", "options", "say"}));
  ASSERT_EQ(o.at("options").as_array().size(), c.options.size());
  for (std::size_t i = 0; i < c.options.size(); ++i) {
    const bj::object& option = o.at("options").at(i).as_object();
    EXPECT_EQ(text_of(option.at("name")), c.options[i].name);
    EXPECT_EQ(option.at("today").at("sets").as_int64(), c.options[i].today.sets);
    expect_maybe(option.at("expected_percent"), c.options[i].expected_percent);
    expect_maybe(option.at("expected_low80"), c.options[i].expected_low80);
    expect_maybe(option.at("expected_high80"), c.options[i].expected_high80);
    expect_maybe(option.at("cap_chance_percent"), c.options[i].cap_chance);
    expect_maybe(option.at("week_load_au"), c.options[i].week_load_au);
    expect_maybe(option.at("ratio_coupled"), c.options[i].ratio);
    expect_maybe(option.at("soreness"), c.options[i].soreness);
    expect_maybe(option.at("hours_before"), c.options[i].hours_before);
    expect_maybe(option.at("hours_after"), c.options[i].hours_after);
    EXPECT_EQ(texts(option.at("loses")), c.options[i].loses);
    EXPECT_EQ(texts(option.at("broken")), c.options[i].broken);
    EXPECT_EQ(option.at("chosen").as_bool(), c.options[i].chosen);
  }
  EXPECT_EQ(text_of(o.at("options").at(1).at("heavy_on")), "2026-03-05");
  EXPECT_TRUE(o.at("options").at(2).at("heavy_on").is_null());
}

TEST(WeekJson, HoldsFlagsWatchQuietAndSquad) {
  const WeekReview w = examples::week();
  const bj::object o = parsed(week_json(w));
  EXPECT_EQ(keys(o), (std::vector<std::string>{"schema", "week", "flags", "watch", "quiet", "squad"}));
  EXPECT_EQ(text_of(o.at("week")), "2026-W10");
  ASSERT_EQ(o.at("flags").as_array().size(), w.flags.size());
  for (std::size_t i = 0; i < w.flags.size(); ++i) {
    const bj::object& flag = o.at("flags").at(i).as_object();
    EXPECT_EQ(keys(flag), (std::vector<std::string>{"athlete", "order", "kinds", "because", "caused_by", "next_step",
                                                    "unknown", "decided"}));
    EXPECT_TRUE(flag.at("decided").is_null());
    EXPECT_EQ(text_of(flag.at("athlete")), w.flags[i].athlete);
    EXPECT_EQ(flag.at("order").as_int64(), w.flags[i].order);
    EXPECT_EQ(texts(flag.at("kinds")), w.flags[i].kinds);
    EXPECT_EQ(texts(flag.at("because")), w.flags[i].because);
    EXPECT_EQ(texts(flag.at("caused_by")), w.flags[i].caused_by);
    EXPECT_EQ(text_of(flag.at("next_step")), w.flags[i].next_step);
    EXPECT_EQ(texts(flag.at("unknown")), w.flags[i].unknown);
  }
  EXPECT_EQ(text_of(o.at("watch").at(0).at("athlete")), "emil");
  EXPECT_EQ(text_of(o.at("watch").at(0).at("because")), w.watch[0].because);
  EXPECT_EQ(texts(o.at("quiet")), w.quiet);
  EXPECT_EQ(text_of(o.at("squad").at("group")), "evening");
  EXPECT_EQ(texts(o.at("squad").at("say")), w.squad);
}

TEST(QuestionsJson, HoldsTheRowsAsEntered) {
  const bj::object o = parsed(questions_json(examples::questions()));
  EXPECT_EQ(keys(o), (std::vector<std::string>{"schema", "questions"}));
  const bj::value& question = o.at("questions").at(0);
  EXPECT_EQ(text_of(question.at("doubt")), "body-mass");
  EXPECT_EQ(text_of(question.at("date")), "2026-02-27");
  EXPECT_EQ(text_of(question.at("rows").at(0).at("entry")), "check");
}

}  // namespace
}  // namespace steelyard::report
