#include <fmt/core.h>

#include <algorithm>

#include "cli/help.hpp"
#include "cli/options.hpp"
#include "cli/pages.hpp"

namespace steelyard::cli {
namespace {

/// What may stand in a place of the command line.
struct Place {
  std::vector<std::string> words;
  bool files = false;
  bool folders = false;
};

std::vector<std::string> split(std::string_view text, std::string_view by) {
  std::vector<std::string> parts;
  while (true) {
    const auto at = text.find(by);
    parts.emplace_back(text.substr(0, at));
    if (at == std::string_view::npos) return parts;
    text.remove_prefix(at + by.size());
  }
}

bool is_word(std::string_view text) {
  return !text.empty() &&
         std::all_of(text.begin(), text.end(), [](char c) { return (c >= 'a' && c <= 'z') || c == '-'; }) &&
         text.front() != '-';
}

/// "kg|lb" are the words themselves; FILE, DIR say what they are; of others nothing is known.
Place place_of_value(const std::string& value) {
  Place place{.files = value.starts_with("FILE"), .folders = value == "DIR"};
  if (value.find('|') == std::string::npos) return place;
  place.words = split(value, "|");
  if (!std::all_of(place.words.begin(), place.words.end(), is_word)) place.words.clear();
  return place;
}

/// "add CODE | list" begins with add or list; PATH..., FILE and FOLDER are files.
Place place_of_usage(std::string_view usage) {
  Place place;
  place.files = usage.starts_with("PATH") || usage == "FILE";
  place.folders = usage == "FOLDER";
  for (const std::string& form : split(usage, "|")) {
    const auto begin = std::min(form.find_first_not_of(" \n"), form.size());
    const std::string first = form.substr(begin, form.find(' ', begin) - begin);
    if (is_word(first)) place.words.push_back(first);
  }
  return place;
}

std::string joined(const std::vector<std::string>& words) {
  std::string text;
  for (const std::string& word : words) text += (text.empty() ? "" : " ") + word;
  return text;
}

std::string options_words(const std::vector<OptionLine>& options) {
  std::vector<std::string> words;
  for (const OptionLine& option : options) words.push_back("--" + option.name);
  return joined(words);
}

/// 'text' for a shell.
std::string quoted(std::string_view text) {
  std::string out = "'";
  for (const char c : text) {
    if (c == '\'') {
      out += "'\\''";
    } else {
      out += c;
    }
  }
  return out + "'";
}

/// The lines of a bash case that answer for one place.
std::string bash_answer(const Place& place) {
  std::string flags;
  if (!place.words.empty()) flags += fmt::format(" -W '{}'", joined(place.words));
  if (place.files) flags += " -f";
  if (place.folders) flags += " -d";
  return flags.empty() ? "return" : fmt::format("COMPREPLY=($(compgen{} -- \"$current\")); return", flags);
}

std::string bash_values(const std::vector<OptionLine>& options) {
  std::string text;
  for (const OptionLine& option : options) {
    if (option.value.empty()) continue;
    text += fmt::format("    --{}) {} ;;\n", option.name, bash_answer(place_of_value(option.value)));
  }
  return text;
}

std::string names_with_value(const std::vector<OptionLine>& options) {
  std::string text;
  for (const OptionLine& option : options) {
    if (!option.value.empty()) text += (text.empty() ? "--" : "|--") + option.name;
  }
  return text;
}

std::string zsh_escaped(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (c == ':' || c == '[' || c == ']' || c == '\\') out += '\\';
    out += c;
  }
  return out;
}

std::string zsh_action(const Place& place) {
  if (!place.words.empty()) return fmt::format("({})", joined(place.words));
  if (place.files) return "_files";
  return place.folders ? "_files -/" : " ";
}

std::string zsh_options(const std::vector<OptionLine>& options, std::string_view indent) {
  std::string text;
  for (const OptionLine& option : options) {
    std::string spec = fmt::format("--{}[{}]", option.name, zsh_escaped(option.meaning));
    if (!option.value.empty()) {
      spec += fmt::format(":{}:{}", zsh_escaped(option.value), zsh_action(place_of_value(option.value)));
    }
    text += fmt::format(" \\\n{}{}", indent, quoted(spec));
  }
  return text;
}

std::string fish_options(const std::vector<OptionLine>& options, const std::string& when) {
  std::string text;
  for (const OptionLine& option : options) {
    const Place place = place_of_value(option.value);
    text += fmt::format("complete -c steelyard{} -l {} -d {}", when, option.name, quoted(option.meaning));
    if (!option.value.empty()) text += place.files || place.folders ? " -r -F" : " -x";
    if (!place.words.empty()) text += fmt::format(" -a '{}'", joined(place.words));
    text += '\n';
  }
  return text;
}

}  // namespace

