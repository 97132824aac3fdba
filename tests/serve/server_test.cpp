// The limits of the sockets, over the loopback. Sources: RFC 9112 (message syntax, keep-alive), RFC 6585 section 5
// (431), RFC 9110 sections 9.3.2 (HEAD), 10.1.1 (Expect), 15.5.14 (413).
#include "serve/server.hpp"

#include <gtest/gtest.h>

#include <boost/asio/post.hpp>
#include <future>
#include <thread>

#include "socket.hpp"

namespace steelyard::serve {
namespace {

class ServerTest : public ::testing::Test {
 protected:
  void start(Limits limits = {}) {
    server = std::make_unique<Server>(
        loop, ServerOptions{.port = 0, .limits = limits},
        Backend{.dispatch =
                    [this](Request&& request, std::function<void(Response &&)> done) {
                      if (request.target == "/hold") {
                        held.set_value(std::move(done));
                        return;
                      }
                      if (request.target == "/large")
                        return done(Response{.body = std::string(std::size_t{64} << 20, 'x')});
                      done(Response{.headers = {{"content-type", "text/plain"}},
                                    .body = request.method + ' ' + request.target + ' ' + request.body});
                    },
                .admit =
                    [](Request&& head, std::function<void(Admission &&)> done) {
                      const auto who = head.header("authorization");
                      if (!who) return done({.refusal = problem(401, "not_allowed", "who is it?"), .caller = {}});
                      done({.refusal = std::nullopt, .caller = std::string(*who)});
                    },
                .body_limit =
                    [](std::string_view, std::string_view target) {
                      if (target == "/throw") throw std::bad_alloc();
                      return target == "/big" ? std::size_t{100'000} : 1000;
                    }});
    const auto started = server->start();
    ASSERT_TRUE(started) << started.error().text();
    thread = std::thread([this] { loop.run(); });
  }
  void TearDown() override {
    boost::asio::post(loop, [this] { server->stop(); });
    if (thread.joinable()) thread.join();
  }
  Client client() { return Client(server->port()); }
  std::string ask(const std::string& text) {
    Client one = client();
    one.send(text);
    return one.receive();
  }
  static std::string get(const std::string& target) {
    return "GET " + target + " HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n";
  }

  boost::asio::io_context loop{1};
  std::promise<std::function<void(Response&&)>> held;
  std::unique_ptr<Server> server;
  std::thread thread;
};

TEST_F(ServerTest, AnswersTwoRequestsOnOneConnection) {
  start();
  Client one = client();
  one.send("GET /a HTTP/1.1\r\nHost: x\r\n\r\n");
  EXPECT_NE(one.receive("GET /a ").find("HTTP/1.1 200 OK\r\n"), std::string::npos);
  one.send("POST /b HTTP/1.1\r\nHost: x\r\nContent-Length: 3\r\nConnection: close\r\n\r\nxyz");
  EXPECT_NE(one.receive().find("POST /b xyz"), std::string::npos);
}

TEST_F(ServerTest, AnswersHeadWithTheLengthAndWithoutTheBody) {
  start();
  const std::string answer = ask("HEAD /a HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n");
  EXPECT_NE(answer.find("Content-Length: 8\r\n"), std::string::npos) << answer;  // "HEAD /a "
  EXPECT_EQ(answer.substr(answer.size() - 4), "\r\n\r\n");
}

TEST_F(ServerTest, RefusesAHeaderThatIsTooLong) {
  start({.header_bytes = 2000});
  EXPECT_EQ(ask("GET / HTTP/1.1\r\nHost: x\r\nX: " + std::string(3000, 'a') + "\r\n\r\n").substr(0, 12),
            "HTTP/1.1 431");
  EXPECT_EQ(
      ask("GET / HTTP/1.1\r\nHost: x\r\nX: " + std::string(1000, 'a') + "\r\nConnection: close\r\n\r\n").substr(0, 12),
      "HTTP/1.1 200");
}

TEST_F(ServerTest, RefusesABodyThatIsTooLongForItsRoute) {
  start();
  const std::string body(1001, 'b');
  const auto with_length = [&](const std::string& target) {
    return "POST " + target + " HTTP/1.1\r\nHost: x\r\nConnection: close\r\nContent-Length: 1001\r\n\r\n" + body;
  };
  EXPECT_EQ(ask(with_length("/a")).substr(0, 12), "HTTP/1.1 413");
  EXPECT_EQ(ask(with_length("/big")).substr(0, 12), "HTTP/1.1 200");
  EXPECT_EQ(ask("POST /a HTTP/1.1\r\nHost: x\r\nTransfer-Encoding: chunked\r\n\r\n3e9\r\n" + body + "\r\n0\r\n\r\n")
                .substr(0, 12),
            "HTTP/1.1 413");
}

TEST_F(ServerTest, SaysGoOnBeforeABodyThatWaitsForIt) {
  start();
  Client one = client();
  one.send("POST /a HTTP/1.1\r\nHost: x\r\nContent-Length: 2\r\nExpect: 100-continue\r\nConnection: close\r\n\r\n");
  EXPECT_EQ(one.receive("\r\n\r\n").substr(0, 12), "HTTP/1.1 100");
  one.send("ok");
  EXPECT_NE(one.receive().find("POST /a ok"), std::string::npos);
}

TEST_F(ServerTest, RefusesWhatIsNoRequest) {
  start();
  EXPECT_EQ(ask("hello there\r\n\r\n").substr(0, 12), "HTTP/1.1 400");
  EXPECT_EQ(ask("GET / HTTP/1.1\r\nHost: x\r\nContent-Length: 1\r\nContent-Length: 2\r\n\r\nxx").substr(0, 12),
            "HTTP/1.1 400");
}

TEST_F(ServerTest, ClosesWhoSendsAHeaderTooSlowlyHoweverItTrickles) {
  start({.header = std::chrono::milliseconds(300)});
  Client slow = client();
  std::thread trickle([&] {
    for (const char c : std::string("GET / HTTP/1.1\r\nHost: a-long-name-that-takes-its-time")) {
      if (!slow.send({&c, 1})) return;
      std::this_thread::sleep_for(std::chrono::milliseconds(20));  // one byte every 20 ms: a second in all
    }
  });
  const auto begun = std::chrono::steady_clock::now();
  EXPECT_EQ(slow.receive(), "");
  EXPECT_LT(std::chrono::steady_clock::now() - begun, std::chrono::milliseconds(900));
  trickle.join();
}

TEST_F(ServerTest, ClosesWhoSendsABodyTooSlowly) {
  start({.body = std::chrono::milliseconds(200)});
  Client slow = client();
  slow.send("POST /a HTTP/1.1\r\nHost: x\r\nContent-Length: 10\r\n\r\nabc");
  EXPECT_EQ(slow.receive(), "");
}

TEST_F(ServerTest, ClosesWhoDoesNotTakeTheAnswer) {
  start({.answer = std::chrono::milliseconds(300)});
  Client slow = client();
  slow.small_window();
  slow.send(get("/large"));
  const auto wait_for = [&](std::size_t n) {
    for (;;) {
      std::promise<std::size_t> open;
      boost::asio::post(loop, [&] { open.set_value(server->connections()); });
      if (open.get_future().get() == n) return;
    }
  };
  wait_for(1);
  wait_for(0);  // the server gives up although nothing was read here; else the test runs into its time limit
}

TEST_F(ServerTest, ForgetsAConnectionThatEndsByAnException) {
  start({.connections = 1});
  EXPECT_EQ(ask(get("/throw")), "");
  EXPECT_EQ(ask(get("/a")).substr(0, 12), "HTTP/1.1 200")
      << "it takes the room of another, and stopping would touch it";
}

TEST_F(ServerTest, TakesNoMoreConnectionsThanAllowed) {
  start({.connections = 2});
  Client first = client();
  Client second = client();
  for (Client* one : {&first, &second}) {
    one->send("GET /a HTTP/1.1\r\nHost: x\r\n\r\n");
    EXPECT_NE(one->receive("GET /a ").find("200 OK"), std::string::npos);
  }
  Client third = client();
  EXPECT_EQ(third.receive().substr(0, 12), "HTTP/1.1 503");
  first.send("GET /b HTTP/1.1\r\nHost: x\r\n\r\n");
  EXPECT_NE(first.receive("GET /b ").find("200 OK"), std::string::npos) << "those that are there go on";
}

std::string post_of(const std::string& who, const std::string& more = {}) {
  return "POST /a HTTP/1.1\r\nHost: x\r\nContent-Length: 1000\r\nConnection: close\r\n" +
         (who.empty() ? "" : "Authorization: " + who + "\r\n") + more + "\r\n";
}

TEST_F(ServerTest, TakesNoMoreBytesAtOnceThanAllowed) {
  start({.small_body = 100, .bodies = 1500, .bodies_of_one = 1500});
  Client first = client();
  first.send(post_of("a", "Expect: 100-continue\r\n"));
  EXPECT_EQ(first.receive("\r\n\r\n").substr(0, 12), "HTTP/1.1 100");
  EXPECT_EQ(ask(post_of("b") + std::string(1000, 'b')).substr(0, 12), "HTTP/1.1 200") << "announced is not taken";
  first.send(std::string(999, 'a'));
  // What was sent has arrived before what is sent afterwards: both come over the loopback to one loop.
  EXPECT_EQ(ask(post_of("b") + std::string(1000, 'b')).substr(0, 12), "HTTP/1.1 503");
  EXPECT_EQ(ask(get("/b")).substr(0, 12), "HTTP/1.1 200") << "what has no body goes on";
  first.send("a");
  EXPECT_EQ(first.receive().substr(0, 12), "HTTP/1.1 200");
  EXPECT_EQ(ask(post_of("b") + std::string(1000, 'b')).substr(0, 12), "HTTP/1.1 200");
}

TEST_F(ServerTest, ACallerTakesNoMoreThanTheirShare) {
  start({.small_body = 100, .bodies = 100'000, .bodies_of_one = 1500});
  Client first = client();
  first.send(post_of("a", "Expect: 100-continue\r\n"));
  EXPECT_EQ(first.receive("\r\n\r\n").substr(0, 12), "HTTP/1.1 100");
  first.send(std::string(999, 'a'));
  EXPECT_EQ(ask(post_of("a") + std::string(1000, 'b')).substr(0, 12), "HTTP/1.1 503");
  EXPECT_EQ(ask(post_of("b") + std::string(1000, 'b')).substr(0, 12), "HTTP/1.1 200");
}

TEST_F(ServerTest, AStrangersLargeBodyIsRefusedBeforeItIsSent) {
  start({.small_body = 100, .bodies = 1500, .bodies_of_one = 1500});
  EXPECT_EQ(ask(post_of("")).substr(0, 12), "HTTP/1.1 401");
  EXPECT_EQ(ask(post_of("", "Expect: 100-continue\r\n")).substr(0, 12), "HTTP/1.1 401");
  EXPECT_EQ(ask("POST /a HTTP/1.1\r\nHost: x\r\nTransfer-Encoding: chunked\r\n\r\n").substr(0, 12), "HTTP/1.1 401");
  std::vector<Client> strangers;  // small ones are read, but take nothing from others
  for (int i = 0; i < 100; ++i) {
    strangers.push_back(client());
    strangers.back().send("POST /a HTTP/1.1\r\nHost: x\r\nContent-Length: 100\r\n\r\n" + std::string(99, 'x'));
  }
  EXPECT_EQ(ask(post_of("a") + std::string(1000, 'a')).substr(0, 12), "HTTP/1.1 200");
}

TEST_F(ServerTest, SlowClientsHoldNobodyUp) {
  start();
  std::vector<Client> slow;
  for (int i = 0; i < 500; ++i) {
    slow.push_back(client());
    ASSERT_TRUE(slow.back().send("GET / HTTP/1.1\r\nHo"));
  }
  for (int i = 0; i < 100; ++i) EXPECT_NE(ask(get("/quick")).find("GET /quick"), std::string::npos);
}

TEST_F(ServerTest, StopsAfterTheRequestThatIsUnderWay) {
  start();
  Client idle = client();
  Client busy = client();
  busy.send("GET /hold HTTP/1.1\r\nHost: x\r\n\r\n");
  auto done = held.get_future().get();
  boost::asio::post(loop, [this] { server->stop(); });
  EXPECT_EQ(idle.receive(), "");
  done(Response{.body = "finished"});
  const std::string answer = busy.receive();
  EXPECT_NE(answer.find("finished"), std::string::npos);
  EXPECT_NE(answer.find("Connection: close"), std::string::npos);
  thread.join();
}

TEST_F(ServerTest, AStopCutsOffWhoIsInTheMiddleOfABody) {
  start();
  Client half = client();
  half.send("POST /a HTTP/1.1\r\nHost: x\r\nContent-Length: 10\r\nExpect: 100-continue\r\n\r\n");
  EXPECT_EQ(half.receive("\r\n\r\n").substr(0, 12), "HTTP/1.1 100");
  half.send("abc");
  ask(get("/b"));  // by now that has been read too
  const auto begun = std::chrono::steady_clock::now();
  boost::asio::post(loop, [this] { server->stop(); });
  const std::string answer = half.receive();
  EXPECT_EQ(answer.substr(0, 12), "HTTP/1.1 503");
  EXPECT_NE(answer.find("nothing was stored"), std::string::npos) << answer;
  thread.join();
  EXPECT_LT(std::chrono::steady_clock::now() - begun, std::chrono::seconds(2));
}

TEST_F(ServerTest, CuttingOffEndsWhoDoesNotTakeTheAnswer) {
  start();
  Client slow = client();
  slow.small_window();
  slow.send("GET /large HTTP/1.1\r\nHost: x\r\n\r\n");
  EXPECT_NE(slow.receive("\r\n\r\n").find("200 OK"), std::string::npos);
  const auto begun = std::chrono::steady_clock::now();
  boost::asio::post(loop, [this] {
    server->stop();
    server->cut_off();
  });
  thread.join();  // the loop ends with the last connection
  EXPECT_LT(std::chrono::steady_clock::now() - begun, std::chrono::seconds(5));
}

// Request smuggling. Sources: RFC 9112 sections 6.1, 6.3 (two lengths), 5.1 (blank before the colon), 2.2 (bare CR).
TEST_F(ServerTest, ARequestWhoseEndIsUnclearIsRefusedAndNothingInItIsASecondRequest) {
  start();
  const std::string second = "GET /second HTTP/1.1\r\nHost: x\r\n\r\n";
  for (const std::string& header :
       {std::string("Content-Length: 4\r\nTransfer-Encoding: chunked"),
        std::string("Transfer-Encoding: chunked\r\nContent-Length: 4"),
        std::string("Content-Length: 0\r\nContent-Length: 9"), std::string("Content-Length: +4"),
        std::string("Content-Length: 4 4"), std::string("Content-Length: 0x4"), std::string("Content-Length : 4"),
        std::string("Content-Length: 99999999999999999999"), std::string("X: a\rContent-Length: 4"),
        std::string("X: a\0b\r\nContent-Length: 4", 25)}) {
    const std::string answer = ask("POST /a HTTP/1.1\r\nHost: x\r\n" + header + "\r\n\r\n0\r\n\r\n" + second);
    EXPECT_EQ(answer.substr(0, 10), "HTTP/1.1 4") << header << "\n" << answer;
    EXPECT_EQ(answer.find("/second"), std::string::npos) << header << "\n" << answer;
    EXPECT_EQ(answer.find(" 200 "), std::string::npos) << header << "\n" << answer;
  }
}

}  // namespace
}  // namespace steelyard::serve
