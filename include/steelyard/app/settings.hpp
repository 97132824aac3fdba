#pragma once
/// Where a person's settings and data lie when nothing else is said.
/// source  XDG Base Directory Specification, environment variables and their defaults

#include <memory>
#include <optional>
#include <string>

#include "steelyard/base/result.hpp"
#include "steelyard/store/store.hpp"

namespace steelyard::app {

/// $XDG_CONFIG_HOME/steelyard/steelyard.ini; empty if there is no home.
[[nodiscard]] std::string default_settings_file();

/// The text of the settings file. errors  no_input (not there), io
[[nodiscard]] Result<std::string> read_settings(const std::string& path);

/// The file that was named, else $XDG_DATA_HOME/steelyard/steelyard.db.
/// errors  usage (a postgresql:// address; no home and nothing named)
[[nodiscard]] Result<std::string> store_file(const std::optional<std::string>& data);

/// Opens the file or server that was named, else $XDG_DATA_HOME/steelyard/steelyard.db.
/// errors  usage (no home and nothing named), those of the store
[[nodiscard]] Result<std::unique_ptr<store::Store>> open_store(const std::optional<std::string>& data);

}  // namespace steelyard::app
