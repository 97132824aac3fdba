#include "steelyard/app/check.hpp"

#include <fmt/core.h>

#include <algorithm>

#include "cli/commands.hpp"
#include "cli/spaced.hpp"
#include "steelyard/app/today.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"

namespace steelyard::cli {
namespace {

struct Item {
  const char* option;
  const char* column;
  const char* value;
  const char* meaning;
};
constexpr std::array<Item, 15> k_items{{
    {"sleep", "sleep_hours", "H", "hours of sleep"},
    {"quality", "sleep_quality", "1-7", "sleep quality, 7 = best"},
    {"soreness", "soreness", "1-7", "soreness, 7 = worst"},
    {"fatigue", "fatigue", "1-7", "fatigue, 7 = worst"},
    {"stress", "stress", "1-7", "stress, 7 = worst"},
    {"mood", "mood", "1-7", "mood, 7 = best"},
    {"regions", "sore_regions", "LIST", "where it is sore, such as \"quads:4 low-back:3\""},
    {"pain", "pain", "LIST", "where it hurts, such as \"knee-right:5:sharp\" (0 = gone)"},
    {"symptoms", "symptoms", "LIST", "such as \"fever\" or \"dizzy\""},
    {"heart-rate", "resting_hr", "N", "resting heart rate, 1/min"},
    {"hrv", "hrv", "MS", "rMSSD"},
    {"mass", "body_mass", "KG", "body mass"},
    {"jump", "jump", "CM", "jump height"},
    {"minutes", "minutes_available", "MIN", "time for training today"},
    {"note", "note", "TEXT", "anything else"},
}};

std::string_view label(std::string_view column) {
  for (const Item& item : k_items) {
    if (column == item.column) return item.meaning;
  }
  return column;
}

/// The column of an error as the option in which it was typed.
Error as_option(Error error) {
  for (const Item& item : k_items) {
    if (error.where == item.column) error.where = fmt::format("--{}", item.option);
  }
  return error;
}

std::string spoken_plan(const app::Unentered& day) {
  std::vector<std::string> lifts;
  for (const PlanRow& row : day.plan) lifts.push_back(fmt::format("{} {}", word(row.kind), spoken_lift(row.lift)));
  return fmt::format("{}: {} planned, nothing entered", spaced(report::long_day(day.date)), join_words(lifts));
}

/// The questions on a terminal. Every one can be left with Ctrl-C or Ctrl-D: then nothing more is asked or stored.
class Asking {
 public:
  Asking(Run& run, app::Context& context, const Athlete& athlete, Day day)
      : run_(run), context_(context), athlete_(athlete), day_(day) {}

  Result<void> unentered(const app::Morning& morning);
  /// false = given up
  Result<bool> items(const app::Morning& morning);

  std::vector<app::ColumnText> typed;
  bool as_usual = false;

 private:
  std::optional<bool> usual_at_once(const app::Morning& morning);
  bool item(std::string_view column, const app::UsualCheck& usual);
  bool lines();
  bool line(std::string_view column, std::string_view question);

