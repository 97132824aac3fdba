#include "ingest/csv.hpp"

#include <gtest/gtest.h>

#include <random>

#include "ingest/reading.hpp"

namespace steelyard::ingest {
namespace {

struct Row {
  std::size_t line = 0;
  std::vector<std::string> cells;
  std::string fault;  ///< "cell: what"
  friend bool operator==(const Row&, const Row&) = default;
};

std::ostream& operator<<(std::ostream& out, const Row& row) {
  out << row.line << ":";
  for (const auto& cell : row.cells) out << " [" << cell << "]";
  return out << " " << row.fault;
}

std::vector<Row> rows_of(const std::string& text, std::size_t piece = 4096) {
  TextSource source(text, piece);
  Lines lines(source, {});
  CsvReader reader(lines);
  CsvRow row;
  std::vector<Row> rows;
  for (;;) {
    const auto more = reader.next(row);
    if (!more) {
      rows.push_back({row.line, {}, more.error().what});
      return rows;
    }
    if (!*more) return rows;
    if (row.fault) {
      rows.push_back({row.line, {}, std::to_string(row.fault->cell) + ": " + row.fault->what});
    } else {
      rows.push_back({row.line, {row.cells.begin(), row.cells.end()}, {}});
    }
  }
}

const std::string k_stray =
    "a quote stands inside a cell without quotes around it; allowed: \"5\"\" plate\" for 5\" plate";
const std::string k_behind =
    "text follows a closing quote; allowed: a comma or the end of the row; double the quotes inside the cell";
const std::string k_open = "the quote that opens this cell is never closed; close it with \"";
const std::string k_return =
    "a carriage return stands alone; allowed: line ends LF or CRLF; save the file with one of them";

// RFC 4180, section 2, rules 1-7.
TEST(CsvReader, ReadsWhatTheRfcDescribes) {
  EXPECT_EQ(rows_of("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n"),
            (std::vector<Row>{{1, {"aaa", "bbb", "ccc"}, {}}, {2, {"zzz", "yyy", "xxx"}, {}}}));
  EXPECT_EQ(rows_of("aaa,bbb\r\nzzz,yyy"), (std::vector<Row>{{1, {"aaa", "bbb"}, {}}, {2, {"zzz", "yyy"}, {}}}));
  EXPECT_EQ(rows_of("\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx"),
            (std::vector<Row>{{1, {"aaa", "b\r\nbb", "ccc"}, {}}, {3, {"zzz", "yyy", "xxx"}, {}}}));
  EXPECT_EQ(rows_of("\"aaa\",\"b\"\"bb\",\"ccc\""), (std::vector<Row>{{1, {"aaa", "b\"bb", "ccc"}, {}}}));
  EXPECT_EQ(rows_of(" a , b "), (std::vector<Row>{{1, {" a ", " b "}, {}}}));  // rule 4: blanks are part of a cell
}

TEST(CsvReader, ReadsEmptyCells) {
  EXPECT_EQ(rows_of("a,,\n,b,\n,,c\n"),
            (std::vector<Row>{{1, {"a", "", ""}, {}}, {2, {"", "b", ""}, {}}, {3, {"", "", "c"}, {}}}));
  EXPECT_EQ(rows_of("\"\",\"a\",\"\"\n"), (std::vector<Row>{{1, {"", "a", ""}, {}}}));
  EXPECT_EQ(rows_of("\"\"\"\",\"\"\"a\"\"\"\n"), (std::vector<Row>{{1, {"\"", "\"a\""}, {}}}));
}

TEST(CsvReader, SkipsRowsWithoutContentAndCountsTheirLines) {
  EXPECT_EQ(rows_of("\n\r\na,b\n\n , \t\n,\nc,d\n\n\r\n"),
            (std::vector<Row>{{3, {"a", "b"}, {}}, {7, {"c", "d"}, {}}}));
  EXPECT_EQ(rows_of(""), std::vector<Row>{});
  EXPECT_EQ(rows_of("\n"), std::vector<Row>{});
}

TEST(CsvReader, EndsABrokenRowAtItsLineEnd) {
  EXPECT_EQ(rows_of("a,5\" plate,c\nd,e,f\n"), (std::vector<Row>{{1, {}, "1: " + k_stray}, {2, {"d", "e", "f"}, {}}}));
  EXPECT_EQ(rows_of("a,\"b\" c,d\ne\n"), (std::vector<Row>{{1, {}, "1: " + k_behind}, {2, {"e"}, {}}}));
  EXPECT_EQ(rows_of("\"a\"\"\"b\ne\n"), (std::vector<Row>{{1, {}, "0: " + k_behind}, {2, {"e"}, {}}}));
  EXPECT_EQ(rows_of("a, \"b\"\ne\n"), (std::vector<Row>{{1, {}, "1: " + k_stray}, {2, {"e"}, {}}}));
}

TEST(CsvReader, NamesTheLineWhereAQuoteOpens) {
  EXPECT_EQ(rows_of("a,b\nc,\"d\ne,f\n"), (std::vector<Row>{{1, {"a", "b"}, {}}, {2, {}, "1: " + k_open}}));
  EXPECT_EQ(rows_of("\""), (std::vector<Row>{{1, {}, "0: " + k_open}}));
  EXPECT_EQ(rows_of("\"\"\""), (std::vector<Row>{{1, {}, "0: " + k_open}}));
}

TEST(CsvReader, RefusesLoneCarriageReturns) {
  EXPECT_EQ(rows_of("a,b\rc,d\n"), (std::vector<Row>{{1, {}, "1: " + k_return}}));
  EXPECT_EQ(rows_of("\"a\",b\rc\nd\n"), (std::vector<Row>{{1, {}, "1: " + k_return}, {2, {"d"}, {}}}));
  EXPECT_EQ(rows_of("\"a\"\rb\nd\n"), (std::vector<Row>{{1, {}, "0: " + k_return}, {2, {"d"}, {}}}));
  EXPECT_EQ(rows_of("\"a\rb\"\n"), (std::vector<Row>{{1, {"a\rb"}, {}}}));  // inside quotes it is text
  EXPECT_EQ(rows_of("a,\"b\"\r"), (std::vector<Row>{{1, {"a", "b"}, {}}}));
}

TEST(CsvReader, RefusesBytesThatAreNoText) {
  const std::string what = "the text is not UTF-8; allowed: UTF-8 without NUL; save the file as UTF-8";
  EXPECT_EQ(rows_of("a,b\xE4,c\nd\n"), (std::vector<Row>{{1, {}, "1: " + what}, {2, {"d"}, {}}}));
  EXPECT_EQ(rows_of("a,b,\"c\xE4\"\n"), (std::vector<Row>{{1, {}, "2: " + what}}));
  EXPECT_EQ(rows_of(std::string("a\0b\n", 4)), (std::vector<Row>{{1, {}, "0: " + what}}));
  EXPECT_EQ(rows_of("\xC3\xA4,\"\"\"\xC3\xA4\"\n"), (std::vector<Row>{{1, {"\xC3\xA4", "\"\xC3\xA4"}, {}}}));
}

TEST(CsvReader, ReadsTheSameInPiecesOfAnySize) {
  const std::string text = "a,\"b\r\n\"\"c\"\"\",d\r\n\r\n\"e\nf\",g\"h,i\n\"\xC3\xA4\",j,\"\"\nlast,\"k\nl\",m";
  const auto whole = rows_of(text);
  ASSERT_EQ(whole.size(), 4U);
  EXPECT_EQ(whole[3], (Row{7, {"last", "k\nl", "m"}, {}}));
  for (std::size_t piece = 1; piece <= text.size(); ++piece) EXPECT_EQ(rows_of(text, piece), whole) << piece;
}

TEST(CsvReader, RefusesARowWithoutEnd) {
  const std::string what = "the row is longer than 1 MiB; allowed: shorter rows; look for a quote that is not closed";
  const std::string many_lines = [] {
    std::string text;
    while (text.size() < 3 * k_longest_row) text += "one more line of the same cell\n";
    return text;
  }();
  EXPECT_EQ(rows_of("a,b\n\"" + many_lines, 65536), (std::vector<Row>{{1, {"a", "b"}, {}}, {2, {}, what}}));
  EXPECT_EQ(rows_of("a,b\n" + std::string(2 * k_longest_row, 'x'), 65536),
            (std::vector<Row>{{1, {"a", "b"}, {}}, {2, {}, what}}));
  const std::string longest(k_longest_row - 1, 'x');
  EXPECT_EQ(rows_of(longest + "\n", 65536), (std::vector<Row>{{1, {longest}, {}}}));
  EXPECT_EQ(rows_of(longest + "x\n", 65536), (std::vector<Row>{{1, {}, what}}));
}

TEST(CsvReader, FallsOnNothing) {  // any bytes give rows or faults, the same in any pieces
  std::mt19937 random(41);
  const std::string letters = "ab,,\"\"\n\n\r\xC3\xA4";
  for (int i = 0; i < 5000; ++i) {
    std::string text;
    const auto size = random() % 24;
    while (text.size() < size) text += letters[random() % letters.size()];
    ASSERT_EQ(rows_of(text, 1 + random() % 5), rows_of(text)) << text;
  }
}

// RFC 4180, section 2, rules 5-7.
TEST(CsvCell, QuotesWhatNeedsIt) {
  EXPECT_EQ(csv_cell("a,\"b\"\r\nc"), "\"a,\"\"b\"\"\r\nc\"");
  EXPECT_EQ(csv_cell("plain text"), "plain text");
  EXPECT_EQ(csv_cell("a\nb"), "\"a\nb\"");
  EXPECT_EQ(csv_cell("a\rb"), "\"a\rb\"");
  EXPECT_EQ(csv_cell(""), "");
}

}  // namespace
}  // namespace steelyard::ingest
