#pragma once
/// Copies a whole store to another place: from a file to a server, back, or to another file.
/// definition  Everything goes along - entries, history, questions, calls, states, tokens, lines about accesses - but
///             leases and the logins of a server. All is read in one snapshot and written in one transaction, then read
///             back: each table's digest must be the one of its source.
/// errors      no_input (there is no source), not_allowed (the target holds something), usage (both are the same),
///             failed (the copy differs: nothing of it stays), those of both stores
/// cost        memory does not depend on the number of rows

#include <cstdint>
#include <string>
#include <vector>

#include "steelyard/base/result.hpp"

namespace steelyard::store {

struct MovedTable {
  std::string name;
  std::int64_t rows = 0;
  std::string digest;  ///< 32 hexadecimal digits; of the rows' contents, whatever their order and whoever holds them
};

struct Move {
  std::string from;  ///< without secrets
  std::string to;
  std::vector<MovedTable> tables;
  std::int64_t rows = 0;
  std::string digest;  ///< of all tables
};

/// `from` and `to` are paths of files or postgresql:// addresses.
[[nodiscard]] Result<Move> move_store(const std::string& from, const std::string& to);

}  // namespace steelyard::store
