#include "steelyard/app/context.hpp"

#include <fmt/core.h>

#include <vector>

#include "app/read_log.hpp"
#include "steelyard/app/zone.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/decide/rotation.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "steelyard/series/lift_codes.hpp"

namespace steelyard::app {
namespace {

auto no_such_athlete(const std::string& code, const std::vector<Athlete>& athletes) {
  std::vector<std::string_view> codes;
  for (const Athlete& a : athletes) codes.push_back(a.athlete);
  std::string what = fmt::format("there is no athlete {}", in_quotes(code));
  if (const auto nearest = nearest_word(code, codes)) what += fmt::format("; did you mean '{}'?", *nearest);
  return fail(Errc::no_input, what + "; 'steelyard athlete list' shows them all");
}

}  // namespace

Result<Athlete> find_athlete(Context& context, const std::optional<std::string>& asked,
                             const std::optional<std::string>& settings) {
  if (asked) {
    STEELYARD_TRY_ASSIGN(auto found, context.store.athlete(*asked));
    if (found) return *std::move(found);
  }
  STEELYARD_TRY_ASSIGN(auto athletes, context.store.athletes());
  if (asked) return no_such_athlete(*asked, athletes);
  if (athletes.empty()) {
    return fail(
        Errc::no_input,
        "the store holds no athlete yet; 'steelyard athlete add CODE' makes one, 'steelyard ingest' reads files");
  }
  if (athletes.size() == 1) return std::move(athletes.front());
  if (!settings) {
    return fail(Errc::usage,
                fmt::format("the store holds {} athletes: say which with --athlete, or set 'athlete' under "
                            "[user] in the settings",
                            athletes.size()));
  }
  for (Athlete& athlete : athletes) {
    if (athlete.athlete == *settings) return std::move(athlete);
  }
  return no_such_athlete(*settings, athletes);
}

Result<Day> day_for(const Context& context, const Athlete& athlete, std::optional<Day> asked) {
  if (asked) return *asked;
  return today_in(athlete.time_zone, context.now);
}

std::string lift_of(const Models& models, std::string_view said) {
  const std::string code = lift_code(said);
  return std::string(series::code_of(models.lifts, code));
}

Result<AthleteLog> read_log(Context& context, std::string_view athlete, Day from, Day to) {
  STEELYARD_TRY_ASSIGN(AthleteLog log, context.store.log(athlete, from, to));
  series::use_lift_codes(log, context.models.lifts);
  return log;
}

Result<AthleteLog> log_around(Context& context, std::string_view athlete, Day day) {
  STEELYARD_TRY_ASSIGN(AthleteLog log, read_log(context, athlete, day - Days{k_days_back}, day + Days{k_days_ahead}));
  decide::fill_from_rotation(log, day, context.models);
  return log;
}

}  // namespace steelyard::app
