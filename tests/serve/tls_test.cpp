// TLS with a certificate made here. Source: RFC 8996 (TLS 1.0 and 1.1 must not be used).
#include <gtest/gtest.h>

#include <boost/asio/post.hpp>
#include <thread>

#include "base/folder.hpp"
#include "certificate.hpp"
#include "serve/server.hpp"
#include "socket.hpp"
#include "tls_client.hpp"

namespace steelyard::serve {

namespace {

namespace asio = boost::asio;

class Tls : public ::testing::Test {
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
  Folder folder;
  std::string certificate = folder.file("c.pem");
  std::string key = folder.file("k.pem");
  asio::io_context loop{1};
  std::unique_ptr<Server> server;
  std::thread thread;
};

TEST_F(Tls, AnswersThoseWhoTrustTheCertificate) {
  ASSERT_TRUE(start(key));
  EXPECT_NE(ask_over_tls(server->port(), certificate, "/x").find("over TLS: /x"), std::string::npos);
  EXPECT_NE(ask_over_tls(server->port(), certificate, "/x", TLS1_2_VERSION).find("over TLS: /x"), std::string::npos);
  EXPECT_EQ(ask_over_tls(server->port(), certificate, "/x", TLS1_1_VERSION), "");
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
