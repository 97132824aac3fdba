#include "steelyard/domain/cells.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <charconv>

#include "steelyard/base/text.hpp"
#include "steelyard/domain/fields.hpp"
#include "steelyard/domain/vocabulary.hpp"

namespace steelyard {
namespace {

using namespace std::string_view_literals;

constexpr std::array k_weekdays{"mon"sv, "tue"sv, "wed"sv, "thu"sv, "fri"sv, "sat"sv, "sun"sv};
constexpr std::array<std::string_view, k_record_kinds> k_entries{"athlete", "max", "plan",  "period", "day-off",
                                                                 "session", "set", "check", "bar",    "clearance"};

void add_word(std::string& text, std::string_view word) {
  if (!text.empty()) text += ' ';
  text += word;
}

auto refuse(std::string what) {
  return fail(Errc::bad_data, std::move(what));
}

/// A level inside [low, high].
std::optional<double> parse_level(std::string_view text, double low, double high) {
  const auto level = parse_number(text);
  return level && *level >= low && *level <= high ? level : std::nullopt;
}

}  // namespace

std::string not_a_word(std::string_view value, std::string_view what, std::span<const std::string_view> allowed) {
  std::string text = fmt::format("{} is not {}; allowed: ", in_quotes(value), what);
  for (std::size_t i = 0; i < allowed.size(); ++i) {
    if (i > 0) text += ", ";
    text += allowed[i];
  }
  if (const auto nearest = nearest_word(value, allowed)) text += fmt::format("; did you mean '{}'?", *nearest);
  return text;
}

std::string print_weekdays(WeekdaySet days) {
  std::string text;
  for (int i = 0; i < 7; ++i) {
    if (days.has(i)) add_word(text, weekday_code(i));
  }
  return text;
}

Result<WeekdaySet> parse_weekdays(std::string_view cell) {
  WeekdaySet days;
  for (const auto word : split_words(cell)) {
    const auto index = parse_weekday(word);
    if (!index) return refuse(not_a_word(word, "a weekday", k_weekdays));
    days.add(*index);
  }
  return days;
}

std::string print_sore_regions(std::span<const SoreRegion> regions) {
  std::string text;
  for (const auto& r : regions) add_word(text, fmt::format("{}:{}", r.region, format_number(r.level)));
  return text;
}

Result<std::vector<SoreRegion>> parse_sore_regions(std::string_view cell) {
  std::vector<SoreRegion> regions;
  for (const auto word : split_words(cell)) {
    const auto parts = split(word, ':');
    if (parts.size() != 2) {
      return refuse(fmt::format("{} is not a sore region; allowed: REGION:LEVEL, such as quads:4", in_quotes(word)));
    }
    const auto allowed = sore_regions();
    const auto sited = split_side(parts[0]);
    if (std::find(allowed.begin(), allowed.end(), sited.site) == allowed.end()) {
      return refuse(not_a_word(sited.site, "a region", allowed));
    }
    const auto level = parse_level(parts[1], 1, 7);
    if (!level) {
      return refuse(fmt::format("{} is not a level of soreness; allowed: 1 to 7, 7 = worst", in_quotes(parts[1])));
    }
    if (std::any_of(regions.begin(), regions.end(), [&](const SoreRegion& r) { return r.region == parts[0]; })) {
      return refuse(fmt::format("{} is there twice; allowed: each region once", in_quotes(parts[0])));
    }
    regions.push_back({std::string(parts[0]), *level});
  }
  return regions;
}

std::string print_pain(std::span<const PainEntry> pain) {
  std::string text;
  for (const auto& p : pain) add_word(text, fmt::format("{}:{}:{}", p.site, format_number(p.level), word(p.kind)));
  return text;
}

Result<std::vector<PainEntry>> parse_pain(std::string_view cell) {
  std::vector<PainEntry> pain;
  for (const auto entry : split_words(cell)) {
    const auto parts = split(entry, ':');
    if (parts.size() < 2 || parts.size() > 3) {
      return refuse(
          fmt::format("{} is not a pain; allowed: SITE:LEVEL:KIND, such as knee-right:5:sharp", in_quotes(entry)));
    }
    const auto sited = split_side(parts[0]);
    const auto sites = pain_sites();
    if (std::find(sites.begin(), sites.end(), sited.site) == sites.end()) {
      return refuse(not_a_word(sited.site, "a site", sites));
    }
    const auto level = parse_level(parts[1], 0, 10);
    if (!level)
      return refuse(fmt::format("{} is not a level of pain; allowed: 0 to 10, 0 = gone", in_quotes(parts[1])));
    std::optional<PainKind> kind;
    if (parts.size() == 3) {
      kind = from_word<PainKind>(parts[2]);
      if (!kind) return refuse(not_a_word(parts[2], "a kind of pain", words_of<PainKind>()));
    } else if (*level > 0) {
      return refuse(fmt::format("{} lacks its kind; allowed: SITE:LEVEL:KIND, such as {}:{}:{}", in_quotes(entry),
                                parts[0], parts[1], word(PainKind::dull)));
    }
    if (std::any_of(pain.begin(), pain.end(), [&](const PainEntry& p) { return p.site == parts[0]; })) {
      return refuse(fmt::format("{} is there twice; allowed: each site once", in_quotes(parts[0])));
    }
    pain.push_back({std::string(parts[0]), *level, kind.value_or(PainKind::dull)});
  }
  return pain;
}

std::string print_list(std::span<const std::string> words) {
  std::string text;
  for (const auto& w : words) add_word(text, w);
  return text;
}

Result<std::vector<std::string>> parse_list(std::string_view cell, std::span<const std::string_view> allowed,
                                            std::string_view what) {
  std::vector<std::string> words;
  for (const auto w : split_words(cell)) {
    if (std::find(allowed.begin(), allowed.end(), w) == allowed.end()) {
      return refuse(not_a_word(w, fmt::format("a {}", what), allowed));
    }
    if (std::find(words.begin(), words.end(), w) == words.end()) words.emplace_back(w);
  }
  return words;
}

std::string print_numbers(std::span<const double> numbers) {
  std::string text;
  for (const double n : numbers) add_word(text, format_number(n));
  return text;
}

Result<std::vector<double>> parse_numbers(std::string_view cell, double low, double high) {
  std::vector<double> numbers;
  for (const auto w : split_words(cell)) {
    const auto number = parse_level(w, low, high);
    if (!number) {
      return refuse(fmt::format("{} is not allowed here; allowed: numbers from {} to {}, separated by blanks",
                                in_quotes(w), format_number(low), format_number(high)));
    }
    numbers.push_back(*number);
  }
  return numbers;
}

double to_kg(double value, Unit unit) {
  return unit == Unit::lb ? value * k_kg_per_lb : value;
}

std::string print_weight(double kg, Unit unit) {
  if (unit == Unit::kg || kg == 0) return format_number(kg);
  const double pounds = kg / k_kg_per_lb;
  std::array<char, 64> buffer{};
  for (int decimals = 0; decimals <= 17; ++decimals) {
    const auto end =
        std::to_chars(buffer.data(), buffer.data() + buffer.size(), pounds, std::chars_format::fixed, decimals);
    if (end.ec != std::errc{}) break;  // more digits than a weight can have
    const std::string_view text(buffer.data(), static_cast<std::size_t>(end.ptr - buffer.data()));
    const auto read = parse_number(text);
    if (read && to_kg(*read, Unit::lb) == kg) return std::string(text);
  }
  return format_number(pounds);
}

Unit exact_unit(double kg, Unit wanted) {
  if (wanted == Unit::kg) return wanted;
  const auto read = parse_number(print_weight(kg, wanted));
  return read && to_kg(*read, wanted) == kg ? wanted : Unit::kg;
}

namespace {

/// Turns each member into its cell. The unit cell comes from `unit`, which may differ from the member (see cells_of).
class CellPrinter {
 public:
  CellPrinter(Unit weights, std::optional<Unit> unit) : weights_(weights), unit_(unit) {}

