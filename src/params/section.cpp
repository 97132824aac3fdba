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

std::string_view type_name(const Node& node) {
  switch (node.type()) {
    case NodeType::table:
      return "a table";
    case NodeType::list:
      return "a list";
    case NodeType::text:
      return "text";
    case NodeType::flag:
      return "true or false";
    case NodeType::integer:
    case NodeType::number:
      return "a number";
    case NodeType::date:
    case NodeType::time:
      break;
  }
  return "a date or a time";
}

/// What stands there, short: numbers and words by their value, the rest by its type.
std::string shown_value(const Node& node) {
  if (node.is(NodeType::text)) return fmt::format("'{}'", node.text());
  if (node.is_number()) return format_number(node.number());
  return std::string(type_name(node));
}

std::string span_text(double low, double high) {
  return fmt::format("from {} to {}", format_number(low), format_number(high));
}

}  // namespace

void Sheet::fail(std::string_view shown, NodePlace at, std::string what) {
  if (error) return;
  error = Error{Errc::bad_data, std::move(what),
                fmt::format("{}:{}:{}", shown.empty() ? std::string_view(file) : shown, at.line, at.column)};
}

Section::Section(Sheet& sheet, std::string name, Node shipped, Node over)
    : sheet_(&sheet), name_(std::move(name)), shipped_(shipped), over_(over) {}

std::string Section::path(std::string_view key) const {
  return name_.empty() ? std::string(key) : fmt::format("{}.{}", name_, key);
}

std::string Section::spoken(std::string_view key) const {
  return name_.empty() ? fmt::format("'{}'", key) : fmt::format("'{}' in [{}]", key, name_);
}

template <class Value>
void Section::record(std::string_view key, const Value& value) {
  if (sheet_->is_recorded) sheet_->values += fmt::format("{} {} = {}\n", sheet_->file, path(key), value());
}

Node Section::find(std::string_view key) {
  Node node;
  for (const Node& table : {over_, shipped_}) {
    if (!node && table) node = table.find(key);
  }
  known_.push_back(node ? node.key() : key);
  return node;
}

template <class Allowed>
Node Section::need(std::string_view key, const Allowed& allowed) {
  const Node node = find(key);
  if (failed()) return {};
  if (!node) miss(fmt::format("{} is missing; allowed: {}", spoken(key), allowed()));
  return node;
}

void Section::miss(std::string what) {
  if (missing_.empty() && (shipped_ || over_)) missing_ = std::move(what);
}

template <class Allowed>
Node Section::need_list(std::string_view key, const Allowed& allowed) {
  const Node node = need(key, allowed);
  if (!node || node.is(NodeType::list)) return node;
  refuse(node, key, allowed());
  return {};
}

bool Section::has(std::string_view key) {
  return static_cast<bool>(find(key));
}

void Section::refuse(const Node& node, std::string_view key, std::string_view allowed) {
  sheet_->fail(node, fmt::format("{} is {}; allowed: {}", spoken(key), shown_value(node), allowed));
}

void Section::refuse_word(const Node& node, std::string_view key, std::span<const std::string_view> words) {
  const std::string_view text = node.is(NodeType::text) ? node.text() : std::string_view();
  sheet_->fail(node, fmt::format("{} is {}{}; allowed: {}", spoken(key), shown_value(node), nearest(text, words),
                                 joined(words)));
}

void Section::reject(std::string_view key, std::string_view what) {
  const Node node = find(key);
  sheet_->fail(node ? node : shipped_ ? shipped_ : over_, fmt::format("{} {}", spoken(key), what));
}

