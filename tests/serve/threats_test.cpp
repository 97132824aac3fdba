// What somebody could try who may send requests or put files into the inbox; the table of threats in DEVELOPERS.md
// names these tests and others. Sources: CWE-93 and CWE-117 (line breaks in headers and logs), CWE-409 (compressed
// input that grows), CWE-674 (nesting), CWE-208 (timing).
#include <fstream>

#include "app/secrets.hpp"
#include "base/folder.hpp"
#include "serve/body.hpp"
#include "serve/inbox.hpp"
#include "serve/log.hpp"
#include "service.hpp"

namespace steelyard::serve {
namespace {

class Threats : public ServiceBench {};

TEST(LogLine, StaysOneLineWhateverItIsAbout) {
  const std::string line = log_line(Level::info, "file", {{"name", "a\r\nlevel=error event=forged\x1b[2J \"x\" \\"}});
  EXPECT_EQ(line.find_first_of("\r\n\x1b"), std::string::npos);
  EXPECT_EQ(line, R"(level=info event=file name="a  level=error event=forged [2J \"x\" \\")");
}

TEST(BodyOfARequest, ThatIsNestedOrHugeIsRefusedNotFollowed) {
  for (const char open : {'[', '{'}) {
    std::string deep(200'000, open);
    EXPECT_FALSE(Body::parse(deep));
    EXPECT_FALSE(Body::parse("{\"note\":" + deep));
  }
  std::string nested = "1";
  for (int i = 0; i < 40; ++i) nested = "{\"a\":" + nested + "}";
  EXPECT_FALSE(Body::parse(nested));
}

TEST_F(Threats, ACompressedBodyIsNotUnpacked) {
  add_people();
  // The first bytes of a gzip member (RFC 1952): unpacked by nobody, it is no log file.
  const std::string packed("\x1f\x8b\x08\x00\x00\x00\x00\x00\x00\x03", 10);
  const Response response = send({.method = "POST",
                                  .target = "/v1/ingest",
                                  .headers = {{"content-type", "text/csv"}, {"content-encoding", "gzip"}},
                                  .body = packed,
                                  .peer = "127.0.0.1"});
  EXPECT_GE(response.status, 400);
  EXPECT_LT(response.status, 500);
  EXPECT_TRUE(log().sessions.empty());
}

TEST_F(Threats, NoNameInARequestLeavesTheStore) {
  add_people();
  for (const char* target : {"/v1/athletes/..%2f..%2fetc%2fpasswd/today", "/v1/athletes/../../etc/passwd",
                             "/%2e%2e/%2e%2e/etc/passwd", "/..%2f..%2fetc/passwd", "/v1/athletes/a1%00/today"}) {
    const Response response = get(target);
    EXPECT_TRUE(response.status == 400 || response.status == 404) << target << " " << response.status;
    EXPECT_EQ(response.body.find("root:"), std::string::npos);
  }
}

TEST_F(Threats, WhatARequestSaysComesBackInNoHeader) {
  add_people();
  for (const char* target : {"/v1/athletes/a1%0d%0aset-cookie:x/today", "/v1/athletes/a1/today?as=%0d%0ax:y",
                             "/v1/athletes/a1/today?date=%0d%0ax"}) {
    for (const auto& [name, value] : get(target).headers) {
      EXPECT_EQ((name + value).find_first_of("\r\n"), std::string::npos) << target;
    }
  }
}

TEST_F(Threats, NamesInTheInboxStayInTheInbox) {
  add_people();
  const Folder folder;
  const auto box = folder.path() / "box";
  auto inbox = Inbox::open({.folder = box.string(), .settle = std::chrono::milliseconds(0)}).value();
  const std::vector<std::string> names{"x..%2fout.csv", "x\\..\\out.csv",   "a\nlevel=error.csv", "\x1b[31m.csv",
                                       "-rf.csv",       "$(touch out).csv", "' or 1=1 --.csv"};
  for (const std::string& name : names)
    std::ofstream(box / name) << "athlete,date,minutes,rpe\nnobody,2026-11-20,1,1\n";
  const auto now = std::chrono::steady_clock::now();
  for (int i = 0; i < 3; ++i) {
    ASSERT_TRUE(inbox.look(context, now + std::chrono::seconds(10 * i), {}, [] { return Result<bool>(true); }, {}));
  }
  for (const std::string& name : names) {
    EXPECT_TRUE(std::filesystem::exists(box / "rejected" / name)) << name;
    EXPECT_TRUE(std::filesystem::exists(box / "rejected" / (name + ".error.txt"))) << name;
  }
  std::size_t outside = 0;
  for ([[maybe_unused]] const auto& entry : std::filesystem::directory_iterator(folder.path())) ++outside;
  EXPECT_EQ(outside, 1U) << "nothing beside the inbox";
}

TEST(Secrets, DifferAtEveryPlaceAndEveryLength) {
  const std::string secret(32, 's');
  EXPECT_TRUE(app::same_bytes(secret, std::string(32, 's')));
  EXPECT_FALSE(app::same_bytes(secret, secret.substr(1)));
  for (std::size_t i = 0; i < secret.size(); ++i) {
    std::string other = secret;
    other[i] = 't';
    EXPECT_FALSE(app::same_bytes(secret, other)) << i;
  }
}

}  // namespace
}  // namespace steelyard::serve
