// TLS with a certificate made here. Source: RFC 8996 (TLS 1.0 and 1.1 must not be used).
#include <gtest/gtest.h>
#include <openssl/evp.h>
#include <openssl/pem.h>
#include <openssl/x509.h>

#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/read.hpp>
#include <boost/asio/ssl.hpp>
#include <cstdio>
#include <thread>

#include "base/folder.hpp"
#include "serve/server.hpp"
#include "socket.hpp"

namespace steelyard::serve {

namespace {

namespace asio = boost::asio;

/// A key and a certificate that it signs itself, valid for an hour.
void make_certificate(const std::string& certificate_file, const std::string& key_file) {
  EVP_PKEY* key = EVP_EC_gen("P-256");
  X509* certificate = X509_new();
  ASN1_INTEGER_set(X509_get_serialNumber(certificate), 1);
  X509_gmtime_adj(X509_getm_notBefore(certificate), 0);
  X509_gmtime_adj(X509_getm_notAfter(certificate), 3600);
  X509_set_pubkey(certificate, key);
  X509_NAME* name = X509_get_subject_name(certificate);
  X509_NAME_add_entry_by_txt(name, "CN", MBSTRING_ASC, reinterpret_cast<const unsigned char*>("localhost"), -1, -1, 0);
  X509_set_issuer_name(certificate, name);
  X509_sign(certificate, key, EVP_sha256());
  std::FILE* out = std::fopen(certificate_file.c_str(), "w");
  PEM_write_X509(out, certificate);
  std::fclose(out);
  out = std::fopen(key_file.c_str(), "w");
  PEM_write_PrivateKey(out, key, nullptr, nullptr, 0, nullptr, nullptr);
  std::fclose(out);
  X509_free(certificate);
  EVP_PKEY_free(key);
}

class Tls : public testing::Test {
 protected:
  Tls() { make_certificate(certificate, key); }
  Result<void> start(const std::string& key_file, Limits limits = {}) {
    server = std::make_unique<Server>(
        loop, ServerOptions{.port = 0, .certificate = certificate, .key = key_file, .limits = limits},
        Backend{.dispatch = [](Request&& request, auto done) { done(Response{.body = "over TLS: " + request.target}); },
                .admit = {},
                .body_limit = [](std::string_view, std::string_view) { return std::size_t{1000}; }});
    auto started = server->start();
    if (started) thread = std::thread([this] { loop.run(); });
    return started;
  }
  void TearDown() override {
    if (!thread.joinable()) return;
    asio::post(loop, [this] { server->stop(); });
    thread.join();
  }
  /// One request over TLS of at most that version. Empty = no connection came about.
  std::string get(asio::ssl::context::method method, int most = 0) {
    asio::io_context own;
    asio::ssl::context trust(method);
    trust.load_verify_file(certificate);
    if (most != 0) SSL_CTX_set_max_proto_version(trust.native_handle(), most);
    SSL_CTX_set_security_level(trust.native_handle(), 0);  // so that only the server says no
    asio::ssl::stream<asio::ip::tcp::socket> stream(own, trust);
    stream.set_verify_mode(asio::ssl::verify_peer);
    stream.next_layer().connect({asio::ip::address_v4::loopback(), server->port()});
    boost::system::error_code code;
    stream.handshake(asio::ssl::stream_base::client, code);
    if (code) return {};
    asio::write(stream, asio::buffer(std::string("GET /x HTTP/1.1\r\nHost: a\r\nConnection: close\r\n\r\n")), code);
    std::string answer;
    asio::read(stream, asio::dynamic_buffer(answer), code);
    return answer;
  }

  Folder folder;
  std::string certificate = folder.file("c.pem");
  std::string key = folder.file("k.pem");
  asio::io_context loop{1};
  std::unique_ptr<Server> server;
  std::thread thread;
};

TEST_F(Tls, AnswersThoseWhoTrustTheCertificate) {
  ASSERT_TRUE(start(key));
  EXPECT_NE(get(asio::ssl::context::tls_client).find("over TLS: /x"), std::string::npos);
  EXPECT_NE(get(asio::ssl::context::tls_client, TLS1_2_VERSION).find("over TLS: /x"), std::string::npos);
  EXPECT_EQ(get(asio::ssl::context::tls_client, TLS1_1_VERSION), "");
}

TEST_F(Tls, AnswersNobodyInPlainTextAndDropsWhoSaysNothing) {
  ASSERT_TRUE(start(key, {.header = std::chrono::milliseconds(200)}));
  Client plain(server->port());
  plain.send("GET / HTTP/1.1\r\nHost: a\r\n\r\n");
  EXPECT_EQ(plain.receive().find("over TLS"), std::string::npos);
  Client silent(server->port());
  EXPECT_EQ(silent.receive(), "");
}

TEST_F(Tls, AKeyThatDoesNotFitIsAnErrorAtTheStart) {
  const std::string other = folder.file("other.pem");
  make_certificate(folder.file("unused.pem"), other);
  const auto started = start(other);
  ASSERT_FALSE(started);
  EXPECT_EQ(started.error().code, Errc::bad_data);
  EXPECT_EQ(start(folder.file("none.pem")).error().code, Errc::bad_data);
}

}  // namespace
}  // namespace steelyard::serve
