#include "steelyard/serve/http.hpp"

#include <fmt/core.h>

#include "steelyard/app/show.hpp"
#include "steelyard/base/text.hpp"

namespace steelyard::serve {
namespace {

std::optional<unsigned> hex_digit(char c) {
  if (c >= '0' && c <= '9') return static_cast<unsigned>(c - '0');
  if (c >= 'a' && c <= 'f') return static_cast<unsigned>(c - 'a') + 10U;
  if (c >= 'A' && c <= 'F') return static_cast<unsigned>(c - 'A') + 10U;
  return std::nullopt;
}

Result<std::string> decoded(std::string_view text, bool plus_is_blank) {
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == '+' && plus_is_blank) {
      out += ' ';
    } else if (text[i] != '%') {
      out += text[i];
    } else {
      const auto high = i + 2 < text.size() ? hex_digit(text[i + 1]) : std::nullopt;
      const auto low = high ? hex_digit(text[i + 2]) : std::nullopt;
      if (!low || (*high == 0 && *low == 0)) {
        return fail(Errc::usage, "the address holds a broken percent sequence; allowed: % and two hexadecimal digits");
      }
      out += static_cast<char>((*high << 4U) | *low);
      i += 2;
    }
  }
  return out;
}

}  // namespace

std::optional<std::string_view> Request::header(std::string_view name) const {
  for (const auto& [key, value] : headers) {
    if (key == name) return value;
  }
  return std::nullopt;
}

Response json_response(std::string json, int status) {
  json += '\n';
  return {.status = status, .headers = {{"content-type", "application/json"}}, .body = std::move(json)};
}

Response problem(int status, std::string_view code, std::string_view detail, std::string_view where) {
  std::string json;
  report::JsonWriter writer(json);
  writer.begin_object().field("type", "about:blank").field("title", phrase(status)).field("status", status);
  writer.field("detail", detail).field("code", code);
  if (!where.empty()) writer.field("where", where);
  writer.end_object();
  json += '\n';
  Response response{
      .status = status, .headers = {{"content-type", "application/problem+json"}}, .body = std::move(json)};
  if (status == 503) response.headers.emplace_back("retry-after", "2");
  return response;
}

Response problem(const Error& error) {
  // A place in the machine's own files is nobody's business on the other side.
  const bool outside = error.code != Errc::io && error.code != Errc::busy && error.code != Errc::failed;
  return problem(status_of(error.code), code_word(error.code), error.what, outside ? error.where : "");
}

int status_of(Errc code) {
  switch (code) {
    case Errc::usage:
      return 400;
    case Errc::bad_data:
      return 422;
    case Errc::no_input:
      return 404;
    case Errc::not_allowed:
      return 403;
    case Errc::unavailable:
    case Errc::busy:
      return 503;
    case Errc::failed:
    case Errc::io:
      return 500;
  }
  return 500;
}

std::string_view code_word(Errc code) {
  switch (code) {
    case Errc::failed:
      return "failed";
    case Errc::usage:
      return "usage";
    case Errc::bad_data:
      return "bad_data";
    case Errc::no_input:
      return "no_input";
    case Errc::unavailable:
      return "unavailable";
    case Errc::io:
      return "io";
    case Errc::busy:
      return "busy";
    case Errc::not_allowed:
      return "not_allowed";
  }
  return "failed";
}

std::string_view phrase(int status) {
  switch (status) {
    case 200:
      return "OK";
    case 201:
      return "Created";
    case 204:
      return "No Content";
    case 304:
      return "Not Modified";
    case 400:
      return "Bad Request";
    case 401:
      return "Unauthorized";
    case 403:
      return "Forbidden";
    case 404:
      return "Not Found";
    case 405:
      return "Method Not Allowed";
    case 408:
      return "Request Timeout";
    case 413:
      return "Content Too Large";
    case 415:
      return "Unsupported Media Type";
    case 422:
      return "Unprocessable Content";
    case 429:
      return "Too Many Requests";
    case 431:
      return "Request Header Fields Too Large";
    case 503:
      return "Service Unavailable";
    default:
      return "Internal Server Error";
  }
}

Result<Target> parse_target(std::string_view target) {
  if (!target.starts_with('/')) return fail(Errc::usage, "the address must start with '/'");
  const auto mark = target.find('?');
  Target parsed;
  for (const auto part : split(target.substr(1, mark == std::string_view::npos ? mark : mark - 1), '/')) {
    STEELYARD_TRY_ASSIGN(auto text, decoded(part, false));
    parsed.parts.push_back(std::move(text));
  }
  if (mark == std::string_view::npos) return parsed;
  for (const auto pair : split(target.substr(mark + 1), '&')) {
    if (pair.empty()) continue;
    const auto equals = pair.find('=');
    STEELYARD_TRY_ASSIGN(auto name, decoded(pair.substr(0, equals), true));
    STEELYARD_TRY_ASSIGN(
        auto value, decoded(equals == std::string_view::npos ? std::string_view{} : pair.substr(equals + 1), true));
    if (!parsed.query.emplace(name, std::move(value)).second) {
      return fail(Errc::usage, fmt::format("{} is given twice", in_quotes(name)), name);
    }
  }
  return parsed;
}

std::optional<std::string> cookie(const Request& request, std::string_view name) {
  for (const auto& [key, value] : request.headers) {
    if (key != "cookie") continue;
    for (const auto pair : split(value, ';')) {
      const auto text = trim(pair);
      const auto equals = text.find('=');
      if (equals != std::string_view::npos && text.substr(0, equals) == name) {
        return std::string(text.substr(equals + 1));
      }
    }
  }
  return std::nullopt;
}

}  // namespace steelyard::serve
