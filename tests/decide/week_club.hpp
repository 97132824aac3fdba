#pragma once
/// Invented lifters with twelve weeks of ordinary diary behind them, for the tests of the weekly review.

#include <algorithm>
#include <array>
#include <functional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "series/rows.hpp"
#include "steelyard/decide/week.hpp"

namespace steelyard::testing {

/// The Sunday that ends the week under review, 2026-W10.
inline constexpr Day k_sunday = k_monday + Days{6};

/// Squat three times a week (heavy, speed, volume: 75 min at RPE 6), a check every morning, bar speed at each session.
/// The scatter of the diary repeats every week, so nothing here depends on chance.
class Lifter {
 public:
  explicit Lifter(std::string code) {
    log_.athlete = {.athlete = std::move(code), .group = "club"};
    log_.maxes.push_back(
        {.athlete = log_.athlete.athlete, .lift = "squat", .from = k_sunday - Days{83}, .training_max_kg = 160});
    for (int i = 0; i < k_days; ++i) ordinary_day(k_sunday - Days{k_days - 1 - i}, i);
  }

  Lifter& athlete(const std::function<void(Athlete&)>& change) {
    change(log_.athlete);
    return *this;
  }
  /// Adds to an item on every morning of the week.
  Lifter& week(std::optional<double> Check::*item, double by) {
    return checks([&](Check& c) { c.*item = *(c.*item) + by; });
  }
  Lifter& checks(const std::function<void(Check&)>& change) {
    for (Check& c : log_.checks) {
      if (c.date >= k_monday) change(c);
    }
    return *this;
  }
  /// `weekday` 0 = Monday of the week under review.
  Lifter& on(int weekday, const std::function<void(Check&)>& change) {
    return checks([&](Check& c) {
      if (c.date == k_monday + Days{weekday}) change(c);
    });
  }
  Lifter& pain(std::string_view site, PainKind kind, const std::vector<std::pair<int, double>>& levels) {
    for (const auto& [weekday, level] : levels) {
      on(weekday, [&](Check& c) { c.pain.push_back({std::string(site), level, kind}); });
    }
    return *this;
  }
  Lifter& note(int weekday, std::string_view text) {
    return on(weekday, [&](Check& c) { c.note = text; });
  }
  Lifter& symptom(int weekday, std::string_view code) {
    return on(weekday, [&](Check& c) { c.symptoms.emplace_back(code); });
  }
  /// No entry of any kind from that weekday on.
  Lifter& silent_from(int weekday) {
    const Day first = k_monday + Days{weekday};
    const auto late = [&](const auto& row) { return row.date >= first; };
    std::erase_if(log_.checks, late);
    std::erase_if(log_.sessions, late);
    std::erase_if(log_.sets, late);
    std::erase_if(log_.bar, late);
    return *this;
  }
  /// Minutes of the last weeks times `factor`; the plan follows only if asked.
  Lifter& minutes(int weeks, double factor, bool planned) {
    const Day first = k_monday - Days{7 * (weeks - 1)};
    for (Session& s : log_.sessions) {
      if (s.date >= first) s.minutes = *s.minutes * factor;
    }
    for (PlanRow& p : log_.plan) {
      if (planned && p.date >= first && p.date <= k_sunday) p.minutes = *p.minutes * factor;
    }
    return *this;
  }
  Lifter& harder_sets(double rpe_more, int weeks) {
    for (SetRow& s : log_.sets) {
      if (s.date >= k_monday - Days{7 * (weeks - 1)}) s.rpe = *s.rpe + rpe_more;
    }
    return *this;
  }
  Lifter& bar(int weekday, double factor) {
    for (BarSpeed& b : log_.bar) {
      if (b.date == k_monday + Days{weekday}) b.speed_m_s *= factor;
    }
    return *this;
  }
  Lifter& off(Day from, Day to, OffReason reason) {
    log_.days_off.push_back({.athlete = log_.athlete.athlete, .from = from, .to = to, .reason = reason});
    return *this;
  }
  /// No session from..to; the checks stay.
  Lifter& no_sessions(Day from, Day to) {
    const auto inside = [&](const auto& row) { return row.date >= from && row.date <= to; };
    std::erase_if(log_.sessions, inside);
    std::erase_if(log_.sets, inside);
    std::erase_if(log_.bar, inside);
    return *this;
  }
  /// The same session on six days of every week.
  Lifter& same_every_day() {
    log_.sessions.clear();
    log_.plan.clear();
    for (int i = 0; i < k_days; ++i) {
      const Day day = k_sunday - Days{k_days - 1 - i};
      if (weekday_index(day) == 6) continue;
      add_session(day, DayKind::heavy, 40);
    }
    return *this;
  }
  Lifter& edit(const std::function<void(AthleteLog&)>& change) {
    change(log_);
    return *this;
  }

  [[nodiscard]] const AthleteLog& log() const { return log_; }

 private:
  static constexpr int k_days = 84;

  void add_session(Day day, DayKind kind, double minutes) {
    const std::string& who = log_.athlete.athlete;
    log_.sessions.push_back(
        {.athlete = who, .date = day, .part = 1, .kind = kind, .minutes = minutes, .rpe = 6, .note = {}});
    log_.plan.push_back({.athlete = who, .date = day, .lift = "squat", .kind = kind, .minutes = minutes, .note = {}});
  }

  void ordinary_day(Day day, int i) {
    const std::string& who = log_.athlete.athlete;
    constexpr std::array wave{-0.5, 0.5, 0.0, 0.5, -0.5, 0.5, -0.5};  // mean 0 over a week
    const double up = wave[static_cast<std::size_t>(i % 7)];
    const double down = wave[static_cast<std::size_t>((i + 2) % 7)];
    Check check{.athlete = who, .date = day};
    check.sleep_hours = 7.5 + up;
    check.sleep_quality = 5 + down;
    check.soreness = 2.5 + down;
    check.fatigue = 3 + up;
    check.stress = 3 + down;
    check.mood = 5 + up;
    log_.checks.push_back(check);
    const int weekday = weekday_index(day);
    if (weekday % 2 != 0 || weekday == 6) return;
    const DayKind kind = weekday == 0 ? DayKind::heavy : weekday == 2 ? DayKind::speed : DayKind::volume;
    add_session(day, kind, 75);
    SetRow set{.athlete = who, .date = day, .part = 1, .lift = "squat"};
    set.sets = weekday == 2 ? 8 : 3;
    set.reps = weekday == 0 ? 4 : weekday == 2 ? 2 : 10;
    set.weight_kg = weekday == 0 ? 132.5 : weekday == 2 ? 112.5 : 105;
    set.rpe = weekday == 2 ? 6 : 8;
    log_.sets.push_back(set);
    log_.bar.push_back({.athlete = who, .date = day, .lift = "squat", .percent = 60, .speed_m_s = 0.7 + 0.01 * up});
  }

  AthleteLog log_;
};

/// `count` ordinary lifters "a1", "a2" ..
[[nodiscard]] inline std::vector<Lifter> club(int count) {
  std::vector<Lifter> lifters;
  for (int i = 1; i <= count; ++i) lifters.emplace_back("a" + std::to_string(i));
  return lifters;
}

}  // namespace steelyard::testing
