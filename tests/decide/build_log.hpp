#pragma once
/// Invented logs: a weekly pattern over some weeks, checks with scatter from a seed. No real person.

#include <algorithm>
#include <cmath>
#include <random>
#include <string>
#include <vector>

#include "series/rows.hpp"

namespace steelyard::testing {

/// One lift of a session, as planned and done; `rpe` of the last set.
struct Work {
  std::string lift;
  DayKind kind = DayKind::heavy;
  int sets = 0;
  int reps = 0;
  double percent = 0;
  double rpe = 8;
};

struct PatternDay {
  int weekday = 0;  ///< 0 = Monday
  double minutes = 0;
  double rpe = 0;          ///< CR-10 of the session
  std::vector<Work> work;  ///< the main lift first; its kind is the session's
};
using Pattern = std::vector<PatternDay>;

/// Heavy, speed and volume squats on Monday, Wednesday and Friday; common practice.
[[nodiscard]] inline Pattern heavy_speed_volume() {
  using enum DayKind;
  return {{0, 75, 7, {{"squat", heavy, 3, 4, 82.5, 8}, {"bench", volume, 4, 8, 67.5, 7.5}}},
          {2, 55, 5, {{"squat", speed, 8, 2, 70, 6}, {"bench", heavy, 3, 4, 82.5, 8}}},
          {4, 75, 7, {{"squat", volume, 4, 10, 65, 8}, {"deadlift", heavy, 3, 4, 80, 7.5}}}};
}

/// Heavy squats at the end of the week, after volume and speed.
[[nodiscard]] inline Pattern volume_speed_heavy() {
  using enum DayKind;
  return {{0, 75, 7, {{"squat", volume, 4, 10, 65, 8}, {"bench", volume, 4, 8, 67.5, 7.5}}},
          {2, 55, 5, {{"squat", speed, 8, 2, 70, 6}, {"bench", speed, 8, 3, 65, 6}}},
          {4, 75, 7, {{"squat", heavy, 3, 4, 82.5, 8}, {"deadlift", heavy, 3, 4, 80, 7.5}}}};
}

/// Means of a morning and the scatter of a lifter who answers honestly.
struct Usual {
  double sleep_hours = 7.5;
  double sleep_quality = 5;
  double soreness = 2;
  double fatigue = 3;
  double stress = 3;
  double mood = 5;
  double spread = 0.5;  ///< SD of an item, points; sleep scatters by 0.8 of it in hours
};

class LogBuilder {
 public:
  LogBuilder(Pattern pattern, Day today, int weeks, unsigned seed = 1, Usual usual = {})
      : pattern_(std::move(pattern)), today_(today), usual_(usual), engine_(seed) {
    log_.athlete.athlete = "ada";
    log_.athlete.birth_year = static_cast<int>(std::chrono::year_month_day{today}.year()) - 28;
    log_.athlete.training_since = today - Days{1800};
    for (const PatternDay& day : pattern_) log_.athlete.weekdays.add(day.weekday);
    const Day first = today - Days{7 * weeks};
    for (const auto& [lift, kg] : {std::pair{"bench", 110.0}, {"deadlift", 190.0}, {"squat", 160.0}}) {
      log_.maxes.push_back({.athlete = "ada", .lift = lift, .from = first, .training_max_kg = kg});
    }
    bool hard_yesterday = false;
    for (Day date = first; date <= today + Days{14}; date += Days{1}) {
      const PatternDay* day = on(date);
      if (day != nullptr) plan(date, *day);
      if (date >= today) continue;
      Check morning = ordinary(date);
      if (hard_yesterday) morning.soreness = std::min(7.0, *morning.soreness + 1);
      log_.checks.push_back(std::move(morning));
      if (day != nullptr) train(date, *day);
      hard_yesterday = day != nullptr && day->work.front().kind != DayKind::speed;
    }
    if (hard_yesterday) extra_soreness_ = 1;
  }

  /// Today's check with nothing out of the ordinary.
  [[nodiscard]] Check ordinary(Day date) {
    Check c = check(date);
    const auto item = [&](double mean) {
      return std::clamp(std::round(mean + usual_.spread * normal_(engine_)), 1.0, 7.0);
    };
    c.sleep_hours = std::max(0.0, std::round(10 * (usual_.sleep_hours + 0.8 * usual_.spread * normal_(engine_))) / 10);
    c.sleep_quality = item(usual_.sleep_quality);
    c.soreness = item(usual_.soreness);
    c.fatigue = item(usual_.fatigue);
    c.stress = item(usual_.stress);
    c.mood = item(usual_.mood);
    return c;
  }

  /// This morning's check, exactly at the lifter's means: nothing can be odd.
  [[nodiscard]] Check usual_morning() const {
    Check c = check(today_);
    c.sleep_hours = usual_.sleep_hours;
    c.sleep_quality = usual_.sleep_quality;
    c.soreness = usual_.soreness;
    c.fatigue = usual_.fatigue;
    c.stress = usual_.stress;
    c.mood = usual_.mood;
    return c;
  }

  /// An ordinary morning of today, sore from yesterday if there was hard work.
  [[nodiscard]] Check ordinary_morning() {
    Check c = ordinary(today_);
    c.soreness = std::min(7.0, *c.soreness + extra_soreness_);
    return c;
  }

  /// The log with this check as today's.
  [[nodiscard]] AthleteLog with(Check morning) const {
    AthleteLog log = log_;
    log.checks.push_back(std::move(morning));
    return log;
  }

  AthleteLog& log() { return log_; }
  [[nodiscard]] const AthleteLog& log() const { return log_; }
  [[nodiscard]] Day today() const { return today_; }
  std::mt19937& engine() { return engine_; }

 private:
  [[nodiscard]] const PatternDay* on(Day date) const {
    const auto found = std::find_if(pattern_.begin(), pattern_.end(),
                                    [&](const PatternDay& d) { return d.weekday == weekday_index(date); });
    return found == pattern_.end() ? nullptr : &*found;
  }

  void plan(Day date, const PatternDay& day) {
    int position = 0;
    for (const Work& w : day.work) {
      PlanRow row = planned(date, w.kind, w.lift);
      row.sets = w.sets;
      row.reps = w.reps;
      row.percent = w.percent;
      if (position == 0) row.minutes = day.minutes;
      row.position = ++position;
      log_.plan.push_back(std::move(row));
    }
  }

  void train(Day date, const PatternDay& day) {
    log_.sessions.push_back(session(date, day.minutes, day.rpe, day.work.front().kind));
    int position = 0;
    for (const Work& w : day.work) {
      const auto max =
          std::find_if(log_.maxes.begin(), log_.maxes.end(), [&](const auto& m) { return m.lift == w.lift; });
      SetRow row = set_of(date, w.lift, w.sets, w.reps, std::nullopt, w.rpe);
      if (max != log_.maxes.end()) {
        row.weight_kg = std::round(w.percent / 100 * max->training_max_kg / 2.5) * 2.5;
      } else {
        row.percent = w.percent;
      }
      row.position = ++position;
      log_.sets.push_back(std::move(row));
    }
  }

  Pattern pattern_;
  Day today_{};
  Usual usual_;
  std::mt19937 engine_;
  std::normal_distribution<double> normal_{0, 1};
  AthleteLog log_;
  double extra_soreness_ = 0;
};

}  // namespace steelyard::testing
