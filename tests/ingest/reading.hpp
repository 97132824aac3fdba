#pragma once
/// A log from text in pieces of any size, and what came out of it.

#include <algorithm>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "steelyard/ingest/reader.hpp"

namespace steelyard::ingest {

class TextSource final : public ByteSource {
 public:
  explicit TextSource(std::string text, std::size_t piece = std::size_t{1} << 20,
                      std::size_t fails_after = std::string::npos)
      : text_(std::move(text)), piece_(piece), fails_after_(fails_after) {}

  Result<std::size_t> read(std::span<char> buffer) override {
    if (at_ >= fails_after_) return fail(Errc::io, "the disk is gone");
    const std::size_t count = std::min({piece_, buffer.size(), text_.size() - at_, fails_after_ - at_});
    std::copy_n(text_.data() + at_, count, buffer.data());
    at_ += count;
    return count;
  }

 private:
  std::string text_;
  std::size_t piece_;
  std::size_t fails_after_;
  std::size_t at_ = 0;
};

struct Outcome {
  Result<ReadReport> report;
  std::vector<Record> rows;
  std::vector<std::size_t> lines;

  /// Every error as a person sees it, one a line; the fatal one last.
  [[nodiscard]] std::string errors() const {
    std::string text;
    if (!report) return report.error().text() + "\n";
    for (const auto& error : report->errors) text += error.text() + "\n";
    return text;
  }
};

/// Known: anna (no units), ben (lb), cleo (kg).
inline std::optional<KnownAthlete> squad(std::string_view code) {
  if (code == "anna") return KnownAthlete{};
  if (code == "ben") return KnownAthlete{Unit::lb};
  if (code == "cleo") return KnownAthlete{Unit::kg};
  return std::nullopt;
}

inline Outcome read_text(std::string text, const ReadOptions& options = {}, std::size_t piece = std::size_t{1} << 20,
                         std::string_view name = "f.csv") {
  TextSource source(std::move(text), piece);
  Outcome outcome;
  outcome.report = read_log(
      source, name, squad,
      [&](Record&& record, std::size_t line) -> Result<void> {
        outcome.rows.push_back(std::move(record));
        outcome.lines.push_back(line);
        return {};
      },
      options);
  return outcome;
}

}  // namespace steelyard::ingest
