#include "ingest/lines.hpp"

#include <algorithm>
#include <cstring>

namespace steelyard::ingest {

Result<bool> Lines::fill() {
  if (ended_) return false;
  if (begin_ > 0) {
    std::memmove(buffer_.data(), buffer_.data() + begin_, end_ - begin_);
    end_ -= begin_;
    begin_ = 0;
  }
  if (end_ + k_slack == buffer_.size()) buffer_.resize(2 * end_ + k_slack);
  STEELYARD_TRY_ASSIGN(const std::size_t count,
                       source_.read(std::span(buffer_).subspan(end_, buffer_.size() - k_slack - end_)));
  end_ += count;
  total_ += count;
  ended_ = count == 0;
  if (progress_ && !ended_) progress_(total_);
  return !ended_;
}

Result<std::size_t> Lines::line_end(std::size_t from) {
  std::size_t searched = from;
  for (;;) {
    const std::size_t unread = end_ - begin_;
    if (unread > searched) {
      const char* start = buffer_.data() + begin_ + searched;
      if (const void* found = std::memchr(start, '\n', unread - searched)) {
        const auto end = static_cast<std::size_t>(static_cast<const char*>(found) - (buffer_.data() + begin_)) + 1;
        if (end <= k_longest_row) return end;
      }
    }
    searched = std::max(searched, unread);
    if (searched > k_longest_row) {
      return fail(Errc::bad_data,
                  "the row is longer than 1 MiB; allowed: shorter rows; look for a quote that is not closed");
    }
    STEELYARD_TRY_ASSIGN(const bool more, fill());
    if (!more) return end_ - begin_;
  }
}

}  // namespace steelyard::ingest
