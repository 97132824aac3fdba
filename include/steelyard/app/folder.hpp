#pragma once
/// Whole files for programs around the use cases.

#include <string>
#include <string_view>

#include "steelyard/base/result.hpp"

namespace steelyard::app {

/// 64 hexadecimal digits of SHA-256 over a file's bytes. errors  no_input, io
[[nodiscard]] Result<std::string> file_digest(const std::string& path);
/// The file is there whole, flushed to the disk, or not at all. errors  io, no_input (no such folder)
[[nodiscard]] Result<void> write_file(const std::string& path, std::string_view text);
/// errors  io
[[nodiscard]] Result<void> make_folders(const std::string& path);

}  // namespace steelyard::app