std::string bash_completion() {
  const auto globals = option_table(global_options());
  std::vector<std::string> names;
  for (const Command& command : commands()) names.emplace_back(command.name);
  std::string text = fmt::format(R"(# bash completion of steelyard
_steelyard() {{
  local current=${{COMP_WORDS[COMP_CWORD]}} previous=${{COMP_WORDS[COMP_CWORD-1]}} command= words=0 i
  COMPREPLY=()
  for ((i = 1; i < COMP_CWORD; i++)); do
    case ${{COMP_WORDS[i]}} in
      {}) ((i++)) ;;
      -*) ;;
      *) if [[ -z $command ]]; then command=${{COMP_WORDS[i]}}; else words=1; fi ;;
    esac
  done
  local options='{}'
  case $previous in
{}  esac
  case $command in
)",
                                 names_with_value(globals), options_words(globals), bash_values(globals));
  text +=
      fmt::format("    '') [[ $current == -* ]] || {{ COMPREPLY=($(compgen -W '{}' -- \"$current\")); return; }} ;;\n",
                  joined(names));
  for (const Command& command : commands()) {
    const auto own = option_table(options_of(command));
    text += fmt::format("    {})\n", command.name);
    if (!own.empty()) text += fmt::format("      options+=' {}'\n", options_words(own));
    const std::string values = bash_values(own);
    if (!values.empty()) text += fmt::format("      case $previous in\n{}      esac\n", values);
    const Place place = place_of_usage(command.usage);
    if (place.files || place.folders) {
      text += fmt::format("      [[ $current == -* ]] || {{ {}; }}\n", bash_answer(place));
    } else if (!place.words.empty()) {
      text += fmt::format("      [[ $current == -* || $words == 1 ]] || {{ {}; }}\n", bash_answer(place));
    }
    text += "      ;;\n";
  }
  return text +
         "  esac\n  [[ $current == -* ]] && COMPREPLY=($(compgen -W \"$options\" -- \"$current\"))\n}\n"
         "complete -F _steelyard -o filenames steelyard\n";
}

std::string zsh_completion() {
  const auto globals = option_table(global_options());
  std::string text = "#compdef steelyard\n# zsh completion of steelyard\n_steelyard() {\n  local -a names\n  names=(\n";
  for (const Command& command : commands()) {
    text += fmt::format("    {}\n", quoted(fmt::format("{}:{}", command.name, zsh_escaped(command.job))));
  }
  text += "  )\n  local context state state_descr line\n  typeset -A opt_args\n";
  text += fmt::format("  local -a common\n  common=({}\n  )\n", zsh_options(globals, "    "));
  text +=
      "  _arguments -C $common '1:command:->name' '*::argument:->rest' && return\n"
      "  case $state in\n    name) _describe command names ;;\n    rest)\n      case $words[1] in\n";
  for (const Command& command : commands()) {
    const Place place = place_of_usage(command.usage);
    std::string spec = zsh_options(option_table(options_of(command)), "          ");
    if (place.files || place.folders) {
      spec += fmt::format(" \\\n          '*:file:{}'", zsh_action(place));
    } else if (!place.words.empty()) {
      spec += fmt::format(" \\\n          '1:what:{}'", zsh_action(place));
    }
    text += fmt::format("        {}) _arguments $common{} ;;\n", command.name, spec);
  }
  return text + "      esac ;;\n  esac\n}\n_steelyard \"$@\"\n";
}

std::string fish_completion() {
  std::string text = "# fish completion of steelyard\ncomplete -c steelyard -f\n";
  std::vector<std::string> names;
  for (const Command& command : commands()) {
    names.emplace_back(command.name);
    text +=
        fmt::format("complete -c steelyard -n __fish_use_subcommand -a {} -d {}\n", command.name, quoted(command.job));
  }
  text += fish_options(option_table(global_options()), "");
  for (const Command& command : commands()) {
    const std::string when = fmt::format(" -n '__fish_seen_subcommand_from {}'", command.name);
    text += fish_options(option_table(options_of(command)), when);
    const Place place = place_of_usage(command.usage);
    if (place.files || place.folders) text += fmt::format("complete -c steelyard{} -F\n", when);
    if (!place.words.empty()) text += fmt::format("complete -c steelyard{} -a '{}'\n", when, joined(place.words));
  }
  return text;
}

}  // namespace steelyard::cli
