#pragma once
/// The kinds of row as tables of columns, and the kind that a header stands for.

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/base/result.hpp"
#include "steelyard/domain/fields.hpp"
#include "steelyard/domain/records.hpp"

namespace steelyard::ingest {

struct KnownColumn {
  Column column;
  bool is_list = false;  ///< several values separated by blanks
};

/// In the order in which visit_fields visits them.
[[nodiscard]] std::span<const KnownColumn> columns_of(RecordKind kind);
[[nodiscard]] std::optional<std::size_t> find_column(RecordKind kind, std::string_view name);

/// "1 to 7", "more than 0, up to 1440 min", "whole numbers from 1 to 50"
[[nodiscard]] std::string range_of(const Column& column, bool whole);

/// "'x' is not a column of sets; allowed: ...; did you mean 'y'?"
[[nodiscard]] std::string unknown_column(RecordKind kind, std::string_view name, std::string_view noun);

/// A kind fits if its required columns are all there and nothing else than its columns is.
/// errors  bad_data with where = column name or empty: a column twice or unknown, no kind or two kinds fit
[[nodiscard]] Result<RecordKind> detect_kind(std::span<const std::string_view> header);

}  // namespace steelyard::ingest
