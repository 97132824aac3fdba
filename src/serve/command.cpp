#include <fcntl.h>
#include <fmt/core.h>
#include <poll.h>
#include <spawn.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <cstring>
#include <vector>

#include "serve/briefings.hpp"

extern char** environ;

namespace steelyard::serve {
namespace {

constexpr std::chrono::milliseconds k_step{100};  // how soon a stop of the service is noticed

class Spawn {
 public:
  Spawn() {
    ::posix_spawn_file_actions_init(&actions_);
    ::posix_spawnattr_init(&attributes_);
  }
  Spawn(const Spawn&) = delete;
  Spawn& operator=(const Spawn&) = delete;
  ~Spawn() {
    ::posix_spawn_file_actions_destroy(&actions_);
    ::posix_spawnattr_destroy(&attributes_);
  }

  Result<pid_t> shell(const std::string& command, const std::string& input_file, std::vector<char*> environment) {
    ::posix_spawn_file_actions_addopen(&actions_, STDIN_FILENO, input_file.c_str(), O_RDONLY, 0);
    ::posix_spawn_file_actions_addopen(&actions_, STDOUT_FILENO, "/dev/null", O_WRONLY, 0);
    ::posix_spawn_file_actions_addopen(&actions_, STDERR_FILENO, "/dev/null", O_WRONLY, 0);
    // A group of its own, so that what it starts can be ended with it; signals as a fresh program has them.
    sigset_t none;
    sigset_t usual;
    ::sigemptyset(&none);
    ::sigemptyset(&usual);
    ::sigaddset(&usual, SIGPIPE);
    ::posix_spawnattr_setsigmask(&attributes_, &none);
    ::posix_spawnattr_setsigdefault(&attributes_, &usual);
    ::posix_spawnattr_setflags(&attributes_, POSIX_SPAWN_SETPGROUP | POSIX_SPAWN_SETSIGMASK | POSIX_SPAWN_SETSIGDEF);
    std::string shell = "sh";
    std::string option = "-c";
    std::string text = command;
    char* arguments[] = {shell.data(), option.data(), text.data(), nullptr};
    pid_t child = 0;
    const int error = ::posix_spawn(&child, "/bin/sh", &actions_, &attributes_, arguments, environment.data());
    if (error != 0) return fail(Errc::failed, fmt::format("the command cannot be started: {}", std::strerror(error)));
    return child;
  }

 private:
  posix_spawn_file_actions_t actions_{};
  posix_spawnattr_t attributes_{};
};

}  // namespace

Result<void> run_command(const std::string& command, const std::string& input_file,
                         const std::map<std::string, std::string>& added, std::chrono::milliseconds time,
                         const std::function<bool()>& is_stopped) {
  std::vector<std::string> lines;
  for (const auto& [name, value] : added) lines.push_back(fmt::format("{}={}", name, value));
  std::vector<char*> environment;
  for (char** entry = environ; *entry != nullptr; ++entry) environment.push_back(*entry);
  for (std::string& line : lines) environment.push_back(line.data());
  environment.push_back(nullptr);
  STEELYARD_TRY_ASSIGN(const pid_t child, Spawn().shell(command, input_file, std::move(environment)));
  const auto end = std::chrono::steady_clock::now() + time;
  const int ended = static_cast<int>(::syscall(SYS_pidfd_open, child, 0));
  int status = 0;
  bool in_time = false;
  while (!in_time && std::chrono::steady_clock::now() < end && !is_stopped()) {
    pollfd wait{.fd = ended, .events = POLLIN, .revents = 0};
    ::poll(&wait, 1, static_cast<int>(k_step.count()));  // where there are no such descriptors it only waits
    in_time = ::waitpid(child, &status, WNOHANG) == child;
  }
  if (ended >= 0) ::close(ended);
  if (!in_time) {
    ::kill(-child, SIGKILL);
    while (::waitpid(child, &status, 0) < 0 && errno == EINTR) {
    }
  }
  if (!in_time) return fail(Errc::failed, "the command took too long and was ended");
  if (WIFEXITED(status) && WEXITSTATUS(status) == 0) return {};
  return fail(Errc::failed, WIFEXITED(status) ? fmt::format("the command ended with status {}", WEXITSTATUS(status))
                                              : std::string("the command was ended by a signal"));
}

}  // namespace steelyard::serve
