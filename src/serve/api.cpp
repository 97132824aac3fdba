#include "steelyard/serve/api.hpp"

#include <fmt/core.h>

#include <algorithm>

#include "serve/gate.hpp"
#include "serve/routes.hpp"
#include "steelyard/base/text.hpp"

namespace steelyard::serve {
namespace {

constexpr std::size_t k_small_limit = std::size_t{16} << 10;
constexpr std::size_t k_body_limit = std::size_t{256} << 10;
constexpr std::size_t k_file_limit = std::size_t{32} << 20;
constexpr std::size_t k_most_waiting_accesses = 100'000;
constexpr std::size_t k_most_kept = std::size_t{32} << 20;  // bytes of answers
constexpr std::size_t k_longest_key = 200;

/// Methods that read are answered for HEAD too.
std::string_view read_as(std::string_view method) {
  return method == "HEAD" ? "GET" : method;
}

Response wrong_method(const Target& target) {
  std::string allowed;
  for (const std::string_view method : {"GET", "POST", "DELETE"}) {
    if (find_route(method, target) != nullptr) allowed += (allowed.empty() ? "" : ", ") + std::string(method);
  }
  if (allowed.empty()) return problem(404, "no_input", "there is nothing at this address");
  Response response = problem(405, "usage", "allowed here: " + allowed);
  response.headers.emplace_back("allow", allowed);
  return response;
}

Result<void> check_query(const Route& route, const Target& target) {
  for (const auto& [name, value] : target.query) {
    const bool known =
        std::any_of(route.query.begin(), route.query.end(), [&](const Parameter& p) { return p.name == name; });
    if (known) continue;
    std::vector<std::string_view> names;
    for (const Parameter& p : route.query) names.push_back(p.name);
    const auto nearest = nearest_word(name, names);
    return fail(Errc::usage,
                fmt::format("{} is not known here{}", in_quotes(name),
                            nearest ? fmt::format("; did you mean '{}'?", *nearest) : std::string{}),
                name);
  }
  return {};
}

/// Pages and their parts may be kept by the browser, answers about people only to be asked about again.
void add_safety(Response& response) {
  const auto has = [&](std::string_view name) {
    return std::any_of(response.headers.begin(), response.headers.end(),
                       [&](const auto& h) { return h.first == name; });
  };
  if (!has("cache-control")) response.headers.emplace_back("cache-control", "private, no-cache");
  response.headers.emplace_back("x-content-type-options", "nosniff");
  response.headers.emplace_back("referrer-policy", "no-referrer");
  response.headers.emplace_back("x-frame-options", "DENY");
  if (!has("content-security-policy")) {
    response.headers.emplace_back("content-security-policy",
                                  "default-src 'self'; frame-ancestors 'none'; base-uri 'none'; form-action 'self'");
  }
}

bool names_tag(std::string_view list, std::string_view tag) {
  if (trim(list) == "*") return true;
  for (auto one : split(list, ',')) {
    one = trim(one);
    if (one.starts_with("W/")) one.remove_prefix(2);
    if (one == tag) return true;
  }
  return false;
}

/// ETag of a read, and 304 for whoever has it already.
void add_tag(const Request& request, Response& response, std::string_view known_tag) {
  if (response.status != 200) return;
  const std::string tag =
      known_tag.empty() ? fmt::format("\"{}\"", digest(response.body)) : fmt::format("\"{}\"", known_tag);
  response.headers.emplace_back("etag", tag);
  const auto have = request.header("if-none-match");
  if (!have || !names_tag(*have, tag)) return;
  response.status = 304;
  response.body.clear();
  response.fixed = {};
}

/// The page's files: "/" and whatever the finder knows.
std::optional<Response> asset(const Request& request, const ApiOptions& options, const Target& target) {
  if (!options.assets || read_as(request.method) != "GET") return std::nullopt;
  std::string path;
  for (const auto& part : target.parts) path += '/' + part;
  const auto found = options.assets(path);
  if (!found) return std::nullopt;
  Response response{.headers = {{"content-type", std::string(found->content_type)}, {"cache-control", "no-cache"}},
                    .fixed = found->bytes};
  add_tag(request, response, found->etag);
  return response;
}

/// The answer to a POST whose key was used before.
/// errors  bad_data (the key came with another request)
Result<Response> earlier_reply(const Exchange& x, const std::string& key, const std::string& digest) {
  STEELYARD_TRY_ASSIGN(auto reply, x.context().store.service().reply(key));
  if (!reply) return fail(Errc::busy, "the first answer is being made; try again in a moment");
  if (reply->request_digest != digest) {
    return fail(Errc::bad_data, "this key was used for another request", "idempotency-key");
  }
  return Response{.status = reply->status,
                  .headers = {{"content-type", "application/json"}, {"idempotency-replayed", "true"}},
                  .body = std::move(reply->body)};
}

/// Whose request it is and whose data it changes are part of the key: two people may use the same one.
Result<std::optional<std::string>> reply_key(const Exchange& x) {
  const auto key = x.request.header("idempotency-key");
  if (!key || x.route.method != "POST" || x.route.needs == Needs::nobody) return std::nullopt;
  if (key->empty() || key->size() > k_longest_key) {
    return fail(Errc::usage, fmt::format("a key has 1 to {} letters", k_longest_key), "idempotency-key");
  }
  return fmt::format("{} {} {}", x.caller.token, x.request.target, *key);
}

/// A change: the handler's work, the answer to be repeated and the line about the access in one transaction.
Result<Response> change(Exchange& x) {
  STEELYARD_TRY_ASSIGN(const auto key, reply_key(x));
  store::Service& service = x.context().store.service();
  STEELYARD_TRY_ASSIGN(const auto work, service.begin_work());
  const std::string digest = key ? app::content_digest(x.request.body) : std::string{};
  if (key) {  // claimed first: another service may be at work for the same one
    STEELYARD_TRY_ASSIGN(const bool is_new, service.claim_reply(*key, x.context().now));
    if (!is_new) return earlier_reply(x, *key, digest);
  }
  STEELYARD_TRY_ASSIGN(Response response, x.route.handler(x));
  if (response.status >= 400) return response;
  if (key) {
    STEELYARD_TRY(service.save_reply(*key, {.request_digest = digest, .status = response.status, .body = response.body},
                                     x.context().now));
  }
  STEELYARD_TRY(service.add_accesses(x.accesses(response.status)));
  STEELYARD_TRY(work->commit());
  return response;
}

}  // namespace

std::optional<Response> KeptAnswers::find(const std::string& key, const Stamp& stamp) {
  const std::lock_guard lock(mutex_);
  if (stamp != stamp_) return std::nullopt;
  const auto found = answers_.find(key);
  return found == answers_.end() ? std::nullopt : std::optional(found->second);
}

void KeptAnswers::keep(const std::string& key, const Stamp& stamp, const Response& response) {
  const std::lock_guard lock(mutex_);
  if (stamp != stamp_ || bytes_ > k_most_kept) {
    answers_.clear();
    bytes_ = 0;
    stamp_ = stamp;
  }
  if (answers_.emplace(key, response).second) bytes_ += response.body.size();
}

/// The handler's answer, or the one that it gave before if nothing has changed since. Who may see it was asked before.
Result<Response> Api::read(Exchange& x) {
  if (!options_.keep_answers || x.route.needs != Needs::athlete) return x.route.handler(x);
  // The version is taken before the answer is made: what changes meanwhile makes the answer old at once.
  STEELYARD_TRY_ASSIGN(const std::int64_t version, x.context().store.service().version());
  const KeptAnswers::Stamp stamp{
      .store_version = version,
      .models = &x.context().models,
      .minute = std::chrono::floor<std::chrono::minutes>(x.context().now).time_since_epoch().count()};
  if (auto kept = kept_.find(x.request.target, stamp)) return *std::move(kept);
  STEELYARD_TRY_ASSIGN(Response response, x.route.handler(x));
  kept_.keep(x.request.target, stamp, response);
  return response;
}

Lane Api::lane_of(const Request& request) {
  const auto target = parse_target(request.target);
  if (!target) return Lane::none;
  const Route* route = find_route(read_as(request.method), *target);
  return route == nullptr ? Lane::none : route->lane;
}

std::size_t Api::body_limit(std::string_view method, std::string_view target) {
  const std::string_view path = target.substr(0, target.find('?'));
  // What needs no token must not take room from those who have one.
  if (method != "POST" || path == "/v1/login") return k_small_limit;
  return path == "/v1/ingest" ? k_file_limit : k_body_limit;
}

Response Api::enter(const Request& request, app::Context* context, std::string& shown,
                    const std::function<Response(Exchange&)>& then) {
  const auto target = parse_target(request.target);
  if (!target) return problem(target.error());
  std::string code;
  const Route* route = find_route(read_as(request.method), *target, &code);
  if (route == nullptr) {
    if (auto page = asset(request, options_, *target)) {
      shown = "page";
      return *std::move(page);
    }
    return wrong_method(*target);
  }
  shown = fmt::format("{} {}", route->method, route->path);
  if (const auto checked = check_query(*route, *target); !checked) return problem(checked.error());
  Exchange x(*this, request, *target, *route, context);
  auto refused = Gate(options_, throttle_).check(x, code);
  return refused ? *std::move(refused) : then(x);
}

Response Api::answer(Exchange& x) {
  const bool reads = x.route.method == "GET";
  const bool has_store = x.route.lane != Lane::none;
  auto result = !has_store ? x.route.handler(x) : reads ? read(x) : change(x);
  Response answer = result ? *std::move(result) : problem(result.error());
  if (has_store && (reads || answer.status >= 400)) {
    auto lines = x.accesses(answer.status);
    const std::lock_guard lock(mutex_);
    if (accesses_.size() < k_most_waiting_accesses)
      std::move(lines.begin(), lines.end(), std::back_inserter(accesses_));
  }
  if (reads && x.route.lane == Lane::read && x.route.path != "/healthz") add_tag(x.request, answer, "");
  return answer;
}

void Api::count(const std::string& route, Response& response, std::chrono::steady_clock::time_point begun) {
  add_safety(response);
  metrics_.count_request(
      route, response.status,
      std::chrono::duration_cast<std::chrono::microseconds>(std::chrono::steady_clock::now() - begun));
}

Response Api::handle(const Request& request, app::Context* context) {
  const auto begun = std::chrono::steady_clock::now();
  std::string shown = "other";  // no address of a person in the metrics
  Response response = enter(request, context, shown, [&](Exchange& x) { return answer(x); });
  count(shown, response, begun);
  return response;
}

std::optional<Response> Api::admit(const Request& head, app::Context& context, std::string& caller) {
  const auto begun = std::chrono::steady_clock::now();
  std::string shown = "other";
  bool admitted = false;
  Response response = enter(head, &context, shown, [&](Exchange& x) {
    admitted = true;
    caller = fmt::format("{}", x.caller.token);
    return Response{};
  });
  if (admitted) return std::nullopt;
  count(shown, response, begun);
  return response;
}

void Api::give_back(const std::vector<store::Access>& accesses) {
  const std::lock_guard lock(mutex_);
  accesses_.insert(accesses_.begin(), accesses.begin(), accesses.end());
}

std::vector<store::Access> Api::take_accesses() {
  const std::lock_guard lock(mutex_);
  return std::exchange(accesses_, {});
}

}  // namespace steelyard::serve
