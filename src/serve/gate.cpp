#include "serve/gate.hpp"

#include <fmt/core.h>

#include <algorithm>

#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"

namespace steelyard::serve {
namespace {

/// The host of "http://host:port" or "host:port".
std::string_view host_of(std::string_view authority) {
  if (const auto scheme = authority.find("://"); scheme != std::string_view::npos) authority.remove_prefix(scheme + 3);
  if (authority.starts_with('[')) return authority.substr(0, authority.find(']') + 1);
  return authority.substr(0, authority.find(':'));
}

/// A name that leads to this machine, whatever a name server says: otherwise a page elsewhere could give its own name
/// the address 127.0.0.1 and read what is open here.
bool is_this_machine(std::string_view host) {
  return host == "localhost" || host == "127.0.0.1" || host == "[::1]";
}

bool is_on_this_machine(std::string_view peer) {
  constexpr std::string_view k_mapped = "::ffff:";  // how an IPv6 socket names an IPv4 address
  if (peer.starts_with(k_mapped)) peer.remove_prefix(k_mapped.size());
  return peer.starts_with("127.") || peer == "::1";
}

/// Browsers say where a request comes from; what is no browser says nothing.
bool is_from_elsewhere(const Request& request) {
  if (const auto site = request.header("sec-fetch-site")) return *site != "same-origin" && *site != "none";
  const auto origin = request.header("origin");
  if (!origin) return false;
  const auto scheme = origin->find("://");
  const auto host = request.header("host").value_or("");
  return scheme == std::string_view::npos || origin->substr(scheme + 3) != host;
}

Response no_token(std::string_view detail) {
  Response response = problem(401, "not_allowed", detail);
  response.headers.emplace_back("www-authenticate", "Bearer realm=\"steelyard\"");
  return response;
}

}  // namespace

bool shares(const Athlete& athlete, std::string_view word) {
  const auto found = [&](const auto& words) { return std::find(words.begin(), words.end(), word) != words.end(); };
  return athlete.share.empty() ? found(default_share()) : found(athlete.share);
}

std::optional<std::string_view> unshared_word(const app::Caller& caller, const Athlete& athlete,
                                              std::span<const std::string_view> words) {
  if (caller.role != app::Role::coach) return std::nullopt;
  for (const auto word : words) {
    if (!shares(athlete, word)) return word;
  }
  return std::nullopt;
}

std::string peer_of(const Request& request, const ApiOptions& options) {
  if (!options.behind_proxy) return request.peer;
  // A proxy may add a line instead of extending the one that the client wrote.
  const auto last = std::find_if(request.headers.rbegin(), request.headers.rend(),
                                 [](const auto& header) { return header.first == "x-forwarded-for"; });
  if (last == request.headers.rend()) return request.peer;
  return std::string(trim(split(last->second, ',').back()));
}

std::optional<Response> Gate::check(Exchange& x, const std::string& code) {
  const bool reads = x.route.method == "GET";
  if (!reads && is_from_elsewhere(x.request)) {
    return problem(403, "not_allowed", "changes are taken from the service's own pages only");
  }
  if (const auto secret = cookie(x.request, k_cookie)) x.page_secret = *secret;
  if (x.route.needs == Needs::nobody) return std::nullopt;
  if (auto refused = find_caller(x)) return refused;
  if (x.route.needs == Needs::coach && x.caller.role == app::Role::lifter) {
    return problem(403, "not_allowed", "this is for coaches");
  }
  if (x.route.needs == Needs::athlete) return find_athlete(x, code);
  return std::nullopt;
}

std::optional<Response> Gate::find_caller(Exchange& x) {
  std::string secret;
  if (const auto header = x.request.header("authorization")) {
    if (!to_lower(header->substr(0, 7)).starts_with("bearer ")) return no_token("allowed: Bearer and a token");
    secret = trim(header->substr(7));
  } else if (!x.page_secret.empty()) {
    secret = x.page_secret;
    x.by_cookie = true;
  }
  if (secret.empty()) {
    const auto needed = app::needs_token(x.context());
    if (!needed) return problem(needed.error());
    if (*needed || !options_.open_here) return no_token("this needs a token");
    if (!is_on_this_machine(x.request.peer) || !is_this_machine(host_of(x.request.header("host").value_or("")))) {
      return problem(403, "not_allowed", "without tokens the service answers to localhost only");
    }
    return std::nullopt;  // the owner
  }
  auto caller = app::caller_of(x.context(), secret);
  if (!caller) return problem(caller.error());
  if (!*caller) {  // who fails is slowed; who holds a token is not, whatever others behind the same address do
    const std::string peer = peer_of(x.request, options_);
    if (const int wait = throttle_.wait(peer, x.context().now); wait > 0) {
      Response response = problem(429, "busy", "too many tokens that are not valid; try again later");
      response.headers.emplace_back("retry-after", fmt::format("{}", wait));
      return response;
    }
    if (!x.by_cookie) throttle_.failed(peer, x.context().now);  // a log-in that has ended is no attempt
    return no_token("this token is not valid, or not any more");
  }
  x.caller = **std::move(caller);
  return std::nullopt;
}

std::optional<Response> Gate::find_athlete(Exchange& x, const std::string& code) {
  auto found = x.context().store.athlete(code);
  if (!found) return problem(found.error());
  const bool everybody =
      x.caller.role == app::Role::owner || (x.caller.role == app::Role::coach && x.caller.group.empty());
  if (!*found && everybody) return problem(404, "no_input", fmt::format("there is no athlete {}", in_quotes(code)));
  if (!*found || !app::may_see(x.caller, **found)) {
    return problem(403, "not_allowed", "this athlete is not yours to see");
  }
  x.athlete_row = **std::move(found);
  const auto word = unshared_word(x.caller, *x.athlete_row, x.route.share);
  if (!word) return std::nullopt;
  return problem(403, "not_allowed", fmt::format("{} does not share this with a coach (\"{}\")", code, *word));
}

}  // namespace steelyard::serve
