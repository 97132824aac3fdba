#include "steelyard/ingest/shorthand.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "ingest/kinds.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/cells.hpp"
#include "steelyard/domain/vocabulary.hpp"

namespace steelyard::ingest {
namespace {

using namespace std::string_view_literals;

constexpr std::array k_item_words{"rpe"sv, "heavy"sv, "volume"sv, "speed"sv, "light"sv, "sport"sv, "other"sv};
constexpr std::array k_number_words{"min"sv, "kg"sv, "lb"sv};
constexpr std::array k_tail_words{"miss"sv, "missed"sv};

/// A bare "3x8" is three sets of eight to one lifter and 3 kg for eight to another.
constexpr double k_highest_ambiguous_weight = 10;

bool is_digit(char c) {
  return c >= '0' && c <= '9';
}
bool is_letter(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}
bool is_blank(char c) {
  return c == ' ' || c == '\t' || c == '\n' || c == '\r';
}
bool is_any_of(std::string_view text, std::span<const std::string_view> words) {
  return std::find(words.begin(), words.end(), text) != words.end();
}

std::string on_one_line(std::string_view text) {
  std::string line(text);
  std::replace_if(line.begin(), line.end(), is_blank, ' ');
  return line;
}

const Column& column(RecordKind kind, std::string_view name) {
  return columns_of(kind)[find_column(kind, name).value_or(0)].column;
}

/// Reads a session from left to right; every refusal points at its place.
class ShorthandParser {
 public:
  ShorthandParser(std::string_view text, const ShorthandContext& context) : text_(text), context_(context) {
    log_.session.athlete = context.athlete;
    log_.session.date = context.date;
  }

  Result<ParsedLog> run();

 private:
  [[nodiscard]] auto refuse(std::size_t at, std::string_view message) const {
    const std::string indent(display_width(text_.substr(0, at)), ' ');
    return fail(Errc::bad_data, fmt::format("{}\n  {}\n  {}^", on_one_line(message), on_one_line(text_), indent));
  }

  static std::string suggestion(std::string_view word, std::span<const std::string_view> candidates) {
    const auto nearest = nearest_word(word, candidates);
    return nearest ? fmt::format("; did you mean '{}'?", *nearest) : "";
  }

  [[nodiscard]] bool at_end() const { return at_ >= text_.size(); }
  [[nodiscard]] char peek(std::size_t ahead = 0) const {
    return at_ + ahead < text_.size() ? text_[at_ + ahead] : '\0';
  }
  void skip_blanks() {
    while (!at_end() && is_blank(peek())) ++at_;
  }
  /// The word that begins there, in small letters; empty if none does.
  [[nodiscard]] std::string word_at(std::size_t begin) const {
    const auto is_part = [](char c) { return is_letter(c) || is_digit(c) || c == '-' || c == '_'; };
    std::size_t end = begin;
    while (end < text_.size() && (end == begin ? is_letter(text_[end]) : is_part(text_[end]))) ++end;
    return to_lower(text_.substr(begin, end - begin));
  }
  [[nodiscard]] std::string word_here() const { return word_at(at_); }
  /// "bw", also right before the x of "bwx8".
  [[nodiscard]] bool at_bodyweight() const {
    const std::string word = word_here();
    return word == "bw" || (word.starts_with("bwx") && (word.size() == 3 || is_digit(word[3])));
  }
  bool take_x() {
    if (peek() != 'x' && peek() != 'X') return false;
    ++at_;
    skip_blanks();
    return true;
  }
  /// Takes a unit that is not the beginning of a longer word; "kgx5" ends at the x.
  bool take_unit(std::string_view unit) {
    if (to_lower(text_.substr(at_, unit.size())) != unit) return false;
    const char next = peek(unit.size());
    if (is_letter(next) && next != 'x' && next != 'X') return false;
    at_ += unit.size();
    return true;
  }

  [[nodiscard]] auto unexpected_end_of_item() const {
    const std::string word = word_here();
    if (word == "rpe") {
      return refuse(at_, "write @8 for the RPE of these sets, or a comma before rpe for the whole session's");
    }
    return refuse(at_, fmt::format("a comma or the end is expected here{}", suggestion(word, k_tail_words)));
  }