  void operator()(const Column& column, const std::string& value) { add(column, value); }
  void operator()(const Column& column, Day value) { add(column, day_text(column, value)); }
  void operator()(const Column& column, double value) {
    add(column, column.form == Form::weight ? print_weight(value, weights_) : format_number(value), true);
  }
  void operator()(const Column& column, int value) { add(column, fmt::format("{}", value), true); }
  void operator()(const Column& column, WeekdaySet value) { add(column, print_weekdays(value)); }
  void operator()(const Column& column, const std::vector<double>& value) { add(column, print_numbers(value)); }
  void operator()(const Column& column, const std::vector<std::string>& value) { add(column, print_list(value)); }
  void operator()(const Column& column, const std::vector<SoreRegion>& value) {
    add(column, print_sore_regions(value));
  }
  void operator()(const Column& column, const std::vector<PainEntry>& value) { add(column, print_pain(value)); }
  void operator()(const Column& column, const std::optional<Unit>& value) {
    const auto& shown = column.name == "unit" ? unit_ : value;
    add(column, shown ? std::string(word(*shown)) : std::string{});
  }
  template <class T>
  void operator()(const Column& column, const std::optional<T>& value) {
    if (value) {
      (*this)(column, *value);
    } else {
      add(column, {});
    }
  }
  template <class E>
  requires std::is_enum_v<E>
  void operator()(const Column& column, E value) { add(column, std::string(word(value))); }

