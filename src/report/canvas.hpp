#pragma once
/// A grid of one-column cells for charts.

#include <string>
#include <string_view>
#include <vector>

namespace steelyard::report {

class Canvas {
 public:
  Canvas(std::size_t width, std::size_t height) : cells_(height, std::vector<std::string>(width, " ")) {}

  [[nodiscard]] std::size_t width() const { return cells_.empty() ? 0 : cells_[0].size(); }
  void put(std::size_t row, std::size_t column, std::string_view mark) { cells_[row][column] = mark; }
  /// Plain ASCII text from a column on; what does not fit is left out.
  void write(std::size_t row, std::size_t column, std::string_view ascii) {
    for (std::size_t i = 0; i < ascii.size() && column + i < width(); ++i) put(row, column + i, ascii.substr(i, 1));
  }
  [[nodiscard]] bool is_free(std::size_t row, std::size_t column, std::size_t length) const {
    for (std::size_t i = column; i < column + length; ++i) {
      if (i >= width() || cells_[row][i] != " ") return false;
    }
    return true;
  }
  [[nodiscard]] std::string row(std::size_t index) const {
    std::string text;
    for (const auto& cell : cells_[index]) text += cell;
    const auto end = text.find_last_not_of(' ');
    text.resize(end == std::string::npos ? 0 : end + 1);
    return text;
  }

 private:
  std::vector<std::vector<std::string>> cells_;
};

}  // namespace steelyard::report
