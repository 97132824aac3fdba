// The service as a process: its manager, its signals, a second writer, and what can go wrong with the store.
// Sources: sd_notify(3), sd_listen_fds(3), sd_watchdog_enabled(3) for the words and variables; sysexits.h for statuses.
#include <grp.h>
#include <sys/resource.h>
#include <sys/un.h>

#include <atomic>

#include "certificate.hpp"
#include "process.hpp"
#include "serve/notify.hpp"
#include "steelyard/store/store.hpp"
#include "store/sqlite.hpp"
#include "tls_client.hpp"

namespace steelyard::serve {
namespace {

namespace fs = std::filesystem;

class DaemonTest : public ::testing::Test {
 protected:
  DaemonTest() {
    auto opened = store::open_sqlite_store(data);
    auto entry = (*opened)->begin("test", Instant{}).value();
    Athlete athlete;
    athlete.athlete = "a1";
    EXPECT_TRUE(entry->put(athlete));
    EXPECT_TRUE(entry->commit());
  }

  [[nodiscard]] std::vector<std::string> serve(std::vector<std::string> more = {}) const {
    std::vector<std::string> arguments{"serve", "--listen", "127.0.0.1:0", "--data", data, "--config", config};
    arguments.insert(arguments.end(), more.begin(), more.end());
    return arguments;
  }
  /// On every address, with encryption; needs a token.
  [[nodiscard]] std::vector<std::string> serve_outside(const std::string& certificate, const std::string& key) const {
    return {"serve", "--listen",      "0.0.0.0:0", "--data", data, "--config",
            config,  "--certificate", certificate, "--key",  key};
  }
  /// returns  the exit status
  [[nodiscard]] int add_coach_token() const {
    Process token(folder.file("token"), {"token", "add", "--role", "coach", "--data", data});
    return token.wait();
  }
  [[nodiscard]] std::size_t rows() const {
    const auto store = store::open_sqlite_store(data).value();
    return store->log("a1", *parse_day("1950-01-01"), *parse_day("2150-01-01")).value().bar.size();
  }
  /// A file of bar speeds on that many days from a day on.
  static std::string bar_rows(int first, int n) {
    std::string text = "athlete,date,lift,percent,speed\n";
    for (int i = 0; i < n; ++i) {
      text += "a1," + format_day(*parse_day("1960-01-01") + Days{first + i}) + ",squat,60,0.6\n";
    }
    return text;
  }
  void drop(const std::string& name, const std::string& text) const {
    std::ofstream(folder.path() / "new") << text;
    fs::rename(folder.path() / "new", fs::path(inbox) / name);
  }
  [[nodiscard]] bool is_done(const std::string& name) const { return fs::exists(fs::path(inbox) / "done" / name); }

