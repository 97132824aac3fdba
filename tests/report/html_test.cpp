// What people typed stays text: no name, note or code reaches the page as markup. Cases of markup: OWASP, Cross Site
// Scripting Prevention (from memory).
#include "steelyard/report/html.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <regex>
#include <set>

#include "report/examples.hpp"
#include "steelyard/report/svg.hpp"
#include "steelyard/report/text.hpp"

namespace steelyard::report {
namespace {

using testing::HasSubstr;
using testing::Not;

const Look k_look = html_look(Unit::kg);
constexpr std::string_view k_evil = "<script>alert(1)</script>\"'><img src=x onerror=alert(1)>&amp;]]>";

std::string words_of(std::string html) {
  html = std::regex_replace(html, std::regex("<svg[^]*?</svg>|<figure[^]*?</figure>"), " ");
  html = std::regex_replace(html, std::regex("</?span[^>]*>"), "");
  html = std::regex_replace(html, std::regex("<[^>]*>"), " ");
  for (const auto& [entity, letter] : {std::pair("&#39;", "'"), std::pair("&quot;", "\""), std::pair("&gt;", ">"),
                                       std::pair("&lt;", "<"), std::pair("&amp;", "&"), std::pair("\xC2\xA0", " ")})
    html = std::regex_replace(html, std::regex(entity), letter);
  return std::regex_replace(html, std::regex("\\s+"), " ");
}

TEST(TodayHtml, CarriesTheSentencesOfTheTerminal) {
  const DayCall call = examples::short_night();
  const std::string words = words_of(today_html(call, k_look, examples::bands()));
  const std::string typed = std::regex_replace(words, std::regex("\xC3\x97"), "x");
  for (const std::string& sentence : call.say) EXPECT_THAT(typed, HasSubstr(words_of(sentence)));
  EXPECT_THAT(words, HasSubstr("per side 2 \xC3\x97 25 + 2.5 kg"));
  EXPECT_THAT(words, Not(HasSubstr("steelyard ")));  // nobody types a command on a phone or on paper
  EXPECT_THAT(words_of(today_text(call, k_look)), HasSubstr("steelyard why"));
  EXPECT_THAT(words_of(today_text(call, k_look)), HasSubstr("per side 2 \xC3\x97 25 + 2.5 kg"));
}

TEST(TodayHtml, OfAStopHoldsNothingToTrainWith) {
  const std::string html = today_html(examples::stopped(), k_look, examples::bands());
  EXPECT_THAT(html, HasSubstr("data-caution=\"hot-swollen-calf\""));
  for (const char* other : {"warm-up", "planned", "<svg", "<button", "anyway"})
    EXPECT_THAT(html, Not(HasSubstr(other)));
}

/// A report with a text of any kind in every place that a text can come from.
LifterReport full_report(const std::string& text) {
  LifterReport report;
  report.athlete = text;
  report.name = text;
  report.call = examples::short_night();
  report.call.athlete = text;
  report.call.say.push_back(text);
  report.call.calls.front().lift = text;
  report.call.calls.front().limits.front().would_hold_if = text;
  report.call.cautions.push_back({.id = text, .say = text});
  report.comparison = examples::options();
  report.comparison.options.front().name = text;
  report.ahead.say.push_back(text);
  report.ahead.days.push_back({.date = examples::day(3, 2), .note = text});
  report.loads = examples::loads_with_a_gap();
  report.loads.usual_loads = {{.date = report.loads.days.back().date, .usual_au = 300, .low_au = 200, .high_au = 400}};
  report.strength.lifts.push_back(
      {.lift = text,
       .sessions = 1,
       .days =
           {{.date = examples::day(3, 2), .expected_kg = 100, .low80_kg = 95, .high80_kg = 105, .estimated_kg = 101}},
       .say = {text}});
  report.items.push_back({.item = "soreness", .days = {{.date = examples::day(3, 2), .value = 3}}});
  return report;
}

void expect_inert(const std::string& html) {
  for (const char* markup : {"<script", "<img", "onerror=alert(1)>", "javascript:"}) {
    EXPECT_THAT(html, Not(HasSubstr(markup)));
  }
  EXPECT_THAT(html, HasSubstr("&lt;script&gt;"));
}

TEST(LifterPage, KeepsTypedTextAsText) {
  expect_inert(lifter_page(full_report(std::string(k_evil)), k_look, examples::bands()));
}

TEST(SquadPage, KeepsTypedTextAsText) {
  SquadReport report{.date = examples::day(3, 2), .week = examples::week()};
  report.week.group = k_evil;
  report.week.flags.front().because.emplace_back(k_evil);
  report.lifters.push_back({.athlete = std::string(k_evil), .loads = examples::loads()});
  expect_inert(squad_page(report, k_look));
}

TEST(WallPage, KeepsTypedTextAsText) {
  WallSheet sheet{.group = std::string(k_evil), .from = examples::day(3, 2)};
  sheet.lifters.push_back(
      {.athlete = std::string(k_evil), .days = {{.date = examples::day(3, 2), .lifts = {{.lift = "x"}}}}});
  expect_inert(wall_page(sheet, k_look));
}

TEST(LifterPage, LoadsAndRunsNothing) {
  const std::string html = lifter_page(full_report("a1"), k_look, examples::bands());
  for (const char* loading : {" src=", " href=", "url(http", "@import", "<link", "<iframe"}) {
    EXPECT_THAT(html, Not(HasSubstr(loading)));
  }
}

TEST(LifterPage, UsesEachIdOnce) {
  const std::string html = lifter_page(full_report("a1"), k_look, examples::bands());
  std::set<std::string> ids;
  const std::regex id("\\sid=\"([^\"]*)\"");
  for (std::sregex_iterator at(html.begin(), html.end(), id), end; at != end; ++at)
    EXPECT_TRUE(ids.insert((*at)[1]).second) << (*at)[1];
  EXPECT_GT(ids.size(), 10U);
}

std::size_t count(const std::string& text, std::string_view part) {
  std::size_t n = 0;
  for (std::size_t at = 0; (at = text.find(part, at)) != std::string::npos; ++at) ++n;
  return n;
}

TEST(WallPage, SaysNothingAboutHealth) {
  WallSheet sheet{.from = examples::day(3, 2)};
  sheet.lifters.push_back({.athlete = "a1", .days = {}, .stopped = true});
  WallLifter away{.athlete = "b1"};
  for (const char* note : {"illness", "injury", "holiday", "meet"}) {
    away.days.push_back({.date = sheet.from + Days{std::ssize(away.days)}, .note = note});
  }
  sheet.lifters.push_back(away);
  const std::string html = wall_page(sheet, k_look);
  EXPECT_THAT(html, HasSubstr("Speak to the coach before training."));
  EXPECT_EQ(count(html, ": off<"), 3U);
  EXPECT_EQ(count(html, ": meet<"), 1U);
  EXPECT_THAT(html, Not(testing::ContainsRegex("pain|calf|doctor|sore|illness|injury|holiday")));
}

TEST(LoadSvg, DrawsEachKindOfDayDifferently) {
  const Day monday = examples::day(3, 2);
  const std::vector<DayFigures> days{
      {.date = monday, .status = DayStatus::trained, .load_au = 400},
      {.date = monday + Days{1}, .status = DayStatus::rest, .load_au = 0},
      {.date = monday + Days{2}, .status = DayStatus::unlogged},
      {.date = monday + Days{3}, .status = DayStatus::trained, .load_au = 200, .estimated = true},
      {.date = monday + Days{4}, .status = DayStatus::open}};
  const std::vector<UsualLoad> usual{{.date = monday + Days{2}, .usual_au = 300, .low_au = 250, .high_au = 350}};
  const std::string svg = load_svg(days, usual, "x");
  EXPECT_EQ(count(svg, "r=\"3\" fill=\"currentColor\""), 2U);    // trained
  EXPECT_EQ(count(svg, "r=\"3\" stroke=\"currentColor\""), 1U);  // not logged: open
  EXPECT_EQ(count(svg, "stroke-dasharray"), 1U);                 // estimated
  EXPECT_EQ(count(svg, "<rect"), 1U);                            // under way
  EXPECT_THAT(words_of(svg.substr(svg.find("<desc"))), HasSubstr("2 training days, 1 rest day, 1 not logged"));
}

TEST(LevelSvg, StandsOnTheScaleWhereItSays) {
  // The scale runs from 40 to 110 % over 18 .. 300 units: 65 % stands at 18 + 25/70 x 282 = 118.7, 85 % at 199.3.
  const Level level{.plan = 85,
                    .call = 65,
                    .expected = 97,
                    .low80 = 93,
                    .high80 = 101,
                    .training_max_kg = 100,
                    .bands = examples::bands()};
  const std::string svg = level_svg(level, k_look, "x");
  EXPECT_THAT(svg, HasSubstr("M118.7 "));
  EXPECT_THAT(svg, HasSubstr("M199.3 "));
  EXPECT_THAT(svg, HasSubstr(">call 65 %<"));
  EXPECT_THAT(svg, HasSubstr(">plan 85 %<"));
  EXPECT_THAT(svg, HasSubstr(">heavy<"));
  EXPECT_THAT(svg, Not(testing::ContainsRegex("#[0-9a-f]{6}|rgb|red|green|rotate")));  // no hue, nothing tilts
}

TEST(RatioSvg, DrawsNothingWhereNoRatioIsKnown) {
  const std::vector<DayFigures> days{{.date = examples::day(3, 2), .status = DayStatus::rest, .load_au = 0}};
  EXPECT_EQ(ratio_svg(days, "x"), "");
}

}  // namespace
}  // namespace steelyard::report