  [[nodiscard]] auto sets_missing(std::size_t begin) const {
    const std::string_view said = trim(text_.substr(begin, at_ - begin));
    const std::string word = word_here();
    return refuse(at_, fmt::format("sets are expected behind {}, such as {} 3x5{}", in_quotes(said), said,
                                   word.empty() ? suggestion(lift_, k_item_words) : suggestion(word, k_number_words)));
  }

  Result<double> number(const Column& allowed) {
    const std::size_t begin = at_;
    while (is_digit(peek()) || peek() == '.') ++at_;
    const auto value = parse_number(text_.substr(begin, at_ - begin));
    if (!value)
      return refuse(begin, fmt::format("a number is expected here: {}, {}", allowed.name, range_of(allowed, false)));
    if (peek() == ',' && is_digit(peek(1))) {
      return refuse(
          at_,
          fmt::format("is this comma a decimal point or the end of an item? write {}.{}, or a blank behind the comma",
                      text_.substr(begin, at_ - begin), text_.substr(at_ + 1, 1)));
    }
    STEELYARD_TRY(check_range(*value, allowed, begin));
    return *value;
  }
  Result<void> check_range(double value, const Column& allowed, std::size_t at, bool whole = false) {
    if (value >= allowed.low && value <= allowed.high && !(allowed.low_is_open && value <= allowed.low)) return {};
    return refuse(at, fmt::format("{} is not allowed for {}; allowed: {}", format_number(value), allowed.name,
                                  range_of(allowed, whole)));
  }
  Result<int> count(const Column& allowed) {
    const std::size_t begin = at_;
    while (is_digit(peek())) ++at_;
    const auto value = parse_int(text_.substr(begin, at_ - begin));
    if (!value || (peek() == '.' && is_digit(peek(1)))) {
      return refuse(begin, fmt::format("a number is expected here: {}, {}", allowed.name, range_of(allowed, true)));
    }
    STEELYARD_TRY(check_range(*value, allowed, begin, true));
    return *value;
  }

  Result<void> item() {
    if (at_end() || peek() == ',') return refuse(at_, "an item is missing here, such as squat 140 3x5 or 75 min");
    if (peek() == '"') return note();
    if (is_letter(peek()) && !at_bodyweight()) return words();
    if (is_digit(peek()) && word_behind_number() == "min") return minutes();
    if (is_digit(peek()) || is_letter(peek())) return work();
    if (peek() == '@') return refuse(at_, "@ belongs behind the sets, such as 140 3x5 @8");
    return refuse(at_, "an item is expected here, such as squat 140 3x5, 75 min, rpe 7, heavy or \"a note\"");
  }

  Result<void> note() {
    const std::size_t begin = at_ + 1;
    const std::size_t end = text_.find('"', begin);
    if (end == std::string_view::npos) return refuse(at_, "this quote is never closed");
    if (!log_.session.note.empty()) return refuse(at_, "there is a note already; put both between one pair of quotes");
    log_.session.note = trim(text_.substr(begin, end - begin));
    if (log_.session.note.empty()) return refuse(at_, "this note is empty; allowed: some words, or no quotes at all");
    at_ = end + 1;
    return {};
  }

  [[nodiscard]] std::string word_behind_number() const {
    std::size_t end = at_;
    while (end < text_.size() && (is_digit(text_[end]) || text_[end] == '.' || text_[end] == ',')) ++end;
    while (end < text_.size() && is_blank(text_[end])) ++end;
    return word_at(end);
  }
  Result<void> minutes() {
    const std::size_t begin = at_;
    STEELYARD_TRY_ASSIGN(const double value, number(column(RecordKind::sessions, "minutes")));
    if (log_.session.minutes) return refuse(begin, "the minutes of the session are there twice");
    log_.session.minutes = value;
    skip_blanks();
    at_ += 3;
    return {};
  }

