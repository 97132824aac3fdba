// Source of the checks: RFC 3986 section 2.1 (percent-encoding), RFC 6265 section 4.2.1 (cookies), RFC 9457 section 3.
#include "steelyard/serve/http.hpp"

#include <gtest/gtest.h>

namespace steelyard::serve {
namespace {

TEST(Target, IsCutFirstAndDecodedThen) {
  const auto target = parse_target("/v1/athletes/a%2Fb/today?date=2026-11-23&name=two+words%26more").value();
  EXPECT_EQ(target.parts, (std::vector<std::string>{"v1", "athletes", "a/b", "today"}));
  EXPECT_EQ(target.query.at("date"), "2026-11-23");
  EXPECT_EQ(target.query.at("name"), "two words&more");
}

TEST(Target, RefusesWhatCannotBeReadInOneWay) {
  for (const auto* text : {"v1", "/%", "/%4", "/%4g", "/%00", "/a?x=1&x=2", "/a?x=%zz"}) {
    const auto target = parse_target(text);
    ASSERT_FALSE(target) << text;
    EXPECT_EQ(target.error().code, Errc::usage) << text;
  }
}

TEST(Cookie, IsFoundAmongOthersByItsWholeName) {
  const Request request{
      .method = "GET", .target = "/", .headers = {{"cookie", "a=1; bb=2;  b=3"}}, .body = {}, .peer = {}};
  EXPECT_EQ(cookie(request, "b"), "3");
  EXPECT_EQ(cookie(request, "a"), "1");
  EXPECT_FALSE(cookie(request, "c"));
}

TEST(Problem, HasTheMembersOfTheRfcAndOurCode) {
  const Response response = problem(Error{Errc::bad_data, "9 is above 7", "soreness"});
  EXPECT_EQ(response.status, 422);
  EXPECT_EQ(response.headers, (Headers{{"content-type", "application/problem+json"}}));
  EXPECT_EQ(response.body,
            "{\"type\":\"about:blank\",\"title\":\"Unprocessable Content\",\"status\":422,\"detail\":\"9 is above "
            "7\",\"code\":\"bad_data\",\"where\":\"soreness\"}\n");
}

TEST(Problem, KeepsPathsOfTheMachineToItself) {
  const Response response = problem(Error{Errc::io, "the disk is full", "/home/somebody/steelyard.db"});
  EXPECT_EQ(response.status, 500);
  EXPECT_EQ(response.body.find("somebody"), std::string::npos);
}

}  // namespace
}  // namespace steelyard::serve
