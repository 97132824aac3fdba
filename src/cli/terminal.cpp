#include "cli/terminal.hpp"

#include <fmt/core.h>
#include <sys/ioctl.h>
#include <termios.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <csignal>
#include <cstdint>
#include <cstdlib>
#include <cstring>

namespace steelyard::cli {
namespace {

/// 0 = written, else errno.
int write_all(int fd, std::string_view text) {
  while (!text.empty()) {
    const auto n = ::write(fd, text.data(), text.size());
    if (n < 0 && errno == EINTR) continue;
    if (n < 0) return errno;
    text.remove_prefix(static_cast<std::size_t>(n));
  }
  return 0;
}

bool is_set(const char* name) {
  const char* value = std::getenv(name);
  return value != nullptr && *value != '\0';
}

/// By the rules of the C library's locale variables, without loading a locale.
bool says_utf8() {
  for (const char* name : {"LC_ALL", "LC_CTYPE", "LANG"}) {
    if (!is_set(name)) continue;
    const std::string_view value = std::getenv(name);
    return value.find("UTF-8") != std::string_view::npos || value.find("utf8") != std::string_view::npos;
  }
  return false;
}

int columns_of(int fd) {
  winsize size{};
  return ::ioctl(fd, TIOCGWINSZ, &size) == 0 && size.ws_col > 0 ? size.ws_col : 80;
}

/// The keyboard without echo and without waiting for Enter, until the end of the scope.
class RawKeys {
 public:
  RawKeys() {
    active_ = ::tcgetattr(STDIN_FILENO, &before_) == 0;
    if (!active_) return;
    termios raw = before_;
    raw.c_lflag &= ~static_cast<tcflag_t>(ICANON | ECHO);
    raw.c_cc[VMIN] = 1;
    raw.c_cc[VTIME] = 0;
    ::tcsetattr(STDIN_FILENO, TCSANOW, &raw);
  }
  ~RawKeys() {
    if (active_) ::tcsetattr(STDIN_FILENO, TCSANOW, &before_);
  }
  RawKeys(const RawKeys&) = delete;
  RawKeys& operator=(const RawKeys&) = delete;

 private:
  termios before_{};
  bool active_ = false;
};

/// Ctrl-C while a key is awaited must give the terminal back first, so it only interrupts the reading.
class Interruptible {
 public:
  Interruptible() {
    struct sigaction action {};
    action.sa_handler = [](int) {};
    ::sigaction(SIGINT, &action, &before_);  // without SA_RESTART: read() returns
  }
  ~Interruptible() { ::sigaction(SIGINT, &before_, nullptr); }
  Interruptible(const Interruptible&) = delete;
  Interruptible& operator=(const Interruptible&) = delete;

 private:
  struct sigaction before_ {};
};

}  // namespace

Terminal::Terminal(bool quiet)
    : in_is_terminal_(::isatty(STDIN_FILENO) != 0),
      err_is_terminal_(::isatty(STDERR_FILENO) != 0),
      out_is_terminal_(::isatty(STDOUT_FILENO) != 0),
      quiet_(quiet) {
  std::signal(SIGPIPE, SIG_IGN);  // a closed pipe is an answer of write(), not the end of the process
  if (!out_is_terminal_) return;
  color_ = !is_set("NO_COLOR") && std::string_view(is_set("TERM") ? std::getenv("TERM") : "dumb") != "dumb";
  unicode_ = says_utf8();
  width_ = columns_of(STDOUT_FILENO);
}

Result<void> Terminal::out(std::string_view text) {
  if (closed_) return {};
  const int error = write_all(STDOUT_FILENO, text);
  if (error == EPIPE) closed_ = true;
  if (error == 0 || error == EPIPE) return {};
  return fail(Errc::io, fmt::format("the result could not be written: {}", std::strerror(error)), "standard output");
}

void Terminal::note(std::string_view text) {
  if (!quiet_) error(text);
}

void Terminal::error(std::string_view text) {
  end_progress();
  write_all(STDERR_FILENO, std::string(text) + '\n');
}

void Terminal::progress(std::string_view what, std::uint64_t done, std::uint64_t all) {
  if (quiet_ || !err_is_terminal_ || all == 0) return;
  const int percent = static_cast<int>(100 * done / all);
  if (percent == last_percent_) return;
  last_percent_ = percent;
  constexpr int k_bar = 30;
  const auto filled = static_cast<std::size_t>(percent * k_bar / 100);
  std::string bar(filled, '#');
  bar.resize(k_bar, '.');
  write_all(STDERR_FILENO, fmt::format("\r[{}] {:3} % {}\033[K", bar, percent, what));
  progress_shown_ = true;
}

void Terminal::end_progress() {
  last_percent_ = -1;
  if (!progress_shown_) return;
  progress_shown_ = false;
  write_all(STDERR_FILENO, "\r\033[K");
}

std::optional<char> Terminal::key(std::string_view question) {
  write_all(STDERR_FILENO, question);
  char key = 0;
  {
    const RawKeys raw;
    const Interruptible interruptible;
    if (::read(STDIN_FILENO, &key, 1) != 1 || key == 4) {
      write_all(STDERR_FILENO, "\n");
      return std::nullopt;
    }
  }
  if (key == '\r') key = '\n';
  write_all(STDERR_FILENO, key == '\n' ? std::string("\n") : std::string{key, '\n'});
  return key;
}

std::optional<std::string> Terminal::line(std::string_view question) {
  write_all(STDERR_FILENO, question);
  std::string text;
  for (char c = 0;;) {
    if (::read(STDIN_FILENO, &c, 1) != 1) return std::nullopt;
    if (c == '\n') return text;
    text += c;
  }
}

}  // namespace steelyard::cli