  /// An item that begins with words: a lift with its work, the session's RPE or its kind.
  Result<void> words() {
    const std::size_t begin = at_;
    std::vector<std::string> said;
    for (std::string word = word_here(); !word.empty() && !at_bodyweight(); word = word_here()) {
      said.push_back(word);
      at_ += word.size();
      skip_blanks();
    }
    if (said.size() == 1 && said[0] == "rpe") return session_rpe(begin);
    if (at_end() || peek() == ',') return session_kind(begin, said);
    if (!is_digit(peek()) && !at_bodyweight()) {
      return refuse(
          at_, fmt::format("a weight is expected behind {}, such as 140, 315 lb, 70% or bw", in_quotes(said.back())));
    }
    STEELYARD_TRY(lift(begin, said));
    return work();
  }

  Result<void> session_rpe(std::size_t begin) {
    STEELYARD_TRY_ASSIGN(const double value, number(column(RecordKind::sessions, "rpe")));
    if (log_.session.rpe) return refuse(begin, "the RPE of the session is there twice");
    log_.session.rpe = value;
    return {};
  }

  Result<void> session_kind(std::size_t begin, const std::vector<std::string>& said) {
    const auto kind = said.size() == 1 ? from_word<DayKind>(said[0]) : std::nullopt;
    if (kind && *kind != DayKind::rest) {
      if (log_.session.kind) return refuse(begin, "the kind of the session is there twice");
      log_.session.kind = kind;
      return {};
    }
    const std::string text = lift_text(said);
    if (is_any_of(text, context_.lifts)) {
      return refuse(begin, fmt::format("{} has no weight and sets; write such as {} 140 3x5", in_quotes(text), text));
    }
    return refuse(begin,
                  fmt::format("{} alone says nothing; allowed: a lift with weight and sets, or {}{}", in_quotes(text),
                              "heavy, volume, speed, light, sport, other", suggestion(text, k_item_words)));
  }

  static std::string lift_text(const std::vector<std::string>& said) {
    std::string text;
    for (const auto& word : said) text += text.empty() ? word : "-" + word;
    return text;
  }

  Result<void> lift(std::size_t begin, const std::vector<std::string>& said) {
    const std::string code = lift_code(lift_text(said));
    if (code.empty()) return refuse(begin, "the name of the lift is too long; allowed: up to 64 letters");
    if (!is_any_of(code, context_.lifts)) {
      // Three letters are too few to tell a typo from another lift's short name.
      if (code.size() > 3 && nearest_word(code, context_.lifts)) {
        return refuse(begin,
                      fmt::format("{} is not a known lift{}", in_quotes(code), suggestion(code, context_.lifts)));
      }
      if (std::find(log_.new_lifts.begin(), log_.new_lifts.end(), code) == log_.new_lifts.end()) {
        log_.new_lifts.push_back(code);
      }
    }
    lift_ = code;
    return {};
  }

  Result<void> work() {
    if (lift_.empty()) {
      return refuse(at_, fmt::format("a lift is expected in front, such as squat 140 3x5{}",
                                     suggestion(word_behind_number(), k_number_words)));
    }
    do {
      STEELYARD_TRY(group());
      skip_blanks();
    } while (is_digit(peek()) || at_bodyweight());
    return {};
  }

  /// weight sets [ "@" RPE ] [ missed ]
  Result<void> group() {
    SetRow row;
    row.athlete = context_.athlete;
    row.date = context_.date;
    row.lift = lift_;
    const std::size_t begin = at_;
    STEELYARD_TRY_ASSIGN(const std::optional<double> ambiguous, weight(row));
    skip_blanks();
    const Column& sets = column(RecordKind::sets, "sets");
    const Column& reps = column(RecordKind::sets, "reps");
    if (take_x()) {
      STEELYARD_TRY_ASSIGN(row.reps, count(reps));
      skip_blanks();
      if (ambiguous) {
        return refuse(begin,
                      fmt::format("is this {0} {1} for {2}, or {0} sets of {2}? write {0} {1} x{2}, or a weight in "
                                  "front, such as bw {0}x{2}",
                                  *ambiguous, word(context_.units), row.reps));
      }
      if (take_x()) {
        STEELYARD_TRY_ASSIGN(row.sets, count(sets));
      }
    } else if (is_digit(peek())) {
      STEELYARD_TRY_ASSIGN(row.sets, count(sets));
      skip_blanks();
      if (!take_x()) return refuse(at_, "an x is expected here: SETSxREPS, such as 3x5");
      STEELYARD_TRY_ASSIGN(row.reps, count(reps));
    } else {
      return sets_missing(begin);
    }
    STEELYARD_TRY(effort(row));
    return add(std::move(row));
  }

