#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>

#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "steelyard/report/text.hpp"
#include "steelyard/report/write.hpp"

namespace steelyard::report {
namespace {

constexpr std::size_t k_label_column = 18;
constexpr std::size_t k_option_column = 18;

std::string whole(const std::optional<double>& value, std::string_view unit) {
  return value ? unbroken(whole_text(*value) + std::string(unit)) : "";
}

std::string expected(const Option& o) {
  if (!o.expected_percent) return "";
  std::string text = whole(o.expected_percent, " %");
  if (o.expected_low80 && o.expected_high80) text += " (" + range_text(*o.expected_low80, *o.expected_high80) + ")";
  return text;
}

std::string spacing(const Option& o) {
  if (!o.hours_before && !o.hours_after) return "";
  const auto side = [](const std::optional<double>& h) { return h ? whole_text(*h) : "-"; };
  return unbroken(side(o.hours_before) + " and " + side(o.hours_after) + " h");
}

struct Line {
  std::string_view label;
  std::function<std::string(const Option&)> cell;
};

/// Options beside each other, a row for each thing that is known of any of them.
void write_options(Sheet& page, std::span<const Option> options, const Look& look) {
  const std::vector<Line> lines{
      {"today", [&](const Option& o) { return prescription_text(o.today, look); }},
      {"heavy on", [](const Option& o) { return o.heavy_on ? short_day(*o.heavy_on) : ""; }},
      {"expected then", expected},
      {"chance above cap", [](const Option& o) { return whole(o.cap_chance, " %"); }},
      {"overall soreness", [](const Option& o) { return o.soreness ? format_number(*o.soreness, 1) + " of 7" : ""; }},
      {"hours each side", spacing},
      {"7-day load", [](const Option& o) { return whole(o.week_load_au, " AU"); }},
      {"ratio after it", [](const Option& o) { return o.ratio ? fixed_or_dash(o.ratio, 2) : ""; }},
      {"loses", [](const Option& o) { return join_words(o.loses); }},
      {"breaks",
       [](const Option& o) {
         std::vector<std::string> names;
         for (const auto& id : o.broken) names.push_back(spoken_lift(id));
         return join_words(names);
       }},
  };
  Table table;
  table.columns.push_back({"", false});
  for (const Option& o : options) table.columns.push_back({o.name + (o.chosen ? " (the call)" : ""), false});
  for (const Line& line : lines) {
    std::vector<std::string> row{std::string(line.label)};
    bool any = false;
    for (const Option& o : options) {
      const std::string cell = line.cell(o);
      any = any || !cell.empty();
      row.push_back(cell.empty() ? "-" : cell);
    }
    if (any) table.rows.push_back(std::move(row));
  }
  page.table(table);
}

}  // namespace

void write_compare(Sheet& page, const Comparison& comparison, const Look& look) {
  if (comparison.say.empty()) {
    page.text(comparison.options.empty() ? "There is nothing to compare today." : "Today's options:", Weight::bold);
  } else {
    page.text(comparison.say[0], Weight::bold);
    for (std::size_t i = 1; i < comparison.say.size(); ++i) page.bullet(comparison.say[i]);
  }
  const std::span<const Option> options(comparison.options);
  const std::size_t beside = std::max<std::size_t>(1, (usable_width(look) - k_label_column - 2) / k_option_column);
  for (std::size_t i = 0; i < options.size(); i += beside) {
    page.blank();
    write_options(page, options.subspan(i, std::min(beside, options.size() - i)), look);
  }
  if (!options.empty()) {
    page.blank();
    if (std::any_of(options.begin(), options.end(), [](const Option& o) { return o.ratio.has_value(); })) {
      page.text(k_ratio_note, Weight::dim);
    }
  }
  const std::string lift = comparison.lift.empty() ? "" : spoken_lift(comparison.lift) + ", ";
  page.text(fmt::format("{}, {}{}.", comparison.athlete, lift, long_day(comparison.date)), Weight::dim);
}

std::string compare_text(const Comparison& comparison, const Look& look) {
  Page page(look);
  write_compare(page, comparison, look);
  return page.take();
}

}  // namespace steelyard::report
