#include "serve/notify.hpp"

#include <arpa/inet.h>
#include <fcntl.h>
#include <netinet/in.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

#include <charconv>
#include <cstdint>
#include <cstdlib>
#include <cstring>
#include <string>

namespace steelyard::serve {
namespace {

constexpr int k_first_socket = 3;  // SD_LISTEN_FDS_START

std::optional<std::int64_t> number_in(const char* variable) {
  const char* text = std::getenv(variable);
  if (text == nullptr) return std::nullopt;
  std::int64_t number = 0;
  const char* const end = text + std::strlen(text);
  const auto [rest, error] = std::from_chars(text, end, number);
  return error == std::errc{} && rest == end ? std::optional(number) : std::nullopt;
}

/// True if the variable names this process, or is not set.
bool is_for_us(const char* variable) {
  const auto pid = number_in(variable);
  return !pid || *pid == ::getpid();
}

}  // namespace

void notify(std::string_view lines) {
  const char* path = std::getenv("NOTIFY_SOCKET");
  sockaddr_un address{};
  address.sun_family = AF_UNIX;
  if (path == nullptr || (path[0] != '/' && path[0] != '@') || std::strlen(path) >= sizeof address.sun_path) return;
  const std::size_t length = std::strlen(path);
  std::memcpy(address.sun_path, path, length);
  if (path[0] == '@') address.sun_path[0] = '\0';  // a name without a file
  const int socket = ::socket(AF_UNIX, SOCK_DGRAM | SOCK_CLOEXEC, 0);
  if (socket < 0) return;
  const auto size = static_cast<socklen_t>(offsetof(sockaddr_un, sun_path) + length);
  ::sendto(socket, lines.data(), lines.size(), MSG_NOSIGNAL, reinterpret_cast<const sockaddr*>(&address), size);
  ::close(socket);
}

std::optional<std::chrono::microseconds> watchdog_interval() {
  const auto asked = number_in("WATCHDOG_USEC");
  if (!asked || *asked <= 0 || !is_for_us("WATCHDOG_PID")) return std::nullopt;
  return std::chrono::microseconds{*asked / 2};
}

std::vector<int> handed_sockets() {
  const auto n = number_in("LISTEN_FDS");
  if (!n || !number_in("LISTEN_PID") || !is_for_us("LISTEN_PID")) return {};
  std::vector<int> sockets;
  for (int fd = k_first_socket; fd < k_first_socket + *n; ++fd) {
    ::fcntl(fd, F_SETFD, FD_CLOEXEC);
    sockets.push_back(fd);
  }
  return sockets;
}

bool is_loopback_socket(int socket) {
  sockaddr_storage address{};
  socklen_t size = sizeof address;
  if (::getsockname(socket, reinterpret_cast<sockaddr*>(&address), &size) != 0) return false;
  if (address.ss_family == AF_INET) {
    sockaddr_in four{};
    std::memcpy(&four, &address, sizeof four);
    return (ntohl(four.sin_addr.s_addr) >> 24U) == IN_LOOPBACKNET;
  }
  sockaddr_in6 six{};
  std::memcpy(&six, &address, sizeof six);
  return address.ss_family == AF_INET6 && std::memcmp(&six.sin6_addr, &in6addr_loopback, sizeof in6addr_loopback) == 0;
}

}  // namespace steelyard::serve
