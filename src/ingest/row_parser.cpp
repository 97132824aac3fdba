#include "ingest/row_parser.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "steelyard/base/text.hpp"
#include "steelyard/domain/cells.hpp"
#include "steelyard/domain/vocabulary.hpp"

namespace steelyard::ingest {
namespace {

constexpr std::string_view k_code_allowed = "1 to 64 letters, digits, '-', '_' and '.'";
constexpr std::string_view k_lift_allowed = "1 to 64 letters a-z, digits and '-', such as split-squat";
constexpr std::string_view k_zone_allowed = "a name of the time-zone database, such as Europe/Berlin";
constexpr std::string_view k_day_allowed = "YYYY-MM-DD, a day that exists, such as 2026-11-23";

std::string refusal(std::string_view value, std::string_view allowed, std::string_view remedy = {}) {
  auto text = fmt::format("{} is not allowed here; allowed: {}", in_quotes(value), allowed);
  if (!remedy.empty()) text += fmt::format("; {}", remedy);
  return text;
}

/// "75 min", "100kg"
bool is_number_with_more(std::string_view text) {
  const auto digits = text.starts_with('-') || text.starts_with('.') ? text.substr(1) : text;
  const bool starts_with_digit = !digits.empty() && digits.front() >= '0' && digits.front() <= '9';
  return starts_with_digit && text.find_first_not_of("0123456789.eE-") != std::string_view::npos;
}

std::string_view remedy_for(const Column& column, std::string_view text) {
  if (text.find(',') != std::string_view::npos) {
    return "write decimals with a point, such as 7.5, and nothing between thousands";
  }
  if (text.starts_with('+')) return "leave the plus sign out";
  if (is_number_with_more(text)) {
    if (column.form == Form::weight) return "write the number alone, and its unit (kg or lb) into the column unit";
    return "write the number alone";
  }
  return column.role == Role::optional ? "correct it, or leave it blank if it was not recorded" : "correct it";
}

std::string word_list(std::span<const std::string_view> words) {
  std::string text;
  for (const auto w : words) text += text.empty() ? std::string(w) : fmt::format(", {}", w);
  return text;
}

/// A name like Area/City that can be no path out of the folder of the zone database.
bool is_zone_name(std::string_view text) {
  const auto is_part = [](std::string_view part) {
    return !part.empty() && std::all_of(part.begin(), part.end(), [](char c) {
      return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_' || c == '-' ||
             c == '+';
    });
  };
  const auto parts = split(text, '/');
  return text.size() <= 64 && std::all_of(parts.begin(), parts.end(), is_part);
}

bool is_control(char c, bool lines_allowed) {
  const auto byte = static_cast<unsigned char>(c);
  if (lines_allowed && (c == '\n' || c == '\r' || c == '\t')) return false;
  return byte < 0x20 || byte == 0x7F;
}

bool is_blank(char c) {
  return c == ' ' || c == '\t';
}

/// trim() for the inner loop, where most cells have nothing to trim.
std::string_view stripped(std::string_view text) {
  while (!text.empty() && is_blank(text.front())) text.remove_prefix(1);
  while (!text.empty() && is_blank(text.back())) text.remove_suffix(1);
  return text;
}

}  // namespace

const KnownAthlete* KnownAthletes::find(std::string_view code) {
  if (const auto kept = known_.find(code); kept != known_.end()) return &kept->second;
  auto found = lookup_ ? lookup_(code) : std::nullopt;
  if (!found && any_athlete_) found = KnownAthlete{};
  return found ? &known_.emplace(std::string(code), *found).first->second : nullptr;
}

/// Visits the fields of one record and fills them from the cells.
template <class R>
class FieldReader {
 public:
  FieldReader(RowParser& parser, std::span<const std::string_view> cells) : parser_(parser), cells_(cells) {}

  void set_unit(std::optional<Unit> unit, bool is_readable) {
    unit_ = unit;
    unit_is_readable_ = is_readable;
  }

  void operator()(const Column& column, std::string& value) {
    const std::string_view raw = cells_[next_];
    const std::string_view text = cell();
    if (text.empty()) return require(column, allowed_text(column));
    switch (column.form) {
      case Form::code:
        return read_code(column, text, value);
      case Form::lift:
        return read_lift(column, text, value);
      case Form::zone:
        if (!is_zone_name(text)) return complain(column, refusal(text, k_zone_allowed));
        value = text;
        return;
      default:
        return read_words(column, column.name == "note" ? raw : text, value);
    }
  }

