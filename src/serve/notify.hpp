#pragma once
/// What a service tells its manager, and the sockets that it gets from it.
/// source  systemd's documented protocols: sd_notify(3) (a datagram of lines to $NOTIFY_SOCKET),
///         sd_watchdog_enabled(3), sd_listen_fds(3)

#include <chrono>
#include <optional>
#include <string_view>
#include <vector>

namespace steelyard::serve {

/// Sends lines such as "READY=1". Without a manager nothing happens.
void notify(std::string_view lines);

/// How often "WATCHDOG=1" has to be sent: half of what the manager asks for. none = it does not ask.
[[nodiscard]] std::optional<std::chrono::microseconds> watchdog_interval();

/// Sockets that the manager opened for this process, listening already.
[[nodiscard]] std::vector<int> handed_sockets();

/// Whether a listening socket can be reached from this machine only.
[[nodiscard]] bool is_loopback_socket(int socket);

}  // namespace steelyard::serve
