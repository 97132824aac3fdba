#pragma once
/// One request over TLS, trusting one certificate only.

#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/read.hpp>
#include <boost/asio/ssl.hpp>
#include <boost/asio/write.hpp>
#include <string>

namespace steelyard::serve {

/// The whole answer. Empty = no connection came about, or the certificate is another one.
/// `most`: the highest version of the protocol, such as TLS1_2_VERSION; 0 = any
inline std::string ask_over_tls(std::uint16_t port, const std::string& certificate, const std::string& target,
                                int most = 0) {
  namespace asio = boost::asio;
  asio::io_context own;
  asio::ssl::context trust(asio::ssl::context::tls_client);
  trust.load_verify_file(certificate);
  if (most != 0) SSL_CTX_set_max_proto_version(trust.native_handle(), most);
  SSL_CTX_set_security_level(trust.native_handle(), 0);  // so that only the server says no
  asio::ssl::stream<asio::ip::tcp::socket> stream(own, trust);
  stream.set_verify_mode(asio::ssl::verify_peer);
  stream.next_layer().connect({asio::ip::address_v4::loopback(), port});
  boost::system::error_code code;
  stream.handshake(asio::ssl::stream_base::client, code);
  if (code) return {};
  asio::write(stream, asio::buffer("GET " + target + " HTTP/1.1\r\nHost: a\r\nConnection: close\r\n\r\n"), code);
  std::string answer;
  asio::read(stream, asio::dynamic_buffer(answer), code);
  return answer;
}

}  // namespace steelyard::serve
