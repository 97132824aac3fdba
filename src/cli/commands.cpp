#include "cli/commands.hpp"

#include <array>

namespace steelyard::cli {
namespace {

const std::array<const Command*, 27> k_order{
    &k_ingest, &k_check,  &k_log,    &k_today,     &k_compare, &k_ahead,   &k_week,   &k_loads,  &k_strength,
    &k_marks,  &k_learn,  &k_why,    &k_questions, &k_decide,  &k_athlete, &k_max,    &k_plan,   &k_off,
    &k_undo,   &k_report, &k_export, &k_erase,     &k_serve,   &k_token,   &k_backup, &k_verify, &k_move};

/// In one piece, so that the table can be walked as data.
const std::vector<Command>& table() {
  static const std::vector<Command> all = [] {
    std::vector<Command> made;
    for (const Command* command : k_order) made.push_back(*command);
    return made;
  }();
  return all;
}

}  // namespace

std::span<const Command> commands() {
  return table();
}

const Command* find_command(std::string_view name) {
  for (const Command& command : table()) {
    if (command.name == name) return &command;
  }
  return nullptr;
}

}  // namespace steelyard::cli
