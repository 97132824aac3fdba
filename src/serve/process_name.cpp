#include "serve/process_name.hpp"

#include <fmt/core.h>

#include <fstream>
#include <iterator>
#include <vector>

#include "steelyard/base/text.hpp"

namespace steelyard::serve {
namespace {

constexpr std::size_t k_start_field = 19;  // the 22nd of the line, counted from behind the name in brackets

std::string text_of(const std::string& file) {
  std::ifstream in(file);
  return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

/// Empty = there is no such process.
std::string start_of(std::string_view pid) {
  const std::string line = text_of(fmt::format("/proc/{}/stat", pid));
  const auto name_end = line.rfind(')');  // the name itself may hold blanks and brackets
  if (name_end == std::string::npos) return {};
  const auto fields = split_words(std::string_view(line).substr(name_end + 1));
  return fields.size() > k_start_field ? std::string(fields[k_start_field]) : std::string{};
}

std::string boot() {
  return std::string(trim(text_of("/proc/sys/kernel/random/boot_id")));
}

}  // namespace

std::string process_name(pid_t pid) {
  return fmt::format("{} {} {}", boot(), pid, start_of(fmt::format("{}", pid)));
}

bool has_ended(std::string_view name) {
  const auto parts = split_words(name);
  return parts.size() == 3 && parts[0] == boot() && start_of(parts[1]) != parts[2];
}

}  // namespace steelyard::serve
