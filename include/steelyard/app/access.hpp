#pragma once
/// Who may look at and change what, when the store is reached over a network.
/// definition  A token is 32 random bytes as 43 letters (base64url, RFC 4648 section 5). The store keeps its SHA-256
///             only: a value of 256 random bits cannot be guessed from it, so a slow hash would add nothing. Somebody
///             who logs in with a token on the page gets a second secret of the same form, which ends earlier and
///             together with its token.

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/app/context.hpp"
#include "steelyard/store/service.hpp"

namespace steelyard::app {

/// owner: the person at the machine itself, as long as no token was ever made.
enum class Role { owner, lifter, coach };
[[nodiscard]] std::string_view role_word(Role role);

struct Caller {
  Role role = Role::owner;
  std::int64_t token = 0;  ///< of a log-in: that of its token
  std::string athlete;     ///< of a lifter
  std::string group;       ///< of a coach; empty = everybody
};

/// Who that is, behind what was done: "by the coach of club (token 3)".
[[nodiscard]] std::string by_words(const Caller& caller);

/// A lifter: only their own; a coach: the athletes of the group.
[[nodiscard]] bool may_see(const Caller& caller, const Athlete& athlete);

struct TokenRequest {
  Role role = Role::lifter;
  std::string athlete;  ///< of a lifter
  std::string group;    ///< of a coach
  std::string note;
  int days = 365;
};
struct IssuedToken {
  std::int64_t id = 0;
  std::string secret;  ///< shown once, kept nowhere
  Instant expires{};
};

/// errors  usage (days outside 1-3650, a lifter without athlete), no_input (no such athlete, nobody in the group)
[[nodiscard]] Result<IssuedToken> issue_token(Context& context, const TokenRequest& request);
/// All that were made, with those that have ended.
[[nodiscard]] Result<std::vector<store::Token>> list_tokens(Context& context);
/// Ends a token and every log-in made with it. errors  no_input (no such token, or it was revoked before)
[[nodiscard]] Result<void> revoke_token(Context& context, std::int64_t id);
/// True once a token was made, even if none is valid any more: revoking the last one must not open the door.
[[nodiscard]] Result<bool> needs_token(Context& context);

/// Whom a secret belongs to; none = nobody, or it has ended.
[[nodiscard]] Result<std::optional<Caller>> caller_of(Context& context, std::string_view secret);
/// A log-in with that token, for `hours`, but not beyond the token's own end. errors  not_allowed
[[nodiscard]] Result<IssuedToken> log_in(Context& context, std::string_view secret, int hours);
/// Ends a log-in; a token itself is left as it is.
[[nodiscard]] Result<void> log_out(Context& context, std::string_view secret);

/// 64 hexadecimal digits that tell contents apart, also against somebody who tries to make two alike.
[[nodiscard]] std::string content_digest(std::string_view bytes);

}  // namespace steelyard::app
