#pragma once
/// Files as the use cases read and write them. The only place of the room that knows the operating system's calls.

#include <cstdint>
#include <limits>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/base/result.hpp"
#include "steelyard/ingest/reader.hpp"

namespace steelyard::app {

/// errors  no_input (not there), io
[[nodiscard]] Result<std::string> read_whole_file(const std::string& path);

/// An open file, or standard input for "-".
class FileSource : public ingest::ByteSource {
 public:
  /// errors  no_input (not there, a folder), io
  [[nodiscard]] static Result<std::unique_ptr<FileSource>> open(const std::string& path);
  /// Bytes [begin, end) of a file.   errors  as open
  [[nodiscard]] static Result<std::unique_ptr<FileSource>> open(const std::string& path, std::uint64_t begin,
                                                                std::uint64_t end);
  ~FileSource() override;
  FileSource(const FileSource&) = delete;
  FileSource& operator=(const FileSource&) = delete;

  [[nodiscard]] Result<std::size_t> read(std::span<char> buffer) override;
  [[nodiscard]] std::uint64_t size() const { return size_; }  ///< 0 = not known

 private:
  FileSource(int fd, std::uint64_t size, std::string name) : fd_(fd), size_(size), name_(std::move(name)) {}
  int fd_;
  std::uint64_t size_;
  std::string name_;
  std::uint64_t left_ = std::numeric_limits<std::uint64_t>::max();  ///< bytes until the end of the range
};

/// Places in a file, each behind a line end, that cut it into up to `pieces` pieces of about the same size; the first
/// is 0, the last its size. Standard input, a pipe and a small file are one piece.   errors  io, no_input
[[nodiscard]] Result<std::vector<std::uint64_t>> cuts_of(const std::string& path, std::size_t pieces);

/// The first line of a file, at most 64 KiB of it; empty for an empty file.
[[nodiscard]] Result<std::string> first_line(const std::string& path);

[[nodiscard]] bool is_folder(const std::string& path);
/// errors  io
[[nodiscard]] Result<bool> is_empty_folder(const std::string& path);
/// Log files of a folder (.csv, .jsonl), by name, without hidden ones.   errors  io
[[nodiscard]] Result<std::vector<std::string>> log_files_of(const std::string& folder);

/// With the folders above it; those that are made are the owner's alone, since what goes in is about people.
/// errors  io
[[nodiscard]] Result<void> make_folder(const std::string& path);
/// Writes the file whole or not at all: beside it first, flushed to the disk, then renamed. Readable for its owner
/// only. errors  io
[[nodiscard]] Result<void> write_whole_file(const std::string& path, std::string_view text);

}  // namespace steelyard::app
