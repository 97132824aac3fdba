// A store that was moved to a server answers as before.
#include <gmock/gmock.h>

#include "cli/program.hpp"
#include "store/server.hpp"

namespace steelyard::cli {
namespace {

class PostgresMove : public Program {};

TEST_F(PostgresMove, TodayGivesTheSameCallFromFileServerAndFile) {
  store::Databases databases;
  const std::string server = "'" + databases.url("a") + "'";
  ok("athlete add a1 --data s.db");
  ok("max set squat 150 2026-01-01 --data s.db");
  ok("plan set 2026-11-23 squat heavy 3x4@82.5 --minutes 75 --data s.db");
  std::string checks = "athlete,date,sleep_hours,soreness,fatigue,stress,mood\n";
  for (int d = 1; d <= 23; ++d)
    checks += "a1,2026-11-" + std::string(d < 10 ? "0" : "") + std::to_string(d) + ",7.5,2,2,2,4\n";
  write("checks.csv", checks);
  ok("ingest checks.csv --data s.db");
  const std::string today = "today --json --date 2026-11-23 --data ";
  const auto before = ok(today + "s.db");
  EXPECT_THAT(before, testing::HasSubstr("\"lift\":\"squat\""));
  EXPECT_THAT(ok("move --from s.db --to " + server), testing::HasSubstr("read back and equal"));
  EXPECT_EQ(ok(today + server), before);
  ok("move --from " + server + " --to b.db");
  EXPECT_EQ(ok(today + "b.db"), before);
  EXPECT_EQ(run("move --from s.db --to " + server).status, 77);
  EXPECT_EQ(run("move --from s.db").status, 64);
  EXPECT_EQ(run("verify --data " + server).status, 64);
}

}  // namespace
}  // namespace steelyard::cli
