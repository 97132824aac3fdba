#pragma once
/// What a person enters: one plain struct a kind of row, as files carry it and stores keep it.
/// unit        in the member's name; weights are kilograms whatever was typed (1 lb = 0.45359237 kg exactly)
/// definition  an empty optional means "not recorded", which is never the same as zero
/// domain      the ranges are in fields.hpp, one place for reading, storing and printing

#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "steelyard/base/day.hpp"

namespace steelyard {

enum class Unit { kg, lb };
/// Kind of a day or of one lift's work on it. sport and other are sessions without barbell work.
enum class DayKind { heavy, volume, speed, light, rest, sport, other };
enum class OffReason { planned, holiday, illness, injury, travel, match, missed };
enum class Intent { hard, easy, ramp, camp, taper };
enum class PainKind { dull, sharp, numb, pressure, burning, radiating };
enum class ClearedBy { practitioner, mistake };

/// Bit i = weekday i, 0 = Monday.
struct WeekdaySet {
  unsigned bits = 0;
  [[nodiscard]] bool has(int index) const { return ((bits >> static_cast<unsigned>(index)) & 1U) != 0; }
  void add(int index) { bits |= 1U << static_cast<unsigned>(index); }
  [[nodiscard]] bool empty() const { return bits == 0; }
  friend bool operator==(const WeekdaySet&, const WeekdaySet&) = default;
};

/// Soreness of one region, 1-7, 7 = worst. The region may carry "-left" or "-right".
struct SoreRegion {
  std::string region;
  double level = 0;
  friend bool operator==(const SoreRegion&, const SoreRegion&) = default;
};

/// Pain at one site, 0-10 (numeric rating), 0 = gone.
struct PainEntry {
  std::string site;
  double level = 0;
  PainKind kind = PainKind::dull;
  friend bool operator==(const PainEntry&, const PainEntry&) = default;
};

struct Athlete {
  std::string athlete;  ///< code: 1-64 letters, digits, '-', '_', '.'
  std::string name;
  std::optional<int> birth_year;
  std::optional<Day> training_since;  ///< first day of the month
  std::optional<Unit> units;          ///< unit of weights without one, and of what is shown; none = kg
  WeekdaySet weekdays;                ///< days on which training is possible; empty = not said
  std::string time_zone;              ///< name of the zone database; empty = UTC
  std::optional<Day> meet_date;
  std::string group;
  std::optional<double> bar_kg;
  std::vector<double> plates_kg;   ///< plates present, each in enough pairs
  std::vector<std::string> share;  ///< what the coach sees; empty = the default of the contract
  friend bool operator==(const Athlete&, const Athlete&) = default;
};

struct TrainingMax {
  std::string athlete;
  std::string lift;
  Day from{};
  double training_max_kg = 0;
  std::optional<Unit> unit;  ///< as typed
  friend bool operator==(const TrainingMax&, const TrainingMax&) = default;
};

/// One lift of one planned day. The day's main lift is the row with minutes, else the first.
struct PlanRow {
  std::string athlete;
  Day date{};
  std::string lift;
  DayKind kind = DayKind::heavy;  ///< of that lift itself
  std::optional<int> sets;
  std::optional<int> reps;
  std::optional<double> percent;  ///< of the training max
  std::optional<double> minutes;  ///< the whole session, on the day's first row
  std::string note;
  int position = 0;  ///< order on the day as entered, from 1; 0 = not yet given
  friend bool operator==(const PlanRow&, const PlanRow&) = default;
};

/// Declared intent for an athlete or a whole group: a planned high or low does not alarm.
struct Period {
  std::string athlete;  ///< athlete's code, or empty
  std::string group;    ///< group's name, or empty
  Day from{};
  Day to{};
  Intent intent = Intent::hard;
  std::string note;
  friend bool operator==(const Period&, const Period&) = default;
};

struct DaysOff {
  std::string athlete;
  Day from{};
  Day to{};  ///< inclusive
  OffReason reason = OffReason::planned;
  friend bool operator==(const DaysOff&, const DaysOff&) = default;
};

struct Session {
  std::string athlete;
  Day date{};
  std::optional<int> part;  ///< 1, 2 .. on one day; none = not said (see Store::put)
  std::optional<DayKind> kind;
  std::optional<double> minutes;
  std::optional<double> rpe;  ///< CR-10 of the whole session, not of a set
  std::optional<double> tonnage_kg;
  std::string note;
  friend bool operator==(const Session&, const Session&) = default;
};

struct SetRow {
  std::string athlete;
  Day date{};
  std::optional<int> part;
  std::string lift;
  int sets = 1;  ///< number of identical sets
  int reps = 0;  ///< repetitions attempted in each
  std::optional<double> weight_kg;
  std::optional<Unit> unit;  ///< as typed
  std::optional<double> percent;
  std::optional<double> rpe;        ///< of the set: 10 - repetitions in reserve
  std::optional<double> speed_m_s;  ///< mean bar speed
  std::optional<int> missed;        ///< of the last set's repetitions, how many were not done
  int position = 0;                 ///< order within the part, from 1; 0 = not yet given
  friend bool operator==(const SetRow&, const SetRow&) = default;
};

/// A morning check. Items are 1-7; 7 = best for sleep_quality and mood, worst for the others.
struct Check {
  std::string athlete;
  Day date{};
  std::optional<double> sleep_hours;
  std::optional<double> sleep_quality;
  std::optional<double> soreness;
  std::optional<double> fatigue;
  std::optional<double> stress;
  std::optional<double> mood;
  std::vector<SoreRegion> sore_regions;
  std::vector<PainEntry> pain;
  std::vector<std::string> symptoms;  ///< codes of vocabulary.hpp
  std::optional<double> resting_hr;   ///< 1/min
  std::optional<double> hrv_ms;       ///< rMSSD
  std::optional<double> body_mass_kg;
  std::optional<double> jump_cm;
  std::optional<double> minutes_available;
  std::string note;
  friend bool operator==(const Check&, const Check&) = default;
};

/// Speed of the first warm-up set at a fixed percent of the training max.
struct BarSpeed {
  std::string athlete;
  Day date{};
  std::string lift;
  double percent = 0;
  double speed_m_s = 0;
  friend bool operator==(const BarSpeed&, const BarSpeed&) = default;
};

/// A statement of the user that a caution is over; not a medical record.
struct Clearance {
  std::string athlete;
  Day date{};
  std::string caution;
  ClearedBy by = ClearedBy::practitioner;
  std::string note;
  friend bool operator==(const Clearance&, const Clearance&) = default;
};

/// Kinds of row, in the order in which a folder is read. The order of the alternatives equals this enum.
enum class RecordKind { athletes, maxes, plan, periods, days_off, sessions, sets, checks, bar, clearances };
inline constexpr int k_record_kinds = 10;

using Record =
    std::variant<Athlete, TrainingMax, PlanRow, Period, DaysOff, Session, SetRow, Check, BarSpeed, Clearance>;

[[nodiscard]] inline RecordKind kind_of(const Record& record) {
  return static_cast<RecordKind>(record.index());
}

}  // namespace steelyard
