#pragma once
/// The sockets: connections, their limits, HTTP/1.1 and TLS. server.cpp is the only file that knows Boost.Beast.

#include <boost/asio/io_context.hpp>
#include <chrono>
#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "steelyard/serve/http.hpp"

namespace steelyard::serve {

/// Times are whole: a client that sends one byte a second is not given a second more for each.
struct Limits {
  std::size_t connections = 2000;
  std::size_t header_bytes = 16384;
  /// A body up to here is read before anybody asks who sends it, and counts nowhere: with all connections together
  /// these are bounded.
  std::size_t small_body = 16384;
  std::size_t bodies = std::size_t{256} << 20;        ///< bytes there are of all larger bodies together
  std::size_t bodies_of_one = std::size_t{64} << 20;  ///< and of those of one caller
  std::chrono::milliseconds header{20'000};  ///< from the end of the answer before, so also how long one may idle
  std::chrono::milliseconds body{60'000};
  std::chrono::milliseconds answer{60'000};  ///< for taking the answer
};

struct ServerOptions {
  std::string address = "127.0.0.1";
  std::uint16_t port = 8080;
  std::vector<int> sockets;  ///< listening already (socket activation); then address and port are not used
  std::string certificate;   ///< PEM file of the chain; empty = no TLS
  std::string key;           ///< PEM file
  Limits limits = {};
};

/// Whether a large body may be sent at all.
struct Admission {
  std::optional<Response> refusal;
  std::string caller;  ///< whose share of the bytes it takes
};

/// What the sockets are for. Each function gives its answer to `done`, once, on any thread.
struct Backend {
  std::function<void(Request&& request, std::function<void(Response&&)> done)> dispatch;
  /// Asked with the header alone, before the body is read.
  std::function<void(Request&& head, std::function<void(Admission&&)> done)> admit;
  /// Most bytes of body for a method and a target.
  std::function<std::size_t(std::string_view method, std::string_view target)> body_limit;
};

class Server {
 public:
  Server(boost::asio::io_context& loop, ServerOptions options, Backend backend);
  ~Server();
  Server(const Server&) = delete;
  Server& operator=(const Server&) = delete;

  /// Listens and takes connections. errors  io (the address is in use ..), usage (not an address), bad_data (the
  /// certificate)
  [[nodiscard]] Result<void> start();
  /// Reads certificate and key again; connections that stand keep theirs. errors  bad_data; then the old ones stay
  [[nodiscard]] Result<void> reload();
  /// Takes no more connections, closes idle ones and those whose request is not whole yet, lets the others finish.
  void stop();
  /// Closes what is still open, whoever waits for whatever there.
  void cut_off();

  [[nodiscard]] std::uint16_t port() const;
  [[nodiscard]] std::size_t connections() const;

 private:
  struct State;
  std::shared_ptr<State> state_;
};

}  // namespace steelyard::serve
