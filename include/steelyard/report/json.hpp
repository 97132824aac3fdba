#pragma once
/// Answers as JSON: a writer with a fixed order of keys, and one function for each kind of answer.
/// definition  RFC 8259. Numbers are the shortest text that reads back as the same double. Absent = null, only for a
///             value handed over as std::optional. Dates are "YYYY-MM-DD". Every answer starts with "schema": 1.
/// domain      Text may be anything: invalid UTF-8 becomes U+FFFD, control characters are escaped.
/// errors      std::domain_error for a bare double that is not finite: a broken invariant, JSON has no such number

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/domain/call.hpp"
#include "steelyard/domain/figures.hpp"
#include "steelyard/domain/week.hpp"

namespace steelyard::report {

enum class Layout { compact, pretty };  ///< pretty: one element a line, two blanks a level

/// Appends to a string that the caller may empty between two calls (a stream of chunks).
class JsonWriter {
 public:
  explicit JsonWriter(std::string& sink, Layout layout = Layout::compact)
      : sink_(sink), pretty_(layout == Layout::pretty) {}

  JsonWriter& begin_object() { return open('{'); }
  JsonWriter& end_object() { return close('}'); }
  JsonWriter& begin_array() { return open('['); }
  JsonWriter& end_array() { return close(']'); }
  JsonWriter& key(std::string_view name);

  JsonWriter& value(std::string_view text);
  JsonWriter& value(const char* text) { return value(std::string_view(text)); }
  JsonWriter& value(const std::string& text) { return value(std::string_view(text)); }
  JsonWriter& value(double number);
  JsonWriter& value(int number) { return value(static_cast<std::int64_t>(number)); }
  JsonWriter& value(std::int64_t number);
  JsonWriter& value(bool truth);
  JsonWriter& value(Day day);
  JsonWriter& null();
  /// JSON that is already written, put in as it is.
  JsonWriter& raw(std::string_view json);

  template <class T>
  JsonWriter& value(const std::optional<T>& maybe) {
    return maybe ? value(*maybe) : null();
  }
  template <class T>
  JsonWriter& value(const std::vector<T>& list) {
    begin_array();
    for (const T& element : list) value(element);
    return end_array();
  }
  template <class T>
  JsonWriter& field(std::string_view name, const T& content) {
    return key(name).value(content);
  }

 private:
  JsonWriter& open(char bracket);
  JsonWriter& close(char bracket);
  void separate();
  void new_line();

  std::string& sink_;
  bool pretty_;
  bool after_key_ = false;
  bool first_ = true;  ///< nothing stands yet between the innermost brackets
  int depth_ = 0;
};

[[nodiscard]] std::string today_json(const DayCall& call, Layout layout = Layout::compact);
[[nodiscard]] std::string bar_json(const BarDecision& decision);
[[nodiscard]] std::string compare_json(const Comparison& comparison, Layout layout = Layout::compact);
[[nodiscard]] std::string week_json(const WeekReview& review, Layout layout = Layout::compact);
[[nodiscard]] std::string loads_json(const LoadReport& report, Layout layout = Layout::compact);
[[nodiscard]] std::string questions_json(std::span<const Question> questions, Layout layout = Layout::compact);

/// `loads --all`, athlete by athlete: the sink may be written out and emptied after every add.
class LoadsAllJson {
 public:
  explicit LoadsAllJson(std::string& sink, Layout layout = Layout::compact);
  void add(const LoadReport& report);
  void finish();

 private:
  JsonWriter writer_;
};
[[nodiscard]] std::string loads_all_json(std::span<const LoadReport> reports, Layout layout = Layout::compact);

[[nodiscard]] std::string_view status_word(DayStatus status);  ///< "trained", "open", "rest", "unlogged"
[[nodiscard]] std::string_view state_word(RatioState state);   ///< "too-short", "known", "uncertain"

}  // namespace steelyard::report
