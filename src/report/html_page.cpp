#include <algorithm>

#include "report/svg_writer.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "steelyard/report/html.hpp"
#include "steelyard/report/svg.hpp"
#include "steelyard/report/write.hpp"

namespace steelyard::report {
namespace {

constexpr std::size_t k_chart_days = 84;  // twelve weeks
constexpr std::size_t k_small_days = 28;

/// kind: class of the body
std::string whole_page(std::string_view title, std::string_view kind, std::string_view body) {
  return fmt::format(
      "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
      "<meta name=\"color-scheme\" content=\"light dark\">\n<title>{}</title>\n<style>\n{}</style>\n</head>\n"
      "<body class=\"{}\">\n<main>\n{}</main>\n</body>\n</html>\n",
      escaped(title), sheet_css(), kind, body);
}

template <class Fill>
std::string section(std::string_view id, std::string_view title, const Look& look, const Fill& fill) {
  HtmlSheet sheet(look, id);
  fill(sheet);
  return fmt::format("<section aria-labelledby=\"{}\">\n<h2 id=\"{}\">{}</h2>\n{}</section>\n", id, id, escaped(title),
                     sheet.take());
}

Table item_figures(const ItemTrend& trend) {
  Table table{.columns = {{"morning"}, {"value", true}, {"usual", true}, {"SD", true}}, .rows = {}};
  for (const ItemDay& day : trend.days) {
    table.rows.push_back({short_day(day.date), day.value ? format_number(*day.value, 2) : "-",
                          fixed_or_dash(day.usual, 1), fixed_or_dash(day.usual_sd, 1)});
  }
  return table;
}

void write_items(HtmlSheet& sheet, const LifterReport& report) {
  bool any = false;
  for (const ItemTrend& trend : report.items) {
    const std::string svg = item_svg(trend, "item-" + trend.item);
    any = any || !svg.empty();
    sheet.figure(svg,
                 capitalized(spoken_item(trend.item)) + (trend.item == "sleep_hours" ? "" : ", 1 to 7") +
                     ": dots are mornings, the line is what is usual, the dashed lines one SD around it.",
                 item_figures(trend));
  }
  if (!any) sheet.text("No morning check was entered in these weeks.");
}

/// A group of rows a day: large type leaves no column for it.
std::string wall_rows(const WallLifter& lifter, const Look& look) {
  std::string groups;
  for (const AheadDay& day : lifter.days) {
    std::string rows;
    for (const AheadLift& lift : day.lifts) {
      if (lift.work.kind == DayKind::rest) continue;
      rows += fmt::format(
          "<tr><th scope=\"row\">{}</th><td>{}</td><td class=\"weight\">{}</td><td class=\"box\"></td><td "
          "class=\"box\"></td></tr>\n",
          escaped(capitalized(spoken_lift(lift.lift))), escaped(prescription_text(lift.work, look)),
          lift.weight_kg && lift.work.sets > 0 ? escaped(weight_text(*lift.weight_kg, look)) : "");
    }
    if (rows.empty() && day.note.empty()) continue;
    // Why somebody is off is nobody's business on a wall.
    const std::string_view away = !rows.empty() ? "" : day.note == "meet" ? ": meet" : ": off";
    groups += fmt::format("<tbody>\n<tr><th scope=\"rowgroup\" colspan=\"5\">{}{}</th></tr>\n{}</tbody>\n",
                          escaped(weekday_month_day(day.date)), away, rows);
  }
  return groups;
}

}  // namespace

std::string lifter_page(const LifterReport& report, const Look& look, std::span<const KindBand> bands) {
  std::string who = report.athlete;
  if (!report.name.empty() && report.name != report.athlete) who += ", " + report.name;
  std::string body =
      fmt::format("<h1>{}</h1>\n<p class=\"dim\">{}</p>\n", escaped(who), escaped(long_day(report.call.date)));
  const bool stopped = is_stopped(report.call);
  body += section("today", "Today", look, [&](HtmlSheet& s) { write_today(s, report.call, look, bands); });
  if (!stopped) {  // a stop is not mixed with anything to choose from
    body +=
        section("options", "Today's options", look, [&](HtmlSheet& s) { write_compare(s, report.comparison, look); });
    body += section("ahead", "The days ahead", look, [&](HtmlSheet& s) { write_ahead(s, report.ahead, look); });
  }
  body += section("load", "Load", look, [&](HtmlSheet& s) {
    s.set_loads(last_days(report.loads.days, k_chart_days), report.loads.usual_loads);
    write_loads(s, report.loads, look);
  });
  body += section("strength", "Strength", look, [&](HtmlSheet& s) { write_strength(s, report.strength, look); });
  body += section("mornings", "Mornings against your own usual", look, [&](HtmlSheet& s) { write_items(s, report); });
  return whole_page(fmt::format("{}, {}", report.athlete, format_day(report.call.date)), "report", body);
}

std::string squad_html(const SquadReport& report) {
  std::string grid;
  for (const SquadLifter& lifter : report.lifters) {
    const auto days = last_days(lifter.loads.days, k_small_days);
    std::string words = "nothing was ever entered";
    if (lifter.days_since_entry && *lifter.days_since_entry > 1) {
      words = "silent for " + counted(static_cast<std::size_t>(*lifter.days_since_entry), "day", "days");
    } else if (lifter.days_since_entry) {
      const auto known = [](const DayFigures& d) { return d.status != DayStatus::open; };
      const auto last = std::find_if(days.rbegin(), days.rend(), known);
      const bool summed = last != days.rend() && last->acute7_au;
      words = summed ? fmt::format("{} AU in 7 days", fixed_or_dash(last->acute7_au, 0)) : "7 days: not all known";
    }
    const std::string code = escaped(lifter.athlete);
    grid += fmt::format(
        "<figure class=\"small\" data-athlete=\"{}\"><figcaption><strong>{}</strong><br><span "
        "class=\"dim\">{}</span></figcaption>{}</figure>\n",
        code, code, escaped(words),
        small_load_svg(lifter.athlete, days, lifter.loads.usual_loads, "small-" + lifter.athlete));
  }
  return "<p class=\"dim\">Each on its own scale: a dot is a training day, a tick a rest day, an open dot a day that "
         "nobody logged.</p>\n<div class=\"squad\">\n" +
         grid + "</div>\n";
}

std::string squad_page(const SquadReport& report, const Look& look) {
  std::string body = fmt::format("<h1>Week {}</h1>\n", escaped(format_iso_week(report.week.week)));
  body += section("list", "Whose week needs a look", look, [&](HtmlSheet& s) { write_week(s, report.week); });
  body += "<section aria-labelledby=\"squad\">\n<h2 id=\"squad\">Load of the last four weeks</h2>\n" +
          squad_html(report) + "</section>\n";
  return whole_page("Week " + format_iso_week(report.week.week), "report", body);
}

std::string wall_page(const WallSheet& sheet, const Look& look) {
  const std::string span = format_day(sheet.from) + " to " + format_day(sheet.from + Days{6});
  std::string body =
      fmt::format("<h1>{}{}</h1>\n", sheet.group.empty() ? "" : escaped(sheet.group) + ", ", escaped(span));
  for (const WallLifter& lifter : sheet.lifters) {
    Look own = look;
    own.units = lifter.units.value_or(look.units);
    const std::string rows = wall_rows(lifter, own);
    body += fmt::format("<section class=\"lifter\">\n<h2>{} <span class=\"dim\">{}</span></h2>\n",
                        escaped(lifter.athlete), escaped(span));
    if (lifter.stopped) {
      body += "<p>Speak to the coach before training.</p>\n";
    } else if (rows.empty()) {
      body += "<p>No training is planned.</p>\n";
    } else {
      body +=
          "<table>\n<thead><tr><th scope=\"col\">lift</th><th scope=\"col\">work</th><th scope=\"col\">weight</th>"
          "<th scope=\"col\">done</th><th scope=\"col\">RPE</th></tr></thead>\n" +
          rows + "</table>\n";
    }
    body += "</section>\n";
  }
  return whole_page("Week sheet, " + span, "wall", body);
}

}  // namespace steelyard::report
