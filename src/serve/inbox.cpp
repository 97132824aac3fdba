#include "serve/inbox.hpp"

#include <dirent.h>
#include <fcntl.h>
#include <fmt/core.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <memory>
#include <optional>

#include "steelyard/app/folder.hpp"
#include "steelyard/app/ingest.hpp"

namespace steelyard::serve {
namespace {

constexpr const char* k_done = "done";
constexpr const char* k_rejected = "rejected";
constexpr int k_most_names = 10'000;  // NAME, NAME.2, NAME.3 ..

tl::unexpected<Error> io_error(std::string_view doing, const std::string& where) {
  return fail(Errc::io, fmt::format("{}: {}", doing, std::strerror(errno)), where);
}

/// Makes a rename outlive a power failure.
Result<void> flush_folder(const std::string& folder) {
  const int fd = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (fd < 0) return io_error("the folder cannot be opened", folder);
  const bool flushed = ::fsync(fd) == 0;
  ::close(fd);
  if (!flushed) return io_error("the folder cannot be flushed", folder);
  return {};
}

/// Names in the folder, ascending, whatever their bytes; none that begins with a dot.
Result<std::vector<std::string>> names_in(const std::string& folder) {
  const std::unique_ptr<DIR, int (*)(DIR*)> open(::opendir(folder.c_str()), &::closedir);
  if (!open) return io_error("the inbox cannot be listed", folder);
  std::vector<std::string> names;
  errno = 0;
  while (const dirent* entry = ::readdir(open.get())) {
    if (entry->d_name[0] != '.') names.emplace_back(entry->d_name);
  }
  if (errno != 0) return io_error("the inbox cannot be listed", folder);
  std::sort(names.begin(), names.end());
  return names;
}

bool is_there(const std::string& path) {
  struct stat about {};
  return ::lstat(path.c_str(), &about) == 0;
}

}  // namespace

struct Inbox::Look {
  app::Context& context;
  const MayRead& may_read;
  const StopSigns& stop;
  InboxReport report;
};

Result<Inbox> Inbox::open(InboxOptions options) {
  for (const std::string& folder : {options.folder, options.folder + '/' + k_done, options.folder + '/' + k_rejected}) {
    STEELYARD_TRY(app::make_folders(folder));
    if (::access(folder.c_str(), R_OK | W_OK | X_OK) != 0) return io_error("the inbox cannot be used", folder);
  }
  return Inbox(std::move(options));
}

bool Inbox::is_stable(const std::string& name, const Seen& now, bool moved_in) {
  const auto [known, is_new] = seen_.try_emplace(name, now);
  if (moved_in) return true;
  if (is_new || !known->second.same(now)) {
    known->second = now;
    return options_.settle.count() == 0;
  }
  return now.since - known->second.since >= options_.settle;
}

Result<InboxReport> Inbox::look(app::Context& context, Time now, const std::set<std::string>& moved_in,
                                const MayRead& may_read, const StopSigns& stop) {
  STEELYARD_TRY_ASSIGN(const auto names, names_in(options_.folder));
  std::erase_if(seen_, [&](const auto& s) { return !std::binary_search(names.begin(), names.end(), s.first); });
  Look look{.context = context, .may_read = may_read, .stop = stop, .report = {}};
  for (const std::string& name : names) {
    if (stop.no_more()) break;
    struct stat about {};
    if (::lstat(path(name).c_str(), &about) != 0) continue;  // gone in the meantime
    if (!S_ISREG(about.st_mode) && !S_ISLNK(about.st_mode)) continue;
    const Seen seen{.size = static_cast<std::uint64_t>(about.st_size),
                    .time_ns = about.st_mtim.tv_sec * 1'000'000'000 + about.st_mtim.tv_nsec,
                    .inode = about.st_ino,
                    .since = now};
    if (!is_stable(name, seen, moved_in.contains(name))) {
      ++look.report.waiting;
      continue;
    }
    auto fate = S_ISLNK(about.st_mode) ? Result<Fate>(Fate::rejected) : take(look, name);
    if (S_ISLNK(about.st_mode)) {
      const auto rejected =
          reject(name, {fmt::format("{}: is a link; only files themselves are read, copy the file here", name)});
      if (!rejected) fate = tl::make_unexpected(rejected.error());
    }
    if (!fate) look.report.errors.push_back(fate.error());
    if (!fate || *fate == Fate::waits) {
      ++look.report.waiting;
      continue;
    }
    seen_.erase(name);
    ++(*fate == Fate::done ? look.report.done : look.report.rejected);
  }
  return std::move(look.report);
}

Result<Inbox::Fate> Inbox::take(Look& look, const std::string& name) {
  struct stat before {};
  if (::lstat(path(name).c_str(), &before) != 0) return Fate::waits;
  STEELYARD_TRY_ASSIGN(const std::string digest, app::file_digest(path(name)));
  store::Service& service = look.context.store.service();
  std::vector<std::string> wrong;
  {
    STEELYARD_TRY_ASSIGN(const auto work, service.begin_work());
    STEELYARD_TRY_ASSIGN(const bool ours, look.may_read());
    if (!ours) return Fate::waits;
    STEELYARD_TRY_ASSIGN(const auto noted, service.noted_file(digest));
    if (!noted) {
      const std::string file = path(name);
      app::IngestOptions options;
      options.is_stopped = look.stop.at_once;
      STEELYARD_TRY_ASSIGN(const auto outcome, app::ingest_paths(look.context, std::span(&file, 1), options));
      const app::FileOutcome& one = outcome.files.front();
      struct stat after {};
      const bool same = ::lstat(file.c_str(), &after) == 0 && after.st_size == before.st_size &&
                        after.st_ino == before.st_ino && after.st_mtim.tv_sec == before.st_mtim.tv_sec &&
                        after.st_mtim.tv_nsec == before.st_mtim.tv_nsec;
      if (!same) return Fate::waits;
      if (one.has_errors()) {
        wrong = app::error_lines(one);
      } else {
        STEELYARD_TRY(service.note_file(digest, app::outcome_line(one, false)));
        STEELYARD_TRY(work->commit());
      }
    }
  }
  if (!wrong.empty()) {
    STEELYARD_TRY(reject(name, wrong));
    return Fate::rejected;
  }
  STEELYARD_TRY(move(name, k_done, name));
  STEELYARD_TRY(service.forget_file(digest));
  return Fate::done;
}

Result<void> Inbox::reject(const std::string& name, const std::vector<std::string>& lines) {
  std::string text;
  const std::string folder = options_.folder + '/';
  for (std::string line : lines) {
    if (line.starts_with(folder)) line.erase(0, folder.size());
    text += "steelyard: " + line + '\n';
  }
  STEELYARD_TRY_ASSIGN(const std::string moved, move(name, k_rejected, name));
  return app::write_file(path(fmt::format("{}/{}.error.txt", k_rejected, moved)), text);
}

Result<std::string> Inbox::move(const std::string& name, const std::string& to, const std::string& wanted) {
  std::string free = wanted;
  const auto taken = [&](const std::string& candidate) {
    const std::string there = path(to + '/' + candidate);
    return is_there(there) || is_there(there + ".error.txt");
  };
  for (int i = 2; taken(free) && i < k_most_names; ++i) free = fmt::format("{}.{}", wanted, i);
  const std::string target = path(to + '/' + free);
  if (::rename(path(name).c_str(), target.c_str()) != 0) return io_error("a file cannot be moved out of the inbox", "");
  STEELYARD_TRY(flush_folder(path(to)));
  STEELYARD_TRY(flush_folder(options_.folder));
  return free;
}

}  // namespace steelyard::serve
