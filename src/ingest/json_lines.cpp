#include "ingest/json_lines.hpp"

#include <fmt/core.h>

#include <algorithm>

#include "ingest/json_fields.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/cells.hpp"

namespace steelyard::ingest {
namespace {

Error bad(std::string what, std::string_view where) {
  return {Errc::bad_data, std::move(what), std::string(where)};
}

std::optional<RecordKind> kind_of_entry(const std::vector<JsonField>& fields, std::vector<Error>& errors) {
  const auto words = entry_words();
  const auto entry = std::find_if(fields.begin(), fields.end(), [](const JsonField& f) { return f.name == "entry"; });
  if (entry == fields.end()) {
    std::string allowed;
    for (const auto w : words) allowed += allowed.empty() ? std::string(w) : fmt::format(", {}", w);
    errors.push_back(bad(fmt::format("this field is missing; allowed: {}", allowed), "entry"));
    return std::nullopt;
  }
  const auto found = std::find(words.begin(), words.end(), entry->text);
  if (found == words.end()) {
    errors.push_back(bad(not_a_word(entry->text, "a kind of entry", words), "entry"));
    return std::nullopt;
  }
  return static_cast<RecordKind>(found - words.begin());
}

}  // namespace

std::optional<Record> parse_json_record(std::string_view line, RowParser& parser, std::vector<Error>& errors) {
  errors.clear();
  auto fields = parse_json_object(line);
  if (!fields) {
    errors.push_back(std::move(fields).error());
    return std::nullopt;
  }
  const auto kind = kind_of_entry(*fields, errors);
  if (!kind) return std::nullopt;
  const auto columns = columns_of(*kind);
  std::vector<std::string_view> cells(columns.size());
  for (const JsonField& field : *fields) {
    if (field.name == "entry") continue;
    const auto at = find_column(*kind, field.name);
    if (!at) {
      errors.push_back(bad(unknown_column(*kind, field.name, "field"), field.name));
    } else if (field.is_list && !columns[*at].is_list) {
      errors.push_back(bad("an array is not allowed here; allowed: one value", field.name));
    } else {
      cells[*at] = field.text;
    }
  }
  if (!errors.empty()) return std::nullopt;
  auto record = parser.parse(*kind, cells);
  if (!record) errors = parser.errors();
  return record;
}

}  // namespace steelyard::ingest
