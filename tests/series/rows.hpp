#pragma once
/// Short ways to write invented rows and to give them to the program as a log.

#include <algorithm>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/domain/log.hpp"

namespace steelyard::testing {

/// A Monday.
inline constexpr Day k_monday = day_from_number(20514);  // 2026-03-02

[[nodiscard]] inline Session session(Day date, double minutes, double rpe, std::optional<DayKind> kind = std::nullopt) {
  return {.athlete = "ada", .date = date, .part = 1, .kind = kind, .minutes = minutes, .rpe = rpe, .note = ""};
}

[[nodiscard]] inline Check check(Day date) {
  Check c;
  c.athlete = "ada";
  c.date = date;
  return c;
}

[[nodiscard]] inline PlanRow planned(Day date, DayKind kind = DayKind::heavy, std::string lift = "squat") {
  return {.athlete = "ada", .date = date, .lift = std::move(lift), .kind = kind, .note = ""};
}

[[nodiscard]] inline SetRow set_of(Day date, std::string lift, int sets, int reps, std::optional<double> kg,
                                   std::optional<double> rpe = std::nullopt) {
  SetRow row;
  row.athlete = "ada";
  row.date = date;
  row.part = 1;
  row.lift = std::move(lift);
  row.sets = sets;
  row.reps = reps;
  row.weight_kg = kg;
  row.rpe = rpe;
  return row;
}

/// One load a day from `first` on, as an athlete would enter it: a session of RPE 1 and as many minutes, or on a day
/// without load the morning check that makes it a known rest day. unit  AU
[[nodiscard]] inline AthleteLog log_of(std::span<const double> loads, Day first = k_monday) {
  AthleteLog log;
  Day date = first;
  for (const double load : loads) {
    if (load > 0) {
      log.sessions.push_back(session(date, load, 1));
    } else {
      log.checks.push_back(check(date));
    }
    date += Days{1};
  }
  return log;
}

}  // namespace steelyard::testing
