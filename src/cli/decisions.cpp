#include <fmt/core.h>

#include "cli/commands.hpp"
#include "cli/plan_lines.hpp"
#include "steelyard/app/decide.hpp"
#include "steelyard/app/questions.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"

namespace steelyard::cli {
namespace {

Result<std::vector<app::ColumnText>> corrections(const Run& run) {
  std::vector<app::ColumnText> typed;
  for (const std::string& word : run.words) {
    const auto equals = word.find('=');
    if (equals == std::string::npos) {
      return fail(Errc::usage, fmt::format("{} is not a correction; allowed: COLUMN=VALUE", in_quotes(word)));
    }
    typed.emplace_back(word.substr(0, equals), word.substr(equals + 1));
  }
  return typed;
}

RunResult run_questions(Run& run) {
  const int answers = (run.has("keep") ? 1 : 0) + (run.has("fix") ? 1 : 0) + (run.has("drop") ? 1 : 0);
  if (answers > 1) return fail(Errc::usage, "one answer at a time: --keep, --fix or --drop");
  if (!run.has("fix")) STEELYARD_TRY(run.expect_words(0, 0, "questions"));
  STEELYARD_TRY_ASSIGN(app::Context context, run.context());
  if (answers == 0) {
    if (run.globals.athlete) STEELYARD_TRY(app::find_athlete(context, run.globals.athlete, std::nullopt));
    STEELYARD_TRY_ASSIGN(const auto questions, app::list_questions(context, run.globals.athlete));
    STEELYARD_TRY(run.terminal.out(run.globals.json ? report::questions_json(questions) + '\n'
                                                    : report::questions_text(questions, run.look())));
    return 0;
  }
  Question answered;
  std::string_view done;
  if (run.has("keep")) {
    STEELYARD_TRY_ASSIGN(const auto id, run.whole_number("keep"));
    STEELYARD_TRY_ASSIGN(answered, app::keep(context, *id));
    done = "counts as it was entered";
  } else if (run.has("fix")) {
    STEELYARD_TRY_ASSIGN(const auto id, run.whole_number("fix"));
    STEELYARD_TRY_ASSIGN(const auto typed, corrections(run));
    STEELYARD_TRY_ASSIGN(answered, app::fix(context, *id, typed));
    done = "counts as corrected";
  } else {
    STEELYARD_TRY_ASSIGN(const auto id, run.whole_number("drop"));
    STEELYARD_TRY_ASSIGN(answered, app::drop(context, *id));
    done = "stays out";
  }
  STEELYARD_TRY(run.terminal.out(fmt::format("Question {}: the entry of {} on {} {}.\n", answered.id, answered.athlete,
                                             format_day(answered.date), done)));
  return 0;
}

// ------------------------------------------------------------------------------------------ decide
RunResult clear(Run& run, app::Context& context, const Athlete& athlete, Day day) {
  const auto by = from_word<ClearedBy>(run.text("by").value_or(""));
  if (!by)
    return fail(Errc::usage, "say who: practitioner (you have been seen) or mistake (it was entered by mistake)",
                "--by");
  STEELYARD_TRY_ASSIGN(const Clearance cleared, app::clear_caution(context, athlete, day, *run.text("cleared"), *by,
                                                                   run.text("note").value_or("")));
  STEELYARD_TRY(run.terminal.out(
      fmt::format("Kept as your statement of {}: '{}' is closed, {}.\n", format_day(day), cleared.caution,
                  *by == ClearedBy::mistake ? "it was entered by mistake" : "a practitioner has cleared you")));
  return 0;
}

RunResult run_decide(Run& run) {
  STEELYARD_TRY(run.expect_words(0, 0, "decide --follow | --override REASON | --cleared CAUTION --by WHO"));
  const int ways = (run.flag("follow") ? 1 : 0) + (run.has("override") ? 1 : 0) + (run.has("cleared") ? 1 : 0);
  if (ways != 1) return fail(Errc::usage, "say one of --follow, --override REASON, --cleared CAUTION --by WHO");
  STEELYARD_TRY_ASSIGN(app::Context context, run.context());
  STEELYARD_TRY_ASSIGN(const Athlete athlete, run.athlete(context));
  STEELYARD_TRY_ASSIGN(const Day day, run.day(context, athlete));
  if (run.has("cleared")) return clear(run, context, athlete, day);
  if (run.flag("follow")) {
    STEELYARD_TRY_ASSIGN(const auto rows, app::follow(context, athlete, day, run.text("lift")));
    STEELYARD_TRY(run.terminal.out(rows.empty() ? "The plan stands as it is.\n" : "Now planned:\n" + plan_lines(rows)));
    return 0;
  }
  STEELYARD_TRY_ASSIGN(const auto kept, app::override_call(context, athlete, day, run.text("lift"),
                                                           *run.text("override"), run.text("did").value_or("")));
  std::vector<std::string> lifts;
  for (const Decision& decision : kept) lifts.push_back(spoken_lift(decision.lift));
  STEELYARD_TRY(
      run.terminal.out(fmt::format("Kept: {} on {} went another way.\n", join_words(lifts), format_day(day))));
  return 0;
}

}  // namespace

const Command k_questions{.name = "questions",
                          .job = "entries held aside as impossible or contradictory, and your answers",
                          .usage = "[COLUMN=VALUE...]",
                          .more = "What is held aside counts nowhere until it is answered.",
                          .example = "questions --fix 3 sleep_hours=7.5",
                          .add_options =
                              [](po::options_description_easy_init add) {
                                const auto id = [] { return po::value<std::string>()->value_name("ID"); };
                                add("keep", id(), "it is right as it was entered");
                                add("fix", id(), "it is right with these values");
                                add("drop", id(), "it stays out");
                              },
                          .run = run_questions};

const Command k_decide{.name = "decide",
                       .job = "follow a call, go another way, or close a stop",
                       .usage = "--follow | --override REASON | --cleared CAUTION --by WHO",
                       .more = "--follow writes the call into the plan, both days of a move included.",
                       .example = "decide --follow --athlete hc05 --date 2026-11-23",
                       .add_options =
                           [](po::options_description_easy_init add) {
                             const auto text = [](const char* name) {
                               return po::value<std::string>()->value_name(name);
                             };
                             add("follow", po::bool_switch(), "write the call into the plan");
                             add("override", text("REASON"), "keep that you went another way, and why");
                             add("did", text("TEXT"), "what was done instead");
                             add("lift", text("LIFT"), "this lift only");
                             add("cleared", text("CAUTION"), "close a stop");
                             add("by", text("practitioner|mistake"), "who cleared it");
                             add("note", text("TEXT"), "a note to it");
                           },
                       .run = run_decide};

}  // namespace steelyard::cli
