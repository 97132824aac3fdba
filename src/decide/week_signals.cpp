#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <initializer_list>
#include <iterator>
#include <optional>

#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "week_findings.hpp"

namespace steelyard::decide {
namespace {

/// One independent source that speaks for less.
struct WeekSignal {
  SignalKind kind = SignalKind::check;
  std::vector<std::string> say;
  bool by_plan = false;  ///< what a planned hard week does
};

/// Of one kind; of those that a planned hard week raises, or of the others.
void odd_items(const WeekFacts& f, SignalKind kind, bool by_work, std::vector<std::string>& say) {
  for (const ItemWeek& item : f.items) {
    if (item.spec->kind == kind && item.spec->by_work == by_work && item.odd()) say.push_back(spoken_item(item) + ".");
  }
}

/// " in 2 of the last 3 sessions", where those few decided.
std::string spoken_late(const Late& late, std::string_view what) {
  return late.counts ? fmt::format(" in {} of the last {} {}", late.odd, late.of, what) : std::string();
}

WeekSignal sleep(const WeekFacts& f) {
  WeekSignal s{.kind = SignalKind::sleep};
  odd_items(f, SignalKind::sleep, false, s.say);
  return s;
}

WeekSignal check(const WeekFacts& f) {
  WeekSignal s{.kind = SignalKind::check};
  odd_items(f, SignalKind::check, false, s.say);
  s.by_plan = f.tired_by_plan && s.say.empty();
  odd_items(f, SignalKind::check, true, s.say);
  return s;
}

WeekSignal soreness(const WeekFacts& f) {
  WeekSignal s{.kind = SignalKind::soreness};
  const auto& limits = f.models->limits.soreness;
  const ItemWeek* item = f.item(&Check::soreness);
  constexpr double rounds_to = 0.5;  // a week's mean that rounds to the level
  if (item == nullptr || !item->odd() || item->mean < limits.signal - rounds_to) return s;
  s.say.push_back(spoken_item(*item) + ".");
  s.by_plan = f.tired_by_plan && item->mean < limits.extreme - rounds_to;
  return s;
}

WeekSignal bar(const WeekFacts& f) {
  WeekSignal s{.kind = SignalKind::bar, .by_plan = f.tired_by_plan};
  for (const BarWeek& b : f.bar) {
    if (!b.odd) continue;
    s.say.push_back(fmt::format("The {} bar at {} % moved {} % slower than usual ({:.2f} m/s, usually {:.2f} m/s){}.",
                                spoken_lift(b.lift), format_number(b.percent, 1),
                                format_number(100 * (1 - b.told() / b.usual), 0), b.told(), b.usual,
                                spoken_late(b.late, "sessions")));
  }
  return s;
}

WeekSignal performance(const WeekFacts& f) {
  WeekSignal s{.kind = SignalKind::performance, .by_plan = f.tired_by_plan};
  for (const StrengthWeek& x : f.strength) {
    if (!x.odd) continue;
    s.say.push_back(
        fmt::format("Estimated strength in the {}: {} % below own sessions of the same kind, over {} sessions of two "
                    "weeks.",
                    spoken_lift(x.lift), format_number(-x.change_percent, 1), x.sessions));
  }
  return s;
}

WeekSignal load(const WeekFacts& f) {
  WeekSignal s{.kind = SignalKind::load};
  if (!f.load.high || f.load.explained) return s;
  s.say.push_back(fmt::format("Load {} AU in seven days, above anything of the eight weeks before (at most {} AU).",
                              format_number(f.load.week_au.value_or(0), 0),
                              format_number(f.load.high_au.value_or(0), 0)));
  return s;
}

/// Without an own usual only a fixed level can speak, and only over several days.
std::optional<std::string> beyond_level(const WeekFacts& f, const ItemSpec& spec) {
  if (!f.shared.checks || spec.level == nullptr || f.item(spec.member) != nullptr) return std::nullopt;
  std::vector<double> week;
  for (const Check& c : f.log->checks) {
    if (c.date >= f.monday && c.*spec.member) week.push_back(*(c.*spec.member));
  }
  if (std::ssize(week) < f.models->limits.floors.week_days) return std::nullopt;
  const double mean = series::moments(week)->mean;
  if (!decide::beyond_level(spec, mean, f.models->limits)) return std::nullopt;
  const bool hours = spec.scale == Scale::hours;
  return fmt::format("{} {} {}; own usual is not known.", hours ? "Slept" : capitalized(spec.spoken),
                     format_number(mean, 1), hours ? "h a night" : spec.unit);
}

/// Kinds that no function above tells. A planned hard week tells on the muscles, not on the heart.
void own_sources(const WeekFacts& f, std::vector<WeekSignal>& signals) {
  for (const ItemSpec& spec : item_specs()) {
    if (!is_own_source(spec)) continue;
    const ItemWeek* item = f.item(spec.member);
    const auto say = item == nullptr ? beyond_level(f, spec)
                     : item->odd()   ? std::optional(spoken_item(*item) + ".")
                                     : std::nullopt;
    if (!say) continue;
    if (signals.empty() || signals.back().kind != spec.kind)
      signals.push_back({.kind = spec.kind, .by_plan = f.tired_by_plan && spec.kind != SignalKind::heart});
    signals.back().say.push_back(*say);
  }
}

/// Of sleep, or of the ratings, soreness among them.
WeekSignal levels(const WeekFacts& f, bool sleep) {
  WeekSignal s{.kind = sleep ? SignalKind::sleep : SignalKind::check};
  for (const ItemSpec& spec : item_specs()) {
    if (is_own_source(spec) || (spec.kind == SignalKind::sleep) != sleep) continue;
    if (auto say = beyond_level(f, spec)) s.say.push_back(std::move(*say));
  }
  return s;
}

std::vector<WeekSignal> all_signals(const WeekFacts& f) {
  std::vector<WeekSignal> signals;
  const auto add = [&](std::initializer_list<WeekSignal> some) {
    std::copy_if(some.begin(), some.end(), std::back_inserter(signals), [](const auto& s) { return !s.say.empty(); });
  };
  add({sleep(f), check(f), soreness(f), bar(f), performance(f), load(f)});
  own_sources(f, signals);
  add({levels(f, true), levels(f, false)});
  return signals;
}

std::vector<std::string> sentences(const std::vector<WeekSignal>& signals) {
  std::vector<std::string> say;
  for (const WeekSignal& s : signals) say.insert(say.end(), s.say.begin(), s.say.end());
  return say;
}

/// The days of the week are alike, and mood or performance is off.
std::optional<std::string> monotony(const WeekFacts& f, const std::vector<WeekSignal>& signals) {
  if (!f.load.alike) return std::nullopt;
  const ItemWeek* mood = f.item(&Check::mood);
  const bool mood_off = mood != nullptr && mood->odd();
  const bool weaker = std::any_of(signals.begin(), signals.end(), [](const WeekSignal& s) {
    return s.kind == SignalKind::bar || s.kind == SignalKind::performance;
  });
  if (!mood_off && !weaker) return std::nullopt;
  if (!f.load.monotony) return "Every day of the week has the same load.";
  return fmt::format("One day is like the other: daily load has a mean of {} times its scatter (monotony).",
                     format_number(*f.load.monotony, 1));
}

std::string agreed_step(const WeekFacts& f, std::size_t signals) {
  const auto& agreement = f.models->limits.agreement;
  constexpr std::size_t many = 3;
  if (signals < many) {
    return fmt::format("Trim the coming week to about {} % of the planned work and ask what is going on.",
                       format_number(100 * agreement.two_reps_share, 0));
  }
  return fmt::format(
      "No heavy work before Wednesday, about {} % of the planned repetitions until then, and ask what is "
      "going on.",
      format_number(100 * agreement.three_reps_share, 0));
}

void one_alone(const WeekFacts& f, const WeekSignal& signal, const std::optional<std::string>& alike, Findings& out) {
  const bool weaker = signal.kind == SignalKind::performance ||
                      (signal.kind == SignalKind::bar &&
                       std::any_of(f.bar.begin(), f.bar.end(), [](const BarWeek& b) { return b.clearly; }));
  if (alike) {
    std::vector<std::string> because = signal.say;
    because.insert(because.begin(), *alike);
    out.flags.push_back({.rank = week_rank::monotony,
                         .kind = "monotony",
                         .because = std::move(because),
                         .next_step = "Make one day clearly harder and two clearly lighter, or change the work."});
  } else if (weaker) {
    out.flags.push_back({.rank = week_rank::single,
                         .kind = "strength",
                         .because = signal.say,
                         .next_step = "Keep the weights, take a set off each day, and ask about sleep, food and work; "
                                      "look again in a week."});
  } else if (signal.kind == SignalKind::load) {
    out.flags.push_back({.rank = week_rank::single,
                         .kind = "load",
                         .because = signal.say,
                         .next_step = "Ask whether the extra work was meant; go back to the planned week, no catching "
                                      "up and no rest week."});
  } else {
    out.watch.push_back(
        fmt::format("{} One sign alone: the plan stands, the bar decides.", fmt::join(signal.say, " ")));
  }
}

}  // namespace

std::string spoken_item(const ItemWeek& item) {
  const ItemSpec& spec = *item.spec;
  const auto number = [&](double value) { return format_number(spec.logarithm ? std::exp(value) : value, 1); };
  std::string squad;
  if (item.common > 0) squad = fmt::format(" (the squad moved by {} as well)", format_number(item.common, 1));
  if (spec.scale == Scale::hours)
    return fmt::format("Slept {} h a night, usually {} h{}", number(item.mean), number(item.usual), squad);
  const bool late = spec.scale == Scale::measured && item.late.counts;
  return fmt::format("{} {} {}{}, usually {}{}", capitalized(spec.spoken), number(late ? item.late.mean : item.mean),
                     spec.unit, late ? spoken_late(item.late, "mornings") : "", number(item.usual), squad);
}

void find_signals(const WeekFacts& f, Findings& out) {
  const auto signals = all_signals(f);
  const auto count = static_cast<std::size_t>(
      std::count_if(signals.begin(), signals.end(), [](const WeekSignal& s) { return !s.by_plan; }));
  const auto alike = monotony(f, signals);
  // What a hard week does anyway needs a sign beside it that it does not explain, and two of its own.
  const bool agree = count >= 2 || (count == 1 && signals.size() >= 3);
  if (agree) {
    Finding finding{.rank = week_rank::signals - static_cast<int>(signals.size()),
                    .kind = "signals",
                    .because = sentences(signals),
                    .next_step = agreed_step(f, signals.size())};
    if (alike) finding.because.push_back(*alike);
    out.flags.push_back(std::move(finding));
  } else if (count == 1) {
    const auto single = std::find_if(signals.begin(), signals.end(), [](const WeekSignal& s) { return !s.by_plan; });
    one_alone(f, *single, alike, out);
  } else if (!signals.empty()) {
    out.watch.push_back(fmt::format("{} Expected in a hard stretch by plan: carry on, look again midweek.",
                                    fmt::join(sentences(signals), " ")));
  }
  if (agree || !somewhat_below_squad(f)) return;
  std::vector<std::string> say;
  for (const ItemWeek& item : f.items) {
    if (item.common > 0) say.push_back(spoken_item(item) + ".");
  }
  out.watch.push_back(fmt::format("Somewhat further down than the squad. {} Look again midweek.", fmt::join(say, " ")));
}

}  // namespace steelyard::decide
