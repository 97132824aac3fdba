#include "cli/help.hpp"

#include <fmt/core.h>

#include <algorithm>

#include "cli/options.hpp"

namespace steelyard::cli {
namespace {

std::string option_lines(const po::options_description& options) {
  std::vector<std::pair<std::string, std::string>> lines;
  std::size_t width = 0;
  for (const auto& option : options.options()) {
    std::string left = "--" + option->long_name();
    if (option->semantic()->max_tokens() > 0) left += ' ' + option->semantic()->name();
    width = std::max(width, left.size());
    lines.emplace_back(std::move(left), option->description());
  }
  std::string text;
  for (const auto& [left, right] : lines) text += fmt::format("  {:<{}}  {}\n", left, width, right);
  return text;
}

}  // namespace

std::string program_help() {
  std::string text =
      "steelyard weighs what was trained against what can be trained today.\n\n"
      "  steelyard COMMAND [...] [options]\n\nCommands:\n";
  std::size_t width = 0;
  for (const Command& command : commands()) width = std::max(width, command.name.size());
  for (const Command& command : commands()) text += fmt::format("  {:<{}}  {}\n", command.name, width, command.job);
  text += "\nOptions of every command:\n" + option_lines(global_options());
  text +=
      "\nEach option is also read from the environment (STEELYARD_DATA ..) and data, models, units, quiet and\n"
      "[user] athlete from the settings file; the command line comes first, then the environment.\n"
      "'steelyard COMMAND --help' tells more.\n\nExample:\n  steelyard today --athlete hc01\n";
  return text;
}

std::string command_help(const Command& command) {
  std::string text = fmt::format("steelyard {}: {}\n\n  steelyard {}{}{} [options]\n", command.name, command.job,
                                 command.name, command.usage.empty() ? "" : " ", command.usage);
  if (!command.more.empty()) text += fmt::format("\n{}\n", command.more);
  const auto own = options_of(command);
  if (!own.options().empty()) text += "\nOptions:\n" + option_lines(own);
  text +=
      "\nOptions of every command: --data, --models, --config, --athlete, --date, --json, --units, --quiet\n"
      "(see 'steelyard --help').\n";
  return text + fmt::format("\nExample:\n  steelyard {}\n", command.example);
}

std::string version_text() {
  return fmt::format("steelyard {}\n", STEELYARD_VERSION);
}

}  // namespace steelyard::cli
