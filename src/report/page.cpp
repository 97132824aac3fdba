#include <algorithm>
#include <array>
#include <numeric>

#include "report/utf8.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/report/sheet.hpp"

namespace steelyard::report {
namespace {

constexpr std::string_view k_glue = "\xC2\xA0";  // no-break space, an ordinary blank again when a line is finished
constexpr std::size_t k_label_width = 12;
constexpr std::size_t k_gap = 2;  // between the columns of a table

void replace_all(std::string& text, std::string_view from, std::string_view to) {
  for (std::size_t at = 0; (at = text.find(from, at)) != std::string::npos; at += to.size()) {
    text.replace(at, from.size(), to);
  }
}

/// Bytes of the longest beginning of at most `width` columns; at least one code point.
std::size_t fitting(std::string_view text, std::size_t width) {
  std::size_t at = 0;
  std::size_t used = 0;
  while (at < text.size()) {
    const std::size_t length = decode(text, at).length;
    used += columns(text.substr(at, length));
    if (used > width && at > 0) return at;
    at += length;
  }
  return at;
}

void pad(std::string& text, std::size_t width, bool right) {
  const std::size_t have = columns(text);
  if (have >= width) return;
  if (right)
    text.insert(0, width - have, ' ');
  else
    text.append(width - have, ' ');
}

/// Widths that fit into `room`: the widest column gives way first, none below 6 as long as another is wider.
std::vector<std::size_t> column_widths(const Table& table, std::size_t room, const Look& look) {
  std::vector<std::size_t> widths;
  for (std::size_t c = 0; c < table.columns.size(); ++c) {
    std::size_t widest = columns(clean(table.columns[c].head, look));
    for (const auto& row : table.rows) {
      if (c < row.size()) widest = std::max(widest, columns(clean(row[c], look)));
    }
    widths.push_back(std::max<std::size_t>(widest, 1));
  }
  const auto total = [&] {
    return std::accumulate(widths.begin(), widths.end(), std::size_t{0}) + k_gap * (widths.size() - 1);
  };
  while (!widths.empty() && total() > room) {
    const auto widest = std::max_element(widths.begin(), widths.end());
    if (*widest == 1) break;
    --*widest;
  }
  return widths;
}

}  // namespace

std::size_t usable_width(const Look& look) {
  return static_cast<std::size_t>(std::clamp(look.width, 40, 80));
}

std::string unbroken(std::string_view text) {
  std::string out(text);
  replace_all(out, " ", k_glue);
  return out;
}

std::string glue_units(std::string_view text) {
  constexpr std::array<std::string_view, 10> units{"kg", "lb", "%", "h", "AU", "cm", "ms", "m/s", "min", "of"};
  std::string out(text);
  for (std::size_t at = 1; (at = out.find(' ', at)) != std::string::npos; ++at) {
    const std::string_view rest = std::string_view(out).substr(at + 1);
    const std::string_view word = rest.substr(0, rest.find_first_of(" ,.;:)"));
    const bool number = out[at - 1] >= '0' && out[at - 1] <= '9';
    if (number && std::find(units.begin(), units.end(), word) != units.end()) out.replace(at, 1, k_glue);
  }
  return out;
}

std::vector<std::string> wrap(std::string_view text, std::size_t width) {
  std::vector<std::string> lines;
  std::string line;
  const auto finish = [&] {
    replace_all(line, k_glue, " ");
    lines.push_back(std::move(line));
    line.clear();
  };
  std::size_t used = 0;  // columns of the line
  for (std::string_view word : split_words(text)) {
    std::size_t room = columns(word);
    if (used > 0 && used + 1 + room > width) {
      finish();
      used = 0;
    }
    if (used > 0) {
      line += ' ';
      ++used;
    }
    while (room > width) {
      const std::size_t part = fitting(word, width);
      line += word.substr(0, part);
      word.remove_prefix(part);
      room = columns(word);
      if (!word.empty()) finish();
    }
    line += word;
    used += room;
  }
  if (!line.empty() || lines.empty()) finish();
  return lines;
}

void Page::emit(std::string_view line, std::size_t indent, Weight weight) {
  const std::size_t end = line.find_last_not_of(' ');
  line = line.substr(0, end == std::string_view::npos ? 0 : end + 1);
  if (!line.empty()) {
    out_.append(indent, ' ');
    const bool typed = look_.color && weight != Weight::plain;
    if (typed) out_ += weight == Weight::bold ? "\x1b[1m" : "\x1b[2m";
    out_ += line;
    if (typed) out_ += "\x1b[0m";
  }
  out_ += '\n';
}

void Page::hanging(std::string_view lead, std::string_view text, std::size_t indent, Weight weight) {
  const std::string head = clean(lead, look_);
  const std::size_t shift = columns(head);
  const std::size_t width = usable_width(look_);
  const std::size_t room = width > indent + shift + 16 ? width - indent - shift : 16;
  bool first = true;
  for (const std::string& line : wrap(glue_units(clean(text, look_)), room)) {
    emit((first ? head : std::string(shift, ' ')) + line, indent, weight);
    first = false;
  }
}

void Page::labelled(std::string_view label, std::string_view text) {
  std::string lead = clean(label, look_);
  pad(lead, k_label_width, false);
  hanging(lead, text, 2);
}

void Page::table(const Table& table) {
  constexpr std::size_t indent = 2;
  const auto widths = column_widths(table, usable_width(look_) - indent, look_);
  const auto row = [&](const std::vector<std::string>& cells, Weight weight) {
    std::vector<std::vector<std::string>> wrapped;
    std::size_t height = 1;
    for (std::size_t c = 0; c < widths.size(); ++c) {
      wrapped.push_back(wrap(glue_units(clean(c < cells.size() ? cells[c] : "", look_)), widths[c]));
      height = std::max(height, wrapped.back().size());
    }
    for (std::size_t r = 0; r < height; ++r) {
      std::string line;
      for (std::size_t c = 0; c < widths.size(); ++c) {
        std::string cell = r < wrapped[c].size() ? wrapped[c][r] : std::string{};
        pad(cell, widths[c], table.columns[c].right);
        if (c > 0) line.append(k_gap, ' ');
        line += cell;
      }
      emit(line, indent, weight);
    }
  };
  std::vector<std::string> heads;
  std::vector<std::string> rules;
  for (std::size_t c = 0; c < widths.size(); ++c) {
    heads.push_back(table.columns[c].head);
    std::string rule;
    for (std::size_t i = 0; i < widths[c]; ++i) rule += look_.unicode ? "\xE2\x94\x80" : "-";
    rules.push_back(rule);
  }
  row(heads, Weight::bold);
  row(rules, Weight::dim);
  for (const auto& cells : table.rows) row(cells, Weight::plain);
}

void Page::drawn(std::string_view row, Weight weight) {
  std::string line = clean(row, look_);
  replace_all(line, k_glue, " ");
  if (columns(line) > usable_width(look_)) line.resize(fitting(line, usable_width(look_)));
  emit(line, 0, weight);
}

void Page::blank() {
  if (!out_.empty()) out_ += '\n';
}

}  // namespace steelyard::report
