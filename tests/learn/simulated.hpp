#pragma once
/// Invented lifters whose true answers are known, as the entries that they would write. Nothing here is of a real
/// person; everything follows from the seed.

#include <algorithm>
#include <cmath>
#include <random>
#include <string>

#include "params/shipped_models.hpp"
#include "steelyard/domain/log.hpp"
#include "steelyard/fit/impulse.hpp"
#include "steelyard/fit/rep_max.hpp"

namespace steelyard::testing {

/// What is true of one invented lifter; effects in % of strength.
struct Truth {
  int days = 300;
  double fitness = 6;       ///< for twice the usual dose for ever
  double tiredness = 4;     ///< the same, taken away
  double tau_fitness = 35;  ///< days
  double tau_tiredness = 3;
  double sleep = 1;           ///< for one SD (0.9 h) more
  double soreness = -1;       ///< for one point more
  double day_noise = 1.2;     ///< SD
  double level_drift = 0.1;   ///< SD of a day's change
  double rating_noise = 0.4;  ///< SD of an RPE
  double sore_load = 1.0;     ///< points for twice the usual load
  double sore_noise = 0.7;    ///< SD, points
  double sore_carry = 0.4;    ///< share of yesterday's deviation
  double checks = 0.93;       ///< share of mornings with a check
  bool bar_speed = false;
  bool plans = true;          ///< the plan is written down
  bool always_same = false;   ///< every check reads the same
  double level_items = 0.05;  ///< SD of a day's change of an item's own level, points
  int sessions_a_week = 3;
};

struct Simulated {
  AthleteLog log;
  Day last{};
};

class Simulator {
 public:
  Simulator(const Truth& truth, std::uint64_t seed) : t_(truth), random_(seed) {}

  Simulated live(const std::string& name = "sim") {
    out_.log.athlete = {.athlete = name};
    const Day start = day_from_number(20000);  // a Thursday
    out_.log.maxes.push_back({.athlete = name, .lift = "squat", .from = start, .training_max_kg = k_max});
    for (int i = 0; i < t_.days; ++i) live_a_day(start + Days{i}, i);
    out_.last = start + Days{t_.days - 1};
    return std::move(out_);
  }

 private:
  static constexpr double k_max = 150;

  double draw(double sd) { return sd * normal_(random_); }
  bool happens(double chance) { return uniform_(random_) < chance; }
  static double on_scale(double x) { return std::clamp(std::round(x), 1.0, 7.0); }

  void live_a_day(Day day, int i) {
    const double sleep_sd = draw(1);
    const double sore_mean = 2.8 + sore_level_ + t_.sore_load * (sore_response_ - 1);
    sore_ = sore_mean + t_.sore_carry * sore_deviation_ + draw(t_.sore_noise);
    sore_deviation_ = sore_ - sore_mean;
    sore_level_ = 0.995 * sore_level_ + draw(t_.level_items);
    const double tired = 3 + 0.7 * (sore_response_ - 1) - 0.4 * sleep_sd + draw(0.7);
    const double stress = 3 + (stress_deviation_ = 0.6 * stress_deviation_ + draw(0.6));
    if (happens(t_.checks)) {
      Check c{.athlete = out_.log.athlete.athlete, .date = day};
      if (t_.always_same) {
        c.sleep_hours = 8;
        c.sleep_quality = c.soreness = c.fatigue = c.stress = c.mood = 4;
      } else {
        c.sleep_hours = std::round(4 * (7.3 + 0.9 * sleep_sd)) / 4;
        c.sleep_quality = on_scale(4.5 + 0.8 * sleep_sd + draw(0.5));
        c.soreness = on_scale(sore_);
        c.fatigue = on_scale(tired);
        c.stress = on_scale(stress);
        if (!happens(0.1)) c.mood = on_scale(4.8 - 0.4 * (stress - 3) + draw(0.6));
      }
      out_.log.checks.push_back(c);
    }
    level_ += draw(t_.level_drift);
    const double strength = 0.98 * k_max *
                            std::exp((level_ + t_.fitness * (fitness_ - 1) - t_.tiredness * (tired_ - 1) +
                                      t_.sleep * sleep_sd + t_.soreness * (sore_ - 2.8) + draw(t_.day_noise)) /
                                     100);
    double dose = 0;
    double load = 0;
    if (trains(i)) train(day, i, strength, dose, load);
    fitness_ = fit::next_response(fitness_, dose, fit::kept_per_day(t_.tau_fitness));
    tired_ = fit::next_response(tired_, dose, fit::kept_per_day(t_.tau_tiredness));
    sore_response_ = fit::next_response(sore_response_, load, fit::kept_per_day(2));
  }

