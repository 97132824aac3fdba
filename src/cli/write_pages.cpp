// Writes the manual page and the completions into a folder, when the program is built.
#include <cstdio>
#include <fstream>
#include <string>

#include "cli/pages.hpp"

int main(int argc, char** argv) {
  if (argc != 2) {
    std::fputs("usage: write_pages FOLDER\n", stderr);
    return 64;
  }
  const std::string folder = argv[1];
  const auto write = [&](const char* name, const std::string& text) {
    std::ofstream out(folder + '/' + name, std::ios::binary);
    return static_cast<bool>(out << text << std::flush);
  };
  using namespace steelyard::cli;
  const bool written = write("steelyard.1", man_page()) && write("steelyard.bash", bash_completion()) &&
                       write("_steelyard", zsh_completion()) && write("steelyard.fish", fish_completion());
  return written ? 0 : 74;
}
