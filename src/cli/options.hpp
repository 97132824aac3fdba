#pragma once
/// Arguments, environment and settings file as one set of values: the command line beats the environment, the
/// environment beats the file.

#include <string>
#include <vector>

#include "cli/command.hpp"

namespace steelyard::cli {

/// Options that every command knows.
[[nodiscard]] po::options_description global_options();
/// Options of one command.
[[nodiscard]] po::options_description options_of(const Command& command);

/// The arguments, cut at the command's name.
struct Arguments {
  std::string command;              ///< empty = none was named
  std::vector<std::string> others;  ///< everything else, in order
};
[[nodiscard]] Arguments find_command_word(int argc, const char* const* argv);

struct Values {
  po::variables_map map;
  std::vector<std::string> words;
  Globals globals;
};
/// `command` may be null: then only the global options are known.
/// errors  usage (unknown option with the nearest, missing value), bad_data (settings file), no_input (--config names
///         a file that is not there)
[[nodiscard]] Result<Values> parse_options(const std::vector<std::string>& arguments, const Command* command);

}  // namespace steelyard::cli
