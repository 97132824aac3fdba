#include "steelyard/params/model_tree.hpp"

#include <fmt/core.h>
#include <toml++/toml.h>

#include <bit>
#include <utility>

namespace steelyard::params {
namespace {

NodePlace place_of(const toml::source_region& at) {
  return {.line = at.begin.line, .column = at.begin.column};
}

/// Lays a node of the parser out, its children behind all that is there already.
class Layout {
 public:
  explicit Layout(Tree& tree) : tree_(tree) {}

  void top(const toml::table& table) {
    tree_.nodes.emplace_back();
    fill(0, table);
  }

 private:
  std::pair<std::uint32_t, std::uint32_t> keep(std::string_view text) {
    const auto begin = static_cast<std::uint32_t>(tree_.texts.size());
    tree_.texts += text;
    return {begin, static_cast<std::uint32_t>(text.size())};
  }
  NodeData& node(std::size_t index) { return tree_.nodes[index]; }

  /// Room for the children.
  std::size_t open(std::size_t index, std::size_t children) {
    const std::size_t first = tree_.nodes.size();
    node(index).begin = static_cast<std::uint32_t>(first);
    node(index).size = static_cast<std::uint32_t>(children);
    tree_.nodes.resize(first + children);
    return first;
  }

  void fill(std::size_t index, const toml::node& from) {
    node(index).at = place_of(from.source());
    if (const auto* table = from.as_table()) {
      node(index).type = NodeType::table;
      std::size_t next = open(index, table->size());
      for (const auto& [key, value] : *table) {
        std::tie(node(next).key_begin, node(next).key_size) = keep(key.str());
        node(next).key_at = place_of(key.source());
        fill(next++, value);
      }
    } else if (const auto* list = from.as_array()) {
      node(index).type = NodeType::list;
      std::size_t next = open(index, list->size());
      for (const auto& value : *list) fill(next++, value);
    } else {
      fill_value(node(index), from);
    }
  }

  void fill_value(NodeData& data, const toml::node& from) {
    if (const auto* text = from.as_string()) {
      data.type = NodeType::text;
      std::tie(data.begin, data.size) = keep(text->get());
    } else if (const auto* flag = from.as_boolean()) {
      data.type = NodeType::flag;
      data.value = flag->get() ? 1 : 0;
    } else if (const auto* integer = from.as_integer()) {
      data.type = NodeType::integer;
      data.value = integer->get();
    } else if (const auto* number = from.as_floating_point()) {
      data.type = NodeType::number;
      data.value = std::bit_cast<std::int64_t>(number->get());
    } else if (const auto* date = from.as_date()) {
      const auto& d = date->get();
      data.type = NodeType::date;
      data.value = day_number(Day{std::chrono::year_month_day{std::chrono::year{d.year}, std::chrono::month{d.month},
                                                              std::chrono::day{d.day}}});
    } else {
      data.type = NodeType::time;
    }
  }

  Tree& tree_;
};

}  // namespace

Result<Tree> parse_tree(std::string_view toml, std::string_view shown) {
  Tree tree{.nodes = {}, .texts = {}, .shown = std::string(shown)};
  try {
    Layout(tree).top(toml::parse(toml, shown));
  } catch (const toml::parse_error& error) {
    const auto& at = error.source().begin;
    return fail(Errc::bad_data, fmt::format("this is not TOML: {}", error.description()),
                fmt::format("{}:{}:{}", shown, at.line, at.column));
  }
  return tree;
}

double Node::number() const {
  return is(NodeType::integer) ? static_cast<double>(data_->value) : std::bit_cast<double>(data_->value);
}

Node Node::find(std::string_view key) const {
  std::size_t low = 0;
  std::size_t high = size();
  while (low < high) {  // the parser keeps keys in order
    const std::size_t middle = (low + high) / 2;
    const int order = child(middle).key().compare(key);
    if (order == 0) return child(middle);
    (order < 0 ? low : high) = order < 0 ? middle + 1 : middle;
  }
  return {};
}

}  // namespace steelyard::params
