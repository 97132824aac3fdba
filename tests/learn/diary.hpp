#pragma once
/// Invented diaries of a team sport: whole numbers, gaps, own habits of rating, slow drift and sudden shifts of level,
/// soreness and fatigue that follow the session load of the days before. Nothing here is of a real person.

#include <algorithm>
#include <array>
#include <cmath>
#include <random>
#include <string>

#include "steelyard/domain/log.hpp"
#include "steelyard/fit/impulse.hpp"

namespace steelyard::testing {

struct Team {
  int top = 5;            ///< the scale is 1 to this
  double soreness = 0.4;  ///< points for twice the usual load for ever, at the median
  double fatigue = 0.2;
  double carry = 0.3;       ///< share of yesterday's deviation
  double noise = 0.55;      ///< SD of a day, points
  double drift = 0.02;      ///< SD of a day's change of an own level
  double shift = 0.006;     ///< chance a day that levels jump
  double missing = 0.3;     ///< share of days without entries
  double repeating = 0.15;  ///< chance that the last value is written again
  int days = 250;
};

class Diary {
 public:
  Diary(const Team& team, std::uint64_t seed) : t_(team), random_(seed) {}

  AthleteLog keep(const std::string& name) {
    log_.athlete = {.athlete = name};
    soreness_ = t_.soreness * std::exp(draw(0.5));
    fatigue_ = t_.fatigue * std::exp(draw(0.5));
    noise_ = t_.noise * std::exp(draw(0.3));
    kept_ = fit::kept_per_day(1 + 2 * even_(random_));
    for (double& level : level_) level = (t_.top + 1) / 2.0 - 0.6 + draw(0.6);
    for (int i = 0; i < t_.days; ++i) live_a_day(day_from_number(19723) + Days{i}, i);
    return std::move(log_);
  }

 private:
  double draw(double sd) { return sd * normal_(random_); }
  bool happens(double chance) { return even_(random_) < chance; }

  void live_a_day(Day day, int i) {
    const double common = draw(0.35 * noise_);
    const bool writes = !happens(t_.missing);
    const bool jumps = happens(t_.shift);
    std::array<double, 3> value{};  // soreness, fatigue, stress
    for (std::size_t k = 0; k < 3; ++k) {
      if (jumps && happens(0.5)) level_[k] += draw(0.8);
      level_[k] += draw(t_.drift);
      deviation_[k] = t_.carry * deviation_[k] + common + draw(noise_ * std::sqrt(1 - t_.carry * t_.carry));
      const double load = k == 0 ? soreness_ : k == 1 ? fatigue_ : 0;
      value[k] = std::clamp(std::round(level_[k] + deviation_[k] + load * (response_ - 1)), 1.0, 1.0 * t_.top);
      if (writes && !log_.checks.empty() && happens(t_.repeating)) value[k] = written_[k];
    }
    if (writes) {
      written_ = value;
      Check check{.athlete = log_.athlete.athlete, .date = day};
      check.soreness = value[0];
      check.fatigue = value[1];
      check.stress = value[2];
      log_.checks.push_back(check);
    }
    response_ = fit::next_response(response_, train(day, i % 7), kept_);
  }

  /// Relative load: four sessions in the week and a match on Saturday.
  double train(Day day, int weekday) {
    constexpr std::array<double, 7> k_minutes{0, 80, 95, 75, 60, 85, 0};
    constexpr std::array<double, 7> k_rpe{0, 4.5, 6, 4, 3, 7.5, 0};
    const auto d = static_cast<std::size_t>(weekday);
    if (k_minutes[d] == 0 || !happens(0.85)) return 0;
    const double minutes = std::max(20.0, std::round(k_minutes[d] + draw(15)));
    const double rpe = std::clamp(std::round(k_rpe[d] + draw(1.2)), 1.0, 10.0);
    if (!happens(0.7 * t_.missing)) {
      log_.sessions.push_back({.athlete = log_.athlete.athlete,
                               .date = day,
                               .part = 1,
                               .kind = DayKind::sport,
                               .minutes = minutes,
                               .rpe = rpe});
    }
    constexpr double k_usual_load = 270;  // AU a calendar day
    return minutes * rpe / k_usual_load;
  }

  Team t_;
  std::mt19937_64 random_;
  std::normal_distribution<double> normal_;
  std::uniform_real_distribution<double> even_;
  AthleteLog log_;
  double soreness_ = 0;
  double fatigue_ = 0;
  double noise_ = 0;
  double kept_ = 0;
  double response_ = 1;
  std::array<double, 3> level_{};
  std::array<double, 3> deviation_{};
  std::array<double, 3> written_{};
};

}  // namespace steelyard::testing
