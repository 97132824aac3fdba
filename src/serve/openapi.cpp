#include "serve/handlers.hpp"
#include "steelyard/app/show.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/cells.hpp"
#include "steelyard/domain/vocabulary.hpp"

namespace steelyard::serve {
namespace {

using report::JsonWriter;

void schema_of(JsonWriter& w, std::string_view type, std::string_view format = "") {
  w.key("schema").begin_object().field("type", type);
  if (!format.empty()) w.field("format", format);
  w.end_object();
}

void parameters(JsonWriter& w, const Route& route) {
  w.key("parameters").begin_array();
  if (route.path.find("{a}") != std::string_view::npos) {
    w.begin_object().field("name", "a").field("in", "path").field("required", true);
    w.field("description", "code of the athlete");
    schema_of(w, "string");
    w.end_object();
  }
  for (const Parameter& p : route.query) {
    w.begin_object().field("name", p.name).field("in", "query").field("required", false);
    w.field("description", p.meaning);
    schema_of(w, "string", p.format);
    w.end_object();
  }
  if (route.method == "POST") {
    w.begin_object().field("name", "Idempotency-Key").field("in", "header").field("required", false);
    w.field("description", "the request is done once for a key; sent again, the first answer comes again");
    schema_of(w, "string");
    w.end_object();
  }
  w.end_array();
}

void body(JsonWriter& w, const Route& route) {
  if (route.method != "POST") return;
  w.key("requestBody").begin_object().key("content").begin_object();
  if (route.body.empty() && !route.row) {
    w.key("text/csv").begin_object();
    schema_of(w, "string");
    w.end_object().end_object().end_object();
    return;
  }
  w.key("application/json").begin_object().key("schema").begin_object().field("type", "object");
  w.key("properties").begin_object();
  for (const BodyKey& key : route.body) w.key(key.name).begin_object().field("description", key.meaning).end_object();
  if (route.row) {
    for (const KnownKey& column : row_keys(*route.row)) {
      w.key(column.name).begin_object().field("description", "as in files of " + std::string(word(*route.row)));
      w.end_object();
    }
  }
  w.end_object().field("additionalProperties", false).end_object().end_object().end_object().end_object();
}

void responses(JsonWriter& w, const Route& route) {
  w.key("responses").begin_object();
  w.key(route.method == "POST" && route.path != "/v1/login" ? "201" : route.method == "DELETE" ? "204" : "200");
  w.begin_object().field("description", "done");
  if (route.method != "DELETE")
    w.key("content").begin_object().key(route.answer).begin_object().end_object().end_object();
  w.end_object();
  w.key("default").begin_object().field("$ref", "#/components/responses/problem").end_object();
  w.end_object();
}

void operation(JsonWriter& w, const Route& route) {
  w.key(to_lower(route.method)).begin_object().field("summary", route.summary);
  std::string id = to_lower(route.method);
  for (const auto part : split(route.path.substr(1), '/')) {
    if (part != "v1" && part != "{a}") id += '-' + std::string(part.substr(0, part.find('.')));
  }
  w.field("operationId", id);
  parameters(w, route);
  body(w, route);
  responses(w, route);
  if (route.needs == Needs::nobody) w.key("security").begin_array().end_array();
  w.end_object();
}

void components(JsonWriter& w) {
  w.key("components").begin_object().key("securitySchemes").begin_object();
  w.key("token").begin_object().field("type", "http").field("scheme", "bearer").end_object();
  w.key("page").begin_object().field("type", "apiKey").field("in", "cookie").field("name", "steelyard_session");
  w.end_object().end_object();
  w.key("responses").begin_object().key("problem").begin_object().field("description", "problem details, RFC 9457");
  w.key("content").begin_object().key("application/problem+json").begin_object().key("schema").begin_object();
  w.field("type", "object").key("properties").begin_object();
  for (const std::string_view text : {"type", "title", "detail", "code", "where"}) {
    w.key(text).begin_object().field("type", "string").end_object();
  }
  w.key("status").begin_object().field("type", "integer").end_object();
  w.end_object().end_object().end_object().end_object().end_object().end_object().end_object();
}

}  // namespace

std::string openapi_json() {
  std::string json;
  JsonWriter w(json, report::Layout::pretty);
  w.begin_object().field("openapi", "3.1.0").key("info").begin_object();
  w.field("title", "steelyard").field("version", "1").end_object();
  w.key("security").begin_array();
  w.begin_object().key("token").begin_array().end_array().end_object();
  w.begin_object().key("page").begin_array().end_array().end_object();
  w.end_array().key("paths").begin_object();
  std::vector<std::string_view> done;
  for (const Route& route : routes()) {
    if (std::find(done.begin(), done.end(), route.path) != done.end()) continue;
    done.push_back(route.path);
    w.key(route.path).begin_object();
    for (const Route& same : routes()) {
      if (same.path == route.path) operation(w, same);
    }
    w.end_object();
  }
  w.end_object();
  components(w);
  w.end_object();
  return json;
}

Result<Response> get_openapi(Exchange&) {
  static const std::string document = openapi_json();
  return json_response(document);
}

}  // namespace steelyard::serve
