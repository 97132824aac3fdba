#pragma once
/// Binding of one table of a model file, with the same table of an override laid over it, to the members of a struct.
/// errors  the first one is kept in the Sheet and every later call leaves its target alone, so that a binding reads as
///         a plain list of keys

#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/base/result.hpp"
#include "steelyard/params/model_tree.hpp"
#include "steelyard/params/models.hpp"

namespace steelyard::params {

/// One file under way.
struct Sheet {
  std::string file;            ///< "load.toml"
  std::optional<Error> error;  ///< the first one
  bool is_recorded = true;     ///< whether values are kept
  std::string values;          ///< "load.toml monotony.alike = 2" a line: what the digest of the models covers

  void fail(const Node& node, std::string what) { fail(node.shown(), node.at(), std::move(what)); }
  void fail(std::string_view shown, NodePlace at, std::string what);
};

/// Keys that are not in the file must outlive the section.
class Section {
 public:
  /// Tables, or no nodes; `name` is empty for the top of the file.
  Section(Sheet& sheet, std::string name, Node shipped, Node over);

  void number(std::string_view key, double& out, double low, double high);
  void integer(std::string_view key, int& out, int low, int high);
  void text(std::string_view key, std::string& out);
  void flag(std::string_view key, bool& out);
  /// Index of the word among `words`.
  void word(std::string_view key, std::size_t& out, std::span<const std::string_view> words);
  template <class E>
  void word_of(std::string_view key, E& out, std::span<const std::string_view> words) {
    auto index = static_cast<std::size_t>(out);
    word(key, index, words);
    out = static_cast<E>(index);
  }
  /// [low, high], in ascending order.
  void range(std::string_view key, Range& out, double low, double high);
  void numbers(std::string_view key, std::vector<double>& out, double low, double high);
  /// Without `words` any text goes.
  void list(std::string_view key, std::vector<std::string>& out, std::span<const std::string_view> words = {});
  /// Where the table's values come from; values of an override without a source of their own are marked as changed.
  void source(std::string& out);
  void date(std::string_view key, Day& out);

  /// Whether the key is there; makes it a known key.
  [[nodiscard]] bool has(std::string_view key);
  [[nodiscard]] Section table(std::string_view key);
  /// A [[table]]: of the override if it has one, as a whole.
  [[nodiscard]] std::vector<Section> entries(std::string_view key);
  /// A [[table]] whose entries carry a name under `id_key`: an entry of the override takes the place of its namesake.
  [[nodiscard]] std::vector<Section> named_entries(std::string_view key, std::string_view id_key);
  /// All keys of the table, for tables whose keys are names.
  [[nodiscard]] std::vector<std::string> keys() const;

  /// Of the {names} in a text only `allowed` may occur.
  void check_blanks(std::string_view key, std::string_view text, std::span<const std::string_view> allowed);
  /// An error about a key, with its place.
  void reject(std::string_view key, std::string_view what);
  /// The same about keys that do not agree; names the one that an override changed, else the first.
  void reject_one_of(std::initializer_list<std::string_view> keys, std::string_view what);
  /// The last call: every key that nobody asked for is an error, and so is a key that is missing.
  void done();
  [[nodiscard]] bool failed() const { return sheet_->error.has_value(); }

 private:
  [[nodiscard]] Node find(std::string_view key);
  /// allowed: gives the words for what may stand there, which only errors need.
  template <class Allowed>
  [[nodiscard]] Node need(std::string_view key, const Allowed& allowed);
  template <class Allowed>
  [[nodiscard]] Node need_list(std::string_view key, const Allowed& allowed);
  template <class Allowed>
  [[nodiscard]] std::optional<double> number_in(const Node& node, std::string_view key, double low, double high,
                                                const Allowed& allowed);
  void miss(std::string what);
  void refuse(const Node& node, std::string_view key, std::string_view allowed);
  void refuse_word(const Node& node, std::string_view key, std::span<const std::string_view> words);
  /// value: gives the text to be recorded.
  template <class Value>
  void record(std::string_view key, const Value& value);
  [[nodiscard]] std::string spoken(std::string_view key) const;
  [[nodiscard]] std::string path(std::string_view key) const;

  Sheet* sheet_;
  std::string name_;
  Node shipped_;
  Node over_;
  std::vector<std::string_view> known_;  ///< in the tree, or of the caller if nothing stands there
  std::string missing_;  ///< the first missing key, as a sentence: a misspelt key is the better report of the two
};

}  // namespace steelyard::params
