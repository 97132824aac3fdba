#include "ingest/kinds.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <string>

#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"

namespace steelyard::ingest {
namespace {

using Table = std::array<std::vector<KnownColumn>, k_record_kinds>;

struct ColumnCollector {
  std::vector<KnownColumn>& columns;

  template <class T>
  void operator()(const Column& column, const T&) {
    constexpr bool is_list = std::is_same_v<T, WeekdaySet> || std::is_same_v<T, std::vector<double>> ||
                             std::is_same_v<T, std::vector<std::string>> ||
                             std::is_same_v<T, std::vector<SoreRegion>> || std::is_same_v<T, std::vector<PainEntry>>;
    columns.push_back({column, is_list});
  }
};

template <class R>
std::vector<KnownColumn> collect() {
  std::vector<KnownColumn> columns;
  const R row{};
  visit_fields(ColumnCollector{columns}, row);
  return columns;
}

template <std::size_t... I>
Table make_table(std::index_sequence<I...>) {
  return {collect<std::variant_alternative_t<I, Record>>()...};
}

const Table& table() {
  static const Table columns = make_table(std::make_index_sequence<k_record_kinds>{});
  return columns;
}

bool contains(std::span<const std::string_view> header, std::string_view name) {
  return std::find(header.begin(), header.end(), name) != header.end();
}

std::vector<std::string_view> names_of(RecordKind kind) {
  std::vector<std::string_view> names;
  for (const auto& known : columns_of(kind)) names.push_back(known.column.name);
  return names;
}

std::string joined(std::span<const std::string_view> names) {
  return join_words(std::vector<std::string>(names.begin(), names.end()));
}

/// Required columns that the header lacks. A period is for an athlete or for a group.
std::vector<std::string_view> lacking(RecordKind kind, std::span<const std::string_view> header) {
  std::vector<std::string_view> names;
  if (kind == RecordKind::periods && !contains(header, "athlete") && !contains(header, "group")) {
    names.emplace_back("athlete");
  }
  for (const auto& known : columns_of(kind)) {
    if (known.column.role != Role::optional && !contains(header, known.column.name)) names.push_back(known.column.name);
  }
  return names;
}

std::vector<std::string_view> unknown_in(RecordKind kind, std::span<const std::string_view> header) {
  std::vector<std::string_view> names;
  for (const auto name : header) {
    if (!find_column(kind, name)) names.push_back(name);
  }
  return names;
}

RecordKind kind_at(int i) {
  return static_cast<RecordKind>(i);
}

/// The kind with the most known columns; a misspelt one counts half, a required one that is lacking counts against it.
RecordKind likeliest_kind(std::span<const std::string_view> header) {
  RecordKind best = RecordKind::athletes;
  int most = -1000;
  for (int i = 0; i < k_record_kinds; ++i) {
    const auto names = names_of(kind_at(i));
    int score = -static_cast<int>(lacking(kind_at(i), header).size());
    for (const auto name : header) {
      if (contains(names, name)) {
        score += 2;
      } else if (nearest_word(name, names)) {
        score += 1;
      }
    }
    if (score > most) {
      most = score;
      best = kind_at(i);
    }
  }
  return best;
}

auto refuse(std::string what, std::string_view column) {
  return fail(Errc::bad_data, std::move(what), std::string(column));
}

}  // namespace

std::span<const KnownColumn> columns_of(RecordKind kind) {
  return table().at(static_cast<std::size_t>(kind));
}

std::optional<std::size_t> find_column(RecordKind kind, std::string_view name) {
  const auto columns = columns_of(kind);
  for (std::size_t i = 0; i < columns.size(); ++i) {
    if (columns[i].column.name == name) return i;
  }
  return std::nullopt;
}

std::string range_of(const Column& column, bool whole) {
  const std::string unit = column.unit.empty() ? "" : fmt::format(" {}", column.unit);
  const auto low = format_number(column.low);
  const auto high = format_number(column.high);
  if (whole) return fmt::format("whole numbers from {} to {}{}", low, high, unit);
  if (column.low_is_open) return fmt::format("more than {}, up to {}{}", low, high, unit);
  return fmt::format("{} to {}{}", low, high, unit);
}

std::string unknown_column(RecordKind kind, std::string_view name, std::string_view noun) {
  const auto names = names_of(kind);
  std::string text = fmt::format("{} is not a {} of {}; allowed: {}", in_quotes(name), noun, word(kind), joined(names));
  if (const auto nearest = nearest_word(name, names)) text += fmt::format("; did you mean '{}'?", *nearest);
  return text;
}

Result<RecordKind> detect_kind(std::span<const std::string_view> header) {
  for (std::size_t i = 0; i < header.size(); ++i) {
    if (header[i].empty()) {
      return refuse(fmt::format("column {} has no name; give it one or take it out", i + 1), {});
    }
    if (contains(header.first(i), header[i])) {
      return refuse(fmt::format("column {} is there twice; take one out", in_quotes(header[i])), header[i]);
    }
  }
  if (header.size() == 1 && header[0].find_first_of(";\t") != std::string_view::npos) {
    return refuse("the columns are not separated by commas; allowed: commas; save the file as comma-separated values",
                  {});
  }
  std::vector<std::string> fitting;
  RecordKind found = RecordKind::athletes;
  for (int i = 0; i < k_record_kinds; ++i) {
    if (!lacking(kind_at(i), header).empty() || !unknown_in(kind_at(i), header).empty()) continue;
    found = kind_at(i);
    fitting.emplace_back(word(found));
  }
  if (fitting.size() == 1) return found;
  if (fitting.size() > 1) {
    return refuse(fmt::format("the columns {} fit {}; add a column that only one of them has, even an empty one",
                              joined(header), join_words(fitting)),
                  {});
  }
  const RecordKind likeliest = likeliest_kind(header);
  if (const auto unknown = unknown_in(likeliest, header); !unknown.empty()) {
    return refuse(unknown_column(likeliest, unknown.front(), "column"), unknown.front());
  }
  return refuse(fmt::format("the columns {} fit no kind of file; a file of {} also needs {}", joined(header),
                            word(likeliest), joined(lacking(likeliest, header))),
                {});
}

}  // namespace steelyard::ingest
