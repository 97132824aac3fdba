#include "cli/program.hpp"

#include <fmt/core.h>

#include "cli/help.hpp"
#include "cli/options.hpp"
#include "steelyard/base/text.hpp"

namespace steelyard::cli {
namespace {

int report(Terminal& terminal, const Error& error) {
  terminal.error("steelyard: " + error.text());
  return exit_status(error.code);
}

Error unknown_command(const std::string& name) {
  std::vector<std::string_view> names;
  for (const Command& command : commands()) names.push_back(command.name);
  std::string what = fmt::format("{} is not a command", in_quotes(name));
  const auto nearest = nearest_word(name, names);
  what += nearest ? fmt::format("; did you mean '{}'? ", *nearest) : std::string("; ");
  return {Errc::usage, what + "'steelyard --help' lists them", ""};
}

int print(Terminal& terminal, std::string_view text) {
  const auto written = terminal.out(text);
  return written ? 0 : report(terminal, written.error());
}

bool is_on(const Values& values, const char* flag) {
  return values.map[flag].as<bool>();
}

}  // namespace

int run_program(int argc, const char* const* argv) {
  Terminal terminal;
  const Arguments arguments = find_command_word(argc, argv);
  const Command* command = find_command(arguments.command);
  if (command == nullptr && !arguments.command.empty()) return report(terminal, unknown_command(arguments.command));
  auto values = parse_options(arguments.others, command);
  if (!values) return report(terminal, values.error());
  Run run(values->globals, values->map, std::move(values->words), terminal);
  if (is_on(*values, "version")) return print(terminal, version_text(run.models()));
  if (is_on(*values, "help")) return print(terminal, command == nullptr ? program_help() : command_help(*command));
  if (command == nullptr) {
    terminal.error(program_help());
    return exit_status(Errc::usage);
  }
  if (values->globals.quiet) terminal.be_quiet();
  run.arguments = arguments.others;
  const auto status = command->run(run);
  return status ? *status : report(terminal, status.error());
}

}  // namespace steelyard::cli
