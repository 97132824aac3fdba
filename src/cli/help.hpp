#pragma once

/// What the program says about itself. Help, manual and completions are made from the same table of commands.

#include <string>
#include <string_view>
#include <vector>

#include "cli/command.hpp"

namespace steelyard::cli {

/// Behind "steelyard".
inline constexpr std::string_view k_purpose = "weighs what was trained against what can be trained today";
inline constexpr std::string_view k_where_options_come_from =
    "Each option is also read from the environment (STEELYARD_DATA ..) and data, models, units, quiet and\n"
    "[user] athlete from the settings file; the command line comes first, then the environment.";

struct OptionLine {
  std::string name;   ///< without dashes
  std::string value;  ///< what kind of value it takes, such as FILE or kg|lb; empty = none
  std::string shown;  ///< "--data FILE"
  std::string meaning;
};
[[nodiscard]] std::vector<OptionLine> option_table(const po::options_description& options);

[[nodiscard]] std::string program_help();
[[nodiscard]] std::string command_help(const Command& command);
[[nodiscard]] std::string version_text(const Result<const Models*>& models);

}  // namespace steelyard::cli
