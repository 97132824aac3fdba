#include "steelyard/app/loads.hpp"

#include <fmt/core.h>

#include <array>

#include "cli/commands.hpp"

namespace steelyard::cli {
namespace {

constexpr std::size_t k_chunk = std::size_t{1} << 16;

Result<app::LoadOptions> options_of(const Run& run) {
  app::LoadOptions options{.latest = run.flag("latest")};
  STEELYARD_TRY_ASSIGN(options.from, run.date("from"));
  STEELYARD_TRY_ASSIGN(options.to, run.date("to"));
  const std::string gaps = run.text("gaps").value_or("unknown");
  if (gaps != "unknown" && gaps != "rest") {
    return fail(Errc::usage, fmt::format("'{}' is not a way to take gaps; allowed: unknown, rest", gaps), "--gaps");
  }
  if (gaps == "rest") options.gaps = series::Gaps::rest;
  return options;
}

/// Prints the reports of several athletes in the form that was asked for, chunk by chunk.
class Printer {
 public:
  Printer(Run& run, bool all) : run_(run), all_(all), csv_(run.flag("csv")), json_(run.globals.json) {
    if (csv_) text_ = report::loads_csv_header();
    if (json_ && all_) list_.emplace(text_);
  }

  Result<void> add(const LoadReport& report, const report::Look& look) {
    if (csv_) {
      for (const DayFigures& day : report.days) report::append_loads_csv(text_, report.athlete, day);
    } else if (list_) {
      list_->add(report);
    } else {
      text_ += json_ ? report::loads_json(report) + '\n' : report::loads_text(report, look);
    }
    if (text_.size() < k_chunk) return {};
    return flush();
  }

  Result<void> finish() {
    if (list_) {
      list_->finish();
      text_ += '\n';
    }
    return flush();
  }

 private:
  Result<void> flush() {
    auto written = run_.terminal.out(text_);
    text_.clear();
    return written;
  }

  Run& run_;
  bool all_;
  bool csv_;
  bool json_;
  std::string text_;
  std::optional<report::LoadsAllJson> list_;
};

/// The tables are of every athlete and of all days.
Result<void> refuse_beside_out(const Run& run) {
  const std::array<std::pair<bool, const char*>, 5> given{{{run.has("from"), "--from"},
                                                           {run.has("to"), "--to"},
                                                           {run.flag("csv"), "--csv"},
                                                           {run.globals.json, "--json"},
                                                           {run.globals.athlete.has_value(), "--athlete"}}};
  for (const auto& [is_given, option] : given) {
    if (is_given) return fail(Errc::usage, "goes without --out, whose tables are of everybody and of all days", option);
  }
  return {};
}

RunResult from_files(Run& run, const app::LoadOptions& options) {
  auto paths = run.values["logs"].as<std::vector<std::string>>();
  paths.insert(paths.end(), run.words.begin(), run.words.end());  // --logs a.csv b.csv
  STEELYARD_TRY_ASSIGN(const Models* models, run.models());
  const app::ReadProgress progress = [&](std::uint64_t bytes, std::uint64_t size) {
    run.terminal.progress("reading", bytes, size);
  };
  const auto tell = [&](std::span<const Error> errors, std::size_t count) -> Result<void> {
    run.terminal.end_progress();
    for (const Error& error : errors) run.terminal.error("steelyard: " + error.text());
    if (count == 0) return {};
    return fail(Errc::bad_data, fmt::format("{} errors in the files: nothing was computed", count));
  };
  if (const auto folder = run.text("out")) {
    STEELYARD_TRY(refuse_beside_out(run));
    STEELYARD_TRY_ASSIGN(const auto faults, app::write_load_tables(paths, *models, options.gaps, *folder, progress));
    STEELYARD_TRY(tell(faults.errors, faults.count));
    return 0;
  }
  STEELYARD_TRY_ASSIGN(const auto files, app::LoadFiles::read(paths, *models, progress));
  STEELYARD_TRY(tell(files.errors(), files.error_count()));
  auto athletes = files.athletes();
  const bool one = run.globals.athlete || (athletes.size() == 1 && !run.flag("all"));
  if (run.globals.athlete) athletes = {*run.globals.athlete};
  if (!one && !run.flag("all")) {
    return fail(Errc::usage,
                fmt::format("the files hold {} athletes: say which with --athlete, or --all", athletes.size()));
  }
  Printer printer(run, !one);
  for (const std::string& athlete : athletes) {
    STEELYARD_TRY_ASSIGN(const LoadReport report, files.report(athlete, options));
    STEELYARD_TRY(printer.add(report, run.look()));
    if (run.terminal.is_closed()) return 0;
  }
  STEELYARD_TRY(printer.finish());
  return 0;
}

RunResult run_loads(Run& run) {
  STEELYARD_TRY_ASSIGN(const app::LoadOptions options, options_of(run));
  if (run.has("logs")) return from_files(run, options);
  STEELYARD_TRY(run.expect_words(0, 0, "loads"));
  if (run.has("out")) return fail(Errc::usage, "goes with --logs", "--out");
  STEELYARD_TRY_ASSIGN(app::Context context, run.context());
  const bool all = run.flag("all");
  std::vector<Athlete> athletes;
  if (all) {
    STEELYARD_TRY_ASSIGN(athletes, context.store.athletes());
  } else {
    STEELYARD_TRY_ASSIGN(Athlete athlete, run.athlete(context));
    athletes.push_back(std::move(athlete));
  }
  Printer printer(run, all);
  for (const Athlete& athlete : athletes) {
    STEELYARD_TRY_ASSIGN(const Day day, run.day(context, athlete));
    STEELYARD_TRY_ASSIGN(const LoadReport report, app::loads(context, athlete, day, options));
    STEELYARD_TRY(printer.add(report, run.look(&athlete)));
    if (run.terminal.is_closed()) return 0;
  }
  STEELYARD_TRY(printer.finish());
  return 0;
}

}  // namespace

const Command k_loads{
    .name = "loads",
    .job = "daily load figures from the store, or straight from files",
    .usage = "",
    .more =
        "With --logs no store and no athletes file is needed. --gaps unknown: an unlogged day makes the sums over\n"
        "it uncertain; rest: it is a known zero. --out writes last.csv and sum.csv, of everybody\n"
        "and all days.",
    .example = "loads --athlete hc02 --date 2026-11-23",
    .add_options =
        [](po::options_description_easy_init add) {
          const auto text = [](const char* name) { return po::value<std::string>()->value_name(name); };
          add("all", po::bool_switch(), "every athlete");
          add("from", text("YYYY-MM-DD"), "first day shown");
          add("to", text("YYYY-MM-DD"), "last day shown");
          add("latest", po::bool_switch(), "the last day only");
          add("csv", po::bool_switch(), "as CSV");
          add("logs", po::value<std::vector<std::string>>()->value_name("FILE"), "from files of sessions and sets");
          add("gaps", text("unknown|rest"), "what a day without entry means");
          add("out", text("DIR"), "with --logs: tables of the last day and of the sums");
        },
    .run = run_loads};

}  // namespace steelyard::cli
