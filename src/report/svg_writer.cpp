#include "report/svg_writer.hpp"

#include <array>
#include <cmath>

#include "steelyard/base/text.hpp"

namespace steelyard::report {
namespace {

/// Lines of the four hatchings inside a tile of 6 units: falling, rising, level, dots.
constexpr std::array<std::string_view, 4> k_tiles{
    "<path d=\"M0 0L6 6M-1 5L1 7M5 -1L7 1\" stroke=\"currentColor\" stroke-width=\"1.4\"/>",
    "<path d=\"M0 6L6 0M-1 1L1 -1M5 7L7 5\" stroke=\"currentColor\" stroke-width=\"0.8\"/>",
    "<path d=\"M0 3H6\" stroke=\"currentColor\" stroke-width=\"1\"/>",
    "<circle cx=\"3\" cy=\"3\" r=\"1.1\" fill=\"currentColor\"/>",
};

std::string stroke_attributes(const Stroke& stroke) {
  std::string text = fmt::format(" stroke=\"currentColor\" stroke-width=\"{}\"", coordinate(stroke.width));
  if (stroke.opacity < 1) text += fmt::format(" stroke-opacity=\"{}\"", format_number(stroke.opacity, 2));
  if (stroke.dashed) text += " stroke-dasharray=\"5 3\"";
  return text;
}

}  // namespace

std::string escaped(std::string_view text) {
  return html_escaped(clean(text, {.color = false, .unicode = true, .width = 80, .units = Unit::kg}));
}

std::string coordinate(double x) {
  return format_number(x, 1);
}

SvgWriter::SvgWriter(double width, double height, std::string_view id, std::string_view title, std::string_view summary)
    : id_(escaped(id)) {
  out_ = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {} {}\" role=\"img\" aria-labelledby=\"{}-t {}-d\" "
      "fill=\"none\"><title id=\"{}-t\">{}</title><desc id=\"{}-d\">{}</desc>",
      coordinate(width), coordinate(height), id_, id_, id_, escaped(title), id_, escaped(summary));
}

void SvgWriter::line(double x1, double y1, double x2, double y2, const Stroke& stroke) {
  put(fmt::format("<path d=\"M{} {}L{} {}\"{}/>", coordinate(x1), coordinate(y1), coordinate(x2), coordinate(y2),
                  stroke_attributes(stroke)));
}

void SvgWriter::dot(double x, double y, double radius, bool filled) {
  put(fmt::format("<circle cx=\"{}\" cy=\"{}\" r=\"{}\" {}/>", coordinate(x), coordinate(y), coordinate(radius),
                  filled ? "fill=\"currentColor\"" : "stroke=\"currentColor\" stroke-width=\"1.2\""));
}

void SvgWriter::square(double x, double y, double side, bool filled) {
  put(fmt::format("<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" stroke=\"currentColor\" stroke-width=\"1.6\"{}/>",
                  coordinate(x - side / 2), coordinate(y - side / 2), coordinate(side), coordinate(side),
                  filled ? " fill=\"currentColor\"" : ""));
}

void SvgWriter::hatched(double x, double y, double width, double height, std::size_t pattern) {
  const std::size_t n = pattern % k_tiles.size();
  const std::string name = fmt::format("{}-h{}", id_, n);
  if (out_.find("id=\"" + name + "\"") == std::string::npos) {
    put(fmt::format("<pattern id=\"{}\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\">{}</pattern>", name,
                    k_tiles.at(n)));
  }
  put(fmt::format("<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"url(#{})\" stroke=\"currentColor\"/>",
                  coordinate(x), coordinate(y), coordinate(width), coordinate(height), name));
}

void SvgWriter::text(double x, double y, std::string_view text, Anchor anchor, double size) {
  constexpr std::array<std::string_view, 3> words{"start", "middle", "end"};
  put(fmt::format("<text x=\"{}\" y=\"{}\" font-size=\"{}\" text-anchor=\"{}\" fill=\"currentColor\">{}</text>",
                  coordinate(x), coordinate(y), coordinate(size), words.at(static_cast<std::size_t>(anchor)),
                  escaped(text)));
}

void SvgWriter::path(const std::string& commands, const Stroke& stroke) {
  if (commands.empty()) return;
  put(fmt::format("<path d=\"{}\" stroke-linejoin=\"round\"{}/>", commands, stroke_attributes(stroke)));
}

std::string SvgWriter::take() {
  out_ += "</svg>";
  return std::move(out_);
}

}  // namespace steelyard::report
