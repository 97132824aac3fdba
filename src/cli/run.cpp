#include <fmt/core.h>

#include <chrono>

#include "cli/command.hpp"
#include "steelyard/app/models.hpp"
#include "steelyard/app/settings.hpp"
#include "steelyard/base/text.hpp"

namespace steelyard::cli {

Result<const Models*> Run::models() {
  if (!models_) {
    STEELYARD_TRY_ASSIGN(models_, app::find_models(globals.models));
  }
  return &*models_;
}

Result<app::Context> Run::context() {
  STEELYARD_TRY_ASSIGN(const Models* in_force, models());
  if (!store_) {
    STEELYARD_TRY_ASSIGN(store_, app::open_store(globals.data));
  }
  const auto now = std::chrono::floor<std::chrono::seconds>(std::chrono::system_clock::now());
  return app::Context{*store_, *in_force, now};
}

Result<Athlete> Run::athlete(app::Context& context) const {
  return app::find_athlete(context, globals.athlete, globals.user_athlete);
}

Result<Day> Run::day(const app::Context& context, const Athlete& athlete) const {
  return app::day_for(context, athlete, globals.date);
}

report::Look Run::look(const Athlete* athlete) const {
  const Unit own = athlete != nullptr ? athlete->units.value_or(Unit::kg) : Unit::kg;
  return {.color = terminal.color(),
          .unicode = terminal.unicode(),
          .width = terminal.width(),
          .units = globals.units.value_or(own)};
}

std::optional<std::string> Run::text(const char* option) const {
  if (!has(option)) return std::nullopt;
  return values[option].as<std::string>();
}

Result<std::optional<Day>> Run::date(const char* option) const {
  const auto typed = text(option);
  if (!typed) return std::nullopt;
  auto day = parse_day(*typed);
  if (!day) return fail(Errc::usage, day.error().what, fmt::format("--{}", option));
  return *day;
}

Result<std::optional<int>> Run::whole_number(const char* option) const {
  const auto typed = text(option);
  if (!typed) return std::nullopt;
  const auto number = parse_int(*typed);
  if (!number) {
    return fail(Errc::usage, fmt::format("{} is not a whole number", in_quotes(*typed)), fmt::format("--{}", option));
  }
  return *number;
}

Result<void> Run::expect_words(std::size_t least, std::size_t most, std::string_view usage) const {
  if (words.size() >= least && words.size() <= most) return {};
  if (words.size() > most) {
    return fail(Errc::usage,
                fmt::format("{} is one word too many; usage: steelyard {}", in_quotes(words[most]), usage));
  }
  return fail(Errc::usage, fmt::format("something is missing; usage: steelyard {}", usage));
}

}  // namespace steelyard::cli
