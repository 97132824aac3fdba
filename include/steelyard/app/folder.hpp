#pragma once
/// Whole files for programs around the use cases.

#include <array>
#include <string>
#include <string_view>

#include "steelyard/base/result.hpp"

namespace steelyard::app {

/// 64 hexadecimal digits of SHA-256 over a file's bytes. errors  no_input, io
[[nodiscard]] Result<std::string> file_digest(const std::string& path);
/// The file is there whole, flushed to the disk and readable for its owner only, or not at all.
/// errors  io, no_input (no such folder)
[[nodiscard]] Result<void> write_file(const std::string& path, std::string_view text);
/// false = it was not there. errors  io
[[nodiscard]] Result<bool> remove_file(const std::string& path);
/// Folders that are made are the owner's alone. errors  io
[[nodiscard]] Result<void> make_folders(const std::string& path);
/// The files of one briefing: a path and what follows it.
inline constexpr std::array<std::string_view, 3> k_briefing_files{".txt", ".html", ".json"};

}  // namespace steelyard::app
