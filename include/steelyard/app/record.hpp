#pragma once
/// What a person enters by command instead of by file: the same rows, checked in the same way.

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "steelyard/app/context.hpp"
#include "steelyard/ingest/shorthand.hpp"

namespace steelyard::app {

/// A column of a row and what was typed for it.
using ColumnText = std::pair<std::string, std::string>;

/// A row of that kind from what was typed; columns that are not named stay blank, or as they are in `before`.
/// errors  bad_data with where = column
[[nodiscard]] Result<Record> row_of(Context& context, RecordKind kind, std::span<const ColumnText> typed,
                                    const std::optional<Record>& before = std::nullopt);

/// The columns of that kind, in the order of files.
[[nodiscard]] std::vector<std::string_view> columns_of(RecordKind kind);

/// Stores rows as one entry of that source and asks about what is not believable; sets without a part are those of the
/// session beside them, and wait with it if the day has another one.   returns  number of new questions
[[nodiscard]] Result<std::size_t> store_rows(Context& context, std::string_view source, std::span<const Record> rows);

/// errors  usage (the athlete is there already), bad_data
[[nodiscard]] Result<Athlete> add_athlete(Context& context, const std::string& code, std::span<const ColumnText> typed);
/// Changes the named columns. errors  no_input, bad_data
[[nodiscard]] Result<Athlete> set_athlete(Context& context, const std::string& code, std::span<const ColumnText> typed);

[[nodiscard]] Result<TrainingMax> set_max(Context& context, const Athlete& athlete, std::string_view lift,
                                          std::string_view weight, std::optional<Unit> unit, Day from);

[[nodiscard]] Result<DaysOff> set_days_off(Context& context, const Athlete& athlete, Day from, Day to,
                                           std::string_view reason);

/// Takes the last entry back. none = there is none
/// `only_of`: the athlete whom alone it may be about. errors  not_allowed (it is about somebody else), no_input
[[nodiscard]] Result<std::optional<store::UndoneEntry>> undo(Context& context,
                                                             const std::optional<std::string>& only_of = std::nullopt);

// ------------------------------------------------------------------------------------------ sessions
/// What a line of gym shorthand was understood as. Bare weights are in `units`, else in the athlete's unit.
[[nodiscard]] Result<ingest::ParsedLog> understand(const Context& context, const Athlete& athlete, Day day,
                                                   std::string_view text, std::optional<Unit> units);

struct Logged {
  std::size_t questions = 0;
  bool replaced = false;  ///< took the place of what was stored for that part
};
/// `part`: which session of the day; none = the only one. errors  usage (the day has a different session already and
/// no part was named)
[[nodiscard]] Result<Logged> log_session(Context& context, ingest::ParsedLog parsed, std::optional<int> part);

}  // namespace steelyard::app
