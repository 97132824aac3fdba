#pragma once
/// A plain client over the loopback, so that what is sent can also be wrong.

#include <arpa/inet.h>
#include <netinet/in.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <chrono>
#include <string>
#include <string_view>

namespace steelyard::serve {

class Client {
 public:
  explicit Client(std::uint16_t port) : fd_(::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0)) {
    sockaddr_in address{};
    address.sin_family = AF_INET;
    address.sin_port = htons(port);
    address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    connected_ = ::connect(fd_, reinterpret_cast<const sockaddr*>(&address), sizeof address) == 0;
  }
  Client(Client&& other) noexcept : fd_(std::exchange(other.fd_, -1)), connected_(other.connected_) {}
  Client(const Client&) = delete;
  Client& operator=(const Client&) = delete;
  ~Client() {
    if (fd_ >= 0) ::close(fd_);
  }

  [[nodiscard]] bool connected() const { return connected_; }
  bool send(std::string_view text) {
    while (!text.empty()) {
      const auto n = ::send(fd_, text.data(), text.size(), MSG_NOSIGNAL);
      if (n <= 0) return false;
      text.remove_prefix(static_cast<std::size_t>(n));
    }
    return true;
  }
  /// Whatever comes until the other side closes, or until `end` has come. "(nothing)" after ten seconds of silence.
  std::string receive(std::string_view end = {}) {
    std::string text;
    char buffer[4096];
    for (;;) {
      if (!end.empty() && text.find(end) != std::string::npos) return text;
      pollfd ready{.fd = fd_, .events = POLLIN, .revents = 0};
      if (::poll(&ready, 1, 10'000) != 1) return text + "(nothing)";
      const auto n = ::recv(fd_, buffer, sizeof buffer, 0);
      if (n <= 0) return text;
      text.append(buffer, static_cast<std::size_t>(n));
    }
  }
  void small_window() {
    const int bytes = 4096;
    ::setsockopt(fd_, SOL_SOCKET, SO_RCVBUF, &bytes, sizeof bytes);
  }
  /// Closing will reset the connection instead of ending it.
  void reset_at_the_end() {
    const linger at_once{.l_onoff = 1, .l_linger = 0};
    ::setsockopt(fd_, SOL_SOCKET, SO_LINGER, &at_once, sizeof at_once);
  }

 private:
  int fd_;
  bool connected_ = false;
};

}  // namespace steelyard::serve
