#include <fmt/core.h>

#include "steelyard/app/ingest.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "steelyard/report/json.hpp"

namespace steelyard::app {
namespace {

std::string kinds_text(const ingest::ReadReport& report) {
  std::vector<std::string> kinds;
  for (const RecordKind kind : report.kinds) kinds.emplace_back(word(kind));
  return join_words(kinds);
}

}  // namespace

std::string outcome_line(const FileOutcome& file, bool dry_run) {
  if (!file.stored && !dry_run) return fmt::format("{}: nothing stored", file.file);
  std::string text = fmt::format("{}: {} rows of {}", file.file, file.report.rows, kinds_text(file.report));
  if (dry_run) {
    text += ", not stored (dry run)";
  } else {
    const auto part = [&](std::int64_t n, std::string_view what) {
      if (n > 0) text += fmt::format(", {} {}", n, what);
    };
    part(file.summary.added, "new");
    part(file.summary.replaced, "replaced");
    part(file.summary.unchanged, "unchanged");
    part(file.summary.removed, "removed");
  }
  if (file.held > 0) text += fmt::format(", {} left as answered or asked before", file.held);
  if (file.asked > 0) text += fmt::format(", {} held aside as questions", file.asked);
  return text;
}

std::vector<std::string> error_lines(const FileOutcome& file) {
  std::vector<std::string> lines;
  if (file.refused) lines.push_back(file.refused->text());
  for (const Error& error : file.report.errors) lines.push_back(error.text());
  const std::size_t more = file.report.error_count - file.report.errors.size();
  if (more > 0) lines.push_back(fmt::format("{}: {} more errors", file.file, more));
  return lines;
}

std::string ingest_json(const IngestOutcome& outcome) {
  std::string json;
  report::JsonWriter writer(json);
  writer.begin_object().field("schema", 1).key("files").begin_array();
  for (const auto& file : outcome.files) {
    writer.begin_object().field("file", file.file).field("stored", file.stored);
    writer.field("rows", static_cast<std::int64_t>(file.report.rows)).field("added", file.summary.added);
    writer.field("replaced", file.summary.replaced).field("unchanged", file.summary.unchanged);
    writer.field("removed", file.summary.removed).field("asked", static_cast<std::int64_t>(file.asked));
    writer.key("errors").begin_array();
    if (file.refused) writer.value(file.refused->text());
    for (const Error& error : file.report.errors) writer.value(error.text());
    writer.end_array().end_object();
  }
  writer.end_array().field("new_lifts", outcome.new_lifts).end_object();
  return json;
}

}  // namespace steelyard::app
