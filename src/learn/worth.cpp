#include "steelyard/learn/worth.hpp"

#include <fmt/core.h>

#include <cmath>

#include "learn/mornings.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "steelyard/series/training_max.hpp"

namespace steelyard::learn {
namespace {

struct Asked {
  Cause cause;
  std::string_view item;     ///< key of the record
  std::string_view unit;     ///< "one hour less sleep", after a number of sessions
  std::string_view follows;  ///< "sleep", in "does not follow your ..."
  double sign;               ///< of the effect as it is told
};

constexpr std::array<Asked, 6> k_asked{{
    {Cause::sleep, "sleep", "one hour less sleep", "sleep", -1},
    {Cause::fatigue, "fatigue", "a clearly more tired morning than usual", "tiredness in the morning", 1},
    {Cause::stress, "stress", "a clearly more stressful day than usual", "stress", 1},
    {Cause::soreness, "soreness", "clearly sorer movers than usual", "soreness", 1},
    {Cause::mood, "mood", "a clearly worse mood than usual", "mood", -1},
    {Cause::bar_speed, "bar_speed", "a clearly slower first warm-up than usual", "first warm-up", -1},
}};

std::string told(const Asked& asked, const Worth& worth, std::string_view lift, bool none, bool sure) {
  const double half = (worth.high80 - worth.low80) / 2;
  const std::string what = asked.cause == Cause::sleep ? fmt::format("{} nights", worth.sessions)
                                                       : fmt::format("{} sessions", worth.sessions);
  const bool nothing = std::abs(worth.mean) < 0.05;
  const std::string figure =
      fmt::format("{}: {} {} you {} % in the {}, +/- {:.1f}", what, asked.unit, worth.mean <= 0 ? "costs" : "gives",
                  nothing ? "less than 0.1" : fmt::format("{:.1f}", std::abs(worth.mean)), spoken_lift(lift), half);
  if (none) return fmt::format("{}: your bar does not follow your {} so far.", figure, asked.follows);
  if (sure) return fmt::format("{}: your bar follows your {}.", figure, asked.follows);
  return fmt::format("{}: not yet clear.", figure);
}

}  // namespace

bool sleep_does_not_matter(const LiftToday& lift, const EvidenceModel& evidence) {
  return lift.sessions >= evidence.sessions_to_say && lift.nights >= evidence.nights_to_say &&
         lift.sleep.low > -evidence.tight && lift.sleep.high < evidence.tight;
}

LiftStrength lift_strength(const AthleteLog& log, Day today, const LiftState& lift, const Learner& learner,
                           std::vector<StrengthDay> days) {
  LiftStrength shown{.lift = lift.lift, .sessions = lift.sessions, .days = std::move(days)};
  const auto& evidence = learner.models().response.evidence;
  shown.training_max_kg = series::training_max(log, lift.lift, today, learner.models().lifts);
  if (lift.sessions < evidence.sessions_to_say) {
    shown.say.push_back(
        fmt::format("{} sessions of the {} are too few to say what your strength follows; {} are needed.",
                    lift.sessions, spoken_lift(lift.lift), evidence.sessions_to_say));
    return shown;
  }
  const DayTable table(log, today - Days{k_days_before}, today, learner.models());
  std::vector<std::string> little;
  for (const Asked& asked : k_asked) {
    const int entered = lift.entered[static_cast<std::size_t>(asked.cause)];
    const int needed = asked.cause == Cause::sleep ? evidence.nights_to_say : evidence.sessions_to_say;
    const auto sleep = asked.cause == Cause::sleep ? usual_sleep(table, today) : std::nullopt;
    if (entered < needed || (asked.cause == Cause::sleep && !sleep)) {
      if (entered > 0) little.push_back(fmt::format("{} ({} of {})", asked.follows, entered, needed));
      continue;
    }
    const fit::Range80 effect = learner.effect(lift, asked.cause);
    const bool none = effect.low > -evidence.tight && effect.high < evidence.tight;
    const bool sure = effect.low > 0 || effect.high < 0;
    const double per =
        sleep ? asked.sign / std::max(sleep->sd, learner.models().limits.signals.sleep_floor_h) : asked.sign;
    Worth worth{.item = std::string(asked.item),
                .mean = per * effect.mean,
                .low80 = per * (per > 0 ? effect.low : effect.high),
                .high80 = per * (per > 0 ? effect.high : effect.low),
                .sessions = entered};
    worth.say = told(asked, worth, lift.lift, none, sure);
    shown.worth.push_back(std::move(worth));
  }
  for (const std::string& item : little) shown.say.push_back(fmt::format("Too few entries yet for {}.", item));
  return shown;
}

}  // namespace steelyard::learn