  /// Gives the number back if it could be a number of sets as well.
  Result<std::optional<double>> weight(SetRow& row) {
    if (at_bodyweight()) {
      at_ += 2;
      return std::nullopt;
    }
    const std::size_t begin = at_;
    Column any = column(RecordKind::sets, "weight");
    any.high = 1e6;  // the true limit depends on the unit, which follows
    STEELYARD_TRY_ASSIGN(const double value, number(any));
    skip_blanks();
    if (peek() == '%') {
      ++at_;
      row.percent = value;
      STEELYARD_TRY(check_range(value, column(RecordKind::sets, "percent"), begin));
      return std::nullopt;
    }
    if (take_unit("kg")) {
      row.unit = Unit::kg;
    } else if (take_unit("lbs") || take_unit("lb")) {
      row.unit = Unit::lb;
    }
    row.weight_kg = to_kg(value, row.unit.value_or(context_.units));
    STEELYARD_TRY(check_range(*row.weight_kg, column(RecordKind::sets, "weight"), begin));
    const bool is_ambiguous = !row.unit && value == std::floor(value) && value <= k_highest_ambiguous_weight;
    return is_ambiguous ? std::optional(value) : std::nullopt;
  }

  Result<void> effort(SetRow& row) {
    skip_blanks();
    if (peek() == '@') {
      ++at_;
      skip_blanks();
      if (const auto percent = text_.find('%', at_); percent != std::string_view::npos && is_number(at_, percent)) {
        return refuse(at_, fmt::format("a percent stands in front of the sets, such as {}% 3x5",
                                       text_.substr(at_, percent - at_)));
      }
      STEELYARD_TRY_ASSIGN(row.rpe, number(column(RecordKind::sets, "rpe")));
      skip_blanks();
    }
    if (const std::string word = word_here(); is_any_of(word, k_tail_words)) {
      at_ += word.size();
      skip_blanks();
      const std::size_t begin = at_;
      STEELYARD_TRY_ASSIGN(row.missed, count(column(RecordKind::sets, "missed")));
      if (*row.missed > row.reps) {
        return refuse(begin, fmt::format("{} of {} repetitions cannot be missed", *row.missed, row.reps));
      }
    }
    return {};
  }
  [[nodiscard]] bool is_number(std::size_t begin, std::size_t end) const {
    return end > begin && parse_number(trim(text_.substr(begin, end - begin))).has_value();
  }

  /// Missed repetitions belong to the last of the sets, which then is a row of its own.
  Result<void> add(SetRow&& row) {
    if (row.missed && row.sets > 1) {
      SetRow made = row;
      made.missed.reset();
      --made.sets;
      push(std::move(made));
      row.sets = 1;
    }
    push(std::move(row));
    return {};
  }
  void push(SetRow&& row) {
    row.position = static_cast<int>(log_.sets.size()) + 1;
    log_.sets.push_back(std::move(row));
  }

  std::string_view text_;
  const ShorthandContext& context_;
  std::size_t at_ = 0;
  std::string lift_;  ///< in force
  ParsedLog log_;
};

Result<ParsedLog> ShorthandParser::run() {
  for (;;) {
    skip_blanks();
    STEELYARD_TRY(item());
    skip_blanks();
    if (at_end()) return std::move(log_);
    if (peek() != ',') return unexpected_end_of_item();
    ++at_;
  }
}

}  // namespace

Result<ParsedLog> parse_shorthand(std::string_view text, const ShorthandContext& context) {
  const auto is_control = [](char c) { return (static_cast<unsigned char>(c) < 0x20 && !is_blank(c)) || c == 0x7F; };
  if (!is_plain_utf8(text) || std::any_of(text.begin(), text.end(), is_control)) {
    return fail(Errc::bad_data, "the text is not plain text; allowed: UTF-8 without control characters");
  }
  return ShorthandParser(text, context).run();
}

}  // namespace steelyard::ingest
