#pragma once
/// The files of the web page, embedded in the program.

#include <string_view>

namespace steelyard::page {

struct Asset {
  std::string_view path;  ///< "/check.js"
  std::string_view bytes;
  std::string_view content_type;
  std::string_view etag;  ///< digest of the bytes
};

/// The file at that path ("/" and "" are the page itself); null = there is none.
[[nodiscard]] const Asset* find_asset(std::string_view path);

}  // namespace steelyard::page
