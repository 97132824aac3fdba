#pragma once
/// Copies of a store file, and whether a store file is sound.
/// errors  every function: no_input (no such file, or an empty one), bad_data (not a store of ours, a newer one), and
///         those of store.hpp

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/base/day.hpp"
#include "steelyard/base/result.hpp"
#include "steelyard/base/zone.hpp"

namespace steelyard::store {

/// Version of the tables that this program writes.
[[nodiscard]] int schema_version();

struct CopyReceipt {
  std::string digest;  ///< of every row of every table
  std::int64_t athletes = 0;
  std::int64_t rows = 0;  ///< in all tables
  std::int64_t bytes = 0;
};

/// Copies the file as it was at one moment, also while other processes write, to `to` (mode 0600). The copy is checked
/// (integrity, foreign keys, equal digest) before it gets its name: what lies under that name is whole.
/// errors  not_allowed (`to` is there and may not be replaced, is in use, or only its log is there), failed (the copy
///         is not equal)
[[nodiscard]] Result<CopyReceipt> back_up_file(const std::string& file, const std::string& to, bool overwrite);

/// One sentence for each copy of a store file, under a name that the program gives such copies before it brings the file
/// forward, in which any row is about the athlete, or that cannot be read.
/// errors  io (the folder cannot be read)
[[nodiscard]] Result<std::vector<Error>> copies_with(const std::string& file, std::string_view athlete);

struct Findings {
  std::vector<std::string> faults;   ///< sentences; none = sound
  std::vector<std::string> remarks;  ///< nothing wrong, but worth knowing
  /// The version of the tables if it is an older one: such a file was looked at no further than its rights and pages.
  std::optional<int> older;
};

/// A call as it was kept, without its text.
struct CallMade {
  std::int64_t id = 0;
  std::string athlete;
  Day date{};
  std::string command;
  Instant made_at{};
  std::string inputs_digest;
  bool names_its_inputs = true;  ///< the answer that was kept carries the same digest
};

/// Looks at a store file without changing it. thread safety  none
class FileCheck {
 public:
  virtual ~FileCheck() = default;
  [[nodiscard]] static Result<std::unique_ptr<FileCheck>> open(const std::string& file);

  /// The pages, the tables, references between rows, and the file's rights.
  [[nodiscard]] virtual Result<Findings> inspect() = 0;
  /// Ascending by number.
  [[nodiscard]] virtual Result<std::vector<CallMade>> calls() = 0;
  /// Whether something was entered, decided, answered or taken back since the call that it may have been made from;
  /// `last` = the last planned day that a call looks at.
  [[nodiscard]] virtual Result<bool> changed_since(const CallMade& call, Day last) = 0;
};

}  // namespace steelyard::store
