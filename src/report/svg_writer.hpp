#pragma once
/// SVG 1.1 elements in black on nothing: everything is drawn in the colour of the text around it, so that the same
/// picture serves paper, light and dark.

#include <fmt/format.h>

#include <iterator>
#include <string>
#include <string_view>

#include "steelyard/report/look.hpp"

namespace steelyard::report {

/// Text of any origin for HTML or SVG: cleaned (look.hpp), and & < > " ' as entities.
[[nodiscard]] std::string escaped(std::string_view text);

/// A coordinate with a tenth of a unit kept.
[[nodiscard]] std::string coordinate(double x);

enum class Anchor { start, middle, end };

struct Stroke {
  double width = 1;
  double opacity = 1;
  bool dashed = false;
};

class SvgWriter {
 public:
  /// title: what the picture is. summary: what it shows, for those who cannot see it. id: unique on its page.
  SvgWriter(double width, double height, std::string_view id, std::string_view title, std::string_view summary);

  void line(double x1, double y1, double x2, double y2, const Stroke& stroke = {});
  void dot(double x, double y, double radius, bool filled = true);
  void square(double x, double y, double side, bool filled);
  /// A box filled with the pattern of that number (0-3): told apart without hue.
  void hatched(double x, double y, double width, double height, std::size_t pattern);
  void text(double x, double y, std::string_view text, Anchor anchor = Anchor::middle, double size = 12);
  /// Connected points; begin a new piece with move.
  void path(const std::string& commands, const Stroke& stroke = {});

  [[nodiscard]] std::string take();

 private:
  void put(std::string_view text) { out_ += text; }

  std::string id_;
  std::string out_;
};

}  // namespace steelyard::report
