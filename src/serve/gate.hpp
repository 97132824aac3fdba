#pragma once
/// Whether a request may be answered at all: who asks, from where, and whether the data is theirs.

#include <optional>
#include <string>

#include "serve/routes.hpp"

namespace steelyard::serve {

/// The cookie of a log-in.
inline constexpr std::string_view k_cookie = "steelyard_session";

/// Address of the other side; behind a proxy the one that the proxy names last.
[[nodiscard]] std::string peer_of(const Request& request, const ApiOptions& options);

/// Whether an athlete lets a coach see what the word stands for.
[[nodiscard]] bool shares(const Athlete& athlete, std::string_view word);

/// The first of the words for which a coach may not see it; none = the caller may.
[[nodiscard]] std::optional<std::string_view> unshared_word(const app::Caller& caller, const Athlete& athlete,
                                                            std::span<const std::string_view> words);

class Gate {
 public:
  Gate(const ApiOptions& options, Throttle& throttle) : options_(options), throttle_(throttle) {}

  /// Fills in the caller and the athlete `code` of the path. returns  the refusal, or none
  [[nodiscard]] std::optional<Response> check(Exchange& x, const std::string& code);

 private:
  [[nodiscard]] std::optional<Response> find_caller(Exchange& x);
  [[nodiscard]] std::optional<Response> find_athlete(Exchange& x, const std::string& code);

  const ApiOptions& options_;
  Throttle& throttle_;
};

}  // namespace steelyard::serve
