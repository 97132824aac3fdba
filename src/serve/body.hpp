#pragma once
/// The JSON object of a request's body as the cells that files have.

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/app/record.hpp"
#include "steelyard/base/result.hpp"

namespace steelyard::serve {

/// What the value of a key may be, beside null, which is as if the key were not there.
enum class Takes {
  text,    ///< a text, a number, or a list of these as words between blanks: what a cell of a file holds
  truth,   ///< true or false
  objects  ///< an object or a list of objects
};

struct KnownKey {
  std::string_view name;
  Takes takes = Takes::text;
};

class Body {
 public:
  /// An empty text is an empty object.
  /// errors  bad_data (not JSON, not an object, a value of a kind that no key has)
  [[nodiscard]] static Result<Body> parse(std::string_view json);

  /// errors  usage (a key that is not among them, whatever its value), bad_data (a value of another kind)
  [[nodiscard]] Result<void> expect_only(std::span<const KnownKey> known) const;

  /// The cell of a key; taken cells are not among rest().
  [[nodiscard]] std::optional<std::string> take(std::string_view key);
  [[nodiscard]] bool take_flag(std::string_view key);  ///< true only if the value is true
  [[nodiscard]] std::vector<std::string> take_words(std::string_view key);
  [[nodiscard]] std::vector<Body> take_objects(std::string_view key);
  [[nodiscard]] std::vector<app::ColumnText> rest() const;

 private:
  friend struct BodyReader;
  struct Value {
    std::string key;
    std::optional<Takes> takes;  ///< none = null
    std::string text;
    bool truth = false;
    std::vector<Body> objects;
  };
  [[nodiscard]] std::optional<Value> take_value(std::string_view key, Takes takes);

  std::vector<Value> values_;
};

}  // namespace steelyard::serve
