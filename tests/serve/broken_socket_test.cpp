// A connection that breaks at every place of a request and of its answer: what was sent is stored whole or not at all,
// the service goes on, and the same request again is answered and stored once. Sources: POSIX recv(3), send(3),
// accept(3) for what can go wrong; the IETF draft "The Idempotency-Key HTTP Header Field" for sending again.
#include <boost/asio/post.hpp>
#include <future>
#include <thread>

#include "faulty_socket.hpp"
#include "serve/server.hpp"
#include "service.hpp"
#include "socket.hpp"

namespace steelyard::serve {
namespace {

using faulty_socket::Break;

class BrokenSocket : public ServiceBench {
 protected:
  void SetUp() override {
    add_lifter();
    const auto started = server.start();
    ASSERT_TRUE(started) << started.error().text();
    thread = std::thread([this] {
      faulty_socket::use_on_this_thread();
      loop.run();
    });
  }
  void TearDown() override {
    faulty_socket::break_at(0, Break::none);
    boost::asio::post(loop, [this] { server.stop(); });
    if (thread.joinable()) thread.join();
  }

  /// A file of two sessions on days of their own, so that half of it would be seen: also the first row alone is a file.
  static std::string request(int n) {
    const std::string body = "athlete,date,minutes,rpe\na1," + format_day(first_day(n)) + ",60,7\na1," +
                             format_day(first_day(n) + Days{1}) + ",60,7\n";
    return "POST /v1/ingest HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\nIdempotency-Key: k" +
           std::to_string(n) + "\r\nContent-Type: text/csv\r\nContent-Length: " + std::to_string(body.size()) +
           "\r\n\r\n" + body;
  }
  static Day first_day(int n) { return app::k_today - Days{2 * n + 1}; }

  void wait_until_all_are_closed() {
    for (;;) {
      std::promise<std::size_t> open;
      boost::asio::post(loop, [&] { open.set_value(server.connections()); });
      if (open.get_future().get() == 0) return;
    }
  }
  bool is_stored(int n) {
    const auto rows = store->log("a1", first_day(n), first_day(n) + Days{1}).value().sessions.size();
    EXPECT_NE(rows, 1U) << "a half is stored";
    return rows == 2;
  }
  /// The same request over a connection that holds. What is stored already is not done again.
  void expect_again(int n) {
    const bool was_stored = is_stored(n);
    faulty_socket::break_at(0, Break::none);
    Client again(server.port());
    again.send(request(n));
    const std::string answer = again.receive();
    EXPECT_EQ(answer.substr(0, 12), "HTTP/1.1 201");
    EXPECT_EQ(answer.find("idempotency-replayed: true") != std::string::npos, was_stored) << answer;
    wait_until_all_are_closed();
    EXPECT_TRUE(is_stored(n));
  }

  boost::asio::io_context loop{1};
  Server server{loop, ServerOptions{.port = 0},
                Backend{.dispatch = [this](Request&& request, auto done) { done(api.handle(request, &context)); },
                        .admit = [](Request&&, auto done) { done({}); },
                        .body_limit = Api::body_limit}};
  std::thread thread;
};

TEST_F(BrokenSocket, AtTheNthOperationOfTheServiceLosesNothingAndDoublesNothing) {
  int n = 0;
  int broken_unstored = 0;
  int broken_stored = 0;
  for (const Break how : {Break::reset, Break::close}) {
    int unbroken = 0;  // how often is asked whether there is more to read differs, so one is not the end
    for (int operation = 1;; ++operation) {
      ASSERT_LT(operation, 1000);
      SCOPED_TRACE("operation " + std::to_string(operation));
      faulty_socket::break_at(operation, how);
      std::string answer;
      {
        Client client(server.port());
        client.send(request(++n));
        answer = client.receive();
      }
      wait_until_all_are_closed();
      const bool whole = answer.starts_with("HTTP/1.1 201") && answer.ends_with('\n');
      const bool stored = is_stored(n);
      EXPECT_TRUE(stored || !whole) << "what was answered is stored";
      const bool broke = faulty_socket::has_broken();
      if (broke) ++(stored ? broken_stored : broken_unstored);
      expect_again(n);
      if (!broke && ++unbroken == 3) break;
    }
  }
  // Seven bytes at a time: some 200 bytes of request; the answer is one operation. Each in both ways.
  EXPECT_GT(broken_unstored, 50);
  EXPECT_GE(broken_stored, 1);
}

TEST_F(BrokenSocket, APeerThatGoesAwayAfterTheNthByteLeavesNothing) {
  const std::size_t size = request(1).size();
  for (int n = 0; static_cast<std::size_t>(n) < size; ++n) {
    {
      Client client(server.port());
      client.send(std::string_view(request(n)).substr(0, static_cast<std::size_t>(n)));
      if (n % 2 == 0) client.reset_at_the_end();
    }
    Client next(server.port());
    next.send("GET /healthz HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n");
    EXPECT_EQ(next.receive().substr(0, 12), "HTTP/1.1 200");
    wait_until_all_are_closed();
    EXPECT_FALSE(is_stored(n)) << n;
    expect_again(n);
  }
}

}  // namespace
}  // namespace steelyard::serve
