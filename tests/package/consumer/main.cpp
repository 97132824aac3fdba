// A program of somebody else's that uses the installed headers, libraries and models.
#include <cstdio>

#include "steelyard/app/ingest.hpp"
#include "steelyard/app/models.hpp"

int main(int argc, char** argv) {
  const auto models = steelyard::app::find_models(argc > 1 ? std::optional<std::string>(argv[1]) : std::nullopt);
  if (!models) return std::fprintf(stderr, "%s\n", models.error().text().c_str()), 1;
  const auto store = steelyard::store::open_memory_store();
  steelyard::app::Context context{*store, *models, steelyard::Instant{}};
  const auto read = steelyard::app::ingest_text(context, "a.csv", "athlete,date,minutes,rpe\na1,2026-11-23,60,7\n", {});
  if (!read) return std::fprintf(stderr, "%s\n", read.error().text().c_str()), 1;
  std::printf("%zu error\n", read->report.errors.size());
}
