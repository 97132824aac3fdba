#pragma once
/// Requests and answers as plain structs, so that everything but the sockets can be tested without one.
/// source  RFC 9110 (HTTP semantics), RFC 9457 (problem details), RFC 3986 section 2.1 (percent-encoding)

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "steelyard/base/result.hpp"

namespace steelyard::serve {

using Headers = std::vector<std::pair<std::string, std::string>>;

struct Request {
  std::string method;
  std::string target;  ///< path and query as they came
  Headers headers;     ///< names in lower case
  std::string body;
  std::string peer;  ///< address of the other side, without port

  /// The first header of that name (lower case); none = it was not sent.
  [[nodiscard]] std::optional<std::string_view> header(std::string_view name) const;
};

struct Response {
  int status = 200;
  Headers headers;
  std::string body;
  std::string_view fixed = {};  ///< sent instead of `body` if not empty; lives as long as the program
};

[[nodiscard]] Response json_response(std::string json, int status = 200);

/// The JSON of an error, in our code names. `where` is the column or the option that is wrong.
[[nodiscard]] Response problem(int status, std::string_view code, std::string_view detail, std::string_view where = {});
[[nodiscard]] Response problem(const Error& error);
[[nodiscard]] int status_of(Errc code);
[[nodiscard]] std::string_view code_word(Errc code);
[[nodiscard]] std::string_view phrase(int status);  ///< "Not Found"

/// A target cut at '?', '/' and '&', percent-decoded.
struct Target {
  std::vector<std::string> parts;            ///< of the path
  std::map<std::string, std::string> query;  ///< a name given twice is refused
};
/// errors  usage (a broken percent sequence, NUL, a name given twice, no leading '/')
[[nodiscard]] Result<Target> parse_target(std::string_view target);

/// The value of a cookie of the request.
[[nodiscard]] std::optional<std::string> cookie(const Request& request, std::string_view name);

}  // namespace steelyard::serve
