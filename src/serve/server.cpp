#include "serve/server.hpp"

#include <fmt/core.h>
#include <unistd.h>

#include <boost/asio/as_tuple.hpp>
#include <boost/asio/awaitable.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/ssl/context.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/core/tcp_stream.hpp>
#include <boost/beast/http.hpp>
#include <boost/beast/http/span_body.hpp>
#include <boost/beast/ssl/ssl_stream.hpp>
#include <map>
#include <set>

#include "steelyard/base/text.hpp"

namespace steelyard::serve {

namespace asio = boost::asio;
namespace beast = boost::beast;
namespace http = boost::beast::http;
namespace ssl = boost::asio::ssl;
using asio::ip::tcp;

namespace {

constexpr auto k_token = asio::as_tuple(asio::use_awaitable);
using Code = boost::system::error_code;
/// How long bytes of a refused request are still taken, so that the refusal is not lost with them.
constexpr std::chrono::seconds k_linger{2};
constexpr std::size_t k_linger_bytes = std::size_t{1} << 20;

beast::tcp_stream& lowest(beast::tcp_stream& stream) {
  return stream;
}
beast::tcp_stream& lowest(beast::ssl_stream<beast::tcp_stream>& stream) {
  return stream.next_layer();
}

/// The bytes that there are of large bodies: all together, and of each caller.
struct Bytes {
  std::size_t all = 0;
  std::map<std::string, std::size_t> of;
};

/// What one body takes of them, as it arrives, until its answer is sent.
class Share {
 public:
  Share(Bytes& bytes, const Limits& limits, std::string caller)
      : bytes_(bytes), limits_(limits), caller_(std::move(caller)) {}
  Share(const Share&) = delete;
  Share& operator=(const Share&) = delete;
  ~Share() {
    bytes_.all -= mine_;
    const auto entry = bytes_.of.find(caller_);
    if (entry == bytes_.of.end()) return;
    entry->second -= mine_;
    if (entry->second == 0) bytes_.of.erase(entry);
  }

  /// false = there is no room for a body of that size
  [[nodiscard]] bool grow_to(std::size_t size) {
    const std::size_t more = size - mine_;
    std::size_t& of_caller = bytes_.of[caller_];
    if (bytes_.all + more > limits_.bodies || of_caller + more > limits_.bodies_of_one) return false;
    bytes_.all += more;
    of_caller += more;
    mine_ = size;
    return true;
  }

 private:
  Bytes& bytes_;
  const Limits& limits_;
  std::string caller_;
  std::size_t mine_ = 0;
};

struct Connection {
  beast::tcp_stream* stream = nullptr;
  bool has_request = false;  ///< a whole one, whose answer is to be awaited
};

/// A connection is among the open ones as long as this lives, also when its coroutine ends by an exception.
class Known {
 public:
  Known(std::set<Connection*>& open, Connection& connection) : open_(open), connection_(&connection) {
    open_.insert(connection_);
  }
  Known(const Known&) = delete;
  Known& operator=(const Known&) = delete;
  ~Known() { open_.erase(connection_); }

 private:
  std::set<Connection*>& open_;
  Connection* connection_;
};

using Parser = http::request_parser<http::string_body>;

}  // namespace

struct Server::State : std::enable_shared_from_this<State> {
  State(asio::io_context& the_loop, ServerOptions the_options, Backend the_backend)
      : loop(the_loop), options(std::move(the_options)), backend(std::move(the_backend)) {}

  Result<void> load_certificate();
  Result<void> listen();

  asio::awaitable<void> accept(std::size_t index);
  asio::awaitable<void> plain(tcp::socket socket);
  asio::awaitable<void> secret(tcp::socket socket, std::shared_ptr<ssl::context> context);
  template <class Stream>
  asio::awaitable<void> talk(Stream& stream, Connection& self);
  template <class Stream>
  asio::awaitable<bool> one(Stream& stream, Connection& self, beast::flat_buffer& buffer);
  template <class Stream>
  asio::awaitable<bool> send(Stream& stream, const Response& response, bool head_only, bool keep, unsigned version);
  template <class Stream>
  asio::awaitable<void> refuse(Stream& stream, beast::flat_buffer& buffer, Response response);
  /// Reads the body. returns  what to answer instead; an empty answer = the other side went away
  template <class Stream>
  asio::awaitable<std::optional<Response>> read_body(Stream& stream, beast::flat_buffer& buffer, Parser& parser,
                                                     std::optional<Share>& share, const std::string& peer);
  template <class Answer>
  asio::awaitable<Answer> ask(const std::function<void(Request&&, std::function<void(Answer&&)>)>& whom,
                              Request request);

