#include "steelyard/base/text.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdint>
#include <cstring>
#include <limits>
#include <random>

namespace steelyard {
namespace {

using namespace std::string_view_literals;

TEST(ParseNumber, ReadsDecimals) {
  EXPECT_EQ(parse_number("82.5"), 82.5);
  EXPECT_EQ(parse_number("-3"), -3.0);
  EXPECT_EQ(parse_number("1e3"), 1000.0);
  EXPECT_EQ(parse_number("0.1"), 0.1);
  EXPECT_EQ(parse_number(".5"), 0.5);
}

TEST(ParseNumber, RefusesEverythingElse) {
  for (const auto text : {""sv, " 1"sv, "1 "sv, "+1"sv, "1,5"sv, "nan"sv, "NaN"sv, "inf"sv, "-infinity"sv, "0x10"sv,
                          "1e999"sv, "1.2.3"sv, "--1"sv, "12kg"sv, "\0"sv, "1\0"sv}) {
    EXPECT_FALSE(parse_number(text)) << text;
  }
}

TEST(ParseInt, RefusesFractionsAndOverflow) {
  EXPECT_EQ(parse_int("50"), 50);
  EXPECT_EQ(parse_int("-2"), -2);
  for (const auto text : {"3.5"sv, "3.0"sv, "+3"sv, ""sv, " 3"sv, "3 "sv, "99999999999"sv, "0x3"sv}) {
    EXPECT_FALSE(parse_int(text)) << text;
  }
}

TEST(FormatNumber, IsShortestAndReadsBack) {
  EXPECT_EQ(format_number(82.5), "82.5");
  EXPECT_EQ(format_number(140), "140");
  EXPECT_EQ(format_number(0.1), "0.1");
  EXPECT_EQ(format_number(-0.0), "0");
  std::mt19937_64 random(20260101);
  for (int i = 0; i < 100000; ++i) {
    const std::uint64_t bits = random();
    double value = 0;
    std::memcpy(&value, &bits, sizeof value);
    if (!std::isfinite(value)) continue;
    ASSERT_EQ(parse_number(format_number(value)), value);
  }
}

TEST(FormatNumber, RoundsToPlacesAndDropsZeros) {
  EXPECT_EQ(format_number(82.50, 2), "82.5");
  EXPECT_EQ(format_number(140.0, 1), "140");
  EXPECT_EQ(format_number(140.0, 0), "140");
  EXPECT_EQ(format_number(1.005, 1), "1");
  EXPECT_EQ(format_number(2.0 / 3.0, 3), "0.667");
  EXPECT_EQ(format_number(-0.04, 1), "0");
  EXPECT_EQ(format_number(100, 2), "100");
  EXPECT_EQ(format_number(-1.25, 2), "-1.25");
}

// International yard and pound agreement 1959; NIST SP 811 (from memory).
TEST(Pound, IsExact) {
  EXPECT_EQ(k_kg_per_lb, 0.45359237);
  EXPECT_NEAR(45 * k_kg_per_lb, 20.41165665, 20.41165665 * 1e-15);
  EXPECT_NEAR(225 * k_kg_per_lb, 102.05828325, 102.05828325 * 1e-15);
  EXPECT_NEAR(100 / k_kg_per_lb, 220.46226218487757, 220.46226218487757 * 1e-15);
  EXPECT_NEAR(2.5 / k_kg_per_lb, 5.511556554621939, 5.511556554621939 * 1e-15);
}

TEST(Trim, TakesBlanksOffBothEnds) {
  EXPECT_EQ(trim(" \ta b\r\n"), "a b");
  EXPECT_EQ(trim(" \t "), "");
  EXPECT_EQ(trim(""), "");
}

TEST(SplitWords, SkipsEmptyWordsAndSplitKeepsThem) {
  EXPECT_EQ(split_words("  mon  wed\tfri "), (std::vector<std::string_view>{"mon", "wed", "fri"}));
  EXPECT_TRUE(split_words("  ").empty());
  EXPECT_EQ(split("a::b", ':'), (std::vector<std::string_view>{"a", "", "b"}));
  EXPECT_EQ(split("", ':'), (std::vector<std::string_view>{""}));
}

TEST(JoinWords, ReadsLikeASentence) {
  const std::vector<std::string> words{"load", "pain", "notes"};
  EXPECT_EQ(join_words(std::span(words).first(0)), "");
  EXPECT_EQ(join_words(std::span(words).first(1)), "load");
  EXPECT_EQ(join_words(std::span(words).first(2)), "load and pain");
  EXPECT_EQ(join_words(words), "load, pain and notes");
}

TEST(Letters, ChangeCaseForAsciiOnly) {
  EXPECT_EQ(to_lower("Squat \xC3\x84Z"), "squat \xC3\x84z");
  EXPECT_EQ(capitalized("the day"), "The day");
  EXPECT_EQ(capitalized(""), "");
}

TEST(InQuotes, ShowsControlCharactersAndCutsLongText) {
  EXPECT_EQ(in_quotes("7,5"), "'7,5'");
  EXPECT_EQ(in_quotes("a\nb\tc\r\x1B[31m\x7F"), "'a\\nb\\tc\\r\\x1B[31m\\x7F'");
  EXPECT_EQ(in_quotes(std::string(61, 'a')), "'" + std::string(60, 'a') + "...'");
  EXPECT_EQ(in_quotes(std::string(59, 'a') + "\xC3\xA4"),
            "'" + std::string(59, 'a') + "...'");  // the letter stays whole
}

TEST(NearestWord, FindsTypos) {
  const std::string_view words[] = {"squat", "bench", "deadlift", "press", "min"};
  EXPECT_EQ(nearest_word("squatt", words), "squat");
  EXPECT_EQ(nearest_word("SQUAT", words), "squat");
  EXPECT_EQ(nearest_word("dedlift", words), "deadlift");
  EXPECT_EQ(nearest_word("mni", words), "min");  // neighbours that changed places are one edit
  EXPECT_EQ(nearest_word("bnech", words), "bench");
  EXPECT_FALSE(nearest_word("row", words));
  EXPECT_FALSE(nearest_word("snatch", words));
  EXPECT_EQ(nearest_word("bnch", words), "bench");
  EXPECT_FALSE(nearest_word("bch", words));  // two of three letters
  EXPECT_FALSE(nearest_word("", words));
}

TEST(NearestWord, TakesTheFewestEdits) {
  const std::string_view words[] = {"sleep_quality", "sleep_hours"};
  EXPECT_EQ(nearest_word("sleep_hour", words), "sleep_hours");
  const std::string_view equal[] = {"knees", "knee"};
  EXPECT_EQ(nearest_word("kneee", equal), "knees");  // the first of equals
}

// RFC 3629, sections 3 and 4: shortest forms only, no surrogates, nothing above U+10FFFF.
TEST(IsPlainUtf8, FollowsTheRfc) {
  for (const auto good :
       {""sv, "plain"sv, "\xC3\xA4"sv, "\xE2\x82\xAC"sv, "\xF0\x9F\x98\x80"sv, "\xED\x9F\xBF"sv, "\xEE\x80\x80"sv,
        "\xF4\x8F\xBF\xBF"sv, "\xC2\x80"sv, "\xE0\xA0\x80"sv, "\xF0\x90\x80\x80"sv}) {
    EXPECT_TRUE(is_plain_utf8(good)) << good;
  }
  for (const auto bad : {"\0"sv, "\x80"sv, "\xC3"sv, "\xC0\x80"sv, "\xC1\xBF"sv, "\xE0\x9F\xBF"sv, "\xED\xA0\x80"sv,
                         "\xF0\x8F\xBF\xBF"sv, "\xF4\x90\x80\x80"sv, "\xF5\x80\x80\x80"sv, "\xFF"sv, "\xE2\x82"sv,
                         "\xE2\x28\xA1"sv, "\xC3\x28"sv, "12345678\xC3"sv}) {
    EXPECT_FALSE(is_plain_utf8(bad));
  }
}

TEST(IsPlainUtf8, FindsOneBadByteAnywhere) {
  for (std::size_t at = 0; at < 40; ++at) {
    for (const char bad : {'\0', '\x80', '\xFF'}) {
      std::string text(40, 'a');
      EXPECT_TRUE(is_plain_utf8(text));
      text[at] = bad;
      EXPECT_FALSE(is_plain_utf8(text)) << at;
    }
  }
}

TEST(DisplayWidth, CountsCodePoints) {
  EXPECT_EQ(display_width("abc"), 3U);
  EXPECT_EQ(display_width("\xC3\xA4\xE2\x82\xAC"), 2U);
}

// FNV-1a, 64 bits: offset basis and the published value of "a" and "foobar" (Fowler, Noll, Vo; from memory).
TEST(Digest, IsFnv1a) {
  EXPECT_EQ(digest(""), "cbf29ce484222325");
  EXPECT_EQ(digest("a"), "af63dc4c8601ec8c");
  EXPECT_EQ(digest("foobar"), "85944171f73967e8");
}

TEST(HtmlEscaped, LeavesNothingThatHtmlWouldRun) {
  EXPECT_EQ(html_escaped("<a href='x\">&"), "&lt;a href=&#39;x&quot;&gt;&amp;");
}

}  // namespace
}  // namespace steelyard
