#include <algorithm>
#include <array>

#include "report/utf8.hpp"
#include "steelyard/report/look.hpp"

namespace steelyard::report {
namespace {

struct Block {
  char32_t first;
  char32_t last;
};

template <std::size_t N>
bool in(const std::array<Block, N>& blocks, char32_t point) {
  return std::any_of(blocks.begin(), blocks.end(), [&](const Block& b) { return point >= b.first && point <= b.last; });
}

/// C0 and C1 controls, direction overrides and isolates, language tags.
constexpr std::array<Block, 8> k_steering{{{0x00, 0x1F},
                                           {0x7F, 0x9F},
                                           {0x061C, 0x061C},
                                           {0x200E, 0x200F},
                                           {0x202A, 0x202E},
                                           {0x2061, 0x206F},
                                           {0xFFF9, 0xFFFB},
                                           {0xE0000, 0xE007F}}};
constexpr std::array<Block, 3> k_invisible{{{0x200B, 0x200D}, {0x2060, 0x2060}, {0xFEFF, 0xFEFF}}};
constexpr std::array<Block, 7> k_combining{{{0x0300, 0x036F},
                                            {0x0483, 0x0489},
                                            {0x1AB0, 0x1AFF},
                                            {0x1DC0, 0x1DFF},
                                            {0x20D0, 0x20FF},
                                            {0xFE00, 0xFE0F},
                                            {0xFE20, 0xFE2F}}};
/// source  Unicode Standard Annex 11, East Asian Width: the blocks whose letters are wide or full width
constexpr std::array<Block, 9> k_wide{{{0x1100, 0x115F},
                                       {0x2E80, 0xA4CF},
                                       {0xA960, 0xA97F},
                                       {0xAC00, 0xD7A3},
                                       {0xF900, 0xFAFF},
                                       {0xFE30, 0xFE6F},
                                       {0xFF00, 0xFF60},
                                       {0x1F300, 0x1FAFF},
                                       {0x20000, 0x3FFFD}}};

/// The ASCII form of a typographic mark, or '?'.
std::string_view in_ascii(char32_t point) {
  if (point >= 0x2010 && point <= 0x2015) return "-";
  switch (point) {
    case 0x2018:
    case 0x2019:
      return "'";
    case 0x201C:
    case 0x201D:
      return "\"";
    case 0x2026:
      return "...";
    case 0x00D7:
      return "x";
    case 0x2212:
      return "-";
    default:
      return "?";
  }
}

constexpr char32_t k_no_break_space = 0xA0;

}  // namespace

std::string clean(std::string_view text, const Look& look) {
  const std::string_view unknown = look.unicode ? "\xEF\xBF\xBD" : "?";
  std::string out;
  out.reserve(text.size());
  for (std::size_t i = 0; i < text.size();) {
    const CodePoint c = decode(text, i);
    const bool blank = c.point == '\n' || c.point == '\r' || c.point == '\t' || c.point == 0x85 || c.point == 0x2028 ||
                       c.point == 0x2029;
    if (c.valid && blank) {
      out += ' ';
    } else if (!c.valid || in(k_steering, c.point)) {
      out += unknown;
    } else if (c.point < 0x80 || c.point == k_no_break_space || (look.unicode && !in(k_invisible, c.point))) {
      out += text.substr(i, c.length);
    } else if (!look.unicode && !in(k_invisible, c.point) && !in(k_combining, c.point)) {
      out += in_ascii(c.point);
    }
    i += c.length;
  }
  return out;
}

std::size_t columns(std::string_view text) {
  std::size_t n = 0;
  for (std::size_t i = 0; i < text.size();) {
    const CodePoint c = decode(text, i);
    if (c.valid && in(k_wide, c.point))
      n += 2;
    else if (!c.valid || !in(k_combining, c.point))
      n += 1;
    i += c.length;
  }
  return n;
}

}  // namespace steelyard::report