  asio::io_context& loop;
  ServerOptions options;
  Backend backend;
  std::shared_ptr<ssl::context> tls;
  std::vector<tcp::acceptor> acceptors;
  std::set<Connection*> open;
  Bytes bodies;
  bool stopping = false;
};

namespace {

/// The head; the body is left where it is.
Request head_of(const http::request<http::string_body>& message, const std::string& peer) {
  Request request{.method = std::string(message.method_string()),
                  .target = std::string(message.target()),
                  .headers = {},
                  .body = {},
                  .peer = peer};
  for (const auto& field : message) {
    request.headers.emplace_back(to_lower({field.name_string().data(), field.name_string().size()}),
                                 std::string(field.value()));
  }
  return request;
}

/// What is wrong with a request that could not be read; nothing = the other side went away.
std::optional<Response> refusal(const Code& code) {
  if (code == http::error::header_limit || code == http::error::buffer_overflow) {
    return problem(431, "usage", "the header is too long");
  }
  if (code == http::error::body_limit) return problem(413, "usage", "the body is too long");
  if (code.category() == http::make_error_code(http::error::bad_method).category() &&
      code != http::error::end_of_stream && code != http::error::partial_message) {
    return problem(400, "usage", "this is not an HTTP/1.1 request");
  }
  return std::nullopt;
}

template <class Message>
void fill(Message& message, const Response& response, bool keep, unsigned version) {
  message.version(version);
  message.result(static_cast<unsigned>(response.status));
  message.reason(phrase(response.status).data());
  for (const auto& [name, value] : response.headers) message.insert(name, value);
  message.keep_alive(keep);
}

}  // namespace

/// Hands the request over and comes back on the loop with the answer.
template <class Answer>
asio::awaitable<Answer> Server::State::ask(const std::function<void(Request&&, std::function<void(Answer&&)>)>& whom,
                                           Request request) {
  return asio::async_initiate<const asio::use_awaitable_t<>&, void(Answer)>(
      [this, &whom](auto handler, Request asked) {
        auto kept = std::make_shared<decltype(handler)>(std::move(handler));
        auto work = asio::make_work_guard(loop);
        whom(std::move(asked), [this, kept, work = std::move(work)](Answer&& answer) mutable {
          asio::post(loop, [kept, answer = std::move(answer)]() mutable { std::move (*kept)(std::move(answer)); });
          work.reset();
        });
      },
      asio::use_awaitable, std::move(request));
}

template <class Stream>
asio::awaitable<bool> Server::State::send(Stream& stream, const Response& response, bool head_only, bool keep,
                                          unsigned version) {
  lowest(stream).expires_after(options.limits.answer);
  const std::string_view bytes = response.fixed.empty() ? std::string_view(response.body) : response.fixed;
  Code code;
  if (head_only) {
    http::response<http::empty_body> message;
    fill(message, response, keep, version);
    message.content_length(bytes.size());
    std::tie(code, std::ignore) = co_await http::async_write(stream, message, k_token);
  } else {
    http::response<http::span_body<const char>> message;
    fill(message, response, keep, version);
    message.body() = beast::span<const char>(bytes.data(), bytes.size());
    message.prepare_payload();
    std::tie(code, std::ignore) = co_await http::async_write(stream, message, k_token);
  }
  co_return !code;
}

/// Answers a request that was not read to its end, and takes the rest of it for a moment: closing with unread bytes
/// would reset the connection before the answer is read.
template <class Stream>
asio::awaitable<void> Server::State::refuse(Stream& stream, beast::flat_buffer& buffer, Response response) {
  if (!co_await send(stream, response, false, false, 11)) co_return;
  Code ignored;
  lowest(stream).socket().shutdown(tcp::socket::shutdown_send, ignored);
  lowest(stream).expires_after(k_linger);
  for (std::size_t taken = 0; taken < k_linger_bytes;) {
    buffer.clear();
    const auto [code, n] = co_await stream.async_read_some(buffer.prepare(8192), k_token);
    if (code) break;
    taken += n;
  }
}

template <class Stream>
asio::awaitable<std::optional<Response>> Server::State::read_body(Stream& stream, beast::flat_buffer& buffer,
                                                                  Parser& parser, std::optional<Share>& share,
                                                                  const std::string& peer) {
  const auto& head = parser.get();
  const std::size_t most = backend.body_limit({head.method_string().data(), head.method_string().size()},
                                              {head.target().data(), head.target().size()});
  if (parser.content_length() && *parser.content_length() > most) {
    co_return problem(413, "usage", fmt::format("the body may have {} bytes", most));
  }
  const std::size_t announced = parser.content_length() ? *parser.content_length() : parser.chunked() ? most : 0;
  if (announced > options.limits.small_body) {
    lowest(stream).expires_never();
    Admission admission = co_await ask<Admission>(backend.admit, head_of(head, peer));
    if (admission.refusal) co_return *std::move(admission.refusal);
    share.emplace(bodies, options.limits, std::move(admission.caller));
  }
  parser.body_limit(most);
  lowest(stream).expires_after(options.limits.body);
  Code code;
  if (beast::iequals(head[http::field::expect], "100-continue")) {
    http::response<http::empty_body> go_on(http::status::continue_, 11);
    std::tie(code, std::ignore) = co_await http::async_write(stream, go_on, k_token);
  }
  while (!code && !stopping && !parser.is_done()) {
    std::tie(code, std::ignore) = co_await http::async_read_some(stream, buffer, parser, k_token);
    if (share && !share->grow_to(parser.get().body().size())) {
      co_return problem(503, "busy", "too much is being sent at once; try again in a moment");
    }
  }
  if (parser.is_done()) co_return std::nullopt;
  if (stopping) co_return problem(503, "busy", "the service is stopping; nothing was stored");
  co_return refusal(code).value_or(Response{.status = 0});
}

/// One request and its answer. returns  whether the connection stays
template <class Stream>
asio::awaitable<bool> Server::State::one(Stream& stream, Connection& self, beast::flat_buffer& buffer) {
  Parser parser;
  parser.header_limit(static_cast<std::uint32_t>(options.limits.header_bytes));
  parser.body_limit(boost::none);  // the route's own limit follows with the header
  self.has_request = false;
  lowest(stream).expires_after(options.limits.header);
  const auto [code, n] = co_await http::async_read_header(stream, buffer, parser, k_token);
  if (code) {
    if (auto response = refusal(code)) co_await refuse(stream, buffer, *std::move(response));
    co_return false;
  }
  Code ignored;
  const auto peer = lowest(stream).socket().remote_endpoint(ignored).address().to_string();
  std::optional<Share> share;
  if (auto instead = co_await read_body(stream, buffer, parser, share, peer)) {
    if (instead->status == 0) co_return false;
    if (stopping) {  // nobody lingers for the rest
      co_return co_await send(stream, *instead, false, false, 11) && false;
    }
    co_await refuse(stream, buffer, *std::move(instead));
    co_return false;
  }
  self.has_request = true;
  lowest(stream).expires_never();
  auto message = parser.release();
  Request request = head_of(message, peer);
  request.body = std::move(message.body());
  const Response response = co_await ask<Response>(backend.dispatch, std::move(request));
  const bool keep = message.keep_alive() && !stopping;
  const bool head_only = message.method() == http::verb::head;
  co_return co_await send(stream, response, head_only, keep, message.version()) && keep;
}

template <class Stream>
asio::awaitable<void> Server::State::talk(Stream& stream, Connection& self) {
  beast::flat_buffer buffer(options.limits.header_bytes + 65536);
  while (co_await one(stream, self, buffer)) {
  }
}

asio::awaitable<void> Server::State::plain(tcp::socket socket) {
  beast::tcp_stream stream(std::move(socket));
  Connection self{.stream = &stream};
  const Known known(open, self);
  co_await talk(stream, self);
  Code ignored;
  stream.socket().shutdown(tcp::socket::shutdown_both, ignored);
}

asio::awaitable<void> Server::State::secret(tcp::socket socket, std::shared_ptr<ssl::context> context) {
  beast::ssl_stream<beast::tcp_stream> stream(beast::tcp_stream(std::move(socket)), *context);
  Connection self{.stream = &stream.next_layer()};
  const Known known(open, self);
  lowest(stream).expires_after(options.limits.header);
  auto [code] = co_await stream.async_handshake(ssl::stream_base::server, k_token);
  if (!code) {
    co_await talk(stream, self);
    lowest(stream).expires_after(k_linger);
    std::tie(code) = co_await stream.async_shutdown(k_token);
  }
}

asio::awaitable<void> Server::State::accept(std::size_t index) {
  const auto self = shared_from_this();
  asio::steady_timer pause(loop);
  while (!stopping) {
    auto [code, socket] = co_await acceptors[index].async_accept(k_token);
    if (stopping) break;
    if (code) {  // such as too many open files: the connection waits until there is room
      pause.expires_after(std::chrono::milliseconds(50));
      co_await pause.async_wait(k_token);
      continue;
    }
    if (open.size() >= options.limits.connections) {
      constexpr std::string_view full =
          "HTTP/1.1 503 Service Unavailable\r\nretry-after: 2\r\ncontent-length: 0\r\nconnection: close\r\n\r\n";
      Code ignored;
      socket.non_blocking(true, ignored);
      if (!tls) socket.send(asio::buffer(full), 0, ignored);
      socket.shutdown(tcp::socket::shutdown_send, ignored);
      continue;
    }
    Code ignored;
    socket.set_option(tcp::no_delay(true), ignored);
    // The session holds the state by `self`; whatever it throws (no memory) ends this connection only.
    const auto closed = [self](const std::exception_ptr&) {};
    if (tls) {
      asio::co_spawn(loop, secret(std::move(socket), tls), closed);
    } else {
      asio::co_spawn(loop, plain(std::move(socket)), closed);
    }
  }
}

Result<void> Server::State::load_certificate() {
  if (options.certificate.empty()) return {};
  auto made = std::make_shared<ssl::context>(ssl::context::tls_server);
  Code code;
  made->set_options(ssl::context::default_workarounds | ssl::context::no_tlsv1 | ssl::context::no_tlsv1_1, code);
  made->use_certificate_chain_file(options.certificate, code);
  if (code) return fail(Errc::bad_data, "no certificate can be read there: " + code.message(), options.certificate);
  made->use_private_key_file(options.key, ssl::context::pem, code);
  if (code) return fail(Errc::bad_data, "no key of that certificate can be read there: " + code.message(), options.key);
  tls = std::move(made);
  return {};
}

Result<void> Server::State::listen() {
  Code code;
  for (const int descriptor : options.sockets) {
    sockaddr_storage address{};
    socklen_t size = sizeof address;
    ::getsockname(descriptor, reinterpret_cast<sockaddr*>(&address), &size);
    tcp::acceptor acceptor(loop);
    acceptor.assign(address.ss_family == AF_INET6 ? tcp::v6() : tcp::v4(), descriptor, code);
    if (code) return fail(Errc::usage, "the socket that was handed over cannot be used: " + code.message());
    acceptors.push_back(std::move(acceptor));
  }
  if (!acceptors.empty()) return {};
  const auto address = asio::ip::make_address(options.address, code);
  if (code) {
    return fail(Errc::usage, fmt::format("{} is not an IP address", in_quotes(options.address)), "--listen");
  }
  const tcp::endpoint where(address, options.port);
  tcp::acceptor acceptor(loop);
  acceptor.open(where.protocol(), code);
  if (!code) acceptor.set_option(tcp::acceptor::reuse_address(true), code);
  if (!code) acceptor.bind(where, code);
  if (!code) acceptor.listen(asio::socket_base::max_listen_connections, code);
  if (code) {
    return fail(Errc::io, "nothing can listen there: " + code.message(),
                fmt::format("{}:{}", options.address, options.port));
  }
  acceptors.push_back(std::move(acceptor));
  return {};
}

Server::Server(asio::io_context& loop, ServerOptions options, Backend backend)
    : state_(std::make_shared<State>(loop, std::move(options), std::move(backend))) {}

Server::~Server() = default;

Result<void> Server::start() {
  STEELYARD_TRY(state_->load_certificate());
  STEELYARD_TRY(state_->listen());
  for (std::size_t i = 0; i < state_->acceptors.size(); ++i) {
    asio::co_spawn(state_->loop, state_->accept(i), [](const std::exception_ptr&) {});
  }
  return {};
}

Result<void> Server::reload() {
  return state_->load_certificate();
}

void Server::stop() {
  state_->stopping = true;
  Code ignored;
  for (auto& acceptor : state_->acceptors) acceptor.close(ignored);
  for (Connection* connection : state_->open) {
    if (!connection->has_request) connection->stream->cancel();
  }
}

void Server::cut_off() {
  for (Connection* connection : state_->open) connection->stream->close();
}

std::uint16_t Server::port() const {
  Code ignored;
  return state_->acceptors.empty() ? std::uint16_t{0} : state_->acceptors.front().local_endpoint(ignored).port();
}

std::size_t Server::connections() const {
  return state_->open.size();
}

}  // namespace steelyard::serve
