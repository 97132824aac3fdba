#pragma once
/// Tells when something happens in a folder, by inotify.

#include <boost/asio/io_context.hpp>
#include <boost/asio/posix/stream_descriptor.hpp>
#include <functional>
#include <set>
#include <string>

#include "steelyard/base/result.hpp"

namespace steelyard::serve {

class FolderWatch {
 public:
  /// Names that were renamed into the folder; empty = something else happened.
  using Changed = std::function<void(std::set<std::string> moved_in)>;

  FolderWatch(boost::asio::io_context& loop, Changed changed) : events_(loop), changed_(std::move(changed)) {}

  /// errors  io (no such folder, no more watches on this machine)
  [[nodiscard]] Result<void> start(const std::string& folder);
  void stop();
  /// False after the folder itself was removed or moved away.
  [[nodiscard]] bool is_watching() const { return watching_; }

 private:
  void wait();
  void read();

  boost::asio::posix::stream_descriptor events_;
  Changed changed_;
  bool watching_ = false;
};

}  // namespace steelyard::serve
