#include "serve/body.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <boost/json/parse.hpp>
#include <boost/json/value.hpp>

#include "steelyard/base/text.hpp"

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

  static Result<void> add(Body& body, const std::string& key, const json::value& value) {
    if (value.is_null()) return {};
    if (const auto* truth = value.if_bool()) {
      if (*truth) body.flags_.push_back(key);
      return {};
    }
    if (auto text = cell(value)) {
      body.cells_.emplace_back(key, *std::move(text));
      return {};
    }
    const auto* list = value.if_array();
    if (list == nullptr || (!list->empty() && list->front().is_object())) return add_objects(body, key, value);
    std::string words;
    for (const json::value& element : *list) {
      const auto word = cell(element);
      if (!word) return fail(Errc::bad_data, "a list may hold texts and numbers, or objects", key);
      words += (words.empty() ? "" : " ") + *word;
    }
    body.cells_.emplace_back(key, std::move(words));
    return {};
  }

  static Result<void> add_objects(Body& body, const std::string& key, const json::value& value) {
    std::vector<Body> parts;
    const auto take = [&](const json::value& element) -> Result<void> {
      const auto* object = element.if_object();
      if (object == nullptr) return fail(Errc::bad_data, "a list may hold texts and numbers, or objects", key);
      STEELYARD_TRY_ASSIGN(Body part, read(*object));
      parts.push_back(std::move(part));
      return {};
    };
    if (value.is_object()) {
      STEELYARD_TRY(take(value));
    } else {
      for (const json::value& element : value.get_array()) STEELYARD_TRY(take(element));
    }
    body.objects_.emplace_back(key, std::move(parts));
    return {};
  }

  static Result<Body> read(const json::object& object) {
    Body body;
    for (const auto& [key, value] : object) STEELYARD_TRY(add(body, std::string(key), value));
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

std::optional<std::string> Body::take(std::string_view key) {
  const auto found = std::find_if(cells_.begin(), cells_.end(), [&](const auto& cell) { return cell.first == key; });
  if (found == cells_.end()) return std::nullopt;
  std::string text = std::move(found->second);
  cells_.erase(found);
  return text;
}

bool Body::take_flag(std::string_view key) {
  return std::erase(flags_, key) > 0;
}

std::vector<std::string> Body::take_words(std::string_view key) {
  std::vector<std::string> words;
  const auto text = take(key).value_or("");
  for (const auto word : split_words(text)) words.emplace_back(word);
  return words;
}

std::vector<Body> Body::take_objects(std::string_view key) {
  const auto found = std::find_if(objects_.begin(), objects_.end(), [&](const auto& o) { return o.first == key; });
  if (found == objects_.end()) return {};
  std::vector<Body> parts = std::move(found->second);
  objects_.erase(found);
  return parts;
}

Result<void> Body::expect_empty(std::string_view allowed) const {
  std::string key;
  if (!cells_.empty()) key = cells_.front().first;
  if (key.empty() && !flags_.empty()) key = flags_.front();
  if (key.empty() && !objects_.empty()) key = objects_.front().first;
  if (key.empty()) return {};
  return fail(Errc::bad_data, fmt::format("{} is not known here; allowed: {}", in_quotes(key), allowed), key);
}

}  // namespace steelyard::serve