  Run& run_;
  app::Context& context_;
  const Athlete& athlete_;
  Day day_;
};

Result<void> Asking::unentered(const app::Morning& morning) {
  for (const auto& day : morning.unentered) {
    const auto key = run_.terminal.key(spoken_plan(day) + ". d = done as planned, n = did not train, Enter = later ");
    if (!key) return fail(Errc::failed, "stopped; what was answered is stored");
    if (*key == 'd') STEELYARD_TRY(app::mark_done(context_, athlete_, day.date, day_));
    if (*key == 'n') STEELYARD_TRY(app::mark_missed(context_, athlete_, day.date, day_));
  }
  return {};
}

std::optional<bool> Asking::usual_at_once(const app::Morning& morning) {
  if (morning.usual.empty()) return false;
  std::string usual;
  for (const auto column : app::k_check_items) {
    const auto found = morning.usual.find(column);
    if (found == morning.usual.end()) continue;
    usual += fmt::format("{}{} {}", usual.empty() ? "" : ", ", label(column).substr(0, label(column).find(',')),
                         format_number(found->second));
  }
  const auto key = run_.terminal.key(fmt::format("Everything as usual ({})? Enter = yes, n = one by one ", usual));
  if (!key) return std::nullopt;
  return *key == '\n';
}

bool Asking::item(std::string_view column, const app::UsualCheck& usual) {
  const bool sleep = column == "sleep_hours";
  const auto found = usual.find(column);
  const std::string hint =
      found == usual.end() ? "Enter = leave out" : "usual " + format_number(found->second) + ", Enter";
  for (;;) {
    const auto key = run_.terminal.key(fmt::format("{} ({}): ", capitalized(label(column)), hint));
    if (!key) return false;
    if (*key == '\n') {
      if (found != usual.end()) typed.emplace_back(column, format_number(found->second));
      return true;
    }
    if (sleep ? (*key >= '0' && *key <= '9') : (*key >= '1' && *key <= '7')) {
      typed.emplace_back(column, std::string(1, *key));
      if (column == "soreness" && *key >= '5') return line("sore_regions", "Where? such as quads:5 low-back:4 ");
      return true;
    }
    run_.terminal.error(sleep ? "one key: 0 to 9 hours (--sleep 7.5 takes halves)" : "one key: 1 to 7");
  }
}

/// Asks until what was typed can be read; an empty line leaves it out.
bool Asking::line(std::string_view column, std::string_view question) {
  for (;;) {
    const auto text = run_.terminal.line(question);
    if (!text) return false;
    if (trim(*text).empty()) return true;
    const std::vector<app::ColumnText> one{
        {"athlete", athlete_.athlete}, {"date", format_day(day_)}, {std::string(column), *text}};
    const auto row = app::row_of(context_, RecordKind::checks, one);
    if (row) {
      typed.emplace_back(column, *text);
      return true;
    }
    run_.terminal.error(row.error().what);
  }
}

bool Asking::lines() {
  const auto key = run_.terminal.key("Sore spots, pain or anything unusual? Enter = no, y = yes ");
  if (!key) return false;
  if (*key == '\n' || *key == 'n') return true;
  const bool has_regions =
      std::any_of(typed.begin(), typed.end(), [](const auto& t) { return t.first == "sore_regions"; });
  return (has_regions || line("sore_regions", "Sore where? such as quads:4 low-back:3 (Enter = none) ")) &&
         line("pain", "Pain? such as knee-right:5:sharp (Enter = none) ") &&
         line("symptoms", "Symptoms? such as fever dizzy (Enter = none) ") && line("note", "A note? (Enter = none) ");
}

Result<bool> Asking::items(const app::Morning& morning) {
  if (morning.check) run_.terminal.note("note: today's check is there already; what you enter now is added to it");
  const auto at_once = usual_at_once(morning);
  if (!at_once) return false;
  if (*at_once) {
    as_usual = true;
    return true;
  }
  for (const auto column : app::k_check_items) {
    if (!item(column, morning.usual)) return false;
  }
  return lines();
}

Result<std::vector<Day>> days_of(const Run& run, const char* option) {
  std::vector<Day> days;
  if (!run.has(option)) return days;
  for (const auto& typed : run.values[option].as<std::vector<std::string>>()) {
    auto day = parse_day(typed);
    if (!day) return fail(Errc::usage, day.error().what, fmt::format("--{}", option));
    days.push_back(*day);
  }
  return days;
}

/// What the options say.
struct Said {
  std::vector<app::ColumnText> typed;
  bool as_usual = false;
  std::vector<Day> done;
  std::vector<Day> missed;

