#pragma once
/// Random rows and entries over few athletes, days and lifts, so that keys meet often. All invented.

#include <algorithm>
#include <random>

#include "support.hpp"

namespace steelyard::store {

class RandomLog {
 public:
  explicit RandomLog(unsigned seed) : engine_(seed) {}

  int below(int n) { return std::uniform_int_distribution<int>(0, n - 1)(engine_); }
  bool once_in(int n) { return below(n) == 0; }
  template <class T>
  const T& one_of(const std::vector<T>& all) {
    return all[static_cast<std::size_t>(below(static_cast<int>(all.size())))];
  }

  static std::vector<std::string> codes() { return {"ada", "bo", "cy"}; }
  std::string code() { return one_of(codes()); }
  std::string lift() { return one_of<std::string>({"squat", "bench", "row"}); }
  Day date() { return day("2026-01-01") + Days(below(6)); }
  std::optional<int> part() { return once_in(2) ? std::nullopt : std::optional<int>(1 + below(2)); }
  std::string note() { return once_in(3) ? "note " + std::to_string(below(3)) : ""; }

  Record row() {
    const std::string a = code();
    const Day d = date();
    switch (below(10)) {
      case 0: {
        Athlete changed = athlete(a, one_of<std::string>({"", "club", "team"}));
        changed.name = note();
        return changed;
      }
      case 1:
        return TrainingMax{.athlete = a, .lift = lift(), .from = d, .training_max_kg = 100.0 + below(3)};
      case 2:
        return PlanRow{.athlete = a, .date = d, .lift = lift(), .percent = 70.0 + below(3)};
      case 3: {
        const bool whole_group = once_in(2);
        return Period{.athlete = whole_group ? "" : a,
                      .group = whole_group ? "club" : "",
                      .from = d,
                      .to = d + Days(below(4)),
                      .note = note()};
      }
      case 4:
        return DaysOff{.athlete = a, .from = d, .to = d + Days(below(3)), .reason = OffReason::travel};
      case 5:
        return Session{.athlete = a, .date = d, .part = part(), .minutes = 50.0 + below(3), .note = note()};
      case 6:
        return SetRow{.athlete = a, .date = d, .part = part(), .lift = lift(), .reps = 5, .weight_kg = 90.0 + below(3)};
      case 7:
        return Check{.athlete = a, .date = d, .sleep_hours = 6.0 + below(3), .note = note()};
      case 8:
        return BarSpeed{
            .athlete = a, .date = d, .lift = lift(), .percent = 60.0 + below(2), .speed_m_s = 0.7 + 0.01 * below(3)};
      default:
        return Clearance{.athlete = a, .date = d, .caution = lift(), .note = note()};
    }
  }

  std::vector<Record> rows(int count) {
    std::vector<Record> all;
    for (int i = 0; i < count; ++i) all.push_back(row());
    return all;
  }

  std::mt19937& engine() { return engine_; }

 private:
  std::mt19937 engine_;
};

/// Everything a reader of the store can see, as text.
inline std::string picture(Store& store) {
  std::string text;
  const auto add = [&](const auto& rows) {
    for (const auto& row : rows) {
      text += print_json_line(row);
      if constexpr (requires { row.position; }) text += " at " + std::to_string(row.position);
      text += '\n';
    }
  };
  for (const auto& a : must(store.athletes())) {
    const auto log = whole_log(store, a.athlete);
    add(std::vector{log.athlete});
    add(log.maxes);
    add(log.plan);
    add(log.periods);
    add(log.days_off);
    add(log.sessions);
    add(log.sets);
    add(log.checks);
    add(log.bar);
    add(log.clearances);
    for (const auto& q : log.questions) text += "question " + std::to_string(q.id) + " " + q.doubt + "\n";
    for (const auto& h : must(store.history(a.athlete))) {
      text += "entry " + std::to_string(h.replaced_by.id) + " changed " + print_json_line(h.before) + "\n";
    }
  }
  return text;
}

}  // namespace steelyard::store
