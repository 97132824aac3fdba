#include <fmt/core.h>

#include "cli/help.hpp"
#include "cli/options.hpp"
#include "cli/pages.hpp"

namespace steelyard::cli {
namespace {

/// Text as roff shows it: no escapes, no macros, plain hyphens.
std::string roff(std::string_view text) {
  std::string out;
  bool line_start = true;
  for (const char c : text) {
    if (line_start && (c == '.' || c == '\'')) out += "\\&";
    line_start = c == '\n';
    if (c == '\\') {
      out += "\\e";
    } else if (c == '-') {
      out += "\\-";
    } else {
      out += c;
    }
  }
  return out;
}

std::string verbatim(std::string_view text) {
  return fmt::format(".nf\n{}\n.fi\n", roff(text));
}

std::string options_of_page(const po::options_description& options) {
  std::string text;
  for (const OptionLine& line : option_table(options)) {
    text += fmt::format(".TP\n.B {}\n{}\n", roff(line.shown), roff(line.meaning));
  }
  return text;
}

/// On one line.
std::string usage_of(const Command& command) {
  std::string usage;
  for (const char c : command.usage) {
    if (c != '\n' && (c != ' ' || !usage.ends_with(' '))) usage += c;
    if (c == '\n' && !usage.ends_with(' ')) usage += ' ';
  }
  return usage;
}

std::string section_of(const Command& command) {
  std::string text = fmt::format(".SS steelyard {}{}{}\n{}.\n", roff(command.name), command.usage.empty() ? "" : " ",
                                 roff(usage_of(command)), roff(command.job));
  if (!command.more.empty()) text += ".PP\n" + verbatim(command.more);
  text += options_of_page(options_of(command));
  return text + ".PP\nExample:\n" + verbatim(fmt::format("    steelyard {}", command.example));
}

}  // namespace

std::string man_page() {
  std::string text = fmt::format(
      ".TH STEELYARD 1 \"\" \"steelyard {0}\" \"User Commands\"\n.SH NAME\nsteelyard \\- {1}\n"
      ".SH SYNOPSIS\n.B steelyard\n.I COMMAND\n[...] [options]\n.SH COMMANDS\n",
      STEELYARD_VERSION, roff(k_purpose));
  for (const Command& command : commands()) text += section_of(command);
  text += ".SH OPTIONS OF EVERY COMMAND\n" + options_of_page(global_options());
  text += ".PP\n" + verbatim(k_where_options_come_from);
  text += fmt::format(".SH EXIT STATUS\n{}.\n", k_exit_statuses);
  text +=
      ".SH FILES\n.TP\n.I $XDG_DATA_HOME/steelyard/steelyard.db\nThe store, if no other is named.\n"
      ".TP\n.I $XDG_CONFIG_HOME/steelyard/steelyard.ini\nThe settings.\n"
      ".SH SEE ALSO\n.BR steelyard\\-serve (1)\n";
  return text;
}

}  // namespace steelyard::cli
