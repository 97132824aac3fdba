#include "ingest/plain_sessions.hpp"

#include <array>
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

/// Digits, and at most one point between them, up to a comma or the end. Fifteen digits and a power of ten are exact in
/// a double, so that one division rounds as it should.
std::optional<double> plain_number(const char*& at, const char* end) {
  constexpr std::ptrdiff_t k_most = 15;
  constexpr std::array<double, k_most> k_power{1,   1e1, 1e2,  1e3,  1e4,  1e5,  1e6, 1e7,
                                               1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14};
  const auto is_digit = [](char c) { return c >= '0' && c <= '9'; };
  const char* const begin = at;
  std::uint64_t digits = 0;
  for (; at != end && is_digit(*at); ++at) digits = 10 * digits + static_cast<std::uint64_t>(*at - '0');
  if (at == begin) return std::nullopt;
  std::ptrdiff_t decimals = 0;
  if (at != end && *at == '.') {
    const char* const point = at++;
    for (; at != end && is_digit(*at); ++at) digits = 10 * digits + static_cast<std::uint64_t>(*at - '0');
    decimals = at - point - 1;
    if (decimals == 0) return std::nullopt;
  }
  if (at - begin > k_most || (at != end && *at != ',')) return std::nullopt;
  const auto whole = static_cast<double>(static_cast<std::int64_t>(digits));
  return decimals == 0 ? whole : whole / k_power[static_cast<std::size_t>(decimals)];
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

std::optional<PlainSession> PlainSessions::read(std::string_view line) {
  if (line.ends_with('\n')) line.remove_suffix(1);
  if (line.ends_with('\r')) line.remove_suffix(1);
  PlainSession session;
  const char* at = line.data();
  const char* const end = at + line.size();
  const CellForm* const last = &cells_.back();
  for (const CellForm& form : cells_) {
    if (!take(form, at, end, session)) return std::nullopt;
    if ((at == end) != (&form == last)) return std::nullopt;  // more or fewer cells than the header
    ++at;
  }
  return session;
}

bool PlainSessions::take_day(std::string_view cell, Day& day) {
  if (cell.size() != sizeof day_text_) return false;
  if (std::memcmp(cell.data(), day_text_, sizeof day_text_) != 0) {
    const auto read = try_parse_day(cell);
    if (!read) return false;
    day_ = *read;
    std::memcpy(day_text_, cell.data(), sizeof day_text_);
  }
  day = day_;
  return true;
}

/// The cell at `at`, which then stands at the comma behind it or at the end.
bool PlainSessions::take(const CellForm& form, const char*& at, const char* end, PlainSession& session) {
  if (form.is_number) {
    if (at == end || *at == ',') return true;  // not recorded
    const auto number = plain_number(at, end);
    if (!number || *number > form.high || *number < form.low || (form.low_is_open && *number <= form.low)) return false;
    if (form.column == minutes) {
      session.minutes = number;
    } else if (form.column == rpe) {
      session.rpe = number;
    } else {
      session.tonnage_kg = number;
    }
    return true;
  }
  const char* const begin = at;
  if (form.column == athlete) {
    while (at != end && k_code_characters[static_cast<unsigned char>(*at)]) ++at;
    const auto size = static_cast<std::size_t>(at - begin);
    session.athlete = {begin, size};
    return size >= 1 && size <= 64 && (at == end || *at == ',');
  }
  while (at != end && *at != ',') ++at;
  const std::string_view cell(begin, static_cast<std::size_t>(at - begin));
  switch (form.column) {
    case date:
      return take_day(cell, session.date);
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