  void operator()(const Column& column, Day& value) {
    const auto text = cell();
    if (text.empty()) return require(column, k_day_allowed);
    if (column.form == Form::month) return take(column, parse_month(text), value);
    if (text != parser_.day_text_) {
      const auto day = try_parse_day(text);
      if (!day) return complain(column, parse_day(text).error().what);
      parser_.day_ = *day;
      parser_.day_text_ = text;
    }
    value = parser_.day_;
  }

  void operator()(const Column& column, double& value) {
    const auto text = cell();
    if (text.empty()) return require(column, range_of(column, false));
    const Unit unit = column.form == Form::weight ? unit_.value_or(athlete_unit_) : Unit::kg;
    if (column.form == Form::weight && !unit_is_readable_) return;  // the unit's own error says it
    auto number = parse_number(text);
    if (number) *number = to_kg(*number, unit);
    if (!number || *number > column.high || *number < column.low || (column.low_is_open && *number <= column.low)) {
      auto allowed = range_of(column, false);
      if (unit == Unit::lb) allowed += fmt::format(" ({} lb)", format_number(column.high / k_kg_per_lb, 1));
      return complain(column, refusal(text, allowed, remedy_for(column, text)));
    }
    value = *number;
  }

  void operator()(const Column& column, int& value) {
    const auto text = cell();
    if (text.empty()) return require(column, range_of(column, true));
    auto number = parse_int(text);
    if (!number) {
      const auto real = parse_number(text);  // spreadsheets may write 3 as 3.0
      if (real && *real == std::floor(*real) && std::abs(*real) < 1e6) number = static_cast<int>(*real);
    }
    if (!number || *number < column.low || *number > column.high) {
      return complain(column, refusal(text, range_of(column, true), remedy_for(column, text)));
    }
    value = *number;
  }

  void operator()(const Column& column, WeekdaySet& value) { take(column, parse_weekdays(cell()), value); }
  void operator()(const Column& column, std::vector<SoreRegion>& value) {
    take(column, parse_sore_regions(cell()), value);
  }
  void operator()(const Column& column, std::vector<PainEntry>& value) { take(column, parse_pain(cell()), value); }
  void operator()(const Column& column, std::vector<double>& value) {
    take(column, parse_numbers(cell(), column.low, column.high), value);
  }
  void operator()(const Column& column, std::vector<std::string>& value) {
    const bool symptoms = column.form == Form::symptom_list;
    take(column,
         parse_list(cell(), symptoms ? symptom_codes() : share_words(), symptoms ? "symptom" : "part to be shared"),
         value);
  }

  template <class E>
  requires std::is_enum_v<E>
  void operator()(const Column& column, E& value) {
    const auto text = cell();
    if (text.empty()) return require(column, word_list(words_of<E>()));
    const auto found = from_word<E>(text);
    if (!found) return complain(column, not_a_word(text, "allowed here", words_of<E>()));
    value = *found;
  }

  template <class T>
  void operator()(const Column& column, std::optional<T>& value) {
    if (stripped(cells_[next_]).empty()) {
      ++next_;
      return;
    }
    T present{};
    const std::size_t before = parser_.errors_.size();
    (*this)(column, present);
    if (parser_.errors_.size() == before) value = present;
  }

 private:
  std::string_view cell() { return stripped(cells_[next_++]); }

  void complain(const Column& column, std::string what) {
    parser_.errors_.push_back({Errc::bad_data, std::move(what), std::string(column.name)});
  }

  void require(const Column& column, std::string_view allowed) {
    if (column.role == Role::optional) return;
    complain(column, fmt::format("this cell must not be blank; allowed: {}", allowed));
  }

  template <class T>
  void take(const Column& column, Result<T> parsed, T& value) {
    if (!parsed) return complain(column, std::move(parsed).error().what);
    value = *std::move(parsed);
  }

  static std::string_view allowed_text(const Column& column) {
    switch (column.form) {
      case Form::code:
        return k_code_allowed;
      case Form::lift:
        return k_lift_allowed;
      default:
        return "a text";
    }
  }

  void read_code(const Column& column, std::string_view text, std::string& value) {
    if (!is_athlete_code(text)) return complain(column, refusal(text, k_code_allowed));
    if constexpr (!std::is_same_v<R, Athlete>) {
      const KnownAthlete* known = parser_.athletes_.find(text);
      if (known == nullptr) {
        return complain(column, fmt::format("there is no athlete {}; allowed: athletes of the store; add this one with "
                                            "`steelyard athlete add {}`, or correct the code",
                                            in_quotes(text), text));
      }
      athlete_unit_ = known->units.value_or(Unit::kg);
    }
    value = text;
  }

