#pragma once
/// A window over the bytes of a source that hands out physical lines.
/// cost  a fixed buffer that grows only for a line longer than it, up to k_longest_row

#include <cstddef>
#include <functional>
#include <string_view>
#include <utility>
#include <vector>

#include "steelyard/base/result.hpp"
#include "steelyard/ingest/reader.hpp"

namespace steelyard::ingest {

/// No row of a log is longer; a quote that is never closed must not pull a whole file into memory.
inline constexpr std::size_t k_longest_row = std::size_t{1} << 20;

class Lines {
 public:
  /// Bytes that may be read behind the unread ones, whatever they hold.
  static constexpr std::size_t k_slack = 16;

  Lines(ByteSource& source, std::function<void(std::size_t)> progress)
      : source_(source), progress_(std::move(progress)), buffer_((std::size_t{1} << 18) + k_slack) {}

  /// Offset behind the next physical line (its LF included) that starts `from` bytes into the unread ones; `from`
  /// itself at the end of the source. Views and pointers into the window are void afterwards. errors  io, bad_data (the
  /// row is longer than k_longest_row)
  [[nodiscard]] Result<std::size_t> line_end(std::size_t from);

  [[nodiscard]] std::string_view text(std::size_t end) const { return {buffer_.data() + begin_, end}; }
  [[nodiscard]] std::string_view unread() const { return {buffer_.data() + begin_, end_ - begin_}; }
  [[nodiscard]] char* data() { return buffer_.data() + begin_; }
  void drop(std::size_t count) { begin_ += count; }

 private:
  /// Reads behind the unread bytes; false = the source has ended.
  Result<bool> fill();

  ByteSource& source_;
  std::function<void(std::size_t)> progress_;
  std::vector<char> buffer_;
  std::size_t begin_ = 0;  ///< unread bytes are [begin_, end_)
  std::size_t end_ = 0;
  std::size_t total_ = 0;
  bool ended_ = false;
};

}  // namespace steelyard::ingest
