#include "params/section.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "steelyard/base/text.hpp"

namespace steelyard::params {
namespace {

std::string joined(std::span<const std::string_view> words) {
  std::string text;
  for (const auto word : words) text += (text.empty() ? "" : ", ") + std::string(word);
  return text;
}

/// "; nearest: 'sample'", or nothing.
std::string nearest(std::string_view word, std::span<const std::string_view> words) {
  const auto found = nearest_word(word, words);
  return found ? fmt::format("; nearest: '{}'", *found) : std::string{};
}

std::string_view type_name(const toml::node& node) {
  switch (node.type()) {
    case toml::node_type::table:
      return "a table";
    case toml::node_type::array:
      return "a list";
    case toml::node_type::string:
      return "text";
    case toml::node_type::boolean:
      return "true or false";
    case toml::node_type::integer:
    case toml::node_type::floating_point:
      return "a number";
    default:
      return "a date or a time";
  }
}

/// What stands there, short: numbers and words by their value, the rest by its type.
std::string shown_value(const toml::node& node) {
  if (const auto* text = node.as_string()) return fmt::format("'{}'", text->get());
  if (const auto number = node.value<double>(); number && node.is_number()) return format_number(*number);
  return std::string(type_name(node));
}

std::string span_text(double low, double high) {
  return fmt::format("from {} to {}", format_number(low), format_number(high));
}

}  // namespace

void Sheet::fail(const toml::source_region& at, std::string what) {
  if (error) return;
  const std::string shown = at.path ? *at.path : file;
  error = Error{Errc::bad_data, std::move(what), fmt::format("{}:{}:{}", shown, at.begin.line, at.begin.column)};
}

Section::Section(Sheet& sheet, std::string name, const toml::table* shipped, const toml::table* over)
    : sheet_(&sheet), name_(std::move(name)), shipped_(shipped), over_(over) {}

std::string Section::path(std::string_view key) const {
  return name_.empty() ? std::string(key) : fmt::format("{}.{}", name_, key);
}

std::string Section::spoken(std::string_view key) const {
  return name_.empty() ? fmt::format("'{}'", key) : fmt::format("'{}' in [{}]", key, name_);
}

void Section::record(std::string_view key, std::string_view value) {
  sheet_->values += fmt::format("{} {} = {}\n", sheet_->file, path(key), value);
}

const toml::node* Section::find(std::string_view key) {
  known_.emplace_back(key);
  for (const auto* table : {over_, shipped_}) {
    if (table == nullptr) continue;
    if (const auto* node = table->get(key)) return node;
  }
  return nullptr;
}

const toml::node* Section::need(std::string_view key, std::string_view allowed) {
  const auto* node = find(key);
  if (failed()) return nullptr;
  if (node == nullptr) miss(fmt::format("{} is missing; allowed: {}", spoken(key), allowed));
  return node;
}

void Section::miss(std::string what) {
  if (missing_.empty() && (shipped_ != nullptr || over_ != nullptr)) missing_ = std::move(what);
}

const toml::array* Section::need_array(std::string_view key, std::string_view allowed) {
  const auto* node = need(key, allowed);
  if (node == nullptr) return nullptr;
  if (!node->is_array()) refuse(*node, key, allowed);
  return node->as_array();
}

bool Section::has(std::string_view key) {
  return find(key) != nullptr;
}

void Section::refuse(const toml::node& node, std::string_view key, std::string_view allowed) {
  sheet_->fail(node.source(), fmt::format("{} is {}; allowed: {}", spoken(key), shown_value(node), allowed));
}

void Section::refuse_word(const toml::node& node, std::string_view key, std::span<const std::string_view> words) {
  const auto text = node.value<std::string>().value_or(std::string{});
  sheet_->fail(node.source(), fmt::format("{} is {}{}; allowed: {}", spoken(key), shown_value(node),
                                          nearest(text, words), joined(words)));
}

void Section::reject(std::string_view key, std::string_view what) {
  const auto* node = find(key);
  const auto* table = shipped_ != nullptr ? shipped_ : over_;
  sheet_->fail(node != nullptr ? node->source() : table->source(), fmt::format("{} {}", spoken(key), what));
}

void Section::reject_one_of(std::initializer_list<std::string_view> keys, std::string_view what) {
  const auto changed = [&](std::string_view key) { return over_ != nullptr && over_->contains(key); };
  const auto found = std::find_if(keys.begin(), keys.end(), changed);
  reject(found == keys.end() ? *keys.begin() : *found, what);
}

void Section::check_blanks(std::string_view key, std::string_view text, std::span<const std::string_view> allowed) {
  for (auto at = text.find('{'); at != std::string_view::npos; at = text.find('{', at + 1)) {
    const auto name = text.substr(at + 1, text.find('}', at) - at - 1);
    if (std::find(allowed.begin(), allowed.end(), name) != allowed.end()) continue;
    reject(key, fmt::format("has '{{{}}}', which nothing fills in; allowed in braces: {}", name, joined(allowed)));
  }
}

std::optional<double> Section::number_in(const toml::node& node, std::string_view key, double low, double high,
                                         std::string_view allowed) {
  const auto value = node.is_number() ? node.value<double>() : std::nullopt;
  if (value && *value >= low && *value <= high) return value;
  refuse(node, key, allowed);
  return std::nullopt;
}

void Section::number(std::string_view key, double& out, double low, double high) {
  const auto allowed = "a number " + span_text(low, high);
  const auto* node = need(key, allowed);
  if (node == nullptr) return;
  if (const auto value = number_in(*node, key, low, high, allowed)) {
    out = *value;
    record(key, format_number(out));
  }
}

void Section::integer(std::string_view key, int& out, int low, int high) {
  const auto allowed = fmt::format("a whole number from {} to {}", low, high);
  const auto* node = need(key, allowed);
  if (node == nullptr) return;
  const auto* value = node->as_integer();
  if (value == nullptr || value->get() < low || value->get() > high) {
    refuse(*node, key, allowed);
    return;
  }
  out = static_cast<int>(value->get());
  record(key, fmt::format("{}", out));
}

void Section::text(std::string_view key, std::string& out) {
  const auto* node = need(key, "text");
  if (node == nullptr) return;
  const auto* value = node->as_string();
  if (value == nullptr || trim(value->get()).empty()) {
    refuse(*node, key, "text that is not empty");
    return;
  }
  out = value->get();
  record(key, out);
}

void Section::flag(std::string_view key, bool& out) {
  const auto* node = need(key, "true or false");
  if (node == nullptr) return;
  const auto* value = node->as_boolean();
  if (value == nullptr) {
    refuse(*node, key, "true or false");
    return;
  }
  out = value->get();
  record(key, out ? "true" : "false");
}

void Section::word(std::string_view key, std::size_t& out, std::span<const std::string_view> words) {
  const auto* node = need(key, joined(words));
  if (node == nullptr) return;
  const auto* value = node->as_string();
  const auto found = value == nullptr ? words.end() : std::find(words.begin(), words.end(), value->get());
  if (found == words.end()) {
    refuse_word(*node, key, words);
    return;
  }
  out = static_cast<std::size_t>(found - words.begin());
  record(key, *found);
}

void Section::range(std::string_view key, Range& out, double low, double high) {
  const auto allowed = fmt::format("[low, high] with numbers {}", span_text(low, high));
  const auto* array = need_array(key, allowed);
  if (array == nullptr) return;
  if (array->size() != 2) {
    refuse(*array, key, allowed);
    return;
  }
  const auto first = number_in((*array)[0], key, low, high, allowed);
  const auto second = number_in((*array)[1], key, low, high, allowed);
  if (!first || !second) return;
  if (*first > *second) {
    reject(key,
           fmt::format("runs from {} down to {}; allowed: {}", format_number(*first), format_number(*second), allowed));
    return;
  }
  out = {.low = *first, .high = *second};
  record(key, fmt::format("{} {}", format_number(out.low), format_number(out.high)));
}

void Section::numbers(std::string_view key, std::vector<double>& out, double low, double high) {
  const auto allowed = "a list of numbers " + span_text(low, high);
  const auto* array = need_array(key, allowed);
  if (array == nullptr) return;
  std::vector<double> values;
  std::string print;
  for (const auto& node : *array) {
    const auto value = number_in(node, key, low, high, allowed);
    if (!value) return;
    values.push_back(*value);
    print += format_number(*value) + " ";
  }
  if (values.empty()) {
    reject(key, "is empty; allowed: " + allowed);
    return;
  }
  out = std::move(values);
  record(key, print);
}

void Section::list(std::string_view key, std::vector<std::string>& out, std::span<const std::string_view> words) {
  const auto* array = need_array(key, "a list of texts");
  if (array == nullptr) return;
  std::vector<std::string> values;
  for (const auto& node : *array) {
    const auto* value = node.as_string();
    if (value == nullptr || trim(value->get()).empty()) {
      refuse(node, key, "texts that are not empty");
      return;
    }
    if (!words.empty() && std::find(words.begin(), words.end(), value->get()) == words.end()) {
      refuse_word(node, key, words);
      return;
    }
    values.push_back(value->get());
  }
  out = std::move(values);
  for (const auto& value : out) record(key, value);
}

void Section::source(std::string& out) {
  constexpr std::string_view allowed = "where the values come from: author and year, or common practice";
  const auto* node = need("source", allowed);
  if (node == nullptr) return;
  const auto* value = node->as_string();
  if (value == nullptr || trim(value->get()).empty()) {
    refuse(*node, "source", allowed);
    return;
  }
  out = value->get();
  if (over_ != nullptr && over_->get("source") == nullptr) {
    out += "; changed in " + (over_->source().path ? *over_->source().path : sheet_->file);
  }
}

void Section::date(std::string_view key, Day& out) {
  constexpr std::string_view allowed = "a date, such as 2026-11-25 (without quotes)";
  const auto* node = need(key, allowed);
  if (node == nullptr) return;
  const auto* value = node->as_date();
  if (value == nullptr) {
    refuse(*node, key, allowed);
    return;
  }
  const auto& d = value->get();
  out =
      Day{std::chrono::year_month_day{std::chrono::year{d.year}, std::chrono::month{d.month}, std::chrono::day{d.day}}};
}

Section Section::table(std::string_view key) {
  known_.emplace_back(key);
  std::array<const toml::table*, 2> found{};
  const std::array<const toml::table*, 2> from{shipped_, over_};
  for (std::size_t i = 0; i < from.size(); ++i) {
    const auto* node = from[i] == nullptr ? nullptr : from[i]->get(key);
    if (node == nullptr) continue;
    found[i] = node->as_table();
    if (found[i] == nullptr) refuse(*node, key, fmt::format("a table [{}]", path(key)));
  }
  if (found[0] == nullptr && found[1] == nullptr) miss(fmt::format("the table [{}] is missing", path(key)));
  return {*sheet_, path(key), found[0], found[1]};
}

std::vector<Section> Section::entries(std::string_view key) {
  const auto allowed = fmt::format("tables [[{}]]", path(key));
  const auto* array = need_array(key, allowed);
  std::vector<Section> sections;
  if (array == nullptr) return sections;
  for (const auto& node : *array) {
    const auto* entry = node.as_table();
    if (entry == nullptr) {
      refuse(node, key, allowed);
      return {};
    }
    sections.emplace_back(*sheet_, path(key), entry, nullptr);
  }
  return sections;
}

std::vector<Section> Section::named_entries(std::string_view key, std::string_view id_key) {
  std::vector<Section> all;
  std::vector<std::string> ids;
  for (const auto* table : {shipped_, over_}) {
    if (table == nullptr || (table == over_ && table->get(key) == nullptr)) continue;
    std::vector<std::string> own;
    for (Section& entry : Section(*sheet_, name_, table, nullptr).entries(key)) {
      const auto* node = entry.need(id_key, "a name");
      if (node == nullptr || !node->is_string()) {
        if (node != nullptr) entry.refuse(*node, id_key, "a name");
        entry.done();
        return {};
      }
      const std::string& id = node->as_string()->get();
      if (std::find(own.begin(), own.end(), id) != own.end()) {
        entry.reject(id_key, fmt::format("is '{}' a second time; allowed: each name once in a file", id));
        return {};
      }
      own.push_back(id);
      const auto namesake = std::find(ids.begin(), ids.end(), id);
      if (namesake != ids.end()) {
        all[static_cast<std::size_t>(namesake - ids.begin())] = entry;
      } else {
        all.push_back(entry);
        ids.push_back(id);
      }
    }
  }
  known_.emplace_back(key);
  return all;
}

std::vector<std::string> Section::keys() const {
  std::vector<std::string> all;
  for (const auto* table : {shipped_, over_}) {
    if (table == nullptr) continue;
    for (const auto& [key, node] : *table) {
      if (std::find(all.begin(), all.end(), key.str()) == all.end()) all.emplace_back(key.str());
    }
  }
  return all;
}

void Section::done() {
  std::vector<std::string_view> known(known_.begin(), known_.end());
  std::sort(known.begin(), known.end());
  known.erase(std::unique(known.begin(), known.end()), known.end());
  for (const auto* table : {shipped_, over_}) {
    if (table == nullptr) continue;
    for (const auto& [key, node] : *table) {
      if (std::binary_search(known.begin(), known.end(), key.str())) continue;
      sheet_->fail(key.source(), fmt::format("{} is not a known key{}; allowed: {}", spoken(key.str()),
                                             nearest(key.str(), known), joined(known)));
    }
  }
  if (!missing_.empty()) sheet_->fail((shipped_ != nullptr ? shipped_ : over_)->source(), missing_);
}

}  // namespace steelyard::params
