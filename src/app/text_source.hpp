#pragma once
/// Bytes that are at hand already, as a source to read from.

#include <algorithm>
#include <string_view>

#include "steelyard/ingest/reader.hpp"

namespace steelyard::app {

class TextSource : public ingest::ByteSource {
 public:
  explicit TextSource(std::string_view text) : text_(text) {}
  [[nodiscard]] Result<std::size_t> read(std::span<char> buffer) override {
    const std::size_t n = std::min(buffer.size(), text_.size());
    text_.copy(buffer.data(), n);
    text_.remove_prefix(n);
    return n;
  }

 private:
  std::string_view text_;
};

}  // namespace steelyard::app
