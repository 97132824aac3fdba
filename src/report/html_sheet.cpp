#include <algorithm>

#include "report/svg_writer.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "steelyard/report/html.hpp"
#include "steelyard/report/svg.hpp"
#include "steelyard/report/write.hpp"

namespace steelyard::report {
namespace {

constexpr std::string_view k_no_break = "\xC2\xA0";

bool is_digit(char c) {
  return c >= '0' && c <= '9';
}

/// Days in escaped text ("2026-03-02", "03-02") stay on one line: a browser would break them after a hyphen.
std::string days_unbroken(std::string_view text) {
  std::string out;
  for (std::size_t at = 0; at < text.size();) {
    std::size_t end = at;
    while (end < text.size() && (is_digit(text[end]) || (text[end] == '-' && end > at))) ++end;
    while (end > at && text[end - 1] == '-') --end;
    const std::string_view run = text.substr(at, std::max<std::size_t>(1, end - at));
    const bool day = run.size() >= 5 && run[run.size() - 3] == '-' && is_digit(run[run.size() - 5]);
    out += day ? fmt::format("<span class=\"day\">{}</span>", run) : std::string(run);
    at += run.size();
  }
  return out;
}

/// "6 x 2" and "+/- 0.5" as they are printed, glued to their numbers.
std::string printed(std::string_view text) {
  std::string out = glue_units(text);
  for (std::size_t at = 0; (at = out.find("+/- ", at)) != std::string::npos;) out.replace(at, 4, "\u00B1\u00A0");
  for (const std::string_view sign : {" x ", " \u00D7 "}) {
    for (std::size_t at = 1; (at = out.find(sign, at)) != std::string::npos; ++at) {
      const std::size_t after = at + sign.size();
      if (after < out.size() && is_digit(out[at - 1]) && is_digit(out[after]))
        out.replace(at, sign.size(), "\u00A0\u00D7\u00A0");
    }
  }
  return out;
}

/// Escaped, without the blanks that line up columns on a terminal.
std::string piece(std::string_view text) {
  const auto strip = [&] {
    for (bool again = true; again;) {
      again = false;
      text = trim(text);
      if (text.starts_with(k_no_break)) again = true, text.remove_prefix(k_no_break.size());
      if (text.ends_with(k_no_break)) again = true, text.remove_suffix(k_no_break.size());
    }
  };
  strip();
  return days_unbroken(escaped(printed(text)));
}

/// A cell: narrow columns may break it at every blank, but not inside "4 x 8" or between a number and its unit.
std::string loose(std::string_view text) {
  std::string out(text);
  for (std::size_t at = 0; (at = out.find(k_no_break, at)) != std::string::npos;)
    out.replace(at, k_no_break.size(), " ");
  return days_unbroken(escaped(printed(trim(out))));
}

Table load_figures(std::span<const DayFigures> days, std::span<const UsualLoad> usual) {
  Table table{.columns = {{"day"}, {"AU", true}}, .rows = {}};
  for (const DayFigures& day : days) {
    std::string load = fixed_or_dash(day.load_au, 0);
    if (day.status == DayStatus::rest) load = "rest";
    if (day.status == DayStatus::open) load = "under way";
    if (day.status == DayStatus::unlogged) {
      load = "not logged";
      const auto u = std::find_if(usual.begin(), usual.end(), [&](const UsualLoad& x) { return x.date == day.date; });
      if (u != usual.end()) load += "; usually " + range_text(u->low_au, u->high_au);
    }
    table.rows.push_back({short_day(day.date), (day.estimated ? "about " : "") + load});
  }
  return table;
}

Table sum_figures(std::span<const DayFigures> days) {
  Table table{.columns = {{"day"}, {"7 days", true}, {"28-day mean", true}, {"ratio", true}, {"low, high", true}},
              .rows = {}};
  for (const DayFigures& day : days) {
    table.rows.push_back(
        {short_day(day.date), fixed_or_dash(day.acute7_au, 0), fixed_or_dash(day.chronic28_au, 0),
         fixed_or_dash(day.ratio_coupled, 2),
         day.ratio_low && day.ratio_high ? fmt::format("{:.2f} to {:.2f}", *day.ratio_low, *day.ratio_high) : "-"});
  }
  return table;
}

}  // namespace

Look html_look(Unit units) {
  return {.color = false, .unicode = true, .width = 60, .units = units};
}

HtmlSheet::HtmlSheet(const Look& look, std::string_view id, int top) : look_(look), id_(id), top_(top) {}

std::string HtmlSheet::next_id() {
  return fmt::format("{}-{}", id_, ++ids_);
}

void HtmlSheet::open(Open what) {
  if (open_ == what) return;
  if (open_ == Open::list) out_ += "</ul>\n";
  if (open_ == Open::labels) out_ += "</dd></div></dl>\n";
  if (what == Open::list) out_ += "<ul>\n";
  if (what == Open::labels) out_ += "<dl>\n";
  open_ = what;
}

void HtmlSheet::text(std::string_view text, Weight weight) {
  open(Open::nothing);
  const std::string_view kind = weight == Weight::bold  ? " class=\"lead\""
                                : weight == Weight::dim ? " class=\"dim\""
                                                        : "";
  out_ += fmt::format("<p{}>{}</p>\n", kind, piece(text));
}

void HtmlSheet::heading(std::string_view text) {
  open(Open::nothing);
  out_ += fmt::format("<h{}>{}</h{}>\n", top_, piece(text), top_);
}

void HtmlSheet::bullet(std::string_view text) {
  open(Open::list);
  out_ += fmt::format("<li>{}</li>\n", piece(text));
}

void HtmlSheet::labelled(std::string_view label, std::string_view text) {
  const bool first = open_ != Open::labels;
  open(Open::labels);
  if (label.empty() && !first) {
    out_ += fmt::format("</dd><dd>{}", piece(text));
    return;
  }
  if (!first) out_ += "</dd></div>\n";
  out_ += fmt::format("<div><dt>{}</dt><dd>{}", piece(label), piece(text));
}

void HtmlSheet::put_table(const Table& table) {
  out_ += "<table>\n<thead><tr>";
  for (const Column& column : table.columns) {
    const std::string_view side = column.right ? " class=\"right\"" : "";
    if (column.head.empty())
      out_ += fmt::format("<td{}></td>", side);
    else
      out_ += fmt::format("<th scope=\"col\"{}>{}</th>", side, piece(column.head));
  }
  out_ += "</tr></thead>\n<tbody>\n";
  for (const auto& row : table.rows) {
    out_ += "<tr>";
    for (std::size_t c = 0; c < table.columns.size(); ++c) {
      const std::string cell = loose(c < row.size() ? row[c] : "");
      const std::string_view side = table.columns[c].right ? " class=\"right\"" : "";
      if (c == 0 && !cell.empty())
        out_ += fmt::format("<th scope=\"row\"{}>{}</th>", side, cell);
      else
        out_ += fmt::format("<td{}>{}</td>", side, cell);
    }
    out_ += "</tr>\n";
  }
  out_ += "</tbody>\n</table>\n";
}

void HtmlSheet::table(const Table& table) {
  open(Open::nothing);
  put_table(table);
}

void HtmlSheet::figure(std::string_view svg, std::string_view caption, const Table& figures) {
  if (svg.empty()) return;
  open(Open::nothing);
  out_ += fmt::format("<figure><figcaption>{}</figcaption>{}", piece(caption), svg);
  if (!figures.rows.empty()) {
    out_ += "<details><summary>The figures</summary>\n";
    put_table(figures);
    out_ += "</details>";
  }
  out_ += "</figure>\n";
}

void HtmlSheet::fold(std::string_view name) {
  open(Open::nothing);
  if (folding_) out_ += fmt::format("<details class=\"fold\"><summary>{}</summary>\n", piece(name));
}

void HtmlSheet::unfold() {
  open(Open::nothing);
  if (folding_) out_ += "</details>\n";
}

void HtmlSheet::level(const Level& level) {
  figure(level_svg(level, look_, next_id()),
         "Percent of the training max: the open square is the plan, the filled one the call; the hanging weight is "
         "the strength expected today, the line under it where four of five such days fall.");
}

void HtmlSheet::load_chart(std::span<const DayFigures> days) {
  if (!loads_.empty()) days = loads_;
  std::string caption = "Load of each day, AU: a dot is a training day, a tick under the line a rest day";
  const auto has = [&](DayStatus status) {
    return std::any_of(days.begin(), days.end(), [&](const DayFigures& d) { return d.status == status; });
  };
  if (has(DayStatus::unlogged))
    caption += ", an open dot a day that nobody logged, on the line of what that weekday usually carries";
  if (has(DayStatus::open)) caption += ", an open square the day under way";
  if (std::any_of(days.begin(), days.end(), [](const DayFigures& d) { return d.estimated; }))
    caption += "; a dashed stem is an estimate";
  figure(load_svg(days, usual_, next_id()), caption + ".", load_figures(days, usual_));
  figure(
      sums_svg(days, next_id()),
      "7-day sum (whole line) against the weekly mean of 28 days (dashed), AU. A line ends where a day is not known.",
      sum_figures(days));
  figure(
      ratio_svg(days, next_id()),
      "7-day sum / weekly mean of 28 days: the line runs from the low reading (nothing on unlogged days) to the high "
      "one (as usual on them).");
}

void HtmlSheet::strength_chart(const LiftStrength& lift) {
  Table figures{.columns = {{"session"}, {"expected", true}, {"four of five within", true}, {"came", true}},
                .rows = {}};
  for (const StrengthDay& day : lift.days) {
    figures.rows.push_back({short_day(day.date), fixed_or_dash(in_unit(day.expected_kg, look_), 0),
                            range_text(in_unit(day.low80_kg, look_), in_unit(day.high80_kg, look_)),
                            fixed_or_dash(in_unit(day.estimated_kg, look_), 0)});
  }
  figure(
      strength_svg(lift, look_, next_id()),
      fmt::format("Estimated one-repetition maximum, {}: a dot is what a session showed, the line behind it what was "
                  "expected before it, on four of five such days.",
                  unit_name(look_)),
      figures);
}

void HtmlSheet::way_out(const Caution& caution, std::string_view /*athlete*/) {
  open(Open::nothing);
  out_ += fmt::format(
      "<p class=\"way-out\" data-caution=\"{}\">Open since {}. It ends when a licensed practitioner has cleared you, "
      "or when this was entered by mistake; both are kept.</p>\n",
      escaped(caution.id), piece(long_day(caution.since)));
}

std::string HtmlSheet::take() {
  open(Open::nothing);
  return std::move(out_);
}

// ------------------------------------------------------------------------------------------ pieces
std::string today_html(const DayCall& call, const Look& look, std::span<const KindBand> bands) {
  HtmlSheet sheet(look, "today");
  sheet.set_folding();
  write_today(sheet, call, look, bands);
  return sheet.take();
}

std::string compare_html(const Comparison& comparison, const Look& look) {
  HtmlSheet sheet(look, "compare");
  write_compare(sheet, comparison, look);
  return sheet.take();
}

std::string ahead_html(const Ahead& ahead, const Look& look) {
  HtmlSheet sheet(look, "ahead");
  write_ahead(sheet, ahead, look);
  return sheet.take();
}

std::string week_html(const WeekReview& review, const Look& look) {
  HtmlSheet sheet(look, "week");
  sheet.set_folding();
  write_week(sheet, review);
  return sheet.take();
}

std::string loads_html(const LoadReport& report, const Look& look) {
  HtmlSheet sheet(look, "loads");
  write_loads(sheet, report, look);
  return sheet.take();
}

std::string strength_html(const StrengthReport& report, const Look& look) {
  HtmlSheet sheet(look, "strength");
  write_strength(sheet, report, look);
  return sheet.take();
}

}  // namespace steelyard::report
