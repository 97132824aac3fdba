#include <fmt/core.h>

#include "serve/gate.hpp"
#include "serve/handlers.hpp"
#include "steelyard/app/show.hpp"

namespace steelyard::serve {
namespace {

Response who(const app::Caller& caller) {
  std::string json;
  report::JsonWriter writer(json);
  writer.begin_object().field("schema", 1).field("role", app::role_word(caller.role));
  writer.key("athlete");
  if (caller.athlete.empty()) {
    writer.null();
  } else {
    writer.value(caller.athlete);
  }
  writer.key("group");
  if (caller.group.empty()) {
    writer.null();
  } else {
    writer.value(caller.group);
  }
  writer.end_object();
  return json_response(std::move(json));
}

/// Lax would send it along from other sites' links; a page of a person's health is never opened that way.
std::string cookie_text(std::string_view value, std::chrono::seconds lives, const ApiOptions& options) {
  return fmt::format("{}={}; Path=/; Max-Age={}; HttpOnly; SameSite=Strict{}", k_cookie, value, lives.count(),
                     options.secure || options.behind_proxy ? "; Secure" : "");
}

}  // namespace

Result<Response> get_login(Exchange& x) {
  return who(x.caller);
}

Result<Response> post_login(Exchange& x) {
  const ApiOptions& options = x.api.options();
  const std::string peer = peer_of(x.request, options);
  if (const int wait = x.throttle().wait(peer, x.context().now); wait > 0) {
    Response response = problem(429, "busy", "too many log-ins that failed; try again later");
    response.headers.emplace_back("retry-after", fmt::format("{}", wait));
    return response;
  }
  STEELYARD_TRY_ASSIGN(Body body, x.body());
  const std::string token = body.take("token").value_or("");
  const auto issued = app::log_in(x.context(), token, options.session_hours);
  if (!issued) {
    if (issued.error().code == Errc::not_allowed) x.throttle().failed(peer, x.context().now);
    return tl::make_unexpected(issued.error());
  }
  x.throttle().succeeded(peer);
  STEELYARD_TRY_ASSIGN(const auto caller, app::caller_of(x.context(), issued->secret));
  Response response = who(*caller);
  response.headers.emplace_back("set-cookie", cookie_text(issued->secret, issued->expires - x.context().now, options));
  return response;
}

Result<Response> delete_login(Exchange& x) {
  if (!x.page_secret.empty()) STEELYARD_TRY(app::log_out(x.context(), x.page_secret));
  return Response{.status = 204,
                  .headers = {{"set-cookie", cookie_text("", std::chrono::seconds{0}, x.api.options())}},
                  .body = {}};
}

}  // namespace steelyard::serve
