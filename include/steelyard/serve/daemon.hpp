#pragma once
/// The running service: one event loop for all sockets, and a thread each that reads the store, that writes to it, that
/// saves by-products of reads, and that does the inbox and the briefings.

#include <chrono>
#include <cstdint>
#include <functional>
#include <map>
#include <optional>
#include <string>

#include "steelyard/serve/api.hpp"

namespace steelyard::serve {

/// What SIGHUP may change.
struct Reloadable {
  std::optional<std::string> models;                       ///< own model files
  std::chrono::minutes morning{6 * 60};                    ///< when the day's briefing is due, after midnight
  std::map<std::string, std::chrono::minutes> morning_of;  ///< of single athletes
  std::string command;                                     ///< what a briefing is handed to; empty = nothing
};

struct DaemonOptions {
  std::optional<std::string> data;  ///< the store
  Reloadable reloadable = {};
  /// Reads the settings again; none = they do not change.
  std::function<Result<Reloadable>()> reread;
  std::string inbox;   ///< watched folder; empty = none
  int inbox_poll = 0;  ///< seconds between two looks; 0 = the folder tells when something changes
  std::string outbox;  ///< where briefings go; empty = none are made
  std::string address = "127.0.0.1";
  std::uint16_t port = 8080;  ///< 0 = any free one
  std::string certificate;
  std::string key;
  bool behind_proxy = false;
  AssetFinder assets = {};
  std::function<Instant()> clock;  ///< none = the machine's
};

/// "HH:MM". errors  usage
[[nodiscard]] Result<std::chrono::minutes> parse_clock(std::string_view text);

/// Serves until SIGTERM or SIGINT; SIGHUP reads models and settings again.
/// errors  usage (an address outside this machine without tokens, or without certificate and proxy), io (the address is
///         in use), those of the store and of the models
[[nodiscard]] Result<void> run_daemon(const DaemonOptions& options);

}  // namespace steelyard::serve
