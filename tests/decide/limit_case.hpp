#pragma once
/// The invented lifter of the tests of limits, with ways to change one thing. Heavy, speed and volume squats on Monday,
/// Wednesday and Friday for twelve weeks, all checks scattering about the same means.

#include <gtest/gtest.h>

#include <stdexcept>

#include "decide/build_log.hpp"
#include "params/shipped_models.hpp"
#include "steelyard/decide/call.hpp"

namespace steelyard::decide {

using namespace steelyard::testing;

inline constexpr Day k_heavy_day = k_monday + Days{84};  ///< squat 3 x 4 at 82.5 %, then bench 4 x 8 at 67.5 %
inline constexpr Day k_speed_day = k_monday + Days{86};  ///< squat 8 x 2 at 70 %, then bench 3 x 4 at 82.5 %
inline const std::vector<Action> k_as_planned{Action::run_as_planned};

struct Case {
  explicit Case(Day today = k_heavy_day) : builder(heavy_speed_volume(), today, 12), morning(builder.usual_morning()) {}

  AthleteLog& log() { return builder.log(); }
  /// The check of so many days ago.
  Check& check_of(int days_ago) {
    auto& checks = builder.log().checks;
    return *std::find_if(checks.begin(), checks.end(),
                         [&](const Check& c) { return c.date == builder.today() - Days{days_ago}; });
  }
  void off(int first_days_ago, int last_days_ago, OffReason reason) {
    const Day from = builder.today() - Days{first_days_ago};
    const Day to = builder.today() - Days{last_days_ago};
    log().days_off.push_back({.athlete = "ada", .from = from, .to = to, .reason = reason});
    if (reason == OffReason::match) return;
    std::erase_if(log().sessions, [&](const Session& s) { return from <= s.date && s.date <= to; });
    std::erase_if(log().sets, [&](const SetRow& s) { return from <= s.date && s.date <= to; });
  }
  /// Work of one lift besides the pattern, so many days ago.
  void also_did(int days_ago, const std::string& lift, int sets, int reps, double kg, double rpe) {
    const Day date = builder.today() - Days{days_ago};
    const auto later = [&](const auto& row) { return row.date > date; };
    log().sets.insert(std::find_if(log().sets.begin(), log().sets.end(), later),
                      set_of(date, lift, sets, reps, kg, rpe));
  }

  [[nodiscard]] DayCall day() const { return call_for(builder.with(morning), builder.today(), shipped_models()); }
  [[nodiscard]] LiftCall squat() const { return day().calls.at(0); }
  [[nodiscard]] LiftCall bench() const { return day().calls.at(1); }

  LogBuilder builder;
  Check morning;
};

inline const LimitResult& limit(const LiftCall& call, const std::string& id) {
  const auto found =
      std::find_if(call.limits.begin(), call.limits.end(), [&](const LimitResult& l) { return l.id == id; });
  if (found == call.limits.end()) throw std::out_of_range(id);
  return *found;
}

/// The plan stands and this limit holds.
inline void expect_as_planned(const LiftCall& call, const std::string& id) {
  EXPECT_TRUE(limit(call, id).held) << id;
  EXPECT_EQ(call.actions, k_as_planned) << id;
  EXPECT_EQ(call.call, *call.planned) << id;
}

/// This limit alone is broken and names its measure, its source and what would have kept the plan.
inline void expect_broken(const LiftCall& call, const std::string& id) {
  const LimitResult& l = limit(call, id);
  EXPECT_FALSE(l.held) << id;
  EXPECT_FALSE(l.source.empty()) << id;
  EXPECT_FALSE(l.would_hold_if.empty()) << id;
  EXPECT_NE(call.actions, k_as_planned) << id;
  for (const LimitResult& other : call.limits)
    EXPECT_TRUE(other.held || other.id == id) << other.id << " besides " << id;
}

inline int reps(const LiftCall& call) {
  return call.call.sets * call.call.reps;
}

}  // namespace steelyard::decide
