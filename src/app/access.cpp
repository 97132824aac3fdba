#include "steelyard/app/access.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>

#include "app/files.hpp"
#include "app/secrets.hpp"
#include "steelyard/app/folder.hpp"
#include "steelyard/base/text.hpp"

namespace steelyard::app {
namespace {

constexpr int k_most_days = 3650;
constexpr std::size_t k_secret_letters = 43;

bool is_valid(const store::Token& token, Instant now) {
  return !token.revoked && now < token.expires;
}

Result<std::optional<store::Token>> valid_token(Context& context, std::string_view secret) {
  if (secret.size() != k_secret_letters) return std::nullopt;
  const std::string hash = sha256(secret);
  STEELYARD_TRY_ASSIGN(auto token, context.store.service().token(hash));
  if (!token || !same_bytes(token->hash, hash) || !is_valid(*token, context.now)) return std::nullopt;
  return token;
}

Result<void> check_request(Context& context, const TokenRequest& request) {
  if (request.days < 1 || request.days > k_most_days) {
    return fail(Errc::usage, fmt::format("{} days: allowed are 1 to {}", request.days, k_most_days), "--days");
  }
  if (request.role == Role::lifter) {
    if (request.athlete.empty()) return fail(Errc::usage, "a lifter's token needs the lifter: --athlete CODE");
    STEELYARD_TRY(find_athlete(context, request.athlete, std::nullopt));
    return {};
  }
  if (request.group.empty()) return {};
  STEELYARD_TRY_ASSIGN(const auto athletes, context.store.athletes());
  const bool there =
      std::any_of(athletes.begin(), athletes.end(), [&](const Athlete& a) { return a.group == request.group; });
  if (!there) return fail(Errc::no_input, fmt::format("nobody is in group {}", in_quotes(request.group)), "--group");
  return {};
}

}  // namespace

Result<IssuedToken> issue_token(Context& context, const TokenRequest& request) {
  STEELYARD_TRY(check_request(context, request));
  IssuedToken issued{
      .id = 0, .secret = random_secret(), .expires = context.now + std::chrono::hours{24} * request.days};
  STEELYARD_TRY_ASSIGN(issued.id, context.store.service().add_token(
                                      {.hash = sha256(issued.secret),
                                       .role = std::string(role_word(request.role)),
                                       .athlete = request.role == Role::lifter ? request.athlete : std::string{},
                                       .group = request.role == Role::coach ? request.group : std::string{},
                                       .note = request.note,
                                       .made = context.now,
                                       .expires = issued.expires}));
  return issued;
}

Result<std::vector<store::Token>> list_tokens(Context& context) {
  return context.store.service().tokens();
}

Result<void> revoke_token(Context& context, std::int64_t id) {
  STEELYARD_TRY_ASSIGN(const bool revoked, context.store.service().revoke_token(id, context.now));
  if (revoked) return {};
  return fail(Errc::no_input,
              fmt::format("there is no token {} that is still valid; 'steelyard token list' shows all", id));
}

Result<bool> needs_token(Context& context) {
  STEELYARD_TRY_ASSIGN(const auto tokens, context.store.service().tokens());
  return !tokens.empty();
}

Result<std::optional<Caller>> caller_of(Context& context, std::string_view secret) {
  STEELYARD_TRY_ASSIGN(const auto token, valid_token(context, secret));
  if (!token) return std::nullopt;
  return Caller{.role = token->role == role_word(Role::coach) ? Role::coach : Role::lifter,
                .token = token->parent != 0 ? token->parent : token->id,
                .athlete = token->athlete,
                .group = token->group};
}

Result<IssuedToken> log_in(Context& context, std::string_view secret, int hours) {
  STEELYARD_TRY_ASSIGN(const auto token, valid_token(context, secret));
  if (!token || token->parent != 0) return fail(Errc::not_allowed, "this token is not valid, or not any more");
  IssuedToken issued{
      .id = 0, .secret = random_secret(), .expires = std::min(token->expires, context.now + std::chrono::hours{hours})};
  store::Token session = *token;
  session.hash = sha256(issued.secret);
  session.parent = token->id;
  session.note.clear();
  session.made = context.now;
  session.expires = issued.expires;
  STEELYARD_TRY_ASSIGN(issued.id, context.store.service().add_token(session));
  return issued;
}

Result<void> log_out(Context& context, std::string_view secret) {
  STEELYARD_TRY_ASSIGN(const auto token, valid_token(context, secret));
  if (!token || token->parent == 0) return {};
  STEELYARD_TRY(context.store.service().revoke_token(token->id, context.now));
  return {};
}

std::string content_digest(std::string_view bytes) {
  return hexadecimal(sha256(bytes));
}

Result<std::string> file_digest(const std::string& path) {
  STEELYARD_TRY_ASSIGN(const auto source, FileSource::open(path));
  RunningDigest digest;
  std::string buffer(std::size_t{1} << 16, '\0');
  for (;;) {
    STEELYARD_TRY_ASSIGN(const std::size_t n, source->read(buffer));
    if (n == 0) return hexadecimal(digest.finish());
    digest.add(std::string_view(buffer).substr(0, n));
  }
}

}  // namespace steelyard::app
