// The document against the OpenAPI 3.1.0 specification's required members, and against the table of routes.
#include "serve/routes.hpp"
#include "service.hpp"
#include "steelyard/base/text.hpp"

namespace steelyard::serve {
namespace {

/// The contract's list, written out.
const std::vector<std::pair<std::string, std::string>> k_contract{
    {"get", "/v1/athletes/{a}/today"},
    {"get", "/v1/athletes/{a}/loads"},
    {"get", "/v1/athletes/{a}/strength"},
    {"get", "/v1/athletes/{a}/compare"},
    {"get", "/v1/athletes/{a}/ahead"},
    {"get", "/v1/athletes/{a}/why"},
    {"get", "/v1/athletes/{a}/questions"},
    {"get", "/v1/athletes/{a}/marks"},
    {"get", "/v1/athletes/{a}/plan"},
    {"get", "/v1/athletes/{a}/report"},
    {"post", "/v1/athletes/{a}/checks"},
    {"post", "/v1/athletes/{a}/sessions"},
    {"post", "/v1/athletes/{a}/sets"},
    {"post", "/v1/athletes/{a}/bar"},
    {"post", "/v1/athletes/{a}/decisions"},
    {"post", "/v1/athletes/{a}/answers"},
    {"post", "/v1/athletes/{a}/days-off"},
    {"post", "/v1/athletes/{a}/clearances"},
    {"post", "/v1/week/decisions"},
    {"post", "/v1/login"},
    {"delete", "/v1/login"},
    {"get", "/v1/week"},
    {"post", "/v1/ingest"},
    {"get", "/healthz"},
    {"get", "/metrics"},
    {"get", "/v1/openapi.json"},
};

TEST(OpenApi, HasEveryRouteOfTheContract) {
  const auto document = boost::json::parse(openapi_json());
  for (const auto& [method, path] : k_contract) {
    ASSERT_TRUE(document.at("paths").as_object().contains(path)) << path;
    EXPECT_TRUE(document.at("paths").at(path).as_object().contains(method)) << method << path;
  }
}

TEST(OpenApi, HasTheMembersThatTheSpecificationRequires) {
  const auto document = boost::json::parse(openapi_json());
  EXPECT_EQ(document.at("openapi").as_string(), "3.1.0");
  EXPECT_TRUE(document.at("info").at("title").is_string());
  EXPECT_TRUE(document.at("info").at("version").is_string());
  std::set<std::string> ids;
  std::size_t operations = 0;
  for (const auto& [path, item] : document.at("paths").as_object()) {
    EXPECT_TRUE(path.starts_with('/'));
    for (const auto& [method, operation] : item.as_object()) {
      ++operations;
      EXPECT_TRUE(ids.insert(operation.at("operationId").as_string().c_str()).second) << path;
      EXPECT_FALSE(operation.at("responses").as_object().empty());
      for (const auto& [status, response] : operation.at("responses").as_object()) {
        EXPECT_TRUE(response.as_object().contains("description") || response.as_object().contains("$ref"));
      }
      bool names_athlete = false;
      for (const auto& parameter : operation.at("parameters").as_array()) {
        EXPECT_TRUE(parameter.as_object().contains("schema"));
        const bool in_path = parameter.at("in").as_string() == "path";
        EXPECT_TRUE(!in_path || parameter.at("required").as_bool());
        names_athlete = names_athlete || in_path;
      }
      EXPECT_EQ(names_athlete, path.find("{a}") != boost::json::string_view::npos) << path;
    }
  }
  EXPECT_EQ(operations, routes().size());
}

TEST(Routes, LeadFromPathsBackToThemselves) {
  for (const Route& route : routes()) {
    const auto target = parse_target(route.path).value();
    std::string athlete;
    EXPECT_EQ(find_route(route.method, target, &athlete), &route) << route.path;
    ASSERT_NE(route.handler, nullptr);
    EXPECT_FALSE(route.summary.empty());
    EXPECT_TRUE(route.method == "GET" || route.lane == Lane::write) << route.path;
  }
}

}  // namespace
}  // namespace steelyard::serve
