#pragma once
/// The columns of every kind of row, described once: names, ranges, units and which of them are required or form the
/// key. Reading files, storing, exporting and showing history all walk these descriptions, so they cannot disagree.
///
/// visit_fields(visitor, record) calls, for each column in the order of the contract:
///   visitor(Column, member&)
/// with the member as one of: std::string, Day, double, int, optional of int/double/Day/enum, an enum,
/// WeekdaySet, vector<double>, vector<std::string>, vector<SoreRegion>, vector<PainEntry>.
/// `record` may be const; the members are then const too.

#include <concepts>
#include <limits>
#include <string_view>
#include <type_traits>

#include "steelyard/domain/records.hpp"

namespace steelyard {

/// Role of a column in its row.
enum class Role {
  key,       ///< required and part of the row's key
  required,  ///< required
  optional,  ///< may be blank = not recorded
};

/// How a text column is checked and a number is converted.
enum class Form {
  plain,         ///< numbers, dates, enum words, free text
  code,          ///< an athlete's code
  lift,          ///< a lift's code
  month,         ///< YYYY-MM
  weight,        ///< kilograms, typed in the row's `unit`, else in the athlete's
  zone,          ///< time-zone name
  symptom_list,  ///< words of symptom_codes()
  share_list,    ///< words of share_words()
};

struct Column {
  std::string_view name;
  Role role = Role::optional;
  double low = -std::numeric_limits<double>::infinity();
  double high = std::numeric_limits<double>::infinity();
  bool low_is_open = false;  ///< true: the lower edge itself is not allowed
  Form form = Form::plain;
  std::string_view unit = {};  ///< of the number in the file
};

namespace columns {
[[nodiscard]] constexpr Column key(std::string_view name, Form form = Form::plain) {
  return {.name = name, .role = Role::key, .form = form};
}
[[nodiscard]] constexpr Column required(std::string_view name, double low, double high, std::string_view unit = {}) {
  return {.name = name, .role = Role::required, .low = low, .high = high, .unit = unit};
}
[[nodiscard]] constexpr Column number(std::string_view name, double low, double high, std::string_view unit = {}) {
  return {.name = name, .low = low, .high = high, .unit = unit};
}
[[nodiscard]] constexpr Column text(std::string_view name, Form form = Form::plain) {
  return {.name = name, .form = form};
}
[[nodiscard]] constexpr Column item(std::string_view name) {
  return number(name, 1, 7);
}
inline constexpr Column minutes{.name = "minutes", .low = 0, .high = 1440, .low_is_open = true, .unit = "min"};
inline constexpr Column weight{.name = "weight", .low = 0, .high = 1000, .form = Form::weight, .unit = "kg"};
}  // namespace columns

template <class V, class R>
requires std::same_as<std::remove_const_t<R>, Athlete>
void visit_fields(V&& visit, R& r) {
  using namespace columns;
  visit(key("athlete", Form::code), r.athlete);
  visit(text("name"), r.name);
  visit(number("birth_year", 1900, 2100), r.birth_year);
  visit(text("training_since", Form::month), r.training_since);
  visit(text("units"), r.units);
  visit(text("weekdays"), r.weekdays);
  visit(text("time_zone", Form::zone), r.time_zone);
  visit(text("meet_date"), r.meet_date);
  visit(text("group"), r.group);
  visit(number("bar_kg", 0, 100, "kg"), r.bar_kg);
  visit(number("plates_kg", 0.1, 100, "kg"), r.plates_kg);
  visit(text("share", Form::share_list), r.share);
}

template <class V, class R>
requires std::same_as<std::remove_const_t<R>, TrainingMax>
void visit_fields(V&& visit, R& r) {
  using namespace columns;
  visit(key("athlete", Form::code), r.athlete);
  visit(key("lift", Form::lift), r.lift);
  visit(key("from"), r.from);
  visit(Column{.name = "training_max",
               .role = Role::required,
               .low = 0,
               .high = 1000,
               .low_is_open = true,
               .form = Form::weight,
               .unit = "kg"},
        r.training_max_kg);
  visit(text("unit"), r.unit);
}

template <class V, class R>
requires std::same_as<std::remove_const_t<R>, PlanRow>
void visit_fields(V&& visit, R& r) {
  using namespace columns;
  visit(key("athlete", Form::code), r.athlete);
  visit(key("date"), r.date);
  visit(key("lift", Form::lift), r.lift);
  visit(Column{.name = "kind", .role = Role::required}, r.kind);
  visit(number("sets", 1, 50), r.sets);
  visit(number("reps", 0, 100), r.reps);
  visit(number("percent", 0, 150, "%"), r.percent);
  visit(columns::minutes, r.minutes);
  visit(text("note"), r.note);
}

template <class V, class R>
requires std::same_as<std::remove_const_t<R>, Period>
void visit_fields(V&& visit, R& r) {
  using namespace columns;
  visit(Column{.name = "athlete", .role = Role::optional, .form = Form::code}, r.athlete);  // this or group
  visit(text("group"), r.group);
  visit(key("from"), r.from);
  visit(Column{.name = "to", .role = Role::required}, r.to);
  visit(Column{.name = "intent", .role = Role::required}, r.intent);
  visit(text("note"), r.note);
}

template <class V, class R>
requires std::same_as<std::remove_const_t<R>, DaysOff>
void visit_fields(V&& visit, R& r) {
  using namespace columns;
  visit(key("athlete", Form::code), r.athlete);
  visit(key("from"), r.from);
  visit(Column{.name = "to", .role = Role::required}, r.to);
  visit(Column{.name = "reason", .role = Role::required}, r.reason);
}

template <class V, class R>
requires std::same_as<std::remove_const_t<R>, Session>
void visit_fields(V&& visit, R& r) {
  using namespace columns;
  visit(key("athlete", Form::code), r.athlete);
  visit(key("date"), r.date);
  visit(number("part", 1, 20), r.part);
  visit(text("kind"), r.kind);
  visit(columns::minutes, r.minutes);
  visit(number("rpe", 0, 10), r.rpe);
  visit(number("tonnage", 0, 1000000, "kg"), r.tonnage_kg);
  visit(text("note"), r.note);
}

template <class V, class R>
requires std::same_as<std::remove_const_t<R>, SetRow>
void visit_fields(V&& visit, R& r) {
  using namespace columns;
  visit(key("athlete", Form::code), r.athlete);
  visit(key("date"), r.date);
  visit(number("part", 1, 20), r.part);
  visit(Column{.name = "lift", .role = Role::required, .form = Form::lift}, r.lift);
  visit(number("sets", 1, 50), r.sets);
  visit(required("reps", 0, 100), r.reps);
  visit(weight, r.weight_kg);
  visit(text("unit"), r.unit);
  visit(number("percent", 0, 150, "%"), r.percent);
  visit(number("rpe", 1, 10), r.rpe);
  visit(number("speed", 0, 3, "m/s"), r.speed_m_s);
  visit(number("missed", 0, 100), r.missed);
}

template <class V, class R>
requires std::same_as<std::remove_const_t<R>, Check>
void visit_fields(V&& visit, R& r) {
  using namespace columns;
  visit(key("athlete", Form::code), r.athlete);
  visit(key("date"), r.date);
  visit(number("sleep_hours", 0, 24, "h"), r.sleep_hours);
  visit(item("sleep_quality"), r.sleep_quality);
  visit(item("soreness"), r.soreness);
  visit(item("fatigue"), r.fatigue);
  visit(item("stress"), r.stress);
  visit(item("mood"), r.mood);
  visit(item("sore_regions"), r.sore_regions);
  visit(number("pain", 0, 10), r.pain);
  visit(text("symptoms", Form::symptom_list), r.symptoms);
  visit(number("resting_hr", 20, 250, "1/min"), r.resting_hr);
  visit(number("hrv", 1, 400, "ms"), r.hrv_ms);
  visit(number("body_mass", 20, 350, "kg"), r.body_mass_kg);
  visit(number("jump", 1, 150, "cm"), r.jump_cm);
  visit(number("minutes_available", 0, 1440, "min"), r.minutes_available);
  visit(text("note"), r.note);
}

template <class V, class R>
requires std::same_as<std::remove_const_t<R>, BarSpeed>
void visit_fields(V&& visit, R& r) {
  using namespace columns;
  visit(key("athlete", Form::code), r.athlete);
  visit(key("date"), r.date);
  visit(key("lift", Form::lift), r.lift);
  visit(Column{.name = "percent", .role = Role::key, .low = 0, .high = 150, .unit = "%"}, r.percent);
  visit(required("speed", 0, 3, "m/s"), r.speed_m_s);
}

template <class V, class R>
requires std::same_as<std::remove_const_t<R>, Clearance>
void visit_fields(V&& visit, R& r) {
  using namespace columns;
  visit(key("athlete", Form::code), r.athlete);
  visit(key("date"), r.date);
  visit(key("caution"), r.caution);
  visit(Column{.name = "by", .role = Role::required}, r.by);
  visit(text("note"), r.note);
}

}  // namespace steelyard
