#include <fmt/core.h>

#include <cmath>

#include "morning.hpp"
#include "phrases.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"

namespace steelyard::decide {
namespace {

std::optional<Signal> sleep_signal(const Morning& m) {
  const Measured* hours = m.item(&Check::sleep_hours);
  const Measured* quality = m.item(&Check::sleep_quality);
  if (hours != nullptr && hours->odd) {
    return Signal{SignalKind::sleep, fmt::format("you slept {} h, usually {} h", format_number(hours->value, 1),
                                                 format_number(hours->usual->mean, 1))};
  }
  if (m.sleep_run) {
    return Signal{SignalKind::sleep,
                  fmt::format("several short nights in a row, {} h on average", format_number(m.sleep_run_mean, 1))};
  }
  // Without an own usual only a fixed safety floor can speak.
  if (hours != nullptr && !hours->usual && beyond_level(*hours->spec, hours->value, m.models->limits)) {
    return Signal{SignalKind::sleep, fmt::format("you slept {} h", format_number(hours->value, 1))};
  }
  if (quality != nullptr && quality->odd) {
    return Signal{SignalKind::sleep,
                  fmt::format("you slept badly, {} of 7 against your usual {}", format_number(quality->value, 1),
                              format_number(quality->usual->mean, 1))};
  }
  return std::nullopt;
}

/// Fatigue, stress and mood, and overall soreness where no region was named: one source, whoever of them is odd.
std::optional<Signal> check_signal(const Morning& m) {
  std::vector<std::string> parts;
  const auto judge = [&](const ItemSpec& spec) {
    const Measured* x = m.item(spec.member);
    if (x == nullptr) return;
    if (x->usual && x->odd) {
      parts.push_back(fmt::format("{} {} of 7 against your usual {}", spec.spoken, format_number(x->value, 1),
                                  format_number(x->usual->mean, 1)));
    } else if (!x->usual && spec.level != nullptr && beyond_level(spec, x->value, m.models->limits)) {
      parts.push_back(fmt::format("{} {} of 7", spec.spoken, format_number(x->value, 1)));
    }
  };
  for (const ItemSpec& spec : item_specs()) {
    if (spec.kind == SignalKind::check) judge(spec);
  }
  if (m.check != nullptr && m.check->sore_regions.empty()) judge(item_spec(&Check::soreness));
  if (parts.empty()) return std::nullopt;
  return Signal{SignalKind::check, join_words(parts)};
}

std::optional<Signal> soreness_signal(const Morning& m, const LiftFacts& f) {
  if (!f.odd_soreness || *f.odd_soreness < m.models->limits.soreness.signal) return std::nullopt;
  return Signal{SignalKind::soreness,
                fmt::format("{} {} sore, {} of 7", spoken_site(f.odd_mover), is_or_are(spoken_site(f.odd_mover)),
                            format_number(*f.odd_soreness, 1))};
}

std::optional<Signal> bar_signal(const LiftFacts& f) {
  if (!f.bar || !f.bar->odd) return std::nullopt;
  const double percent = 100 * (1 - f.bar->value / f.bar->usual->mean);
  return Signal{SignalKind::bar, fmt::format("the bar is slow, {} % below your usual speed at {} %",
                                             std::lround(percent), format_number(f.bar_percent, 1))};
}

std::optional<Signal> load_signal(const Morning& m, const LiftFacts& f) {
  const DayFigures* last = m.yesterday();
  const LimitsModel& limits = m.models->limits;
  const bool doubled = f.hard_sets_week >= limits.load.hard_sets_least && f.hard_sets_usual > 0 &&
                       f.hard_sets_week >= limits.load.hard_sets_factor * f.hard_sets_usual;
  if (m.load_explained || last == nullptr) return std::nullopt;
  if (m.week_above_high) {
    // After three weeks without any load there is no usual week to compare with.
    const std::string say =
        last->ratio_uncoupled
            ? fmt::format("the last seven days were about {} % above your usual",
                          std::lround(100 * (*last->ratio_uncoupled - 1)))
            : std::string("the last seven days were above your highest week, after three weeks without load");
    return Signal{SignalKind::load, say};
  }
  if (doubled) {
    return Signal{SignalKind::load,
                  fmt::format("hard {} sets have more than doubled this week, {} against your usual {}",
                              spoken_lift(f.lift), f.hard_sets_week, format_number(f.hard_sets_usual, 1)),
                  true};
  }
  if (m.days_alike) {
    return Signal{SignalKind::load, "your training days are nearly the same, with hardly a lighter one"};
  }
  return std::nullopt;
}

std::optional<Signal> performance_signal(const LiftFacts& f) {
  if (!f.performance || !f.performance->odd) return std::nullopt;
  return Signal{SignalKind::performance,
                fmt::format("your last two {} sessions came out {} % below your own of the same kind",
                            spoken_lift(f.lift), format_number(-f.performance->value, 1))};
}

/// What no sentence above tells: of each kind the first that is odd.
void own_sources(const Morning& m, std::vector<Signal>& signals) {
  for (const Measured& x : m.items) {
    const ItemSpec& spec = *x.spec;
    if (!is_own_source(spec) || (!signals.empty() && signals.back().kind == spec.kind)) continue;
    const auto number = [&](double judged) {
      return format_number(spec.entered(judged), spec.digits) +
             (spec.morning_unit.empty() ? "" : fmt::format(" {}", spec.morning_unit));
    };
    const bool by_level =
        !x.usual && spec.level != nullptr && beyond_level(spec, spec.entered(x.value), m.models->limits);
    if (!x.odd && !by_level) continue;
    std::string say = fmt::format("{} {}", spec.spoken, number(x.value));
    if (x.usual) say += " against your usual " + number(x.usual->mean);
    signals.push_back({spec.kind, std::move(say)});
  }
}

}  // namespace

std::vector<Signal> signals_of(const Morning& m, const LiftFacts& f) {
  std::vector<Signal> signals;
  for (auto signal : {sleep_signal(m), check_signal(m), soreness_signal(m, f), bar_signal(f), load_signal(m, f),
                      performance_signal(f)}) {
    if (signal) signals.push_back(std::move(*signal));
  }
  own_sources(m, signals);
  return signals;
}

}  // namespace steelyard::decide
