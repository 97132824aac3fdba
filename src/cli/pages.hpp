#pragma once
/// The manual page and the completions of shells, made from the table of commands and options.

#include <string>

namespace steelyard::cli {

/// steelyard(1) in man(7) macros: what '--help' says, of every command.
[[nodiscard]] std::string man_page();

[[nodiscard]] std::string bash_completion();
[[nodiscard]] std::string zsh_completion();
[[nodiscard]] std::string fish_completion();

}  // namespace steelyard::cli
