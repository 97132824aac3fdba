#pragma once
/// The running service: one event loop for all sockets, a thread that reads the store, one that writes to it, and one
/// for the inbox and the briefings.

#include <cstdint>
#include <functional>
#include <optional>
#include <string>

#include "steelyard/serve/api.hpp"

namespace steelyard::serve {

struct DaemonOptions {
  std::optional<std::string> data;    ///< the store
  std::optional<std::string> models;  ///< own model files
  std::string address = "127.0.0.1";
  std::uint16_t port = 8080;  ///< 0 = any free one
  std::string certificate;
  std::string key;
  bool behind_proxy = false;
  AssetFinder assets = {};
  ReportMaker report = {};
  std::function<Instant()> clock;  ///< none = the machine's
};

/// Serves until SIGTERM or SIGINT; SIGHUP reads models and settings again.
/// errors  usage (an address outside this machine without tokens, or without certificate and proxy), io (the address is
///         in use), those of the store and of the models
[[nodiscard]] Result<void> run_daemon(const DaemonOptions& options);

}  // namespace steelyard::serve
