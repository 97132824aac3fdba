#include "cli/help.hpp"

#include <fmt/core.h>

#include <algorithm>

#include "cli/commit.hpp"
#include "cli/options.hpp"
#include "steelyard/app/care.hpp"

namespace steelyard::cli {
namespace {

std::string option_lines(const po::options_description& options) {
  const auto lines = option_table(options);
  std::size_t width = 0;
  for (const OptionLine& line : lines) width = std::max(width, line.shown.size());
  std::string text;
  for (const OptionLine& line : lines) text += fmt::format("  {:<{}}  {}\n", line.shown, width, line.meaning);
  return text;
}

}  // namespace

std::vector<OptionLine> option_table(const po::options_description& options) {
  std::vector<OptionLine> lines;
  for (const auto& option : options.options()) {
    OptionLine line{.name = option->long_name(), .value = "", .shown = "", .meaning = option->description()};
    if (option->semantic()->max_tokens() > 0) line.value = option->semantic()->name();
    line.shown = fmt::format("--{}{}{}", line.name, line.value.empty() ? "" : " ", line.value);
    lines.push_back(std::move(line));
  }
  return lines;
}

std::string program_help() {
  std::string text = fmt::format("steelyard {}.\n\n", k_purpose);
  text += "  steelyard COMMAND [...] [options]\n\nCommands:\n";
  std::size_t width = 0;
  for (const Command& command : commands()) width = std::max(width, command.name.size());
  for (const Command& command : commands()) text += fmt::format("  {:<{}}  {}\n", command.name, width, command.job);
  text += "\nOptions of every command:\n" + option_lines(global_options());
  text += fmt::format("\n{}\n", k_where_options_come_from);
  text += "'steelyard COMMAND --help' tells more.\n\nExample:\n  steelyard today --athlete hc01\n";
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

std::string version_text(const Result<const Models*>& models) {
  return fmt::format(
      "steelyard {}\ncommit {}\nmodels {}\ntables of the store {}\n", STEELYARD_VERSION, k_commit,
      models ? fmt::format("{}, digest {}", (*models)->version, (*models)->digest) : models.error().text(),
      app::schema_version());
}

}  // namespace steelyard::cli