  [[nodiscard]] bool is_only_past() const { return typed.empty() && !as_usual && (!done.empty() || !missed.empty()); }
  [[nodiscard]] bool is_nothing() const { return typed.empty() && !as_usual && done.empty() && missed.empty(); }
};

Result<Said> said_by(const Run& run) {
  Said said{.typed = {}, .as_usual = run.flag("usual"), .done = {}, .missed = {}};
  for (const Item& item : k_items) {
    if (const auto text = run.text(item.option)) said.typed.emplace_back(item.column, *text);
  }
  STEELYARD_TRY_ASSIGN(said.done, days_of(run, "done"));
  STEELYARD_TRY_ASSIGN(said.missed, days_of(run, "missed"));
  return said;
}

/// All of it, or nothing.
Result<std::size_t> store(app::Context& context, const Athlete& athlete, Day day, const Said& said) {
  STEELYARD_TRY_ASSIGN(const auto work, context.store.service().begin_work());
  for (const Day past : said.done) STEELYARD_TRY(app::mark_done(context, athlete, past, day));
  for (const Day past : said.missed) STEELYARD_TRY(app::mark_missed(context, athlete, past, day));
  std::size_t asked = 0;
  if (!said.is_only_past()) {
    STEELYARD_TRY_ASSIGN(asked, app::store_check(context, athlete, day, said.typed, said.as_usual));
  }
  STEELYARD_TRY(work->commit());
  return asked;
}

Result<void> answer(Run& run, app::Context& context, const Athlete& athlete, Day day) {
  STEELYARD_TRY_ASSIGN(const Said said, said_by(run));
  std::size_t asked = 0;
  if (said.is_nothing() && run.terminal.asks()) {
    STEELYARD_TRY_ASSIGN(const auto morning, app::morning_of(context, athlete, day));
    Asking asking(run, context, athlete, day);
    STEELYARD_TRY(asking.unentered(morning));
    STEELYARD_TRY_ASSIGN(const bool finished, asking.items(morning));
    if (!finished) return fail(Errc::failed, "stopped: the check was not stored");
    STEELYARD_TRY_ASSIGN(asked, app::store_check(context, athlete, day, asking.typed, asking.as_usual));
  } else {
    const auto stored = store(context, athlete, day, said);
    if (!stored) return tl::make_unexpected(as_option(stored.error()));
    asked = *stored;
    STEELYARD_TRY_ASSIGN(const auto morning, app::morning_of(context, athlete, day));
    for (const auto& past : morning.unentered) {
      run.terminal.note(fmt::format("note: {} (--done {} or --missed {})", spoken_plan(past), format_day(past.date),
                                    format_day(past.date)));
    }
  }
  if (asked > 0) run.terminal.note("note: 'steelyard questions' shows what is held aside");
  return {};
}

RunResult run_check(Run& run) {
  STEELYARD_TRY(run.expect_words(0, 0, "check"));
  STEELYARD_TRY_ASSIGN(app::Context context, run.context());
  STEELYARD_TRY_ASSIGN(const Athlete athlete, run.athlete(context));
  STEELYARD_TRY_ASSIGN(const Day day, run.day(context, athlete));
  STEELYARD_TRY(answer(run, context, athlete, day));
  STEELYARD_TRY_ASSIGN(const DayCall call, app::today(context, athlete, day, run.globals.units));
  STEELYARD_TRY(run.terminal.out(run.globals.json
                                     ? report::today_json(call) + '\n'
                                     : report::today_text(call, run.look(&athlete), app::kind_bands(context.models))));
  return 0;
}

}  // namespace

const Command k_check{
    .name = "check",
    .job = "the morning check; ends with today's call",
    .usage = "",
    .more =
        "On a terminal without options it asks, one key a question, Enter = as usual. First it asks about planned\n"
        "sessions of the last seven days that were not entered. A second check of the day adds to the first.",
    .example = "check --sleep 7.5 --quality 5 --soreness 2 --pain \"knee-right:5:sharp\"",
    .add_options =
        [](po::options_description_easy_init add) {
          for (const Item& item : k_items) {
            add(item.option, po::value<std::string>()->value_name(item.value), item.meaning);
          }
          add("usual", po::bool_switch(), "everything else as usual");
          const auto days = [] { return po::value<std::vector<std::string>>()->value_name("YYYY-MM-DD"); };
          add("done", days(), "the planned session of that day was done as planned");
          add("missed", days(), "there was no training on that day");
        },
    .run = run_check};

}  // namespace steelyard::cli
