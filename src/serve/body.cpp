#include "serve/body.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <boost/json/parse.hpp>
#include <boost/json/value.hpp>

#include "steelyard/base/text.hpp"
#include "steelyard/domain/cells.hpp"

namespace steelyard::serve {

namespace json = boost::json;

struct BodyReader {
  static std::optional<std::string> cell(const json::value& value) {
    if (const auto* text = value.if_string()) return std::string(text->begin(), text->end());
    if (const auto* whole = value.if_int64()) return fmt::format("{}", *whole);
    if (const auto* whole = value.if_uint64()) return fmt::format("{}", *whole);
    if (const auto* number = value.if_double()) return format_number(*number);
    return std::nullopt;
  }

  static Result<Body::Value> value_of(const std::string& key, const json::value& value) {
    Body::Value out{.key = key, .takes = std::nullopt, .text = {}, .objects = {}};
    if (value.is_null()) return out;
    if (const auto* truth = value.if_bool()) {
      out.takes = Takes::truth;
      out.truth = *truth;
      return out;
    }
    if (auto text = cell(value)) {
      out.takes = Takes::text;
      out.text = *std::move(text);
      return out;
    }
    const auto* list = value.if_array();
    if (list == nullptr || (!list->empty() && list->front().is_object())) return objects_of(std::move(out), value);
    out.takes = Takes::text;
    for (const json::value& element : *list) {
      const auto word = cell(element);
      if (!word) return fail(Errc::bad_data, "a list may hold texts and numbers, or objects", key);
      out.text += (out.text.empty() ? "" : " ") + *word;
    }
    return out;
  }

  static Result<Body::Value> objects_of(Body::Value out, const json::value& value) {
    out.takes = Takes::objects;
    const auto take = [&](const json::value& element) -> Result<void> {
      const auto* object = element.if_object();
      if (object == nullptr) return fail(Errc::bad_data, "a list may hold texts and numbers, or objects", out.key);
      STEELYARD_TRY_ASSIGN(Body part, read(*object));
      out.objects.push_back(std::move(part));
      return {};
    };
    if (value.is_object()) {
      STEELYARD_TRY(take(value));
    } else {
      for (const json::value& element : value.get_array()) STEELYARD_TRY(take(element));
    }
    return out;
  }

  static Result<Body> read(const json::object& object) {
    Body body;
    for (const auto& [key, value] : object) {
      STEELYARD_TRY_ASSIGN(auto read, value_of(std::string(key), value));
      body.values_.push_back(std::move(read));
    }
    return body;
  }
};

Result<Body> Body::parse(std::string_view text) {
  if (trim(text).empty()) return Body{};
  boost::system::error_code code;
  const json::value value = json::parse(json::string_view(text.data(), text.size()), code);
  if (code) return fail(Errc::bad_data, fmt::format("the body is not JSON: {}", code.message()));
  const auto* object = value.if_object();
  if (object == nullptr) return fail(Errc::bad_data, "the body must be one JSON object");
  return BodyReader::read(*object);
}

Result<void> Body::expect_only(std::span<const KnownKey> known) const {
  constexpr std::array<std::string_view, 3> allowed{"a text or a number", "true or false", "a list of objects"};
  for (const Value& value : values_) {
    const auto found = std::find_if(known.begin(), known.end(), [&](const KnownKey& k) { return k.name == value.key; });
    if (found == known.end()) {
      std::vector<std::string_view> names;
      for (const KnownKey& key : known) names.push_back(key.name);
      return fail(Errc::usage, not_a_word(value.key, "a key that is known here", names), value.key);
    }
    const bool no_objects = value.takes == Takes::text && value.text.empty();  // an empty list is a list of anything
    if (!value.takes || *value.takes == found->takes || (no_objects && found->takes == Takes::objects)) continue;
    return fail(Errc::bad_data,
                fmt::format("{} takes {}", value.key, allowed.at(static_cast<std::size_t>(found->takes))), value.key);
  }
  return {};
}

std::optional<Body::Value> Body::take_value(std::string_view key, Takes takes) {
  const auto found =
      std::find_if(values_.begin(), values_.end(), [&](const Value& v) { return v.key == key && v.takes == takes; });
  if (found == values_.end()) return std::nullopt;
  Value value = std::move(*found);
  values_.erase(found);
  return value;
}

std::optional<std::string> Body::take(std::string_view key) {
  auto value = take_value(key, Takes::text);
  return value ? std::optional(std::move(value->text)) : std::nullopt;
}

bool Body::take_flag(std::string_view key) {
  const auto value = take_value(key, Takes::truth);
  return value && value->truth;
}

std::vector<std::string> Body::take_words(std::string_view key) {
  std::vector<std::string> words;
  const auto text = take(key).value_or("");
  for (const auto word : split_words(text)) words.emplace_back(word);
  return words;
}

std::vector<Body> Body::take_objects(std::string_view key) {
  auto value = take_value(key, Takes::objects);
  return value ? std::move(value->objects) : std::vector<Body>{};
}

std::vector<app::ColumnText> Body::rest() const {
  std::vector<app::ColumnText> cells;
  for (const Value& value : values_) {
    if (value.takes == Takes::text) cells.emplace_back(value.key, value.text);
  }
  return cells;
}

}  // namespace steelyard::serve
