#pragma once
/// Lines for the journal: "level=info event=listening port=8080". Nothing of a person is ever among the values.

#include <fmt/core.h>

#include <initializer_list>
#include <string>
#include <string_view>
#include <utility>

#include "steelyard/base/result.hpp"

namespace steelyard::serve {

enum class Level { info, warning, error };

using Field = std::pair<std::string_view, std::string>;

/// The line without its end. A value with blanks, quotes or control characters is quoted.
[[nodiscard]] std::string log_line(Level level, std::string_view event, std::initializer_list<Field> fields);

/// Writes the line to standard error, in one piece.
void log(Level level, std::string_view event, std::initializer_list<Field> fields = {});
/// The code and the sentence of an error; places are left out.
void log(std::string_view event, const Error& error);

}  // namespace steelyard::serve
