// Commands that run in another program: loading the libraries that encrypt takes longer than an answer, so that no
// other command waits for them.
#include <fmt/core.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <filesystem>

#include "cli/commands.hpp"

namespace steelyard::cli {
namespace {

/// In the folder of libraries when it is installed, else beside this program.
std::string service_program() {
  std::error_code ignored;
  const auto folder = std::filesystem::read_symlink("/proc/self/exe", ignored).parent_path();
  const auto installed = (folder / STEELYARD_LIB_FROM_BIN / "steelyard-service").lexically_normal();
  return std::filesystem::exists(installed, ignored) ? installed.string() : (folder / "steelyard-service").string();
}

/// Takes the place of this process, with the same arguments.   errors  unavailable
RunResult hand_on(const Command& command, Run& run) {
  std::vector<std::string> words{"steelyard", std::string(command.name)};
  words.insert(words.end(), run.arguments.begin(), run.arguments.end());
  std::vector<char*> arguments;
  for (std::string& word : words) arguments.push_back(word.data());
  arguments.push_back(nullptr);
  const std::string program = service_program();
  ::execv(program.c_str(), arguments.data());
  return fail(Errc::unavailable,
              fmt::format("'steelyard {}' needs a part of steelyard that cannot be run: {}", command.name,
                          std::strerror(errno)),
              program);
}

}  // namespace

RunResult run_serve(Run& run) {
  return hand_on(k_serve, run);
}
RunResult run_token(Run& run) {
  return hand_on(k_token, run);
}

}  // namespace steelyard::cli
