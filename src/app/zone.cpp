#include "steelyard/app/zone.hpp"

#include <fmt/core.h>

#include "app/files.hpp"
#include "steelyard/base/text.hpp"

namespace steelyard::app {
namespace {

constexpr std::string_view k_zones = "/usr/share/zoneinfo/";

/// Letters, digits, '_', '+', '-' in parts between '/': nothing that could leave the folder.
bool is_zone_name(std::string_view name) {
  if (name.size() > 64) return false;
  for (const auto part : split(name, '/')) {
    if (part.empty()) return false;
    for (const char c : part) {
      const bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
      if (!letter && !(c >= '0' && c <= '9') && c != '_' && c != '+' && c != '-') return false;
    }
  }
  return true;
}

}  // namespace

Result<std::string> rule_of_zone(std::string_view name) {
  if (name.empty() || name == "UTC") return std::string{};
  const auto refuse = [&] {
    return fail(Errc::bad_data,
                fmt::format("{} is not a time zone of this machine; allowed: names such as Europe/Berlin "
                            "or UTC",
                            in_quotes(name)));
  };
  if (!is_zone_name(name)) return refuse();
  const auto bytes = read_whole_file(fmt::format("{}{}", k_zones, name));
  if (!bytes) return refuse();
  auto rule = zone_rule(*bytes);
  if (!rule) return refuse();
  return rule;
}

Result<Day> today_in(std::string_view zone, Instant now) {
  STEELYARD_TRY_ASSIGN(const std::string rule, rule_of_zone(zone));
  return day_in_zone(rule, now);
}

}  // namespace steelyard::app
