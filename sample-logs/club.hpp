#pragma once
/// The invented club whose logs generate.cpp writes: people, weekly patterns and what happens to whom.
/// Every name and number is made up; none describes a real person. Percentages are of the training max.
/// source  ranges of heavy, volume and speed days, blocks of three rising weeks and an easy one: common practice

#include <array>
#include <chrono>
#include <string_view>
#include <vector>

namespace club {

using Date = std::chrono::sys_days;
constexpr Date date(int month, unsigned day) {
  return std::chrono::year{2026} / std::chrono::month{static_cast<unsigned>(month)} / std::chrono::day{day};
}

inline constexpr std::string_view k_group = "club";
inline constexpr Date k_first = date(5, 25);     ///< a Monday, 26 weeks before today
inline constexpr Date k_today = date(11, 23);    ///< a Monday; its morning is entered, its sessions are not
inline constexpr Date k_plan_end = date(12, 6);  ///< the last planned day
inline constexpr int k_block_weeks = 4;          ///< the last week of a block is the easy one

inline constexpr std::array<std::string_view, 3> k_lifts{"squat", "bench", "deadlift"};
inline constexpr std::array<std::string_view, 3> k_regions{"quads", "chest", "hamstrings"};  ///< sore after each lift

/// Work without a training max of its own: its weight is a part of a main lift's training max.
struct Accessory {
  std::string_view lift;
  int main_lift;  ///< index in k_lifts
  double part;
};
inline constexpr std::array<Accessory, 5> k_accessories{
    {{"row", 1, 0.60}, {"pulldown", 1, 0.55}, {"curl", 1, 0.27}, {"split-squat", 0, 0.22}, {"leg-press", 0, 1.10}}};

struct Work {
  std::string_view lift;
  std::string_view kind;  ///< empty: an accessory, which is trained but not written into the plan
  int sets;
  int reps;
  double percent;
};
struct TrainingDay {
  int weekday;  ///< 0 = Monday
  std::string_view kind;
  int minutes;
  double rpe;  ///< usual session RPE
  std::vector<Work> work;
};
using Pattern = std::vector<TrainingDay>;

// One line a day.
// clang-format off
inline const Pattern k_heavy_volume_speed{
    {0, "heavy", 75, 7, {{"squat", "heavy", 3, 4, 82.5}, {"bench", "volume", 4, 8, 67.5}, {"row", "", 3, 12, 0}}},
    {2, "volume", 70, 7, {{"squat", "volume", 4, 8, 67.5}, {"bench", "speed", 8, 3, 65}, {"pulldown", "", 3, 12, 0}}},
    {4, "speed", 70, 6.5, {{"squat", "speed", 8, 2, 70}, {"bench", "heavy", 3, 4, 82.5},
                         {"deadlift", "heavy", 3, 3, 82.5}}}};
inline const Pattern k_heavy_speed_volume{
    {0, "heavy", 75, 7, {{"squat", "heavy", 3, 4, 82.5}, {"bench", "volume", 4, 8, 67.5}, {"row", "", 3, 12, 0}}},
    {2, "speed", 55, 5, {{"squat", "speed", 8, 2, 70}, {"bench", "heavy", 3, 4, 82.5}, {"pulldown", "", 3, 12, 0}}},
    {4, "volume", 75, 7, {{"squat", "volume", 4, 8, 67.5}, {"deadlift", "heavy", 3, 4, 80}, {"curl", "", 3, 15, 0}}}};
inline const Pattern k_volume_speed_heavy{
    {0, "volume", 75, 7, {{"squat", "volume", 4, 10, 62.5}, {"bench", "volume", 4, 8, 67.5}, {"curl", "", 3, 15, 0}}},
    {2, "speed", 55, 5, {{"squat", "speed", 8, 2, 70}, {"bench", "speed", 8, 3, 65}, {"row", "", 3, 12, 0}}},
    {4, "heavy", 80, 7, {{"squat", "heavy", 3, 4, 82.5}, {"bench", "heavy", 3, 4, 82.5},
                         {"deadlift", "volume", 3, 8, 65}}}};
inline const Pattern k_upper_lower{
    {0, "heavy", 75, 7, {{"squat", "heavy", 3, 4, 82.5}, {"split-squat", "", 3, 10, 0}}},
    {1, "volume", 60, 6, {{"bench", "volume", 4, 8, 67.5}, {"row", "", 4, 10, 0}}},
    {3, "volume", 75, 7, {{"squat", "volume", 4, 8, 67.5}, {"deadlift", "heavy", 3, 4, 80}}},
    {4, "heavy", 60, 6, {{"bench", "heavy", 3, 4, 82.5}, {"pulldown", "", 4, 10, 0}}}};
inline const Pattern k_four_days{
    {0, "heavy", 75, 7, {{"squat", "heavy", 3, 4, 82.5}, {"bench", "speed", 6, 3, 67.5}}},
    {1, "heavy", 60, 6, {{"bench", "heavy", 3, 4, 82.5}, {"row", "", 4, 10, 0}}},
    {3, "volume", 70, 7, {{"squat", "volume", 4, 8, 67.5}, {"bench", "volume", 3, 8, 67.5}}},
    {5, "heavy", 60, 6.5, {{"deadlift", "heavy", 3, 4, 82.5}, {"curl", "", 3, 12, 0}}}};
inline const Pattern k_three_lifts{
    {0, "heavy", 75, 7, {{"squat", "heavy", 3, 4, 82.5}, {"bench", "speed", 6, 3, 70}, {"row", "", 3, 10, 0}}},
    {2, "heavy", 65, 6, {{"bench", "heavy", 3, 4, 82.5}, {"squat", "volume", 4, 8, 65}}},
    {4, "heavy", 75, 7, {{"deadlift", "heavy", 3, 4, 82.5}, {"bench", "volume", 4, 8, 67.5}}}};
inline const Pattern k_peak{
    {0, "heavy", 80, 7.5, {{"squat", "heavy", 3, 3, 87.5}, {"bench", "speed", 6, 3, 70}}},
    {2, "heavy", 65, 6.5, {{"bench", "heavy", 3, 3, 87.5}, {"squat", "speed", 6, 2, 72.5}}},
    {4, "heavy", 75, 7.5, {{"deadlift", "heavy", 3, 3, 87.5}, {"bench", "volume", 3, 8, 67.5}}}};
/// Meet on 12 December: last heavy deadlift 12 days before it, squat 10, bench 8 (Pritchard 2016, Travis 2021).
inline const Pattern k_taper_first{
    {0, "heavy", 70, 7, {{"squat", "heavy", 3, 2, 90}, {"bench", "speed", 5, 3, 70}}},
    {2, "heavy", 60, 6.5, {{"bench", "heavy", 3, 3, 87.5}, {"deadlift", "speed", 4, 2, 70}}},
    {4, "speed", 50, 5.5, {{"squat", "speed", 4, 2, 72.5}, {"bench", "volume", 3, 6, 70}}}};
inline const Pattern k_taper_second{
    {0, "heavy", 55, 6.5, {{"deadlift", "heavy", 2, 1, 92.5}, {"bench", "speed", 4, 3, 70}}},
    {2, "heavy", 50, 6.5, {{"squat", "heavy", 2, 1, 92.5}, {"bench", "light", 3, 3, 60}}},
    {4, "heavy", 45, 6, {{"bench", "heavy", 2, 1, 92.5}, {"deadlift", "light", 3, 2, 60}}}};
inline const Pattern k_first_day_back{
    {4, "light", 45, 4.5, {{"squat", "light", 3, 5, 65}, {"bench", "light", 3, 5, 65}}}};
inline const Pattern k_tuesday_start{
    {1, "heavy", 75, 7, {{"squat", "heavy", 3, 4, 82.5}, {"bench", "volume", 4, 8, 67.5}}},
    {3, "speed", 55, 5, {{"squat", "speed", 8, 2, 70}, {"bench", "heavy", 3, 4, 82.5}, {"row", "", 3, 12, 0}}},
    {5, "volume", 75, 7, {{"squat", "volume", 4, 8, 67.5}, {"deadlift", "heavy", 3, 4, 80}}},
    {6, "sport", 40, 4, {}}};
inline const Pattern k_beginner{
    {0, "volume", 50, 5, {{"squat", "volume", 3, 8, 67.5}, {"bench", "volume", 3, 8, 67.5}}},
    {2, "volume", 50, 5, {{"squat", "volume", 3, 8, 65}, {"deadlift", "volume", 2, 8, 65}, {"row", "", 3, 10, 0}}},
    {4, "volume", 50, 5, {{"squat", "volume", 3, 8, 67.5}, {"bench", "volume", 3, 8, 67.5}}}};
inline const Pattern k_masters{
    {0, "heavy", 60, 7, {{"squat", "heavy", 3, 3, 82.5}, {"bench", "heavy", 3, 4, 80}}},
    {2, "speed", 50, 5, {{"squat", "speed", 6, 2, 65}, {"row", "", 3, 12, 0}}},
    {5, "volume", 60, 7, {{"squat", "volume", 3, 10, 62.5}, {"bench", "volume", 3, 10, 65},
                         {"deadlift", "light", 3, 5, 62.5}}}};
// clang-format on

/// From `from` on this pattern holds, raised and eased over the block if `waved`.
struct Phase {
  Date from;
  const Pattern* pattern;
  bool waved = true;
};

struct Usual {
  double sleep_hours, sleep_quality, soreness, fatigue, stress, mood;
};

struct Lifter {
  std::string_view code, name;
  int birth_year = 0;
  std::string_view training_since, weekdays, time_zone;
  std::string_view meet_date = {};
  std::array<double, 3> max_kg;  ///< what the lifter can do on the first day, by k_lifts
  double gain_percent_a_week;
  double sleep_effect;  ///< % of strength per hour of sleep above or below usual
  double answers;       ///< part of mornings on which the check is filled in
  Usual usual;
  std::vector<Phase> phases;
  bool pounds = false, same_ticks = false, measures_bar = false, measures_heart = false, weighs = false;
  bool json_checks = false;
  Date first = k_first;
};

inline constexpr std::string_view k_home = "Europe/Berlin";
// clang-format off
inline const std::vector<Lifter> k_people{
    {.code = "hc01", .name = "Wren Tallowby", .birth_year = 1997, .training_since = "2022-03",
     .weekdays = "mon wed fri", .time_zone = k_home,
     .max_kg = {157.5, 108, 187.5}, .gain_percent_a_week = 0.22, .sleep_effect = 0.9, .answers = 0.96,
     .usual = {7.5, 5, 2.2, 2.8, 3, 5},
     .phases = {{k_first, &k_heavy_volume_speed}},
     .measures_bar = true},
    {.code = "hc02", .name = "Odo Braskett", .birth_year = 1994, .training_since = "2019-09",
     .weekdays = "mon tue thu fri sat", .time_zone = k_home,
     .max_kg = {181, 126, 212}, .gain_percent_a_week = 0.15, .sleep_effect = 0.3, .answers = 0.94,
     .usual = {7.2, 5, 2.4, 3, 3, 5},
     .phases = {{k_first, &k_upper_lower}},
     .measures_heart = true},
    {.code = "hc03", .name = "Ilka Fennimor", .birth_year = 1991, .training_since = "2020-01",
     .weekdays = "mon wed fri", .time_zone = k_home,
     .max_kg = {108, 63, 131}, .gain_percent_a_week = 0.15, .sleep_effect = 0.3, .answers = 0.93,
     .usual = {7.8, 5.2, 2.2, 2.6, 2.6, 5.2},
     .phases = {{k_first, &k_volume_speed_heavy}, {date(11, 16), &k_first_day_back, false},
                {date(11, 23), &k_volume_speed_heavy}}},
    {.code = "hc04", .name = "Teo Quillander", .birth_year = 1992, .training_since = "2016-06",
     .weekdays = "mon wed fri", .time_zone = k_home, .meet_date = "2026-12-12",
     .max_kg = {206, 146, 239}, .gain_percent_a_week = 0.16, .sleep_effect = 0.3, .answers = 0.97,
     .usual = {7.4, 5, 2.6, 3.2, 3, 5},
     .phases = {{k_first, &k_three_lifts}, {date(10, 12), &k_peak},
                {date(11, 23), &k_taper_first, false}, {date(11, 30), &k_taper_second, false}},
     .weighs = true, .json_checks = true},
    {.code = "hc05", .name = "Sunna Pellowick", .birth_year = 2001, .training_since = "2022-10",
     .weekdays = "mon wed fri", .time_zone = k_home,
     .max_kg = {113, 66, 136}, .gain_percent_a_week = 0.25, .sleep_effect = 0.4, .answers = 0.94,
     .usual = {7.6, 5, 2.2, 2.7, 3, 5.2},
     .phases = {{k_first, &k_heavy_speed_volume}}},
    {.code = "hc06", .name = "Bram Osterwold", .birth_year = 1988, .training_since = "2015-02",
     .weekdays = "mon tue thu sat", .time_zone = k_home,
     .max_kg = {193, 134, 227}, .gain_percent_a_week = 0.1, .sleep_effect = 0.2, .answers = 0.99,
     .usual = {8, 7, 2, 2, 2, 7},
     .phases = {{k_first, &k_four_days}},
     .same_ticks = true, .measures_bar = true},
    {.code = "hc07", .name = "Jory Kestrinham", .birth_year = 1999, .training_since = "2021-05",
     .weekdays = "tue thu sat sun", .time_zone = k_home,
     .max_kg = {149, 105, 178}, .gain_percent_a_week = 0.2, .sleep_effect = 0.3, .answers = 0.97,
     .usual = {7, 4.6, 2.4, 3, 3.2, 5},
     .phases = {{k_first, &k_tuesday_start}}},
    {.code = "hc08", .name = "Nia Thornbeckle", .birth_year = 2010, .training_since = "2026-08",
     .weekdays = "mon wed fri", .time_zone = k_home,
     .max_kg = {62, 38, 74}, .gain_percent_a_week = 1.1, .sleep_effect = 0.3, .answers = 0.88,
     .usual = {8.3, 5.5, 2, 2.4, 2.8, 5.6},
     .phases = {{date(8, 24), &k_beginner}},
     .first = date(8, 24)},
    {.code = "hc09", .name = "Cass Delwynter", .birth_year = 1973, .training_since = "2012-04",
     .weekdays = "mon wed sat", .time_zone = "America/Denver",
     .max_kg = {144, 99, 174}, .gain_percent_a_week = 0.06, .sleep_effect = 0.4, .answers = 0.95,
     .usual = {6.9, 4.8, 2.6, 3, 3, 5},
     .phases = {{k_first, &k_masters}},
     .pounds = true},
};
// clang-format on

struct Off {
  std::string_view code;
  Date from, to;
  std::string_view reason;
  bool known_before;  ///< then no plan was written for these days
};
inline const std::vector<Off> k_off{
    {"hc02", date(7, 20), date(7, 24), "travel", true},
    {"hc03", date(11, 3), date(11, 18), "holiday", true},
    {"hc05", date(9, 14), date(9, 18), "illness", false},
    {"hc09", date(8, 3), date(8, 9), "holiday", true},
};

struct Period {
  std::string_view code;  ///< empty: the whole group
  Date from, to;
  std::string_view intent, note;
};
inline const std::vector<Period> k_periods{
    {"hc08", date(8, 24), date(10, 4), "ramp", "first weeks with a bar"},
    {"hc04", date(10, 12), date(11, 1), "hard", "last hard block before the meet"},
    {"hc04", date(11, 28), date(12, 12), "taper", "meet on 12 December"},
};

/// Days on which nothing was entered at all, though life went on.
struct Silence {
  std::string_view code;
  Date from, to;
};
inline const std::vector<Silence> k_silences{{"hc07", date(11, 9), date(11, 22)}, {"hc08", k_today, k_today}};

/// A push on what the simulation computes, in the unit of the thing pushed (strength: %).
enum class Pushed { strength, soreness, fatigue, sleep };
struct Push {
  std::string_view code;
  Date from, to;
  Pushed what;
  double amount;
};
inline const std::vector<Push> k_pushes{
    {"hc01", date(10, 14), date(10, 14), Pushed::sleep, -3.0},
    {"hc01", date(10, 14), date(10, 14), Pushed::fatigue, 3.0},
    {"hc01", date(10, 23), date(10, 23), Pushed::soreness, 2.5},
    {"hc01", date(10, 23), date(10, 23), Pushed::fatigue, 2.2},
    {"hc01", date(11, 11), date(11, 11), Pushed::sleep, -2.0},
    {"hc01", date(11, 11), date(11, 11), Pushed::fatigue, 2.0},
    {"hc01", k_today, k_today, Pushed::sleep, 1.3},
    {"hc02", date(11, 20), k_today, Pushed::fatigue, 1.2},
    {"hc02", date(11, 20), k_today, Pushed::soreness, 1.7},
    {"hc03", date(11, 19), k_today, Pushed::strength, -3.0},
    {"hc03", date(11, 21), k_today, Pushed::soreness, 1.0},
    {"hc05", date(9, 13), date(9, 20), Pushed::fatigue, 1.8},
    {"hc05", date(9, 13), date(9, 20), Pushed::sleep, -0.7},
    {"hc05", date(9, 19), date(9, 25), Pushed::strength, -2.0},
    {"hc06", date(11, 9), k_today, Pushed::strength, -4.5},
};

/// More done than planned: minutes times `factor`, `more_sets` of each lift, session RPE up by `rpe`.
struct More {
  std::string_view code;
  Date from, to;
  double factor;
  int more_sets;
  double rpe;
};
inline const std::vector<More> k_more{{"hc02", date(11, 16), date(11, 22), 1.25, 2, 0.5}};

struct Extra {
  std::string_view code;
  Date day;
  TrainingDay session;  ///< its weekday is not read
  std::string_view note;
};
inline const std::vector<Extra> k_extras{
    {"hc01", date(8, 16), {6, "sport", 90, 3, {}}, "hike"},
    {"hc01", date(10, 11), {6, "sport", 75, 3, {}}, "hike"},
    {"hc02", date(11, 21), {5, "sport", 50, 5, {}}, "helped a friend move house"},
    {"hc05",
     date(11, 21),
     {5, "other", 55, 7.5, {{"leg-press", "", 5, 12, 0}, {"split-squat", "", 4, 12, 0}}},
     "leg session with a friend; not planned"},
};

/// What was written into one cell of a morning check instead of the simulated value.
struct Written {
  std::string_view code;
  Date from, to;
  std::string_view column, text;
};
inline const std::vector<Written> k_written{
    {"hc02", date(11, 22), date(11, 22), "sore_regions", "quads:4 low-back:3"},
    {"hc02", k_today, k_today, "sore_regions", "quads:4 low-back:4"},
    {"hc04", date(9, 28), k_today, "pain", "shoulder-left:2:dull"},
    {"hc05", date(9, 14), date(9, 14), "symptoms", "sore-throat runny-nose"},
    {"hc05", date(9, 15), date(9, 16), "symptoms", "runny-nose"},
    {"hc05", date(11, 22), date(11, 22), "sore_regions", "quads:5 glutes:4"},
    {"hc05", date(11, 22), date(11, 22), "soreness", "4"},
    {"hc05", k_today, k_today, "sore_regions", "quads:6 glutes:4"},
    {"hc05", k_today, k_today, "soreness", "5"},
    {"hc07", k_today, k_today, "note", "back on the phone; trained meanwhile but wrote nothing down"},
    {"hc09", date(11, 11), date(11, 11), "sleep_hours", "0"},
    {"hc09", date(11, 11), date(11, 11), "sleep_quality", "6"},
    {"hc09", date(11, 16), date(11, 17), "pain", "knee-right:1:dull"},
    {"hc09", date(11, 18), date(11, 19), "pain", "knee-right:2:dull"},
    {"hc09", date(11, 20), date(11, 21), "pain", "knee-right:3:dull"},
    {"hc09", date(11, 22), k_today, "pain", "knee-right:4:dull"},
};

/// The last set of this lift was typed in pounds with the unit left on kg.
struct Slip {
  std::string_view code;
  Date day;
  std::string_view lift;
};
inline constexpr Slip k_slip{"hc09", date(11, 14), "squat"};

}  // namespace club
