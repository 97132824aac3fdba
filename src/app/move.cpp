#include "steelyard/app/move.hpp"

#include <fmt/core.h>

#include "steelyard/report/json.hpp"

namespace steelyard::app {

std::string move_line(const store::Move& moved) {
  return fmt::format("{} rows of {} tables copied from {} to {}; read back and equal, digest {}", moved.rows,
                     moved.tables.size(), moved.from, moved.to, moved.digest);
}

std::string move_json(const store::Move& moved) {
  std::string json;
  report::JsonWriter writer(json);
  writer.begin_object().field("schema", 1).field("from", moved.from).field("to", moved.to).field("rows", moved.rows);
  writer.field("digest", moved.digest).key("tables").begin_array();
  for (const auto& table : moved.tables) {
    writer.begin_object().field("table", table.name).field("rows", table.rows).field("digest", table.digest);
    writer.end_object();
  }
  writer.end_array().end_object();
  return json;
}

}  // namespace steelyard::app
