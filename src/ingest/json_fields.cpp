#include "ingest/json_fields.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <boost/json/basic_parser_impl.hpp>
#include <exception>

#include "steelyard/base/text.hpp"

namespace steelyard::ingest {
namespace {

namespace json = boost::json;

constexpr std::string_view k_allowed = "allowed: a number, a text, null, or for a list an array of them";

/// Takes the parser's events. Answers false with a reason where the object is not a flat one.
struct Collector {
  using Code = json::error_code;
  static constexpr std::size_t max_object_size = std::size_t(-1);
  static constexpr std::size_t max_array_size = std::size_t(-1);
  static constexpr std::size_t max_key_size = std::size_t(-1);
  static constexpr std::size_t max_string_size = std::size_t(-1);

  std::vector<JsonField> fields;
  std::string refusal;  ///< why the object is not acceptable although it is JSON
  std::string part;     ///< of a key, text or number that comes in pieces
  bool in_object = false;
  bool in_list = false;

  bool refuse(std::string why, Code& ec) {
    refusal = std::move(why);
    ec = json::error::extra_data;  // any code stops the parser; the reason is in refusal
    return false;
  }
  bool value(std::string_view text, Code& ec) {
    if (!in_object) return refuse("this is not an object; allowed: one object {...} a line", ec);
    auto& field = fields.back();
    if (in_list && !field.text.empty()) field.text += ' ';
    field.text += part;
    field.text += text;
    part.clear();
    return true;
  }

  bool on_document_begin(Code&) { return true; }
  bool on_document_end(Code&) { return true; }
  bool on_object_begin(Code& ec) {
    if (in_object) return refuse(fmt::format("an object is not allowed here; {}", k_allowed), ec);
    in_object = true;
    return true;
  }
  bool on_object_end(std::size_t, Code&) { return true; }
  bool on_array_begin(Code& ec) {
    if (!in_object) return refuse("this is not an object; allowed: one object {...} a line", ec);
    if (in_list) return refuse(fmt::format("an array in an array is not allowed here; {}", k_allowed), ec);
    in_list = true;
    fields.back().is_list = true;
    return true;
  }
  bool on_array_end(std::size_t, Code&) {
    in_list = false;
    return true;
  }
  bool on_key_part(json::string_view text, std::size_t, Code&) {
    part += text;
    return true;
  }
  bool on_key(json::string_view text, std::size_t, Code& ec) {
    part += text;
    const bool twice = std::any_of(fields.begin(), fields.end(), [&](const JsonField& f) { return f.name == part; });
    fields.push_back({std::move(part), {}, false});
    part.clear();
    return !twice || refuse("this field is there twice; allowed: once", ec);
  }
  bool on_string_part(json::string_view text, std::size_t, Code&) {
    part += text;
    return true;
  }
  bool on_string(json::string_view text, std::size_t, Code& ec) { return value(text, ec); }
  bool on_number_part(json::string_view text, Code&) {
    part += text;
    return true;
  }
  bool on_int64(std::int64_t, json::string_view text, Code& ec) { return value(text, ec); }
  bool on_uint64(std::uint64_t, json::string_view text, Code& ec) { return value(text, ec); }
  bool on_double(double, json::string_view text, Code& ec) { return value(text, ec); }
  bool on_bool(bool truth, Code& ec) { return refuse(fmt::format("{} is not allowed here; {}", truth, k_allowed), ec); }
  bool on_null(Code& ec) {
    if (in_list) return refuse("null is not allowed in an array; leave it out", ec);
    return value({}, ec);
  }
  bool on_comment_part(json::string_view, Code&) { return true; }
  bool on_comment(json::string_view, Code&) { return true; }
};

auto broken(std::size_t offset) {
  return fail(Errc::bad_data,
              "this is not JSON from here on; allowed: one object a line, such as "
              R"({"entry":"session","athlete":"anna","date":"2026-11-23","minutes":75,"rpe":7})",
              fmt::format("{}", offset + 1));
}

}  // namespace

Result<std::vector<JsonField>> parse_json_object(std::string_view line) {
  try {
    json::parse_options options;
    options.max_depth = 3;  // one object, a list in it, and one more to refuse by name
    json::basic_parser<Collector> parser(options);
    json::error_code error;
    const std::size_t used = parser.write_some(false, line.data(), line.size(), error);
    auto& collected = parser.handler();
    if (!collected.refusal.empty()) {
      return fail(Errc::bad_data, std::move(collected.refusal),
                  collected.fields.empty() ? "" : collected.fields.back().name);
    }
    if (error) return broken(used);
    const auto rest = line.substr(used);
    if (!trim(rest).empty()) return broken(used + rest.find_first_not_of(" \t\r\n"));
    return std::move(collected.fields);
  } catch (const std::exception& failure) {
    return fail(Errc::failed, fmt::format("reading JSON failed: {}", failure.what()));
  }
}

}  // namespace steelyard::ingest
