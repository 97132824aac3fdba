#pragma once
/// A whole store in another place.

#include "steelyard/store/move.hpp"

namespace steelyard::app {

/// See store::move_store.
[[nodiscard]] inline Result<store::Move> move(const std::string& from, const std::string& to) {
  return store::move_store(from, to);
}

[[nodiscard]] std::string move_line(const store::Move& moved);
[[nodiscard]] std::string move_json(const store::Move& moved);

}  // namespace steelyard::app
