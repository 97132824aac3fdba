#include "ingest/plain_sessions.hpp"

#include <array>
#include <bit>
#include <cstdint>
#include <cstring>

#include "ingest/kinds.hpp"
#include "steelyard/domain/vocabulary.hpp"

namespace steelyard::ingest {
namespace {

using namespace std::string_view_literals;

/// Columns of a session in the order of its description.
enum Place : std::size_t { athlete, date, part, kind, minutes, rpe, tonnage, note };

/// Characters of an athlete's code.
constexpr std::array<bool, 256> k_code_characters = [] {
  std::array<bool, 256> allowed{};
  for (const char c : "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_."sv) {
    allowed[static_cast<unsigned char>(c)] = true;
  }
  return allowed;
}();

constexpr std::ptrdiff_t k_most_digits = 15;
constexpr std::array<double, k_most_digits> k_power{1,   1e1, 1e2,  1e3,  1e4,  1e5,  1e6, 1e7,
                                                    1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14};

constexpr bool is_cell_end(char c) {
  return c == ',' || c == '\n' || c == '\r';
}

/// Digits, and at most one point between them, up to the end of the cell. Fifteen digits and a power of ten are exact
/// in a double, so that one division rounds as it should.
bool long_number(const char*& at, double& number) {
  const auto is_digit = [](char c) { return c >= '0' && c <= '9'; };
  const char* const begin = at;
  std::uint64_t digits = 0;
  for (; is_digit(*at); ++at) digits = 10 * digits + static_cast<std::uint64_t>(*at - '0');
  if (at == begin) return false;
  std::ptrdiff_t decimals = 0;
  if (*at == '.') {
    const char* const point = at++;
    for (; is_digit(*at); ++at) digits = 10 * digits + static_cast<std::uint64_t>(*at - '0');
    decimals = at - point - 1;
    if (decimals == 0) return false;
  }
  if (at - begin > k_most_digits || !is_cell_end(*at)) return false;
  const auto whole = static_cast<double>(static_cast<std::int64_t>(digits));
  number = decimals == 0 ? whole : whole / k_power[static_cast<std::size_t>(decimals)];
  return true;
}

/// The same. The lengths of numbers cannot be foreseen, and a branch for each digit would be foreseen wrongly once or
/// twice a number: those of fewer than eight characters are read as the eight bytes of one word, all digits at once.
bool plain_number(const char*& at, double& number) {
  if constexpr (std::endian::native != std::endian::little) return long_number(at, number);
  std::uint64_t text = 0;
  std::memcpy(&text, at, sizeof text);
  std::uint64_t digits = text ^ 0x3030303030303030;  // a digit's byte is its value
  // The high bit of every byte that is no digit, up to the first byte beyond ASCII at least.
  const std::uint64_t others = ((digits + 0x7676767676767676) | digits) & 0x8080808080808080;
  if (others == 0) return long_number(at, number);
  const int whole = std::countr_zero(others) / 8;  // digits before the point
  const bool has_point = static_cast<char>(text >> (8 * whole)) == '.';
  const std::uint64_t ends = has_point ? others & (others - 1) : others;
  if (ends == 0) return long_number(at, number);
  const int size = std::countr_zero(ends) / 8;
  const int count = size - (has_point ? 1 : 0);
  const int decimals = has_point ? count - whole : 0;
  if (!is_cell_end(at[size]) || whole == 0 || (has_point && decimals == 0)) return false;
  if (has_point) {
    const std::uint64_t before = (std::uint64_t{1} << (8 * whole)) - 1;
    digits = (digits & before) | ((digits >> 8) & ~before);
  }
  digits <<= 8 * (8 - count);  // eight digits with zeros in front; the first is the lowest byte
  digits = digits * 10 + (digits >> 8);
  digits = ((digits & 0x000000ff000000ff) * 0x000f424000000064 +
            ((digits >> 16) & 0x000000ff000000ff) * 0x0000271000000001) >>
           32;
  at += size;
  number = static_cast<double>(static_cast<std::uint32_t>(digits)) / k_power[static_cast<std::size_t>(decimals)];
  return true;
}

bool is_plain_text(std::string_view text) {
  for (const char c : text) {
    if (c < ' ' || c > '~' || c == '"') return false;
  }
  return true;
}

}  // namespace

PlainSessions::PlainSessions(std::span<const std::size_t> columns) {
  const auto known = columns_of(RecordKind::sessions);
  for (const std::size_t column : columns) {
    const Column& c = known[column].column;
    cells_.push_back({.column = column,
                      .low = c.low,
                      .high = c.high,
                      .low_is_open = c.low_is_open,
                      .is_number = column == minutes || column == rpe || column == tonnage});
  }
}

bool PlainSessions::read(const char*& at, PlainSession& session) {
  session.minutes.reset();
  session.rpe.reset();
  session.tonnage_kg.reset();
  const char* next = at;
  const CellForm* const last = &cells_.back();
  for (const CellForm& form : cells_) {
    if (!take(form, next, session)) return false;
    if (&form == last) break;
    if (*next++ != ',') return false;  // fewer cells than the header
  }
  if (*next == '\r') ++next;
  if (*next++ != '\n') return false;  // more cells, or a lone carriage return
  at = next;
  return true;
}

bool PlainSessions::take_day(const char*& at, Day& day) {
  if (std::memcmp(at, day_text_, sizeof day_text_) != 0) {
    const char* end = at;
    while (!is_cell_end(*end)) ++end;
    const std::string_view text(at, static_cast<std::size_t>(end - at));
    const auto read = try_parse_day(text);
    if (!read) return false;
    day_ = *read;
    text.copy(day_text_, sizeof day_text_);
  }
  day = day_;
  at += sizeof day_text_;
  return true;
}

/// The cell at `at`, which then stands at the end of it.
bool PlainSessions::take(const CellForm& form, const char*& at, PlainSession& session) {
  if (form.is_number) {
    if (is_cell_end(*at)) return true;  // not recorded
    double number = 0;
    if (!plain_number(at, number)) return false;
    if (number > form.high || number < form.low || (form.low_is_open && number <= form.low)) return false;
    if (form.column == minutes) {
      session.minutes = number;
    } else if (form.column == rpe) {
      session.rpe = number;
    } else {
      session.tonnage_kg = number;
    }
    return true;
  }
  if (form.column == date) return take_day(at, session.date);
  const char* const begin = at;
  if (form.column == athlete) {
    while (k_code_characters[static_cast<unsigned char>(*at)]) ++at;
    const auto size = static_cast<std::size_t>(at - begin);
    session.athlete = {begin, size};
    return size >= 1 && size <= 64;
  }
  while (!is_cell_end(*at)) ++at;
  const std::string_view cell(begin, static_cast<std::size_t>(at - begin));
  switch (form.column) {
    case part:
      return cell.empty() || (cell.size() == 1 && cell[0] >= '1' && cell[0] <= '9');
    case kind: {
      const auto known = from_word<DayKind>(cell);
      return cell.empty() || (known && *known != DayKind::rest);
    }
    default:  // a note
      return is_plain_text(cell);
  }
}

}  // namespace steelyard::ingest