void Section::reject_one_of(std::initializer_list<std::string_view> keys, std::string_view what) {
  const auto changed = [&](std::string_view key) { return over_ && over_.find(key); };
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

template <class Allowed>
std::optional<double> Section::number_in(const Node& node, std::string_view key, double low, double high,
                                         const Allowed& allowed) {
  if (node.is_number() && node.number() >= low && node.number() <= high) return node.number();
  refuse(node, key, allowed());
  return std::nullopt;
}

void Section::number(std::string_view key, double& out, double low, double high) {
  const auto allowed = [&] { return "a number " + span_text(low, high); };
  const Node node = need(key, allowed);
  if (!node) return;
  if (const auto value = number_in(node, key, low, high, allowed)) {
    out = *value;
    record(key, [&] { return format_number(out); });
  }
}

void Section::integer(std::string_view key, int& out, int low, int high) {
  const auto allowed = [&] { return fmt::format("a whole number from {} to {}", low, high); };
  const Node node = need(key, allowed);
  if (!node) return;
  if (!node.is(NodeType::integer) || node.integer() < low || node.integer() > high) {
    refuse(node, key, allowed());
    return;
  }
  out = static_cast<int>(node.integer());
  record(key, [&] { return out; });
}

void Section::text(std::string_view key, std::string& out) {
  const Node node = need(key, [] { return "text"; });
  if (!node) return;
  if (!node.is(NodeType::text) || trim(node.text()).empty()) {
    refuse(node, key, "text that is not empty");
    return;
  }
  out = node.text();
  record(key, [&] { return std::string_view(out); });
}

void Section::flag(std::string_view key, bool& out) {
  const Node node = need(key, [] { return "true or false"; });
  if (!node) return;
  if (!node.is(NodeType::flag)) {
    refuse(node, key, "true or false");
    return;
  }
  out = node.integer() != 0;
  record(key, [&] { return out ? "true" : "false"; });
}

void Section::word(std::string_view key, std::size_t& out, std::span<const std::string_view> words) {
  const Node node = need(key, [&] { return joined(words); });
  if (!node) return;
  const auto found = node.is(NodeType::text) ? std::find(words.begin(), words.end(), node.text()) : words.end();
  if (found == words.end()) {
    refuse_word(node, key, words);
    return;
  }
  out = static_cast<std::size_t>(found - words.begin());
  record(key, [&] { return *found; });
}

void Section::range(std::string_view key, Range& out, double low, double high) {
  const auto allowed = [&] { return fmt::format("[low, high] with numbers {}", span_text(low, high)); };
  const Node list = need_list(key, allowed);
  if (!list) return;
  if (list.size() != 2) {
    refuse(list, key, allowed());
    return;
  }
  const auto first = number_in(list.child(0), key, low, high, allowed);
  const auto second = number_in(list.child(1), key, low, high, allowed);
  if (!first || !second) return;
  if (*first > *second) {
    reject(key, fmt::format("runs from {} down to {}; allowed: {}", format_number(*first), format_number(*second),
                            allowed()));
    return;
  }
  out = {.low = *first, .high = *second};
  record(key, [&] { return fmt::format("{} {}", format_number(out.low), format_number(out.high)); });
}

void Section::numbers(std::string_view key, std::vector<double>& out, double low, double high) {
  const auto allowed = [&] { return "a list of numbers " + span_text(low, high); };
  const Node list = need_list(key, allowed);
  if (!list) return;
  std::vector<double> values;
  for (std::size_t i = 0; i < list.size(); ++i) {
    const auto value = number_in(list.child(i), key, low, high, allowed);
    if (!value) return;
    values.push_back(*value);
  }
  if (values.empty()) {
    reject(key, "is empty; allowed: " + allowed());
    return;
  }
  out = std::move(values);
  record(key, [&] {
    std::string print;
    for (const double value : out) print += format_number(value) + " ";
    return print;
  });
}

void Section::list(std::string_view key, std::vector<std::string>& out, std::span<const std::string_view> words) {
  const Node list = need_list(key, [] { return "a list of texts"; });
  if (!list) return;
  std::vector<std::string> values;
  for (std::size_t i = 0; i < list.size(); ++i) {
    const Node node = list.child(i);
    if (!node.is(NodeType::text) || trim(node.text()).empty()) {
      refuse(node, key, "texts that are not empty");
      return;
    }
    if (!words.empty() && std::find(words.begin(), words.end(), node.text()) == words.end()) {
      refuse_word(node, key, words);
      return;
    }
    values.emplace_back(node.text());
  }
  out = std::move(values);
  for (const auto& value : out) record(key, [&] { return std::string_view(value); });
}

void Section::source(std::string& out) {
  constexpr std::string_view allowed = "where the values come from: author and year, or common practice";
  const Node node = need("source", [&] { return allowed; });
  if (!node) return;
  if (!node.is(NodeType::text) || trim(node.text()).empty()) {
    refuse(node, "source", allowed);
    return;
  }
  out = node.text();
  if (over_ && !over_.find("source")) {
    out += "; changed in ";
    out += over_.shown().empty() ? std::string_view(sheet_->file) : over_.shown();
  }
}

void Section::date(std::string_view key, Day& out) {
  constexpr std::string_view allowed = "a date, such as 2026-11-25 (without quotes)";
  const Node node = need(key, [&] { return allowed; });
  if (!node) return;
  if (!node.is(NodeType::date)) {
    refuse(node, key, allowed);
    return;
  }
  out = node.date();
}

Section Section::table(std::string_view key) {
  known_.push_back(key);
  std::array<Node, 2> found{};
  const std::array<Node, 2> from{shipped_, over_};
  for (std::size_t i = 0; i < from.size(); ++i) {
    const Node node = from[i] ? from[i].find(key) : Node();
    if (!node) continue;
    if (node.is(NodeType::table)) {
      found[i] = node;
    } else {
      refuse(node, key, fmt::format("a table [{}]", path(key)));
    }
  }
  if (!found[0] && !found[1]) miss(fmt::format("the table [{}] is missing", path(key)));
  return {*sheet_, path(key), found[0], found[1]};
}

std::vector<Section> Section::entries(std::string_view key) {
  const auto allowed = [&] { return fmt::format("tables [[{}]]", path(key)); };
  const Node list = need_list(key, allowed);
  std::vector<Section> sections;
  if (!list) return sections;
  for (std::size_t i = 0; i < list.size(); ++i) {
    const Node entry = list.child(i);
    if (!entry.is(NodeType::table)) {
      refuse(entry, key, allowed());
      return {};
    }
    sections.emplace_back(*sheet_, path(key), entry, Node());
  }
  return sections;
}

std::vector<Section> Section::named_entries(std::string_view key, std::string_view id_key) {
  std::vector<Section> all;
  std::vector<std::string_view> ids;
  for (const bool is_over : {false, true}) {
    const Node table = is_over ? over_ : shipped_;
    if (!table || (is_over && !table.find(key))) continue;
    std::vector<std::string_view> own;
    for (Section& entry : Section(*sheet_, name_, table, Node()).entries(key)) {
      const Node node = entry.need(id_key, [] { return "a name"; });
      if (!node || !node.is(NodeType::text)) {
        if (node) entry.refuse(node, id_key, "a name");
        entry.done();
        return {};
      }
      const std::string_view id = node.text();
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
  known_.push_back(key);
  return all;
}

std::vector<std::string> Section::keys() const {
  std::vector<std::string> all;
  for (const Node& table : {shipped_, over_}) {
    for (std::size_t i = 0; table && i < table.size(); ++i) {
      const std::string_view key = table.child(i).key();
      if (std::find(all.begin(), all.end(), key) == all.end()) all.emplace_back(key);
    }
  }
  return all;
}

void Section::done() {
  std::sort(known_.begin(), known_.end());
  known_.erase(std::unique(known_.begin(), known_.end()), known_.end());
  for (const Node& table : {shipped_, over_}) {
    for (std::size_t i = 0; table && i < table.size(); ++i) {
      const Node node = table.child(i);
      if (std::binary_search(known_.begin(), known_.end(), node.key())) continue;
      sheet_->fail(node.shown(), node.key_at(),
                   fmt::format("{} is not a known key{}; allowed: {}", spoken(node.key()), nearest(node.key(), known_),
                               joined(known_)));
    }
  }
  if (!missing_.empty()) sheet_->fail(shipped_ ? shipped_ : over_, missing_);
}

}  // namespace steelyard::params
