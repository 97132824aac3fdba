// Killed without warning at random moments of imports and requests, again and again: afterwards the store is whole, and
// everything that was accepted is in it exactly once. STEELYARD_KILL_ROUNDS says how often; ten times if not set.
#include <cstdlib>
#include <random>
#include <set>

#include "process.hpp"
#include "steelyard/store/store.hpp"
#include "store/sqlite.hpp"

namespace steelyard::serve {
namespace {

namespace fs = std::filesystem;

constexpr int k_rows = 400;

int rounds() {
  const char* text = std::getenv("STEELYARD_KILL_ROUNDS");
  return text == nullptr ? 10 : std::atoi(text);
}

std::string day_text(int n) {
  return format_day(*parse_day("1910-01-01") + Days{n});
}

TEST(Kill, LosesNothingAndDoublesNothing) {
  const Folder folder;
  const std::string data = folder.file("s.db");
  const fs::path inbox = folder.path() / "inbox";
  {
    auto opened = store::open_sqlite_store(data);
    auto entry = (*opened)->begin("test", Instant{}).value();
    for (const std::string code : {"file", "web"}) {
      Athlete athlete;
      athlete.athlete = code;
      ASSERT_TRUE(entry->put(athlete));
    }
    ASSERT_TRUE(entry->commit());
  }
  const std::vector<std::string> arguments{"serve",   "--listen",     "127.0.0.1:0", "--data",   data,
                                           "--inbox", inbox.string(), "--config",    "/dev/null"};
  std::mt19937 random(std::random_device{}());
  const auto seed = random();
  random.seed(seed);
  SCOPED_TRACE("seed " + std::to_string(seed));
  std::set<int> unsure;  // requests that got no answer: to be sent again under their key
  int next = 0;
  int accepted = 0;
  const auto post = [&](std::uint16_t port, int n) {
    const std::string body = R"({"lift": "squat", "percent": 60, "speed": 0.6, "date": ")" + day_text(n) + "\"}";
    const std::string answer =
        ask(port, "POST", "/v1/athletes/web/bar", body, "Idempotency-Key: k" + std::to_string(n) + "\r\n");
    EXPECT_TRUE(answer.empty() || status_in(answer) == 201) << answer;
    if (status_in(answer) == 201) {
      unsure.erase(n);
      ++accepted;
    } else {
      unsure.insert(n);
    }
  };
  int killed_amid = 0;
  for (int round = 0; round < rounds(); ++round) {
    Process service(folder.file("log"), arguments);
    const auto port = service.port();
    ASSERT_NE(port, 0) << service.log();
    std::string text = "athlete,date,lift,percent,speed\n";
    for (int i = 0; i < k_rows; ++i) text += "file," + day_text(k_rows * round + i) + ",squat,60,0.6\n";
    std::ofstream(folder.path() / "new") << text;
    std::thread killer([&] {
      std::this_thread::sleep_for(std::chrono::microseconds(random() % 120'000));
      service.send(SIGKILL);
    });
    fs::rename(folder.path() / "new", inbox / ("f" + std::to_string(round) + ".csv"));
    for (const int n : std::set<int>(unsure)) post(port, n);
    for (int i = 0; i < 200 && unsure.empty(); ++i) post(port, next++);
    killer.join();
    EXPECT_EQ(service.wait(), 128 + SIGKILL);
    killed_amid += fs::exists(inbox / ("f" + std::to_string(round) + ".csv")) ? 1 : 0;
  }
  Process last(folder.file("log"), arguments);
  const auto port = last.port();
  for (const int n : std::set<int>(unsure)) post(port, n);
  EXPECT_TRUE(unsure.empty());
  EXPECT_TRUE(Process::eventually([&] {
    return std::none_of(fs::directory_iterator(inbox), {}, [](const auto& f) { return f.is_regular_file(); });
  })) << last.log();
  last.send(SIGTERM);
  EXPECT_EQ(last.wait(), 0);

  store::SqliteDatabase db;
  ASSERT_TRUE(db.open(data, std::chrono::seconds(1)));
  store::Statement check(db, "pragma integrity_check");
  ASSERT_TRUE(check.step().value());
  EXPECT_EQ(check.text(0), "ok");
  const auto count = [&](const std::string& sql) { return db.number(sql).value(); };
  EXPECT_EQ(count("select count(*) from bar where athlete = 'file'"), std::int64_t{k_rows} * rounds());
  EXPECT_EQ(count("select count(*) from bar where athlete = 'web'"), next);
  EXPECT_EQ(accepted, next);
  // The first entry made the athletes; then one a file and one a request, however often they were tried.
  EXPECT_EQ(count("select count(*) from entries"), 1 + rounds() + next);
  EXPECT_EQ(count("select count(*) from old_bar"), 0);
  EXPECT_EQ(count("select count(*) from accesses where status = 201"), next);
  EXPECT_EQ(std::distance(fs::directory_iterator(inbox / "done"), {}), rounds());
  RecordProperty("killed_amid_an_import", killed_amid);
  RecordProperty("requests", next);
}

}  // namespace
}  // namespace steelyard::serve
