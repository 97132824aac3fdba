#pragma once
/// A model file as read: its tables, lists and values in the order of their keys, with their places.
/// definition  Offsets in the place of pointers, so that a tree can be written out as constants, which cost nothing
///             when the program starts: the shipped files are in it that way (app), beside their text, by which it is
///             known whether they are still the same.

#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/base/day.hpp"
#include "steelyard/base/result.hpp"

namespace steelyard::params {

enum class NodeType : std::uint8_t { table, list, text, flag, integer, number, date, time };

struct NodePlace {
  std::uint32_t line = 0;
  std::uint32_t column = 0;
  friend bool operator==(const NodePlace&, const NodePlace&) = default;
};

/// Integers only: constants of them need no relocation.
struct NodeData {
  NodeType type = NodeType::table;
  std::uint32_t key_begin = 0;  ///< in the texts; of a list's entry, and of the top, nothing
  std::uint32_t key_size = 0;
  std::uint32_t begin = 0;  ///< of a text in the texts, of a table or list its first child among the nodes
  std::uint32_t size = 0;   ///< of the text; or how many children
  NodePlace key_at;
  NodePlace at;
  std::int64_t value = 0;  ///< flag, integer, date (day number), number (its bits)
  friend bool operator==(const NodeData&, const NodeData&) = default;
};

/// Does not own what it shows. The first node is the top of the file.
struct TreeView {
  std::span<const NodeData> nodes;
  std::string_view texts;
  std::string_view shown;  ///< the file's name in messages
};

struct Tree {
  std::vector<NodeData> nodes;
  std::string texts;
  std::string shown;

  [[nodiscard]] TreeView view() const { return {.nodes = nodes, .texts = texts, .shown = shown}; }
};

/// TOML to a tree; `shown` is the file's name in messages.
/// errors  bad_data, where = "shown:line:column"
[[nodiscard]] Result<Tree> parse_tree(std::string_view toml, std::string_view shown);

/// One node of a tree; as long as the tree is there. A node that is not there has no other member called.
class Node {
 public:
  Node() = default;
  explicit Node(const TreeView& tree, std::size_t index = 0) : tree_(&tree), data_(&tree.nodes[index]) {}

  explicit operator bool() const { return data_ != nullptr; }
  [[nodiscard]] NodeType type() const { return data_->type; }
  [[nodiscard]] NodePlace at() const { return data_->at; }
  [[nodiscard]] NodePlace key_at() const { return data_->key_at; }
  [[nodiscard]] std::string_view shown() const { return tree_->shown; }
  [[nodiscard]] std::string_view key() const { return tree_->texts.substr(data_->key_begin, data_->key_size); }

  [[nodiscard]] bool is(NodeType type) const { return data_->type == type; }
  [[nodiscard]] bool is_number() const { return is(NodeType::integer) || is(NodeType::number); }
  /// domain  type text
  [[nodiscard]] std::string_view text() const { return tree_->texts.substr(data_->begin, data_->size); }
  /// domain  type flag, integer
  [[nodiscard]] std::int64_t integer() const { return data_->value; }
  /// domain  type integer, number
  [[nodiscard]] double number() const;
  /// domain  type date
  [[nodiscard]] Day date() const { return day_from_number(static_cast<int>(data_->value)); }

  /// Of a table or list.
  [[nodiscard]] std::size_t size() const { return data_->size; }
  [[nodiscard]] Node child(std::size_t i) const { return Node(*tree_, data_->begin + i); }
  /// Of a table: the child of that key, or nothing.
  [[nodiscard]] Node find(std::string_view key) const;

 private:
  const TreeView* tree_ = nullptr;
  const NodeData* data_ = nullptr;
};

}  // namespace steelyard::params
