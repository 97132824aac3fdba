#include <fmt/core.h>

#include <cmath>

#include "morning.hpp"
#include "phrases.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"

namespace steelyard::decide {
namespace {

std::optional<Signal> sleep_signal(const Morning& m) {
  const auto quality = m.items.find("sleep_quality");
  if (m.sleep && m.sleep->odd) {
    return Signal{SignalKind::sleep, m.sleep->value, m.sleep->usual->mean, "h",
                  fmt::format("you slept {} h, usually {} h", format_number(m.sleep->value, 1),
                              format_number(m.sleep->usual->mean, 1))};
  }
  if (m.sleep_run) {
    return Signal{SignalKind::sleep, m.sleep_run_mean, m.sleep && m.sleep->usual ? m.sleep->usual->mean : 0, "h",
                  fmt::format("several short nights in a row, {} h on average", format_number(m.sleep_run_mean, 1))};
  }
  // Without an own usual only a fixed safety floor can speak.
  const double floor_hours = m.models->limits.floors.sleep_hours;
  if (m.sleep && !m.sleep->usual && m.sleep->value < floor_hours) {
    return Signal{SignalKind::sleep, m.sleep->value, floor_hours, "h",
                  fmt::format("you slept {} h", format_number(m.sleep->value, 1))};
  }
  if (quality != m.items.end() && quality->second.odd) {
    return Signal{SignalKind::sleep, quality->second.value, quality->second.usual->mean, "of 7",
                  fmt::format("you slept badly, {} of 7 against your usual {}", format_number(quality->second.value, 1),
                              format_number(quality->second.usual->mean, 1))};
  }
  return std::nullopt;
}

/// Fatigue, stress and mood, and overall soreness where no region was named: one source, whoever of them is odd.
std::optional<Signal> check_signal(const Morning& m) {
  struct Item {
    const char* name;
    const char* say;
    double floor;  ///< counts without an own usual from here on
    double bad;
  };
  const auto& floors = m.models->limits.floors;
  const Item items[] = {{"fatigue", "fatigue", floors.fatigue, 1},
                        {"stress", "stress", floors.stress, 1},
                        {"mood", "mood", floors.mood, -1},
                        {"soreness", "soreness", floors.soreness, 1}};
  const Measured* worst = nullptr;
  std::vector<std::string> parts;
  for (const Item& item : items) {
    if (std::string_view(item.name) == "soreness" && m.check != nullptr && !m.check->sore_regions.empty()) continue;
    const auto found = m.items.find(item.name);
    if (found == m.items.end()) continue;
    const Measured& x = found->second;
    const bool odd = x.usual ? x.odd : item.bad * (x.value - item.floor) >= 0;
    if (!odd) continue;
    if (worst == nullptr || x.worse_by > worst->worse_by) worst = &x;
    parts.push_back(x.usual ? fmt::format("{} {} of 7 against your usual {}", item.say, format_number(x.value, 1),
                                          format_number(x.usual->mean, 1))
                            : fmt::format("{} {} of 7", item.say, format_number(x.value, 1)));
  }
  if (worst == nullptr) return std::nullopt;
  return Signal{SignalKind::check, worst->value, worst->usual ? worst->usual->mean : 0, "of 7", join_words(parts)};
}

std::optional<Signal> soreness_signal(const Morning& m, const LiftFacts& f) {
  if (!f.odd_soreness || *f.odd_soreness < m.models->limits.soreness.signal) return std::nullopt;
  return Signal{SignalKind::soreness, *f.odd_soreness, f.odd_usual.value_or(0), "of 7",
                fmt::format("{} {} sore, {} of 7", spoken_site(f.odd_mover), is_or_are(spoken_site(f.odd_mover)),
                            format_number(*f.odd_soreness, 1))};
}

std::optional<Signal> bar_signal(const LiftFacts& f) {
  if (!f.bar || !f.bar->odd) return std::nullopt;
  const double percent = 100 * (1 - f.bar->value / f.bar->usual->mean);
  return Signal{SignalKind::bar, f.bar->value, f.bar->usual->mean, "m/s",
                fmt::format("the bar is slow, {} % below your usual speed at {} %", std::lround(percent),
                            format_number(f.bar_percent, 1))};
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
    return Signal{SignalKind::load, *last->acute7_au, *last->highest8_au, "AU", say};
  }
  if (doubled) {
    return Signal{SignalKind::load, static_cast<double>(f.hard_sets_week), f.hard_sets_usual, "hard sets",
                  fmt::format("hard {} sets have more than doubled this week, {} against your usual {}",
                              spoken_lift(f.lift), f.hard_sets_week, format_number(f.hard_sets_usual, 1))};
  }
  if (m.days_alike) {
    return Signal{SignalKind::load, last->monotony.value_or(0), m.models->load.monotony.alike, "",
                  "your training days are nearly the same, with hardly a lighter one"};
  }
  return std::nullopt;
}

std::optional<Signal> performance_signal(const LiftFacts& f) {
  if (!f.performance || !f.performance->odd) return std::nullopt;
  return Signal{SignalKind::performance, f.performance->value, 0, "%",
                fmt::format("your last two {} sessions came out {} % below your own of the same kind",
                            spoken_lift(f.lift), format_number(-f.performance->value, 1))};
}

std::optional<Signal> heart_signal(const Morning& m) {
  const auto hr = m.items.find("resting_hr");
  if (hr != m.items.end() && hr->second.odd) {
    return Signal{SignalKind::heart, hr->second.value, hr->second.usual->mean, "1/min",
                  fmt::format("resting heart rate {} against your usual {}", format_number(hr->second.value, 0),
                              format_number(hr->second.usual->mean, 0))};
  }
  const auto hrv = m.items.find("hrv");
  if (hrv != m.items.end() && hrv->second.odd) {
    const double ms = std::exp(hrv->second.value);
    const double usual = std::exp(hrv->second.usual->mean);
    return Signal{SignalKind::heart, ms, usual, "ms",
                  fmt::format("heart-rate variability {} ms against your usual {} ms", format_number(ms, 0),
                              format_number(usual, 0))};
  }
  return std::nullopt;
}

std::optional<Signal> jump_signal(const Morning& m) {
  const auto jump = m.items.find("jump");
  if (jump == m.items.end() || !jump->second.odd) return std::nullopt;
  return Signal{SignalKind::jump, jump->second.value, jump->second.usual->mean, "cm",
                fmt::format("jump {} cm against your usual {} cm", format_number(jump->second.value, 1),
                            format_number(jump->second.usual->mean, 1))};
}

}  // namespace

std::vector<Signal> signals_of(const Morning& m, const LiftFacts& f) {
  std::vector<Signal> signals;
  for (auto signal : {sleep_signal(m), check_signal(m), soreness_signal(m, f), bar_signal(f), load_signal(m, f),
                      performance_signal(f), heart_signal(m), jump_signal(m)}) {
    if (signal) signals.push_back(std::move(*signal));
  }
  return signals;
}

}  // namespace steelyard::decide