  void read_lift(const Column& column, std::string_view text, std::string& value) {
    value = lift_code(text);
    if (value.empty()) complain(column, refusal(text, k_lift_allowed));
  }

  void read_words(const Column& column, std::string_view text, std::string& value) {
    const bool lines_allowed = column.name == "note";
    if (std::any_of(text.begin(), text.end(), [&](char c) { return is_control(c, lines_allowed); })) {
      return complain(column, refusal(text, "text without control characters", "take them out"));
    }
    value = text;
  }

  RowParser& parser_;
  std::span<const std::string_view> cells_;
  std::size_t next_ = 0;
  std::optional<Unit> unit_;
  bool unit_is_readable_ = true;
  Unit athlete_unit_ = Unit::kg;
};

namespace {

/// What holds between the columns of a row.
struct RowCheck {
  std::vector<Error>& errors;

  void complain(std::string_view column, std::string what) {
    errors.push_back({Errc::bad_data, std::move(what), std::string(column)});
  }
  void check_span(Day from, Day to) {
    if (to >= from) return;
    complain("to", refusal(format_day(to), fmt::format("{} or later, the day in the column from", format_day(from))));
  }

  void operator()(const Period& row) {
    if (row.athlete.empty() == row.group.empty()) {
      complain(row.athlete.empty() ? "athlete" : "group", fmt::format("athlete and group are {}; allowed: one of them",
                                                                      row.athlete.empty() ? "blank" : "both filled"));
    }
    check_span(row.from, row.to);
  }
  void operator()(const DaysOff& row) { check_span(row.from, row.to); }
  void operator()(const SetRow& row) {
    if (!row.missed || *row.missed <= row.reps) return;
    complain("missed", refusal(fmt::format("{}", *row.missed),
                               fmt::format("whole numbers from 0 to {}, the repetitions attempted", row.reps)));
  }
  void operator()(const Session& row) {
    if (row.kind != DayKind::rest) return;
    complain("kind", refusal("rest", "heavy, volume, speed, light, sport, other",
                             "a day of rest has no session; enter it as a day off"));
  }
  void operator()(const PlanRow& row) {
    if (row.kind != DayKind::sport && row.kind != DayKind::other) return;
    complain("kind", refusal(word(row.kind), "heavy, volume, speed, light, rest", "a plan names work with a lift"));
  }
  void operator()(const auto&) {}
};

template <class R>
R read_row(RowParser& parser, std::span<const std::string_view> cells) {
  R row;
  FieldReader<R> reader(parser, cells);
  if constexpr (requires { row.unit; }) {  // the unit may stand behind the weight that it belongs to
    static const std::size_t at = *find_column(static_cast<RecordKind>(Record(R{}).index()), "unit");
    const auto text = stripped(cells[at]);
    const auto unit = from_word<Unit>(text);
    reader.set_unit(unit, unit || text.empty());
  }
  visit_fields(reader, row);
  return row;
}

}  // namespace

std::optional<Record> RowParser::parse(RecordKind kind, std::span<const std::string_view> cells) {
  errors_.clear();
  const auto read = [&]<class R>(R row) -> std::optional<Record> {
    if (errors_.empty()) RowCheck{errors_}(row);
    if (!errors_.empty()) return std::nullopt;
    return std::optional<Record>(std::in_place, std::move(row));
  };
  switch (kind) {
    case RecordKind::athletes:
      return read(read_row<Athlete>(*this, cells));
    case RecordKind::maxes:
      return read(read_row<TrainingMax>(*this, cells));
    case RecordKind::plan:
      return read(read_row<PlanRow>(*this, cells));
    case RecordKind::periods:
      return read(read_row<Period>(*this, cells));
    case RecordKind::days_off:
      return read(read_row<DaysOff>(*this, cells));
    case RecordKind::sessions:
      return read(read_row<Session>(*this, cells));
    case RecordKind::sets:
      return read(read_row<SetRow>(*this, cells));
    case RecordKind::checks:
      return read(read_row<Check>(*this, cells));
    case RecordKind::bar:
      return read(read_row<BarSpeed>(*this, cells));
    case RecordKind::clearances:
      return read(read_row<Clearance>(*this, cells));
  }
  return std::nullopt;
}

}  // namespace steelyard::ingest