  [[nodiscard]] bool trains(int i) {
    const int weekday = i % 7;
    const bool planned = weekday == 0 || (weekday == 2 && t_.sessions_a_week > 2) || weekday == 4;
    return planned && !happens(0.07);
  }

  void train(Day day, int i, double strength, double& dose, double& load) {
    const std::string& name = out_.log.athlete.athlete;
    const int slot = (i % 7) / 2;
    const bool easy = (i / 7) % 4 == 3;
    const double more = 1 + 0.25 * ((i / 7) % 4 - 1);
    const DayKind kind = slot == 0 ? DayKind::heavy : slot == 1 ? DayKind::speed : DayKind::volume;
    const double percent = slot == 0 ? 82.5 : slot == 1 ? 67.5 : 70;
    const int reps = slot == 0 ? 4 : slot == 1 ? 3 : 8;
    const int planned = slot == 0 ? 4 : slot == 1 ? 6 : 4;
    const int sets = std::max(1, static_cast<int>(std::lround(planned * (easy ? 0.5 : more))));
    if (t_.plans) {
      out_.log.plan.push_back({.athlete = name,
                               .date = day,
                               .lift = "squat",
                               .kind = kind,
                               .sets = sets,
                               .reps = reps,
                               .percent = percent});
    }
    const double kg = std::round(percent / 100 * k_max / 2.5) * 2.5;
    const double possible = curve_.reps_at(100 * kg / strength);
    const double rpe = std::clamp(std::round(2 * (10 - (possible - reps) + draw(t_.rating_noise))) / 2, 5.0, 10.0);
    out_.log.sets.push_back({.athlete = name,
                             .date = day,
                             .part = 1,
                             .lift = "squat",
                             .sets = sets,
                             .reps = reps,
                             .weight_kg = kg,
                             .rpe = rpe,
                             .position = 1});
    if (possible < reps) out_.log.sets.back().missed = std::min(reps - 1, static_cast<int>(std::ceil(reps - possible)));
    const double minutes = 25 + 6 * sets + std::round(draw(4));
    const double session_rpe = std::clamp(std::round(rpe - 1 + draw(0.5)), 2.0, 10.0);
    out_.log.sessions.push_back(
        {.athlete = name, .date = day, .part = 1, .kind = kind, .minutes = minutes, .rpe = session_rpe});
    if (t_.bar_speed) {
      out_.log.bar.push_back({.athlete = name,
                              .date = day,
                              .lift = "squat",
                              .percent = 60,
                              .speed_m_s = 0.85 + (100 * std::log(strength / k_max)) / 62 + draw(0.015)});
    }
    const double share = percent / 100;
    dose = sets * reps * share * share / k_usual_dose;
    load = minutes * session_rpe / k_usual_load;
  }

  static constexpr double k_usual_dose = 5;    ///< about the mean over calendar days
  static constexpr double k_usual_load = 130;  ///< AU a calendar day
  Truth t_;
  std::mt19937_64 random_;
  std::normal_distribution<double> normal_;
  std::uniform_real_distribution<double> uniform_;
  fit::RepMax curve_ = fit::RepMax::make(shipped_models().strength).value();
  Simulated out_;
  double level_ = 0;
  double fitness_ = 1;
  double tired_ = 1;
  double sore_ = 2.8;
  double sore_level_ = 0;
  double sore_deviation_ = 0;
  double stress_deviation_ = 0;
  double sore_response_ = 1;
};

}  // namespace steelyard::testing
