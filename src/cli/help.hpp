#pragma once

#include <string>

#include "cli/command.hpp"

namespace steelyard::cli {

[[nodiscard]] std::string program_help();
[[nodiscard]] std::string command_help(const Command& command);
[[nodiscard]] std::string version_text();

}  // namespace steelyard::cli
