#include "steelyard/report/json.hpp"

#include <fmt/format.h>

#include <cmath>
#include <iterator>
#include <stdexcept>

#include "report/digits.hpp"
#include "report/utf8.hpp"

namespace steelyard::report {
namespace {

void append_escaped(std::string& out, std::string_view text) {
  for (std::size_t i = 0; i < text.size();) {
    const CodePoint c = decode(text, i);
    switch (c.valid ? c.point : 0xFFFDU) {
      case U'"':
        out += "\\\"";
        break;
      case U'\\':
        out += "\\\\";
        break;
      case U'\n':
        out += "\\n";
        break;
      case U'\r':
        out += "\\r";
        break;
      case U'\t':
        out += "\\t";
        break;
      default:
        if (!c.valid) {
          out += "\xEF\xBF\xBD";
        } else if (c.point < 0x20 ||
                   (c.point >= 0x7F && c.point < 0xA0)) {  // a terminal obeys these, so none stays bare
          fmt::format_to(std::back_inserter(out), "\\u{:04x}", static_cast<unsigned>(c.point));
        } else {
          out += text.substr(i, c.length);
        }
    }
    i += c.length;
  }
}

}  // namespace

void JsonWriter::new_line() {
  if (!pretty_) return;
  sink_ += '\n';
  sink_.append(static_cast<std::size_t>(depth_) * 2, ' ');
}

void JsonWriter::separate() {
  if (after_key_) {
    after_key_ = false;
    return;
  }
  if (!first_) sink_ += ',';
  if (depth_ > 0) new_line();
  first_ = false;
}

JsonWriter& JsonWriter::open(char bracket) {
  separate();
  sink_ += bracket;
  ++depth_;
  first_ = true;
  return *this;
}

JsonWriter& JsonWriter::close(char bracket) {
  --depth_;
  if (!first_) new_line();
  sink_ += bracket;
  first_ = false;
  return *this;
}

JsonWriter& JsonWriter::key(std::string_view name) {
  value(name);
  sink_ += pretty_ ? ": " : ":";
  after_key_ = true;
  return *this;
}

JsonWriter& JsonWriter::value(std::string_view text) {
  separate();
  sink_ += '"';
  append_escaped(sink_, text);
  sink_ += '"';
  return *this;
}

JsonWriter& JsonWriter::value(double number) {
  if (!std::isfinite(number)) throw std::domain_error("a figure of the answer is not a finite number");
  separate();
  append_number(sink_, number == 0 ? 0.0 : number);
  return *this;
}

JsonWriter& JsonWriter::value(std::int64_t number) {
  separate();
  append_number(sink_, number);
  return *this;
}

JsonWriter& JsonWriter::value(bool truth) {
  return raw(truth ? "true" : "false");
}

JsonWriter& JsonWriter::value(Day day) {
  return value(format_day(day));
}

JsonWriter& JsonWriter::null() {
  return raw("null");
}

JsonWriter& JsonWriter::raw(std::string_view json) {
  separate();
  sink_ += json;
  return *this;
}

std::string bar_json(const BarDecision& decision) {
  std::string json;
  JsonWriter writer(json);
  writer.begin_object().field("schema", 1).field("say", decision.say).field("weight_kg", decision.weight_kg);
  writer.field("plates_per_side", decision.plates_per_side).end_object();
  return json;
}

}  // namespace steelyard::report
