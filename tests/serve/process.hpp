#pragma once
/// The built program as a process of its own, with whatever a manager would hand to it.

#include <fcntl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <functional>
#include <string>
#include <thread>
#include <vector>

#include "base/folder.hpp"
#include "socket.hpp"

namespace steelyard::serve {

class Process {
 public:
  /// Standard output and error go to a file; `before` runs in the child just before the program.
  Process(std::string log, const std::vector<std::string>& arguments, const std::function<void()>& before = {})
      : log_(std::move(log)) {
    std::vector<char*> argv;
    std::string program = STEELYARD_PROGRAM;
    std::vector<std::string> copies = arguments;
    argv.push_back(program.data());
    for (std::string& argument : copies) argv.push_back(argument.data());
    argv.push_back(nullptr);
    std::ofstream(log_) << "";  // what an earlier process said must not be taken for this one's
    pid_ = ::fork();
    if (pid_ != 0) return;
    const int out = ::open(log_.c_str(), O_WRONLY | O_APPEND);
    ::dup2(out, STDOUT_FILENO);
    ::dup2(out, STDERR_FILENO);
    if (before) before();
    ::execv(program.c_str(), argv.data());
    ::_exit(127);
  }
  Process(const Process&) = delete;
  Process& operator=(const Process&) = delete;
  ~Process() {
    if (pid_ > 0) {
      send(SIGKILL);
      wait();
    }
  }

  void send(int signal) const { ::kill(pid_, signal); }
  [[nodiscard]] pid_t pid() const { return pid_; }
  /// The exit status; 128 + signal if a signal ended it.
  int wait() {
    int status = 0;
    ::waitpid(pid_, &status, 0);
    pid_ = 0;
    return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
  }
  [[nodiscard]] std::string log() const { return bytes_of(log_); }
  /// Waits until the log holds that text. false = not within ten seconds
  [[nodiscard]] bool says(std::string_view text) const {
    return eventually([&] { return log().find(text) != std::string::npos; });
  }
  /// Waits for the service to listen. returns  its port, 0 = it does not
  [[nodiscard]] std::uint16_t port() const {
    if (!says("event=listening")) return 0;
    const std::string text = log();
    return static_cast<std::uint16_t>(std::stoi(text.substr(text.find(" port=") + 6)));
  }

  /// Looks every few milliseconds whether something has come true.
  static bool eventually(const std::function<bool()>& is_true, std::chrono::seconds within = std::chrono::seconds(10)) {
    const auto end = std::chrono::steady_clock::now() + within;
    while (std::chrono::steady_clock::now() < end) {
      if (is_true()) return true;
      std::this_thread::sleep_for(std::chrono::milliseconds(3));
    }
    return false;
  }

 private:
  std::string log_;
  pid_t pid_ = 0;
};

/// One request on a connection of its own; the whole answer. Empty = the service was gone.
inline std::string ask(std::uint16_t port, const std::string& method, const std::string& target,
                       const std::string& body = {}, const std::string& headers = {}) {
  Client client(port);
  if (!client.connected()) return {};
  client.send(method + ' ' + target + " HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n" + headers +
              (body.empty() ? "" : "Content-Type: application/json\r\n") +
              "Content-Length: " + std::to_string(body.size()) + "\r\n\r\n" + body);
  return client.receive();
}
inline int status_in(const std::string& answer) {
  return answer.size() < 12 ? 0 : std::stoi(answer.substr(9, 3));
}

}  // namespace steelyard::serve
