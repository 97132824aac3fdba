#pragma once
/// A disk under SQLite that stops taking changes at the n-th one, and that tells what a loss of power would have left.
/// source  the VFS interface: https://www.sqlite.org/vfs.html; what is not synced may be lost, in any part (POSIX
/// fsync)

#include <cstdint>
#include <string>

namespace steelyard::store {

/// While one lives, every database of this process that is opened by then on lies on it.
class FaultyDisk {
 public:
  FaultyDisk();
  FaultyDisk(const FaultyDisk&) = delete;
  FaultyDisk& operator=(const FaultyDisk&) = delete;
  ~FaultyDisk();

  /// The n-th change from now on (a write, a truncation, a flush, a removal) fails, and every later one; 0 = none.
  void fail_at(int n);
  [[nodiscard]] bool has_failed() const;

  /// Writes into `folder` what would be left of the files of that folder name: what was synced, and of the writes since
  /// then none (keep = 0) or a part that `keep` draws.
  void lose_power(const std::string& from, const std::string& folder, unsigned keep) const;
};

}  // namespace steelyard::store
