#include "faulty_socket.hpp"

#include <dlfcn.h>
#include <sys/socket.h>

#include <algorithm>
#include <atomic>
#include <cerrno>
#include <cstddef>

namespace steelyard::serve::faulty_socket {
namespace {

constexpr std::size_t k_bytes_at_once = 7;

thread_local bool used_here = false;
std::atomic<int> left = 0;
std::atomic<bool> broken = false;
std::atomic<bool> half_sent = false;
std::atomic<Break> kind = Break::none;

bool breaks() {
  if (left > 0 && --left == 0) broken = true;
  return broken;
}

template <class F>
F* real(const char* name) {
  return reinterpret_cast<F*>(::dlsym(RTLD_NEXT, name));
}

/// Makes the message one of no more than the first bytes of its first piece.
void first_bytes(msghdr& message, iovec& piece, std::size_t most) {
  piece = {message.msg_iov->iov_base, std::min(message.msg_iov->iov_len, most)};
  message.msg_iov = &piece;
  message.msg_iovlen = 1;
}

ssize_t broken_read() {
  if (kind == Break::close) return 0;
  errno = ECONNRESET;
  return -1;
}

/// What `write` sends of the first half still goes out when the connection is closed in the middle.
template <class Write>
ssize_t broken_write(const Write& write) {
  if (kind == Break::close && !half_sent.exchange(true)) static_cast<void>(write());
  errno = kind == Break::close ? EPIPE : ECONNRESET;
  return -1;
}

}  // namespace

void use_on_this_thread() {
  used_here = true;
}

void break_at(int n, Break how) {
  kind = how;
  broken = false;
  half_sent = false;
  left = n;
}

bool has_broken() {
  return broken;
}

}  // namespace steelyard::serve::faulty_socket

using namespace steelyard::serve::faulty_socket;

extern "C" {

int accept(int fd, sockaddr* address, socklen_t* size) {
  static const auto next = real<decltype(::accept)>("accept");
  if (used_here && !broken && breaks()) {
    errno = EMFILE;
    return -1;
  }
  return next(fd, address, size);
}

ssize_t recv(int fd, void* bytes, std::size_t size, int flags) {
  static const auto next = real<decltype(::recv)>("recv");
  if (!used_here) return next(fd, bytes, size, flags);
  return breaks() ? broken_read() : next(fd, bytes, std::min(size, k_bytes_at_once), flags);
}

ssize_t recvmsg(int fd, msghdr* message, int flags) {
  static const auto next = real<decltype(::recvmsg)>("recvmsg");
  if (!used_here) return next(fd, message, flags);
  if (breaks()) return broken_read();
  iovec few;
  const msghdr whole = *message;
  first_bytes(*message, few, k_bytes_at_once);
  const auto taken = next(fd, message, flags);
  message->msg_iov = whole.msg_iov;
  message->msg_iovlen = whole.msg_iovlen;
  return taken;
}

ssize_t send(int fd, const void* bytes, std::size_t size, int flags) {
  static const auto next = real<decltype(::send)>("send");
  if (!used_here || !breaks()) return next(fd, bytes, size, flags);
  return broken_write([&] { return next(fd, bytes, size / 2, flags); });
}

ssize_t sendmsg(int fd, const msghdr* message, int flags) {
  static const auto next = real<decltype(::sendmsg)>("sendmsg");
  if (!used_here || !breaks()) return next(fd, message, flags);
  return broken_write([&] {
    iovec half;
    msghdr part = *message;
    first_bytes(part, half, part.msg_iov->iov_len / 2);
    return next(fd, &part, flags);
  });
}

}  // extern "C"
