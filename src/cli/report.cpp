#include "steelyard/app/report.hpp"

#include <fmt/core.h>

#include "cli/commands.hpp"
#include "steelyard/app/folder.hpp"
#include "steelyard/app/today.hpp"
#include "steelyard/base/text.hpp"

namespace steelyard::cli {
namespace {

constexpr int k_wall_days = 7;
constexpr int k_calendar_days = 14;

/// Those whom the report is about: one, or with --all or --group several.
Result<std::vector<Athlete>> athletes_of(Run& run, app::Context& context, bool several) {
  std::vector<Athlete> athletes;
  if (!several) {
    STEELYARD_TRY_ASSIGN(Athlete athlete, run.athlete(context));
    athletes.push_back(std::move(athlete));
    return athletes;
  }
  STEELYARD_TRY_ASSIGN(athletes, context.store.athletes());
  const auto group = run.text("group");
  if (group) std::erase_if(athletes, [&](const Athlete& a) { return a.group != *group; });
  if (athletes.empty()) {
    return fail(Errc::no_input, group ? fmt::format("nobody is in group {}", in_quotes(*group))
                                      : std::string("the store holds no athlete yet"));
  }
  return athletes;
}

report::Look html_look(const Run& run, const std::vector<Athlete>& athletes) {
  const Unit own = athletes.size() == 1 ? athletes.front().units.value_or(Unit::kg) : Unit::kg;
  return report::html_look(run.globals.units.value_or(own));
}

Result<std::string> document(Run& run) {
  STEELYARD_TRY_ASSIGN(app::Context context, run.context());
  const bool several = run.flag("all") || run.has("group");
  STEELYARD_TRY_ASSIGN(const auto athletes, athletes_of(run, context, several));
  const report::Look look = html_look(run, athletes);
  if (run.flag("week-sheet") || run.flag("calendar")) {
    const bool wall = run.flag("week-sheet");
    STEELYARD_TRY_ASSIGN(WallSheet sheet,
                         app::wall_sheet(context, athletes, run.globals.date, wall ? k_wall_days : k_calendar_days));
    sheet.group = run.text("group").value_or("");
    for (WallLifter& lifter : sheet.lifters) {
      if (run.globals.units) lifter.units = run.globals.units;
    }
    if (wall) return report::wall_page(sheet, look);
    std::string text = report::calendar(sheet, look, context.now);
    if (text.empty()) return fail(Errc::no_input, "no training is planned in the coming 14 days");
    return text;
  }
  if (several) {
    STEELYARD_TRY_ASSIGN(const SquadReport report, app::squad_report(context, run.text("group"), run.globals.date));
    return report::squad_page(report, look);
  }
  STEELYARD_TRY_ASSIGN(const Day day, run.day(context, athletes.front()));
  STEELYARD_TRY_ASSIGN(const LifterReport report, app::lifter_report(context, athletes.front(), day));
  return report::lifter_page(report, look, app::kind_bands(context.models));
}

RunResult run_report(Run& run) {
  STEELYARD_TRY(run.expect_words(0, 0, "report"));
  if (run.flag("week-sheet") && run.flag("calendar")) {
    return fail(Errc::usage, "goes without --week-sheet: one of them at a time", "--calendar");
  }
  STEELYARD_TRY_ASSIGN(const std::string text, document(run));
  if (const auto file = run.text("out")) {
    STEELYARD_TRY(app::write_file(*file, text));
    run.terminal.note(fmt::format("note: {} is written", *file));
    return 0;
  }
  STEELYARD_TRY(run.terminal.out(text));
  return 0;
}

}  // namespace

const Command k_report{
    .name = "report",
    .job = "one lifter or the squad as a page for screen and paper",
    .usage = "",
    .more =
        "One HTML file with its charts inside: nothing is loaded, nothing runs, it prints on A4. Without --all or\n"
        "--group it is about one lifter. --week-sheet: the coming seven days for the gym wall, with boxes for the "
        "pen.\n"
        "--calendar: the coming 14 days as iCalendar. Neither holds anything about health.",
    .example = "report --athlete hc05 --date 2026-11-23 --out hc05.html",
    .add_options =
        [](po::options_description_easy_init add) {
          const auto text = [](const char* name) { return po::value<std::string>()->value_name(name); };
          add("all", po::bool_switch(), "everybody");
          add("group", text("NAME"), "everybody of a group");
          add("week-sheet", po::bool_switch(), "for the gym wall");
          add("calendar", po::bool_switch(), "as iCalendar");
          add("out", text("FILE"), "into a file instead of standard output");
        },
    .run = run_report};

}  // namespace steelyard::cli
