#pragma once
/// Success or an error that a person can act on. The only header that includes tl::expected.
/// errors  expected failures travel as values; exceptions are for broken invariants and exhausted memory only

#include <string>
#include <string_view>
#include <tl/expected.hpp>
#include <utility>

namespace steelyard {

/// Why something failed. Each value is also the process's exit status (see exit_status).
enum class Errc {
  failed,       ///< a step failed for a reason of its own; the text says which
  usage,        ///< the command line or a call's arguments make no sense
  bad_data,     ///< an entry, a model file or a settings file is not acceptable
  no_input,     ///< a file, folder, athlete or day that was named does not exist
  unavailable,  ///< a service or a library that is needed is not there
  io,           ///< reading or writing failed
  busy,         ///< somebody else holds the store; trying again is right
  not_allowed,  ///< the caller has no right to do this
};

/// errors  none
struct Error {
  Errc code = Errc::failed;
  std::string what;   ///< one or more sentences: the value, what is allowed, the remedy
  std::string where;  ///< "file:line:column-name", or empty

  /// "where: what", or just "what".
  [[nodiscard]] std::string text() const { return where.empty() ? what : where + ": " + what; }
};

/// sysexits-like status of the process that ends with this error: 1, 64, 65, 66, 69, 74, 75 or 77.
[[nodiscard]] constexpr int exit_status(Errc code) {
  switch (code) {
    case Errc::failed:
      return 1;
    case Errc::usage:
      return 64;
    case Errc::bad_data:
      return 65;
    case Errc::no_input:
      return 66;
    case Errc::unavailable:
      return 69;
    case Errc::io:
      return 74;
    case Errc::busy:
      return 75;
    case Errc::not_allowed:
      return 77;
  }
  return 1;
}

/// The same in words, as the manuals have them.
inline constexpr std::string_view k_exit_statuses =
    "0 done, 1 failed, 64 usage, 65 bad data, 66 no such input, 69 a server or a part of steelyard is not there, 74 "
    "input or output, 75 busy (try again), 77 not allowed";

/// Whether the store, or what it stands on, failed: then no row is to blame, and trying again may be right.
[[nodiscard]] constexpr bool is_of_the_store(Errc code) {
  return code == Errc::io || code == Errc::busy || code == Errc::failed || code == Errc::unavailable;
}

template <class T>
using Result = tl::expected<T, Error>;

[[nodiscard]] inline tl::unexpected<Error> fail(Errc code, std::string what, std::string where = {}) {
  return tl::unexpected<Error>(Error{code, std::move(what), std::move(where)});
}

}  // namespace steelyard

#define STEELYARD_JOIN_(a, b) a##b
#define STEELYARD_JOIN(a, b) STEELYARD_JOIN_(a, b)

/// Runs an expression that gives a Result and passes its error up.
#define STEELYARD_TRY(expr)                                                                   \
  do {                                                                                        \
    auto steelyard_result_ = (expr);                                                          \
    if (!steelyard_result_) return tl::make_unexpected(std::move(steelyard_result_).error()); \
  } while (false)

/// The same, and keeps the value: STEELYARD_TRY_ASSIGN(auto x, f());
#define STEELYARD_TRY_ASSIGN(var, expr)                                                         \
  auto STEELYARD_JOIN(steelyard_result_, __LINE__) = (expr);                                    \
  if (!STEELYARD_JOIN(steelyard_result_, __LINE__))                                             \
    return tl::make_unexpected(std::move(STEELYARD_JOIN(steelyard_result_, __LINE__)).error()); \
  var = *std::move(STEELYARD_JOIN(steelyard_result_, __LINE__))
