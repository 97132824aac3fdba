#include "steelyard/report/look.hpp"

#include <gtest/gtest.h>

#include "steelyard/report/sheet.hpp"

namespace steelyard::report {
namespace {

constexpr Look k_ascii{};
constexpr Look k_unicode{.color = false, .unicode = true, .width = 80, .units = Unit::kg};
constexpr Look k_pounds{.color = false, .unicode = false, .width = 80, .units = Unit::lb};

/// No-break spaces as a reader sees them.
std::string seen(std::string_view text) {
  return wrap(text, 200).at(0);
}

TEST(Clean, MakesTerminalSequencesVisible) {
  // ECMA-48: ESC [ and its one-code form U+009B start a sequence, ESC ] 0 ; sets a title, BEL ends it
  EXPECT_EQ(clean("\x1b[31mred\x1b]0;x\x07", k_ascii), "?[31mred?]0;x?");
  EXPECT_EQ(clean("\xC2\x9B"
                  "2J",
                  k_ascii),
            "?2J");
  EXPECT_EQ(clean("\xC2\x9B"
                  "2J",
                  k_unicode),
            "\xEF\xBF\xBD"
            "2J");
}

TEST(Clean, TurnsLineEndsIntoBlanks) {
  EXPECT_EQ(clean("a\nb\r\nc\td", k_ascii), "a b  c d");
}

TEST(Clean, ShowsDirectionOverridesAndDropsInvisibleLetters) {
  EXPECT_EQ(clean("a\xE2\x80\xAE"
                  "b",
                  k_unicode),
            "a\xEF\xBF\xBD"
            "b");  // U+202E, right-to-left override
  EXPECT_EQ(clean("a\xE2\x80\x8B"
                  "b",
                  k_unicode),
            "ab");  // U+200B, zero width space
}

TEST(Clean, MarksInvalidUtf8) {
  EXPECT_EQ(clean("a\xFFz\xC3", k_ascii), "a?z?");
  EXPECT_EQ(clean("a\xFFz", k_unicode), "a\xEF\xBF\xBDz");
}

TEST(Clean, KeepsLettersOnlyWhereTheyCanBeShown) {
  EXPECT_EQ(clean("J\xC3\xBCrgen", k_unicode), "J\xC3\xBCrgen");
  EXPECT_EQ(clean("J\xC3\xBCrgen \xE2\x80\x93 5 \xC3\x97 5", k_ascii), "J?rgen - 5 x 5");
}

TEST(Columns, CountWideLettersTwiceAndAccentsNot) {
  // Unicode Standard Annex 11: U+6F22 is wide; U+0301 combines with the letter before it
  EXPECT_EQ(columns("abc"), 3U);
  EXPECT_EQ(columns("\xE6\xBC\xA2"), 2U);
  EXPECT_EQ(columns("e\xCC\x81"), 1U);
}

TEST(Wrap, BreaksAtBlanksAndCutsLongWords) {
  EXPECT_EQ(wrap("one two three", 7), (std::vector<std::string>{"one two", "three"}));
  EXPECT_EQ(wrap("abcdefghij k", 4), (std::vector<std::string>{"abcd", "efgh", "ij k"}));
  EXPECT_EQ(wrap("", 4), std::vector<std::string>{""});
}

TEST(Wrap, KeepsUnbrokenBlanks) {
  EXPECT_EQ(wrap("take " + unbroken("82.5 kg"), 8), (std::vector<std::string>{"take", "82.5 kg"}));
}

TEST(Page, KeepsANumberWithItsUnit) {
  Page page(Look{.color = false, .unicode = false, .width = 40, .units = Unit::kg});
  page.text("This line is as long as it may be, 125 kg and on");
  EXPECT_EQ(page.take(), "This line is as long as it may be,\n125 kg and on\n");
}

TEST(Page, UsesBoldAndDimOnlyWithColour) {
  Page plain(k_ascii);
  plain.text("word", Weight::bold);
  EXPECT_EQ(plain.take(), "word\n");
  Page typed(Look{.color = true, .unicode = false, .width = 80, .units = Unit::kg});
  typed.text("word", Weight::bold);
  typed.text("word", Weight::dim);
  EXPECT_EQ(typed.take(), "\x1b[1mword\x1b[0m\n\x1b[2mword\x1b[0m\n");  // ECMA-48, SGR 1, 2 and 0
}

TEST(Page, AlignsATable) {
  Page page(k_ascii);
  page.table({{{"lift", false}, {"kg", true}}, {{"squat", "125"}, {"bench", "82.5"}}});
  EXPECT_EQ(page.take(), "  lift     kg\n  -----  ----\n  squat   125\n  bench  82.5\n");
}

TEST(Page, WrapsCellsOfATableThatIsTooWide) {
  Page page(Look{.color = false, .unicode = false, .width = 40, .units = Unit::kg});
  page.table({{{"a", false}, {"b", true}}, {{"a long cell that does not fit on this line", "12"}}});
  EXPECT_EQ(page.take(),
            "  a                                    b\n"
            "  ----------------------------------  --\n"
            "  a long cell that does not fit on    12\n"
            "  this line\n");
}

TEST(WeightText, RoundsPoundsToTheHalf) {
  // international pound 0.45359237 kg: 125 kg = 275.578 lb, 60 kg = 132.277 lb, 20.41165665 kg = 45 lb
  EXPECT_EQ(seen(weight_text(125, k_pounds)), "275.5 lb");
  EXPECT_EQ(seen(weight_text(60, k_pounds)), "132.5 lb");
  EXPECT_EQ(seen(weight_text(20.41165665, k_pounds)), "45 lb");
  EXPECT_EQ(seen(weight_text(82.5, k_ascii)), "82.5 kg");
}

TEST(PlatesText, GroupsPlatesAndKeepsTheirOwnUnit) {
  EXPECT_EQ(seen(plates_text({25, 25, 1.25}, k_ascii)), "2 x 25 + 1.25 kg");
  EXPECT_EQ(seen(plates_text({25, 25, 1.25}, k_pounds)), "2 x 25 + 1.25 kg");
  EXPECT_EQ(seen(plates_text({45 * 0.45359237, 2.5 * 0.45359237}, k_pounds)), "45 + 2.5 lb");
  EXPECT_EQ(seen(plates_text({45 * 0.45359237, 2.5}, k_pounds)), "45 lb + 2.5 kg");
  EXPECT_EQ(plates_text({}, k_ascii), "the bar alone");
}

TEST(PrescriptionText, NamesKindSetsAndPercent) {
  EXPECT_EQ(seen(prescription_text({DayKind::heavy, 3, 4, 82.5}, k_ascii)), "heavy 3 x 4 at 82.5 %");
  EXPECT_EQ(seen(prescription_text({DayKind::light, 3, 5, 0}, k_ascii)), "light 3 x 5");
  EXPECT_EQ(prescription_text({DayKind::rest, 0, 0, 0}, k_ascii), "rest");
}

}  // namespace
}  // namespace steelyard::report
