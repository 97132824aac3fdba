#pragma once
/// The JSON object of a request's body as the cells that files have.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/app/record.hpp"
#include "steelyard/base/result.hpp"

namespace steelyard::serve {

/// One object: texts and numbers as they would stand in a file, lists as words between blanks, null = not given.
class Body {
 public:
  /// An empty text is an empty object.
  /// errors  bad_data (not JSON, not an object, a value of a kind that no cell can hold)
  [[nodiscard]] static Result<Body> parse(std::string_view json);

  /// The cell of a key; taken cells are not among rest().
  [[nodiscard]] std::optional<std::string> take(std::string_view key);
  [[nodiscard]] bool take_flag(std::string_view key);  ///< true only if the value is true
  [[nodiscard]] std::vector<std::string> take_words(std::string_view key);
  /// A list of objects, or one object.
  [[nodiscard]] std::vector<Body> take_objects(std::string_view key);
  [[nodiscard]] const std::vector<app::ColumnText>& rest() const { return cells_; }
  /// errors  bad_data naming the first key that nobody took
  [[nodiscard]] Result<void> expect_empty(std::string_view allowed) const;

 private:
  friend struct BodyReader;
  std::vector<app::ColumnText> cells_;
  std::vector<std::string> flags_;  ///< keys whose value is true
  std::vector<std::pair<std::string, std::vector<Body>>> objects_;
};

}  // namespace steelyard::serve
