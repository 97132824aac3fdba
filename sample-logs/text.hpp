#pragma once
/// Numbers, days and rows as text, and random numbers that are the same on every platform.

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "club.hpp"

namespace club {

/// splitmix64 (Steele, Lea, Flood 2014). One stream a lifter and day, so that changing one day leaves the others alone.
class Random {
 public:
  Random(std::size_t lifter, long day) : state_(lifter * 1'000'003U + static_cast<std::uint64_t>(day)) {}
  double uniform() {
    state_ += 0x9E3779B97F4A7C15U;
    std::uint64_t z = state_;
    z = (z ^ (z >> 30U)) * 0xBF58476D1CE4E5B9U;
    z = (z ^ (z >> 27U)) * 0x94D049BB133111EBU;
    return static_cast<double>((z ^ (z >> 31U)) >> 11U) * 0x1.0p-53;
  }
  /// Sum of twelve uniforms: mean 0, SD 1, and no library function whose last digit differs between platforms.
  double normal() {
    double sum = -6;
    for (int i = 0; i < 12; ++i) sum += uniform();
    return sum;
  }

 private:
  std::uint64_t state_;
};

inline double round_to(double value, double step) {
  return std::floor(value / step + 0.5) * step;
}

/// At most two decimals, no trailing zeros, never a locale's comma.
inline std::string text_of(double value) {
  const long hundredths = std::lround(value * 100);
  std::string text = std::to_string(hundredths / 100);
  if (hundredths % 100 == 0) return text;
  text += '.' + std::to_string(hundredths % 100 / 10);
  if (hundredths % 10 != 0) text += std::to_string(hundredths % 10);
  return text;
}

inline std::string text_of(Date day) {
  const std::chrono::year_month_day parts{day};
  const auto two = [](unsigned n) { return (n < 10 ? "-0" : "-") + std::to_string(n); };
  return std::to_string(static_cast<int>(parts.year())) + two(static_cast<unsigned>(parts.month())) +
         two(static_cast<unsigned>(parts.day()));
}

/// File name -> its text.
class Files {
 public:
  Files() {
    row("athletes.csv", {"athlete", "name", "birth_year", "training_since", "units", "weekdays", "time_zone",
                         "meet_date", "group", "bar_kg", "plates_kg"});
    row("maxes.csv", {"athlete", "lift", "from", "training_max", "unit"});
    row("plan.csv", {"athlete", "date", "lift", "kind", "sets", "reps", "percent", "minutes"});
    row("periods.csv", {"athlete", "group", "from", "to", "intent", "note"});
    row("days-off.csv", {"athlete", "from", "to", "reason"});
    row("sessions.csv", {"athlete", "date", "part", "kind", "minutes", "rpe", "note"});
    row("sets.csv", {"athlete", "date", "part", "lift", "sets", "reps", "weight", "unit", "rpe", "missed"});
    row("checks.csv", k_check_columns);
    row("bar.csv", {"athlete", "date", "lift", "percent", "speed"});
  }
  void row(const std::string& file, const std::vector<std::string>& cells) {
    std::string& text = texts_[file];
    for (const auto& cell : cells) text += (&cell == &cells.front() ? "" : ",") + cell;
    text += '\n';
  }
  void json_check(const std::string& file, const std::vector<std::string>& cells) {
    std::string line = R"({"entry":"check")";
    for (std::size_t i = 0; i < cells.size(); ++i) {
      if (cells[i].empty()) continue;
      const bool is_text = cells[i].find_first_not_of("0123456789.") != std::string::npos;
      const std::string quote = is_text ? "\"" : "";
      line += ",\"" + k_check_columns[i] + "\":" + quote + cells[i] + quote;
    }
    texts_[file] += line + "}\n";
  }
  [[nodiscard]] const std::map<std::string, std::string>& texts() const { return texts_; }

  inline static const std::vector<std::string> k_check_columns{
      "athlete",      "date", "sleep_hours", "sleep_quality", "soreness", "fatigue",   "stress", "mood",
      "sore_regions", "pain", "symptoms",    "resting_hr",    "hrv",      "body_mass", "note"};

 private:
  std::map<std::string, std::string> texts_;
};

}  // namespace club
