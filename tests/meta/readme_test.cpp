// Every console block of README.md is run, and must print what README shows.
// STEELYARD_WRITE_README=1 in the environment rewrites README's outputs instead; review the diff.

#include <gtest/gtest.h>
#include <unistd.h>

#include <array>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <memory>
#include <string>
#include <vector>

namespace {

namespace fs = std::filesystem;

std::string read_file(const fs::path& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  for (std::size_t at = 0; at < text.size();) {
    const auto end = std::min(text.find('\n', at), text.size());
    lines.push_back(text.substr(at, end - at));
    at = end + 1;
  }
  return lines;
}

/// Standard output of a command in the source folder, with the built program on the path and a store of its own.
std::string run(const std::string& command, const fs::path& store) {
  const std::string full = "cd '" STEELYARD_SOURCE_DIR "' && PATH='" STEELYARD_PROGRAM_DIR "':$PATH STEELYARD_DATA='" +
                           store.string() + "' XDG_CONFIG_HOME=/nonexistent NO_COLOR=1 LC_ALL=C COLUMNS=80 " + command +
                           " 2>/dev/null";
  const std::unique_ptr<FILE, int (*)(FILE*)> pipe(popen(full.c_str(), "r"), pclose);
  std::string out;
  std::array<char, 4096> buffer{};
  while (const auto n = std::fread(buffer.data(), 1, buffer.size(), pipe.get())) out.append(buffer.data(), n);
  return out;
}

TEST(Readme, ShowsWhatTheProgramPrints) {
  const fs::path folder = fs::temp_directory_path() / ("steelyard_readme_" + std::to_string(::getpid()));
  fs::create_directories(folder);
  const fs::path store = folder / "store.db";
  const fs::path readme = fs::path(STEELYARD_SOURCE_DIR) / "README.md";
  const std::string before = read_file(readme);
  ASSERT_FALSE(before.empty());

  std::string after;
  bool inside = false;
  int commands = 0;
  for (const std::string& line : lines_of(before)) {
    if (line == "```console") inside = true;
    if (line == "```") inside = false;
    const bool command = inside && line.starts_with("$ ");
    if (!inside || command || line == "```console") after += line + "\n";
    if (!command) continue;
    after += run(line.substr(2), store);
    if (!after.ends_with('\n')) after += '\n';
    ++commands;
  }
  fs::remove_all(folder);
  EXPECT_GE(commands, 5);
  if (std::getenv("STEELYARD_WRITE_README") != nullptr) {
    std::ofstream(readme, std::ios::binary) << after;
  } else {
    EXPECT_EQ(after, before);
  }
}

}  // namespace
