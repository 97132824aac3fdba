#include "serve/watch.hpp"

#include <fmt/core.h>
#include <sys/inotify.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstring>

namespace steelyard::serve {

Result<void> FolderWatch::start(const std::string& folder) {
  stop();
  const int fd = ::inotify_init1(IN_NONBLOCK | IN_CLOEXEC);
  if (fd < 0) return fail(Errc::io, fmt::format("folders cannot be watched here: {}", std::strerror(errno)), folder);
  constexpr std::uint32_t events =
      IN_CLOSE_WRITE | IN_MOVED_TO | IN_CREATE | IN_DELETE_SELF | IN_MOVE_SELF | IN_ONLYDIR;
  if (::inotify_add_watch(fd, folder.c_str(), events) < 0) {
    auto error = fail(Errc::io, fmt::format("the folder cannot be watched: {}", std::strerror(errno)), folder);
    ::close(fd);
    return error;
  }
  events_.assign(fd);
  watching_ = true;
  wait();
  return {};
}

void FolderWatch::stop() {
  boost::system::error_code ignored;
  if (events_.is_open()) events_.close(ignored);
  watching_ = false;
}

void FolderWatch::wait() {
  events_.async_wait(boost::asio::posix::stream_descriptor::wait_read, [this](boost::system::error_code code) {
    if (code || !watching_) return;
    read();
    if (watching_) wait();
  });
}

void FolderWatch::read() {
  alignas(inotify_event) std::array<char, 16384> buffer{};
  std::set<std::string> moved_in;
  for (;;) {
    const auto n = ::read(events_.native_handle(), buffer.data(), buffer.size());
    if (n <= 0) break;
    for (const char* at = buffer.data(); at < buffer.data() + n;) {
      inotify_event event{};
      std::memcpy(&event, at, sizeof event);
      if ((event.mask & IN_MOVED_TO) != 0 && event.len > 0) moved_in.insert(at + sizeof event);
      if ((event.mask & (IN_DELETE_SELF | IN_MOVE_SELF | IN_IGNORED)) != 0) watching_ = false;
      at += sizeof event + event.len;  // events that were lost (IN_Q_OVERFLOW) do no harm: every look is at all files
    }
  }
  changed_(std::move(moved_in));
}

}  // namespace steelyard::serve
