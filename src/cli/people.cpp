#include <fmt/core.h>

#include <array>

#include "cli/commands.hpp"
#include "cli/spaced.hpp"
#include "steelyard/app/record.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/cells.hpp"
#include "steelyard/domain/vocabulary.hpp"

namespace steelyard::cli {
namespace {

using namespace std::string_view_literals;

// ------------------------------------------------------------------------------------------ athlete
/// Option, column and what it holds.
struct Detail {
  const char* option;
  const char* column;
  const char* value;
  const char* meaning;
};
constexpr std::array<Detail, 11> k_details{{
    {"name", "name", "TEXT", "name"},
    {"birth-year", "birth_year", "YYYY", "year of birth"},
    {"training-since", "training_since", "YYYY-MM", "barbell training since"},
    {"own-units", "units", "kg|lb", "unit of bare weights"},
    {"weekdays", "weekdays", "\"mon wed\"", "days on which training is possible"},
    {"time-zone", "time_zone", "ZONE", "such as Europe/Berlin"},
    {"meet-date", "meet_date", "YYYY-MM-DD", "the next meet"},
    {"group", "group", "NAME", "group of the coach"},
    {"bar-kg", "bar_kg", "KG", "weight of the bar"},
    {"plates-kg", "plates_kg", "\"25 20\"", "plates present, in pairs"},
    {"share", "share", "WORDS", "what the coach sees"},
}};

std::vector<app::ColumnText> details_of(const Run& run) {
  std::vector<app::ColumnText> typed;
  for (const Detail& detail : k_details) {
    if (const auto text = run.text(detail.option)) typed.emplace_back(detail.column, *text);
  }
  return typed;
}

std::string athlete_lines(const Athlete& athlete) {
  std::string text = athlete.athlete + '\n';
  for (const Cell& cell : cells_of(athlete, std::nullopt)) {
    if (cell.column != "athlete" && !cell.text.empty()) {
      text += fmt::format("  {:<15} {}\n", cell.column, report::clean(cell.text, {.unicode = true}));
    }
  }
  return text;
}

std::string athletes_json(const std::vector<Athlete>& athletes) {
  std::string json;
  report::JsonWriter writer(json);
  writer.begin_object().field("schema", 1).key("athletes").begin_array();
  for (const Athlete& athlete : athletes) writer.raw(print_json_line(athlete));
  writer.end_array().end_object();
  return json + '\n';
}

RunResult list_athletes(Run& run, app::Context& context) {
  STEELYARD_TRY_ASSIGN(const auto athletes, context.store.athletes());
  if (run.globals.json) {
    STEELYARD_TRY(run.terminal.out(athletes_json(athletes)));
    return 0;
  }
  std::string text;
  for (const Athlete& athlete : athletes) {
    text += fmt::format("{}  {}{}\n", athlete.athlete, report::clean(athlete.name, {.unicode = true}),
                        athlete.group.empty() ? std::string{} : fmt::format(" ({})", report::clean(athlete.group, {})));
  }
  STEELYARD_TRY(run.terminal.out(text.empty() ? "No athletes yet.\n" : text));
  return 0;
}

RunResult run_athlete(Run& run) {
  constexpr std::string_view usage = "athlete list | add CODE | set CODE";
  constexpr std::array actions{"list"sv, "add"sv, "set"sv};
  STEELYARD_TRY(run.expect_words(1, 2, usage));
  const std::string& action = run.words[0];
  if (action != "list" && action != "add" && action != "set") {
    return fail(Errc::usage, not_a_word(action, "what athlete does", actions));
  }
  STEELYARD_TRY(run.expect_words(action == "list" ? 1 : 2, action == "list" ? 1 : 2, usage));
  STEELYARD_TRY_ASSIGN(app::Context context, run.context());
  if (action == "list") return list_athletes(run, context);
  auto typed = details_of(run);
  if (action == "add" && !run.has("own-units") && run.globals.units) {
    typed.emplace_back("units", std::string(word(*run.globals.units)));
  }
  if (action == "set" && typed.empty())
    return fail(Errc::usage, "nothing to change: give an option, such as --meet-date");
  auto athlete =
      action == "add" ? app::add_athlete(context, run.words[1], typed) : app::set_athlete(context, run.words[1], typed);
  STEELYARD_TRY(athlete);
  STEELYARD_TRY(run.terminal.out(athlete_lines(*athlete)));
  return 0;
}

// ------------------------------------------------------------------------------------------ max, off
RunResult run_max(Run& run) {
  constexpr std::string_view usage = "max set LIFT WEIGHT [FROM]";
  STEELYARD_TRY(run.expect_words(3, 4, usage));
  if (run.words[0] != "set") return fail(Errc::usage, not_a_word(run.words[0], "what max does", std::array{"set"sv}));
  STEELYARD_TRY_ASSIGN(app::Context context, run.context());
  STEELYARD_TRY_ASSIGN(const Athlete athlete, run.athlete(context));
  STEELYARD_TRY_ASSIGN(Day from, run.day(context, athlete));
  if (run.words.size() > 3) {
    auto typed = parse_day(run.words[3]);
    if (!typed) return fail(Errc::usage, typed.error().what);
    from = *typed;
  }
  STEELYARD_TRY_ASSIGN(const TrainingMax max,
                       app::set_max(context, athlete, run.words[1], run.words[2], run.globals.units, from));
  STEELYARD_TRY(run.terminal.out(fmt::format("{}: training max {} from {} on.\n", capitalized(spoken_lift(max.lift)),
                                             spaced(report::weight_text(max.training_max_kg, run.look(&athlete))),
                                             format_day(max.from))));
  return 0;
}

RunResult run_off(Run& run) {
  STEELYARD_TRY(run.expect_words(2, 3, "off FROM [TO] REASON"));
  std::vector<Day> days;
  for (std::size_t i = 0; i + 1 < run.words.size(); ++i) {
    auto day = parse_day(run.words[i]);
    if (!day) return fail(Errc::usage, day.error().what);
    days.push_back(*day);
  }
  STEELYARD_TRY_ASSIGN(app::Context context, run.context());
  STEELYARD_TRY_ASSIGN(const Athlete athlete, run.athlete(context));
  STEELYARD_TRY_ASSIGN(const DaysOff off,
                       app::set_days_off(context, athlete, days.front(), days.back(), run.words.back()));
  STEELYARD_TRY(run.terminal.out(
      fmt::format("Off from {} to {}: {}.\n", format_day(off.from), format_day(off.to), word(off.reason))));
  return 0;
}

}  // namespace

const Command k_athlete{
    .name = "athlete",
    .job = "add, change and list athletes",
    .usage = "list | add CODE | set CODE",
    .more = "",
    .example = "athlete add wren --own-units kg --weekdays \"mon wed fri\" --time-zone Europe/Berlin",
    .add_options =
        [](po::options_description_easy_init add) {
          for (const Detail& detail : k_details) {
            add(detail.option, po::value<std::string>()->value_name(detail.value), detail.meaning);
          }
        },
    .run = run_athlete};

const Command k_max{
    .name = "max",
    .job = "write a training max",
    .usage = "set LIFT WEIGHT [FROM]",
    .more = "What you can do on an ordinary training day; percentages are of it. FROM: today if not given.",
    .example = "max set squat 157.5 2026-11-23",
    .add_options = nullptr,
    .run = run_max};

const Command k_off{.name = "off",
                    .job = "write days off",
                    .usage = "FROM [TO] REASON",
                    .more = "REASON: planned, holiday, illness, injury, travel, match or missed.",
                    .example = "off 2026-12-24 2026-12-31 holiday",
                    .add_options = nullptr,
                    .run = run_off};

}  // namespace steelyard::cli
