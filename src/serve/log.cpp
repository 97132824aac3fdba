#include "serve/log.hpp"

#include <unistd.h>

#include <algorithm>
#include <array>

#include "steelyard/serve/http.hpp"

namespace steelyard::serve {
namespace {

std::string value_text(std::string_view value) {
  const bool plain = !value.empty() && std::all_of(value.begin(), value.end(), [](char c) {
    return c > ' ' && c != '"' && c != '=' && c != '\\' && c != 0x7f;
  });
  if (plain) return std::string(value);
  std::string text = "\"";
  for (const char c : value) {
    if (c == '"' || c == '\\') text += '\\';
    const bool control = static_cast<unsigned char>(c) < 0x20 || c == 0x7f;
    text += control ? ' ' : c;
  }
  return text + '"';
}

}  // namespace

std::string log_line(Level level, std::string_view event, std::initializer_list<Field> fields) {
  constexpr std::array<std::string_view, 3> words{"info", "warning", "error"};
  std::string line = fmt::format("level={} event={}", words[static_cast<std::size_t>(level)], event);
  for (const auto& [name, value] : fields) line += fmt::format(" {}={}", name, value_text(value));
  return line;
}

void log(Level level, std::string_view event, std::initializer_list<Field> fields) {
  const std::string line = log_line(level, event, fields) + '\n';
  // What standard error cannot take is lost: there is nowhere else to say so.
  [[maybe_unused]] const auto written = ::write(STDERR_FILENO, line.data(), line.size());
}

void log(std::string_view event, const Error& error) {
  log(Level::error, event, {{"code", std::string(code_word(error.code))}, {"why", error.what}});
}

}  // namespace steelyard::serve