  Folder folder;
  std::string data = folder.file("s.db");
  std::string inbox = folder.file("inbox");
  std::string config = (std::ofstream(folder.path() / "c.ini") << "", folder.file("c.ini"));
};

const std::string k_bar = R"({"lift": "squat", "percent": 60, "speed": 0.6})";

TEST(Notify, AManagerMayAskForMoreThanHalfAnHour) {
  ::setenv("WATCHDOG_USEC", "7200000000", 1);
  ::unsetenv("WATCHDOG_PID");
  EXPECT_EQ(watchdog_interval(), std::chrono::hours(1));
  ::setenv("WATCHDOG_USEC", "-1", 1);
  EXPECT_FALSE(watchdog_interval());
  ::unsetenv("WATCHDOG_USEC");
}

TEST_F(DaemonTest, TellsItsManagerHowItGoes) {
  const std::string path = folder.file("notify");
  const int socket = ::socket(AF_UNIX, SOCK_DGRAM | SOCK_CLOEXEC, 0);
  sockaddr_un address{};
  address.sun_family = AF_UNIX;
  path.copy(address.sun_path, sizeof address.sun_path - 1);
  ASSERT_EQ(::bind(socket, reinterpret_cast<const sockaddr*>(&address), sizeof address), 0);
  const auto next = [&](const std::string& other_than) {
    for (;;) {
      char buffer[256];
      pollfd ready{.fd = socket, .events = POLLIN, .revents = 0};
      if (::poll(&ready, 1, 10'000) != 1) return std::string("(nothing)");
      const auto n = ::recv(socket, buffer, sizeof buffer, 0);
      const std::string text(buffer, static_cast<std::size_t>(n));
      if (text != other_than) return text;
    }
  };
  Process service(folder.file("log"), serve(), [&] {
    ::setenv("NOTIFY_SOCKET", path.c_str(), 1);
    ::setenv("WATCHDOG_USEC", "100000", 1);
  });
  EXPECT_EQ(next("WATCHDOG=1"), "READY=1");
  EXPECT_EQ(next(""), "WATCHDOG=1");
  EXPECT_EQ(next(""), "WATCHDOG=1");
  service.send(SIGHUP);
  EXPECT_EQ(next("WATCHDOG=1").substr(0, 27), "RELOADING=1\nMONOTONIC_USEC=");
  EXPECT_EQ(next("WATCHDOG=1"), "READY=1");
  service.send(SIGTERM);
  EXPECT_EQ(next("WATCHDOG=1"), "STOPPING=1");
  EXPECT_EQ(service.wait(), 0);
  ::close(socket);
}

/// A listening socket on a free port of an address, and how a manager hands it to a program.
class OpenSocket {
 public:
  explicit OpenSocket(in_addr_t where) : fd_(::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0)) {
    sockaddr_in address{};
    address.sin_family = AF_INET;
    address.sin_addr.s_addr = htonl(where);
    EXPECT_EQ(::bind(fd_, reinterpret_cast<const sockaddr*>(&address), sizeof address), 0);
    EXPECT_EQ(::listen(fd_, 10), 0);
    socklen_t size = sizeof address;
    EXPECT_EQ(::getsockname(fd_, reinterpret_cast<sockaddr*>(&address), &size), 0);
    port_ = ntohs(address.sin_port);
  }
  OpenSocket(const OpenSocket&) = delete;
  OpenSocket& operator=(const OpenSocket&) = delete;
  ~OpenSocket() { ::close(fd_); }
  [[nodiscard]] std::uint16_t port() const { return port_; }
  void hand_over() const {
    ::dup2(fd_, 3);
    ::fcntl(3, F_SETFD, 0);  // the same number is not copied, and would be closed
    ::setenv("LISTEN_FDS", "1", 1);
    ::setenv("LISTEN_PID", std::to_string(::getpid()).c_str(), 1);
  }

 private:
  int fd_;
  std::uint16_t port_ = 0;
};

TEST_F(DaemonTest, TakesOverASocketThatIsOpenAlready) {
  const OpenSocket socket(INADDR_LOOPBACK);
  const Process service(folder.file("log"), serve(), [&] { socket.hand_over(); });
  EXPECT_EQ(status_in(ask(socket.port(), "GET", "/healthz")), 200);  // waits in the socket's queue until then
}

TEST_F(DaemonTest, ASocketThatIsOpenToOthersNeedsTokensToo) {
  const OpenSocket socket(INADDR_ANY);
  Process service(folder.file("log"), serve(), [&] { socket.hand_over(); });
  EXPECT_EQ(service.wait(), 64);
  EXPECT_NE(service.log().find("tokens are needed"), std::string::npos) << service.log();
}

TEST_F(DaemonTest, KeepsWhatWasInForceWhenAFileIsBad) {
  const std::string models = folder.file("models");
  fs::create_directories(models);
  std::ofstream(models + "/load.toml") << bytes_of(STEELYARD_SOURCE_DIR "/models/load.toml");
  const Process service(folder.file("log"), serve({"--models", models}));
  const auto port = service.port();
  const std::string before = ask(port, "GET", "/v1/athletes/a1/today?date=2026-11-23");
  EXPECT_EQ(status_in(before), 200);
  std::ofstream(models + "/load.toml") << "nonsense = [";
  service.send(SIGHUP);
  EXPECT_TRUE(service.says("event=not-reloaded"));
  EXPECT_NE(service.log().find("what was in force before stays in force"), std::string::npos) << service.log();
  EXPECT_EQ(ask(port, "GET", "/v1/athletes/a1/today?date=2026-11-23"), before);
  std::ofstream(models + "/load.toml") << bytes_of(STEELYARD_SOURCE_DIR "/models/load.toml");
  service.send(SIGHUP);
  EXPECT_TRUE(service.says("event=reloaded"));
  std::ofstream(config) << "[serve]\nmornin = 06:00\n";
  service.send(SIGHUP);
  EXPECT_TRUE(service.says("did you mean 'serve.morning'?")) << service.log();
}

TEST_F(DaemonTest, IsReachedFromOutsideOnlyWithTokensAndEncryption) {
  const auto refused = [&](std::vector<std::string> more) {
    more.insert(more.begin(), {"serve", "--data", data, "--config", config});
    Process service(folder.file("log"), more);
    const int status = service.wait();
    return std::pair(status, service.log());
  };
  const auto [status, text] = refused({"--listen", "0.0.0.0:0"});
  EXPECT_EQ(status, 64);
  EXPECT_NE(text.find("tokens are needed"), std::string::npos) << text;
  EXPECT_EQ(refused({"--listen", "127.0.0.1:0", "--behind-proxy"}).first, 64);
  Process token(folder.file("token"), {"token", "add", "--role", "coach", "--data", data});
  ASSERT_EQ(token.wait(), 0);
  const auto [again, why] = refused({"--listen", "0.0.0.0:0"});
  EXPECT_EQ(again, 64);
  EXPECT_NE(why.find("for everybody to read"), std::string::npos) << why;
  const auto [no_key, half] = refused({"--listen", "0.0.0.0:0", "--certificate", "x.pem"});
  EXPECT_EQ(no_key, 64) << half;
  const Process proxied(folder.file("log"), {"serve", "--data", data, "--listen", "0.0.0.0:0", "--behind-proxy"});
  EXPECT_EQ(status_in(ask(proxied.port(), "GET", "/v1/athletes")), 401);
}

TEST_F(DaemonTest, WritesBesideTheCommandLineAndASecondService) {
  const Process one(folder.file("log1"), serve({"--inbox", inbox}));
  ASSERT_NE(one.port(), 0);
  const Process two(folder.file("log2"), serve({"--inbox", inbox}));
  ASSERT_NE(two.port(), 0);
  std::atomic<int> failures{0};
  const auto post = [&](std::uint16_t port, int from) {
    for (int i = 0; i < 20; ++i) {
      const std::string day = format_day(*parse_day("2000-01-01") + Days{from + i});
      const std::string body = R"({"lift": "squat", "percent": 60, "speed": 0.6, "date": ")" + day + "\"}";
      if (status_in(ask(port, "POST", "/v1/athletes/a1/bar", body)) != 201) ++failures;
    }
  };
  std::thread first(post, one.port(), 0);
  std::thread second(post, two.port(), 100);
  for (int i = 0; i < 5; ++i) drop("f" + std::to_string(i) + ".csv", bar_rows(1000 * i, 100));
  for (int i = 0; i < 5; ++i) {
    std::ofstream(folder.path() / "cli.csv") << bar_rows(10'000 + 10 * i, 10);
    Process ingest(folder.file("log3"), {"ingest", folder.file("cli.csv"), "--data", data});
    EXPECT_EQ(ingest.wait(), 0) << ingest.log();
  }
  first.join();
  second.join();
  EXPECT_EQ(failures, 0);
  for (int i = 0; i < 5; ++i)
    EXPECT_TRUE(Process::eventually([&] { return is_done("f" + std::to_string(i) + ".csv"); }));
  EXPECT_EQ(rows(), 20U + 20U + 500U + 50U);
  const auto leads = [](const Process& service) {
    return ask(service.port(), "GET", "/metrics").find("steelyard_leader 1\n") != std::string::npos;
  };
  EXPECT_NE(leads(one), leads(two));
}

TEST_F(DaemonTest, TheOtherTakesInboxAndBriefingsOverWhenTheLeaderIsKilled) {
  const std::string outbox = folder.file("outbox");
  const std::vector<std::string> hand{"--inbox", inbox, "--outbox", outbox, "--morning", "00:00"};
  Process one(folder.file("log1"), serve(hand));
  const auto leads = [](std::uint16_t port) {
    return ask(port, "GET", "/metrics").find("steelyard_leader 1\n") != std::string::npos;
  };
  ASSERT_TRUE(Process::eventually([&] { return leads(one.port()); }));
  EXPECT_TRUE(Process::eventually([&] { return fs::exists(outbox) && !fs::is_empty(outbox); })) << one.log();
  const Process two(folder.file("log2"), serve(hand));
  ASSERT_NE(two.port(), 0);
  drop("first.csv", bar_rows(0, 10));
  EXPECT_TRUE(Process::eventually([&] { return is_done("first.csv"); }));
  EXPECT_FALSE(leads(two.port()));
  one.send(SIGKILL);
  EXPECT_EQ(one.wait(), 128 + SIGKILL);
  const auto store = store::open_sqlite_store(data).value();
  Athlete athlete;
  athlete.athlete = "late";
  const auto entry = store->begin("test", Instant{}).value();
  ASSERT_TRUE(entry->put(athlete));
  ASSERT_TRUE(entry->commit());
  drop("second.csv", bar_rows(100, 10));
  EXPECT_TRUE(Process::eventually([&] { return is_done("second.csv"); })) << two.log();
  EXPECT_TRUE(leads(two.port()));
  EXPECT_EQ(rows(), 20U);
  const auto has_briefing_of = [&](const std::string& code) {
    return std::count_if(fs::directory_iterator(outbox), {}, [&](const auto& file) {
      return file.path().filename().string().ends_with("-" + code + ".txt");
    });
  };
  // The next look at what is due comes within fifteen seconds.
  EXPECT_TRUE(Process::eventually([&] { return has_briefing_of("late") == 1; }, std::chrono::seconds(25))) << two.log();
  EXPECT_EQ(has_briefing_of("a1"), 1) << "made by the first, and not again";
}

TEST_F(DaemonTest, ReadsWhatWasThereAtTheStartAndLooksByItselfWhereFoldersTellNothing) {
  fs::create_directories(inbox);
  std::ofstream(inbox + "/before.csv") << bar_rows(0, 5);
  const Process service(folder.file("log"), serve({"--inbox", inbox, "--inbox-poll", "1"}));
  ASSERT_NE(service.port(), 0);
  EXPECT_TRUE(Process::eventually([&] { return is_done("before.csv"); })) << service.log();
  std::ofstream(inbox + "/later.csv") << bar_rows(100, 5);
  EXPECT_TRUE(Process::eventually([&] { return is_done("later.csv"); })) << service.log();
  EXPECT_EQ(rows(), 10U);
}

TEST_F(DaemonTest, NothingComesBackOfWhomAnotherProcessErases) {
  const Process service(folder.file("log"), serve());
  const auto port = service.port();
  const auto store = store::open_sqlite_store(data).value();
  {
    const auto held = store->begin("so that by-products have to wait", Instant{}).value();
    EXPECT_EQ(status_in(ask(port, "GET", "/v1/athletes/a1/today?date=2026-11-23")), 200);
    EXPECT_TRUE(service.says("event=not-saved-yet"));
  }
  ASSERT_TRUE(store->erase("a1"));
  Athlete other;
  other.athlete = "b1";
  {
    const auto entry = store->begin("test", Instant{}).value();
    ASSERT_TRUE(entry->put(other));
    ASSERT_TRUE(entry->commit());
  }
  EXPECT_EQ(status_in(ask(port, "GET", "/v1/athletes/b1/today?date=2026-11-23")), 200);
  EXPECT_TRUE(Process::eventually([&] { return store->service().accesses("b1").value().size() == 1; }));
  EXPECT_TRUE(store->service().accesses("a1").value().empty());
  EXPECT_FALSE(store->call("a1", *parse_day("2026-11-23"), "today").value());
}

TEST_F(DaemonTest, SpeaksTlsWithACertificateAndTakesANewOneAtTheSignal) {
  const std::string certificate = folder.file("c.pem");
  const std::string key = folder.file("k.pem");
  make_certificate(certificate, key);
  ASSERT_EQ(add_coach_token(), 0);
  const Process service(folder.file("log"), serve_outside(certificate, key));
  const auto port = service.port();
  ASSERT_NE(port, 0) << service.log();
  EXPECT_EQ(status_in(ask_over_tls(port, certificate, "/healthz")), 200);
  EXPECT_EQ(status_in(ask_over_tls(port, certificate, "/v1/athletes/a1/today")), 401);
  EXPECT_EQ(ask(port, "GET", "/healthz").find("HTTP/1.1 200"), std::string::npos) << "nothing in plain text";
  std::ofstream(key) << "nonsense";
  service.send(SIGHUP);
  EXPECT_TRUE(service.says("event=not-reloaded"));
  EXPECT_EQ(status_in(ask_over_tls(port, certificate, "/healthz")), 200) << "the old one stays";
  const std::string next = folder.file("next.pem");
  make_certificate(next, key);
  fs::copy_file(next, certificate, fs::copy_options::overwrite_existing);
  service.send(SIGHUP);
  EXPECT_TRUE(service.says("event=reloaded"));
  EXPECT_EQ(status_in(ask_over_tls(port, next, "/healthz")), 200);
}

TEST_F(DaemonTest, OutsideTheMachineIsNeverOpenWhateverBecomesOfTheTokens) {
  const std::string certificate = folder.file("c.pem");
  const std::string key = folder.file("k.pem");
  make_certificate(certificate, key);
  ASSERT_EQ(add_coach_token(), 0);
  const Process service(folder.file("log"), serve_outside(certificate, key));
  const auto port = service.port();
  ASSERT_NE(port, 0) << service.log();
  store::SqliteDatabase db;
  ASSERT_TRUE(db.open(data, std::chrono::seconds(5)));
  ASSERT_TRUE(db.run("delete from tokens"));
  EXPECT_EQ(status_in(ask_over_tls(port, certificate, "/v1/athletes")), 401);
}

TEST_F(DaemonTest, BehindAProxySlowsTheClientThatTheProxyNames) {
  Process token(folder.file("token"), {"token", "add", "--role", "coach", "--data", data});
  ASSERT_EQ(token.wait(), 0);
  const Process service(folder.file("log"), serve({"--behind-proxy"}));
  const auto port = service.port();
  const auto status_for = [&](const std::string& client) {
    return status_in(ask(port, "GET", "/v1/athletes", {},
                         "Authorization: Bearer wrong\r\nX-Forwarded-For: 9.9.9.9, " + client + "\r\n"));
  };
  for (int i = 0; i < 5; ++i) EXPECT_EQ(status_for("192.0.2.1"), 401);
  EXPECT_EQ(status_for("192.0.2.1"), 429);
  EXPECT_EQ(status_for("192.0.2.2"), 401) << "what the client itself claims in front does not count";
}

TEST_F(DaemonTest, KeepsNoAnswerLongerThanItHolds) {
  const Process service(folder.file("log"), serve());
  const auto port = service.port();
  const std::string plan = "/v1/athletes/a1/plan?date=2026-11-23";
  const auto asked = [&] { return ask(port, "GET", plan); };
  const std::string before = asked();
  EXPECT_EQ(asked(), before);
  for (int i = 0; i < 30;
       ++i) {  // by another process, by this one, and whatever the saving of by-products does between
    const std::string day = format_day(*parse_day("2026-11-24") + Days{i % 7});
    const std::string lift = "lift-" + std::to_string(i);
    std::ofstream(folder.path() / "p.csv") << "athlete,date,lift,kind\na1," + day + ',' + lift + ",light\n";
    Process ingest(folder.file("log3"), {"ingest", folder.file("p.csv"), "--data", data});
    ASSERT_EQ(ingest.wait(), 0) << ingest.log();
    EXPECT_NE(asked().find(lift), std::string::npos);
    EXPECT_EQ(status_in(ask(port, "POST", "/v1/athletes/a1/days-off",
                            R"({"from": "2026-11-2)" + std::to_string(3 + i % 7) +
                                R"(", "to": "2026-11-30", "reason": ")" + (i % 2 == 0 ? "holiday" : "travel") + "\"}")),
              201);
    EXPECT_NE(asked().find(i % 2 == 0 ? "holiday" : "travel"), std::string::npos);
  }
}

TEST_F(DaemonTest, AnswersReadsAtOnceWhileSomebodyHoldsTheStoreAndWritesLater) {
  const Process service(folder.file("log"), serve({"--inbox", inbox}));
  const auto port = service.port();
  const auto store = store::open_sqlite_store(data).value();
  {
    const auto held = store->begin("a long import", Instant{}).value();
    drop("f.csv", bar_rows(0, 3));
    const auto begun = std::chrono::steady_clock::now();
    EXPECT_EQ(status_in(ask(port, "GET", "/v1/athletes/a1/today?date=2026-11-23")), 200);
    EXPECT_LT(std::chrono::steady_clock::now() - begun, std::chrono::seconds(2));
    const std::string busy = ask(port, "POST", "/v1/athletes/a1/bar", k_bar);  // waits five seconds
    EXPECT_EQ(status_in(busy), 503);
    EXPECT_NE(busy.find("retry-after: 2\r\n"), std::string::npos);
    EXPECT_NE(busy.find("another process is writing to the store; try again in a moment"), std::string::npos);
    EXPECT_FALSE(is_done("f.csv"));
    EXPECT_TRUE(service.says("event=not-saved-yet"));
  }
  EXPECT_EQ(status_in(ask(port, "POST", "/v1/athletes/a1/bar", k_bar)), 201);
  EXPECT_TRUE(Process::eventually([&] { return is_done("f.csv"); })) << service.log();
  EXPECT_TRUE(Process::eventually([&] {
    return store->call("a1", *parse_day("2026-11-23"), "today").value().has_value();
  })) << "the call that was made meanwhile is kept too";
}

TEST_F(DaemonTest, SaysThatTheDiskIsFullAndGoesOnWhenItIsNot) {
  const Process service(folder.file("log"), serve({"--inbox", inbox}));
  const auto port = service.port();
  const auto allow = [&](rlim_t bytes) {
    const rlimit limit{.rlim_cur = bytes, .rlim_max = RLIM_INFINITY};
    ASSERT_EQ(::prlimit(service.pid(), RLIMIT_FSIZE, &limit, nullptr), 0);
  };
  allow(4096);
  const std::string full = ask(port, "POST", "/v1/athletes/a1/bar", k_bar);
  EXPECT_EQ(status_in(full), 500);
  EXPECT_NE(full.find("nothing was stored"), std::string::npos) << full;
  EXPECT_EQ(full.find(folder.path().string()), std::string::npos) << "the machine's paths are nobody's business";
  drop("f.csv", bar_rows(0, 100));
  EXPECT_TRUE(service.says("event=inbox")) << service.log();
  EXPECT_FALSE(is_done("f.csv"));
  EXPECT_EQ(rows(), 0U);
  allow(RLIM_INFINITY);
  EXPECT_EQ(status_in(ask(port, "POST", "/v1/athletes/a1/bar", k_bar)), 201);
  drop("g.csv", bar_rows(0, 100));
  EXPECT_TRUE(Process::eventually([&] { return is_done("f.csv") && is_done("g.csv"); })) << service.log();
  EXPECT_EQ(rows(), 101U);
}

TEST_F(DaemonTest, SaysThatTheStoreMayNotBeWritten) {
  fs::permissions(folder.path(), fs::perms::owner_all | fs::perms::others_read | fs::perms::others_exec);
  const bool is_root = ::geteuid() == 0;  // who may do everything
  for (const char* ending : {"", "-wal", "-shm"}) {
    const std::string file = data + ending;
    fs::permissions(file, fs::perms::owner_read);
    ASSERT_TRUE(!is_root || ::chown(file.c_str(), 65534, 65534) == 0);
  }
  Process service(folder.file("log"), serve(), [&] {
    if (is_root && (::setgroups(0, nullptr) != 0 || ::setgid(65534) != 0 || ::setuid(65534) != 0)) ::_exit(126);
  });
  EXPECT_EQ(service.wait(), 74);
  EXPECT_NE(service.log().find("give the program write permission"), std::string::npos) << service.log();
}

TEST_F(DaemonTest, ASetupThatCannotWorkEndsItAtOnce) {
  Process first(folder.file("log"), serve());
  const auto port = first.port();
  std::ofstream(folder.path() / "file") << "";
  const auto ends = [&](const std::vector<std::string>& arguments) {
    Process service(folder.file("log2"), arguments);
    return service.wait();
  };
  EXPECT_EQ(ends(serve({"--inbox", folder.file("file")})), 74);
  EXPECT_EQ(ends({"serve", "--data", data, "--listen", "127.0.0.1:" + std::to_string(port)}), 74);
  EXPECT_EQ(ends({"serve", "--data", data, "--listen", "nowhere:80"}), 64);
  EXPECT_EQ(ends(serve({"--morning", "25:00"})), 64);
}

TEST_F(DaemonTest, AHalfSentBodyHoldsUpNoStopAndLosesNoByProduct) {
  Process service(folder.file("log"), serve({"--inbox", inbox}));
  const auto port = service.port();
  Client half(port);
  half.send("POST /v1/athletes/a1/bar HTTP/1.1\r\nHost: localhost\r\nContent-Length: 100\r\n\r\n{");
  Client idle(port);
  EXPECT_EQ(status_in(ask(port, "GET", "/v1/athletes/a1/today?date=2026-11-23")), 200);
  const auto begun = std::chrono::steady_clock::now();
  service.send(SIGTERM);
  EXPECT_EQ(half.receive().substr(0, 12), "HTTP/1.1 503");
  EXPECT_EQ(service.wait(), 0);
  EXPECT_LT(std::chrono::steady_clock::now() - begun, std::chrono::milliseconds(2500));
  EXPECT_NE(service.log().find("event=stopped\n"), std::string::npos) << service.log();
  const auto store = store::open_sqlite_store(data).value();
  EXPECT_EQ(store->service().accesses("a1").value().size(), 1U);
  EXPECT_TRUE(store->call("a1", *parse_day("2026-11-23"), "today").value());
  EXPECT_EQ(store->service().lease_holder("hand").value(), "");
}

TEST_F(DaemonTest, AStrangersHalfSentFilesLeaveRoomForOthers) {
  Process token(folder.file("token"), {"token", "add", "--role", "coach", "--data", data});
  ASSERT_EQ(token.wait(), 0);
  std::string secret = token.log().substr(token.log().rfind('\n', token.log().size() - 2) + 1);
  secret.pop_back();
  const Process service(folder.file("log"), serve());
  const auto port = service.port();
  std::vector<Client> strangers;
  for (int i = 0; i < 9; ++i) {  // each announces 32 MB, more than there is for all together
    strangers.emplace_back(port);
    strangers.back().send("POST /v1/ingest HTTP/1.1\r\nHost: localhost\r\nContent-Length: 33000000\r\n\r\nathlete");
    EXPECT_EQ(strangers.back().receive("\r\n\r\n").substr(0, 12), "HTTP/1.1 401");
  }
  std::string file = bar_rows(0, 3);
  file.resize(30'000, '\n');  // a large one: blank lines are not rows
  EXPECT_EQ(status_in(ask(port, "POST", "/v1/ingest", file, "Authorization: Bearer " + secret + "\r\n")), 201);
  EXPECT_EQ(rows(), 3U);
}

TEST_F(DaemonTest, FinishesTheImportThatIsUnderWayAndStopsInTime) {
  Process service(folder.file("log"), serve({"--inbox", inbox}));
  ASSERT_NE(service.port(), 0);
  drop("f.csv", bar_rows(0, 20'000));
  EXPECT_TRUE(Process::eventually([&] { return fs::file_size(data + "-wal") > 200'000; })) << "it is under way";
  const auto begun = std::chrono::steady_clock::now();
  service.send(SIGTERM);
  EXPECT_EQ(service.wait(), 0);
  EXPECT_LT(std::chrono::steady_clock::now() - begun, std::chrono::seconds(5));
  const std::size_t stored = rows();
  EXPECT_TRUE((stored == 20'000 && is_done("f.csv")) || (stored == 0 && !is_done("f.csv"))) << stored;
}

}  // namespace
}  // namespace steelyard::serve