  std::vector<Cell> cells;

 private:
  static std::string day_text(const Column& column, Day day) {
    return column.form == Form::month ? format_month(day) : format_day(day);
  }
  void add(const Column& column, std::string text, bool is_number = false) {
    cells.push_back({column.name, std::move(text), is_number});
  }

  Unit weights_;
  std::optional<Unit> unit_;
};

std::optional<double> weight_of(const SetRow& row) {
  return row.weight_kg;
}
std::optional<double> weight_of(const TrainingMax& row) {
  return row.training_max_kg;
}

CellPrinter printer_for(const auto& row, std::optional<Unit> bare) {
  if constexpr (requires { row.unit; }) {
    const auto weight = weight_of(row);
    if (!weight) return {Unit::kg, row.unit};
    const Unit wanted = row.unit ? *row.unit : bare.value_or(Unit::kg);
    const Unit shown = exact_unit(*weight, wanted);
    const bool says_so = row.unit || !bare || shown != *bare;
    return {shown, says_so ? std::optional(shown) : std::nullopt};
  } else {
    return {bare.value_or(Unit::kg), std::nullopt};
  }
}

void add_json_string(std::string& out, std::string_view text) {
  out += '"';
  for (const char c : text) {
    if (c == '"' || c == '\\') {
      out += '\\';
      out += c;
    } else if (static_cast<unsigned char>(c) < 0x20) {
      out += fmt::format("\\u{:04x}", static_cast<unsigned>(static_cast<unsigned char>(c)));
    } else {
      out += c;
    }
  }
  out += '"';
}

}  // namespace

std::vector<Cell> cells_of(const Record& record, std::optional<Unit> bare) {
  return std::visit(
      [&](const auto& row) {
        CellPrinter printer = printer_for(row, bare);
        visit_fields(printer, row);
        return std::move(printer.cells);
      },
      record);
}

std::span<const std::string_view> entry_words() {
  return k_entries;
}
std::string_view entry_word(RecordKind kind) {
  return k_entries.at(static_cast<std::size_t>(kind));
}

std::string print_json_line(const Record& record) {
  std::string out = R"({"entry":)";
  add_json_string(out, entry_word(kind_of(record)));
  for (const auto& cell : cells_of(record, std::nullopt)) {
    if (cell.text.empty()) continue;
    out += ',';
    add_json_string(out, cell.column);
    out += ':';
    if (cell.is_number) {
      out += cell.text;
    } else {
      add_json_string(out, cell.text);
    }
  }
  return out + '}';
}

}  // namespace steelyard
