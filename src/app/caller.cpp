// Who asks, for commands that hand out no secrets: what makes those is in access.cpp, with the libraries that it needs.
#include <fmt/core.h>

#include <array>

#include "steelyard/app/access.hpp"

namespace steelyard::app {

std::string_view role_word(Role role) {
  constexpr std::array<std::string_view, 3> words{"owner", "lifter", "coach"};
  return words[static_cast<std::size_t>(role)];
}

std::string by_words(const Caller& caller) {
  if (caller.role == Role::owner) return "at the machine";
  const std::string who = caller.role == Role::lifter
                              ? caller.athlete
                              : "the coach of " + (caller.group.empty() ? "everybody" : caller.group);
  return fmt::format("by {} (token {})", who, caller.token);
}

bool may_see(const Caller& caller, const Athlete& athlete) {
  switch (caller.role) {
    case Role::owner:
      return true;
    case Role::lifter:
      return athlete.athlete == caller.athlete;
    case Role::coach:
      return caller.group.empty() || athlete.group == caller.group;
  }
  return false;
}

}  // namespace steelyard::app
