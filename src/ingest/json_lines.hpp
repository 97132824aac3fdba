#pragma once
/// A line of JSON lines to a record.

#include <optional>
#include <string_view>
#include <vector>

#include "ingest/row_parser.hpp"

namespace steelyard::ingest {

/// errors  none = something is wrong; then `errors` holds why, where = name of the field, or the column of broken
///         syntax
[[nodiscard]] std::optional<Record> parse_json_record(std::string_view line, RowParser& parser,
                                                      std::vector<Error>& errors);

}  // namespace steelyard::ingest
