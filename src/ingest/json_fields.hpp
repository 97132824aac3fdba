#pragma once
/// One line of JSON lines as names and texts. The only view of JSON that the rest of the room has.

#include <string>
#include <string_view>
#include <vector>

#include "steelyard/base/result.hpp"

namespace steelyard::ingest {

struct JsonField {
  std::string name;
  std::string text;  ///< of a number as written; of a list its elements with blanks between them; empty = null
  bool is_list = false;
};

/// domain  one flat object: numbers, texts, null, and lists of numbers and texts; no name twice
/// errors  bad_data, where = name of the field, or the column (from 1) at which the syntax breaks
/// source  RFC 8259
[[nodiscard]] Result<std::vector<JsonField>> parse_json_object(std::string_view line);

}  // namespace steelyard::ingest
