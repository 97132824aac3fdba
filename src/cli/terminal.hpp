#pragma once
/// The three streams of the process: results, messages, and the keys of a person.

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "steelyard/base/result.hpp"

namespace steelyard::cli {

class Terminal {
 public:
  /// Looks at the streams once. `quiet`: no notes and no progress.
  explicit Terminal(bool quiet = false);

  void be_quiet() { quiet_ = true; }

  // ------------------------------------------------------------------------------------------ results
  /// Writes a result. After a reader has closed the pipe nothing more is written and is_closed() holds.
  /// errors  io (disk full ..)
  [[nodiscard]] Result<void> out(std::string_view text);
  [[nodiscard]] bool is_closed() const { return closed_; }

  // ------------------------------------------------------------------------------------------ messages
  void note(std::string_view text);   ///< a line; not when quiet
  void error(std::string_view text);  ///< a line, always
  /// Shows how far a long reading is; only on a terminal.
  void progress(std::string_view what, std::uint64_t done, std::uint64_t all);
  void end_progress();

  // ------------------------------------------------------------------------------------------ a person
  [[nodiscard]] bool asks() const { return in_is_terminal_ && err_is_terminal_; }
  /// Asks and waits for one key, without Enter. '\n' = Enter; none = the person gave up (end of input, Ctrl-C, Ctrl-D).
  [[nodiscard]] std::optional<char> key(std::string_view question);
  /// Asks and reads a line; none = end of input.
  [[nodiscard]] std::optional<std::string> line(std::string_view question);

  [[nodiscard]] bool color() const { return color_; }
  [[nodiscard]] bool unicode() const { return unicode_; }
  [[nodiscard]] int width() const { return width_; }

 private:
  bool in_is_terminal_ = false;
  bool err_is_terminal_ = false;
  bool out_is_terminal_ = false;
  bool color_ = false;
  bool unicode_ = false;
  bool quiet_ = false;
  bool closed_ = false;
  bool progress_shown_ = false;
  int last_percent_ = -1;
  int width_ = 80;
};

}  // namespace steelyard::cli
