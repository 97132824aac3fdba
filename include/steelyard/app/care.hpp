#pragma once
/// Copies of the store and proof that it is sound.

#include <cstddef>
#include <string>
#include <vector>

#include "steelyard/app/context.hpp"
#include "steelyard/store/care.hpp"

namespace steelyard::app {

/// Version of the store's tables that this program writes.
[[nodiscard]] int schema_version();

struct Soundness {
  store::Findings findings;
  std::string digest;  ///< of the entries; empty when the file is too damaged to be read
  std::size_t athletes = 0;
  std::size_t calls = 0;     ///< that were kept
  std::size_t repeated = 0;  ///< of these, those whose inputs are still as they were
  std::size_t changed = 0;   ///< of these, those whose inputs were corrected, answered or taken back since
};

/// Looks at the file's pages, tables and references, reads every row, and makes the digest of the inputs of every call
/// that was kept once more; `models` know the lifts' names and the rotation where no plan is written. It changes
/// nothing, but a store of an older version is brought forward first, unless its pages are damaged. That it cannot be is a
/// fault of the file.
/// errors  no_input (no such file, or an empty one), bad_data (not a store of ours, a newer one)
[[nodiscard]] Result<Soundness> verify(const std::string& file, const Models& models);

[[nodiscard]] std::string soundness_json(const Soundness& sound);

}  // namespace steelyard::app
