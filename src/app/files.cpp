#include "app/files.hpp"

#include <fcntl.h>
#include <fmt/core.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>
#include <filesystem>

#include "steelyard/app/folder.hpp"
#include "steelyard/base/text.hpp"

namespace steelyard::app {
namespace {

namespace fs = std::filesystem;

tl::unexpected<Error> io_error(std::string_view doing, const std::string& path) {
  const int number = errno;
  const Errc code = number == ENOENT || number == ENOTDIR ? Errc::no_input : Errc::io;
  return fail(code, fmt::format("{}: {}", doing, std::strerror(number)), path);
}

}  // namespace

Result<std::unique_ptr<FileSource>> FileSource::open(const std::string& path) {
  if (path == "-") return std::unique_ptr<FileSource>(new FileSource(STDIN_FILENO, 0, "standard input"));
  const int fd = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
  if (fd < 0) return io_error("cannot be opened", path);
  struct stat about {};
  if (::fstat(fd, &about) != 0 || S_ISDIR(about.st_mode)) {
    ::close(fd);
    return fail(Errc::no_input, "is a folder, not a file", path);
  }
  return std::unique_ptr<FileSource>(new FileSource(fd, static_cast<std::uint64_t>(about.st_size), path));
}

FileSource::~FileSource() {
  if (fd_ != STDIN_FILENO) ::close(fd_);
}

Result<std::unique_ptr<FileSource>> FileSource::open(const std::string& path, std::uint64_t begin, std::uint64_t end) {
  STEELYARD_TRY_ASSIGN(auto source, open(path));
  if (::lseek(source->fd_, static_cast<off_t>(begin), SEEK_SET) < 0) return io_error("cannot be read", path);
  source->left_ = end - begin;
  return source;
}

Result<std::size_t> FileSource::read(std::span<char> buffer) {
  for (;;) {
    const auto n = ::read(fd_, buffer.data(), std::min<std::uint64_t>(buffer.size(), left_));
    if (n >= 0) {
      left_ -= static_cast<std::uint64_t>(n);
      return static_cast<std::size_t>(n);
    }
    if (errno != EINTR) return io_error("cannot be read", name_);
  }
}

Result<std::string> read_whole_file(const std::string& path) {
  STEELYARD_TRY_ASSIGN(const auto source, FileSource::open(path));
  std::string text;
  std::array<char, 16384> buffer{};
  for (;;) {
    STEELYARD_TRY_ASSIGN(const std::size_t n, source->read(buffer));
    if (n == 0) return text;
    text.append(buffer.data(), n);
  }
}

Result<std::vector<std::uint64_t>> cuts_of(const std::string& path, std::size_t pieces) {
  constexpr std::uint64_t k_worth_cutting = std::uint64_t{1} << 20;
  STEELYARD_TRY_ASSIGN(const auto whole, FileSource::open(path));
  const std::uint64_t size = whole->size();
  std::vector<std::uint64_t> cuts{0};
  pieces = std::min<std::uint64_t>(pieces, size / k_worth_cutting);
  for (std::size_t i = 1; i < pieces; ++i) {
    std::uint64_t at = std::max(cuts.back(), size / pieces * i);
    STEELYARD_TRY_ASSIGN(const auto source, FileSource::open(path, at, size));
    std::array<char, 4096> buffer{};
    for (;;) {
      STEELYARD_TRY_ASSIGN(const std::size_t n, source->read(buffer));
      const char* const end = buffer.data() + n;
      const char* const found = std::find<const char*>(buffer.data(), end, '\n');
      at += static_cast<std::uint64_t>(found - buffer.data()) + (found == end ? 0 : 1);
      if (found != end || n == 0) break;
    }
    if (at < size) cuts.push_back(at);
  }
  cuts.push_back(size);
  return cuts;
}

Result<std::string> first_line(const std::string& path) {
  STEELYARD_TRY_ASSIGN(const auto source, FileSource::open(path));
  std::string text(std::size_t{65536}, '\0');
  std::size_t have = 0;
  while (have < text.size()) {
    STEELYARD_TRY_ASSIGN(const std::size_t n, source->read(std::span(text).subspan(have)));
    if (n == 0) break;
    have += n;
    if (text.find('\n') < have) break;
  }
  text.resize(std::min(have, text.find('\n')));
  return text;
}

bool is_folder(const std::string& path) {
  std::error_code ignored;
  return fs::is_directory(path, ignored);
}

Result<bool> is_empty_folder(const std::string& path) {
  std::error_code error;
  const bool empty = fs::is_empty(path, error);
  if (error) return fail(Errc::io, fmt::format("cannot be listed: {}", error.message()), path);
  return empty;
}

Result<std::vector<std::string>> log_files_of(const std::string& folder) {
  std::vector<std::string> files;
  std::error_code error;
  for (fs::directory_iterator it(folder, error), end; !error && it != end; it.increment(error)) {
    const fs::path& path = it->path();
    const auto kind = to_lower(path.extension().string());
    if (path.filename().string().starts_with('.') || (kind != ".csv" && kind != ".jsonl")) continue;
    std::error_code ignored;
    if (it->is_regular_file(ignored)) files.push_back(path.string());
  }
  if (error) return fail(Errc::io, fmt::format("cannot be listed: {}", error.message()), folder);
  std::sort(files.begin(), files.end());
  return files;
}

Result<void> make_folder(const std::string& path) {
  fs::path made;
  for (const fs::path& part : fs::path(path)) {
    made /= part;
    if (is_folder(made.string())) continue;
    if (::mkdir(made.c_str(), S_IRWXU) != 0 && errno != EEXIST) {
      return fail(Errc::io, fmt::format("cannot be made: {}", std::strerror(errno)), path);
    }
  }
  if (!is_folder(path)) return fail(Errc::io, "is a file, not a folder", path);
  return {};
}

Result<bool> remove_file(const std::string& path) {
  if (::unlink(path.c_str()) == 0) return true;
  if (errno == ENOENT || errno == ENOTDIR) return false;
  return fail(Errc::io, fmt::format("cannot be removed: {}", std::strerror(errno)), path);
}

namespace {

/// So that the name of a new file survives a power failure too.
Result<void> flush_folder_of(const std::string& path) {
  const std::string folder = fs::path(path).parent_path().string();
  const int fd = ::open(folder.empty() ? "." : folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (fd < 0) return io_error("cannot be flushed to the disk", path);
  const bool flushed = ::fsync(fd) == 0 || errno == EINVAL;  // a file system that keeps nothing of its own to flush
  auto failed = io_error("cannot be flushed to the disk", path);
  ::close(fd);
  if (!flushed) return failed;
  return {};
}

}  // namespace

Result<void> write_whole_file(const std::string& path, std::string_view text) {
  const std::string beside = path + ".part";
  ::unlink(beside.c_str());  // left over from a crash, perhaps with other permissions; or somebody's link
  const int fd = ::open(beside.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, S_IRUSR | S_IWUSR);
  if (fd < 0) return io_error("cannot be written", path);
  while (!text.empty()) {
    const auto n = ::write(fd, text.data(), text.size());
    if (n < 0 && errno == EINTR) continue;
    if (n < 0) {
      auto error = io_error("cannot be written", path);
      ::close(fd);
      ::unlink(beside.c_str());
      return error;
    }
    text.remove_prefix(static_cast<std::size_t>(n));
  }
  const bool flushed = ::fsync(fd) == 0;
  const bool closed = ::close(fd) == 0;
  if (!flushed || !closed || ::rename(beside.c_str(), path.c_str()) != 0) {
    auto error = io_error("cannot be written", path);
    ::unlink(beside.c_str());
    return error;
  }
  return flush_folder_of(path);
}

Result<void> write_file(const std::string& path, std::string_view text) {
  return write_whole_file(path, text);
}

Result<void> make_folders(const std::string& path) {
  return make_folder(path);
}

}  // namespace steelyard::app
