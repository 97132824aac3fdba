#pragma once
/// The watched folder: a file lands in it, is read once it no longer changes, and goes to done/ or rejected/.
/// definition  One file is one transaction, in which its content (by digest, not by name) is noted as read; so a crash
///             between the reading and the moving does not read it twice. A file whose content comes again later is
///             read again, which by the rules of ingest changes nothing. A file that changes while it is read is left
///             for the next look. Links are never followed: they are rejected. Names that begin with a dot, folders
///             and devices are left alone.
///             NAME.error.txt beside a rejected file says what `steelyard ingest NAME` would say.

#include <chrono>
#include <cstdint>
#include <functional>
#include <map>
#include <set>
#include <string>
#include <vector>

#include "steelyard/app/context.hpp"

namespace steelyard::serve {

struct InboxOptions {
  std::string folder;
  /// How long size and time of a file have to stay the same. A file that was renamed into the folder need not wait.
  std::chrono::milliseconds settle{2000};
};

/// How a running look is ended.
struct StopSigns {
  std::function<bool()> no_more = [] { return false; };  ///< finish what is begun, begin nothing
  std::function<bool()> at_once = [] { return false; };  ///< give up what is begun
};

struct InboxReport {
  std::size_t done = 0;
  std::size_t rejected = 0;
  std::size_t waiting = 0;    ///< not stable yet, or the store was busy
  std::vector<Error> errors;  ///< why something waits; without names of files
};

class Inbox {
 public:
  using Time = std::chrono::steady_clock::time_point;
  /// Asked inside each transaction: whether this process still is the one to read.
  using MayRead = std::function<Result<bool>()>;

  /// Makes the folder with done/ and rejected/. errors  io (cannot be made, listed or written)
  [[nodiscard]] static Result<Inbox> open(InboxOptions options);

  /// Looks at every file once. `moved_in`: names that were renamed into the folder since the last look.
  /// errors  io (the folder is gone or cannot be listed)
  [[nodiscard]] Result<InboxReport> look(app::Context& context, Time now, const std::set<std::string>& moved_in,
                                         const MayRead& may_read, const StopSigns& stop);

  [[nodiscard]] const InboxOptions& options() const { return options_; }

 private:
  struct Seen {
    std::uint64_t size = 0;
    std::int64_t time_ns = 0;
    std::uint64_t inode = 0;
    Time since{};
    [[nodiscard]] bool same(const Seen& other) const {
      return size == other.size && time_ns == other.time_ns && inode == other.inode;
    }
  };
  enum class Fate { done, rejected, waits };
  struct Look;

  explicit Inbox(InboxOptions options) : options_(std::move(options)) {}

  [[nodiscard]] bool is_stable(const std::string& name, const Seen& now, bool moved_in);
  [[nodiscard]] Result<Fate> take(Look& look, const std::string& name);
  [[nodiscard]] Result<void> reject(const std::string& name, const std::vector<std::string>& lines);
  /// Into a sub-folder, under a free name there.   returns  that name
  [[nodiscard]] Result<std::string> move(const std::string& name, const std::string& to, const std::string& wanted);
  [[nodiscard]] std::string path(const std::string& name) const { return options_.folder + '/' + name; }

  InboxOptions options_;
  std::map<std::string, Seen> seen_;
};

}  // namespace steelyard::serve
