#include "steelyard/report/csv.hpp"

#include <initializer_list>
#include <optional>

#include "report/digits.hpp"
#include "steelyard/report/json.hpp"

namespace steelyard::report {
namespace {

void append_fields(std::string& out, std::initializer_list<std::optional<double>> values) {
  for (const auto& value : values) {
    out += ',';
    if (value) append_number(out, *value);
  }
}

}  // namespace

void append_csv_text(std::string& out, std::string_view text) {
  if (text.find_first_of(",\"\r\n") == std::string_view::npos) {
    out += text;
    return;
  }
  out += '"';
  for (const char c : text) {
    if (c == '"') out += '"';
    out += c;
  }
  out += '"';
}

std::string_view loads_csv_header() {
  return "athlete,date,status,load_au,estimated,acute7_au,chronic28_au,ratio_coupled,ratio_uncoupled,ewma_acute_au,"
         "ewma_chronic_au,ratio_ewma,monotony,week_strain_au,week_change_percent,unlogged_of_28,ratio_low,ratio_high,"
         "state\n";
}

void append_loads_csv(std::string& out, std::string_view athlete, const DayFigures& day) {
  append_csv_text(out, athlete);
  out += ',';
  out += format_day(day.date);
  out += ',';
  out += status_word(day.status);
  append_fields(out, {day.load_au});
  out += day.estimated ? ",true" : ",false";
  append_fields(out, {day.acute7_au, day.chronic28_au, day.ratio_coupled, day.ratio_uncoupled, day.ewma_acute_au,
                      day.ewma_chronic_au, day.ratio_ewma, day.monotony, day.week_strain_au, day.week_change_percent});
  out += ',';
  append_number(out, day.unlogged_of_28);
  append_fields(out, {day.ratio_low, day.ratio_high});
  out += ',';
  out += state_word(day.state);
  out += '\n';
}

std::string_view last_csv_header() {
  return "athlete,date,load,acute,chronic,acwr,acwr_unc,ewma_a,ewma_c,ewma_r,monotony,strain\n";
}

void append_last_csv(std::string& out, std::string_view athlete, const DayFigures& day) {
  append_csv_text(out, athlete);
  out += ',';
  out += format_day(day.date);
  append_fields(out, {day.load_au, day.acute7_au, day.chronic28_au, day.ratio_coupled, day.ratio_uncoupled,
                      day.ewma_acute_au, day.ewma_chronic_au, day.ratio_ewma, day.monotony, day.week_strain_au});
  out += '\n';
}

void LoadSums::add(const DayFigures& day) {
  ++days;
  load += day.load_au.value_or(0);
  acute += day.acute7_au.value_or(0);
  chronic += day.chronic28_au.value_or(0);
  acwr += day.ratio_coupled.value_or(0);
  acwr_unc += day.ratio_uncoupled.value_or(0);
  ewma_a += day.ewma_acute_au.value_or(0);
  ewma_c += day.ewma_chronic_au.value_or(0);
  ewma_r += day.ratio_ewma.value_or(0);
  monotony += day.monotony.value_or(0);
  strain += day.week_strain_au.value_or(0);
}

void LoadSums::add(const LoadSums& other) {
  rows += other.rows;
  days += other.days;
  tonnage += other.tonnage;
  load += other.load;
  acute += other.acute;
  chronic += other.chronic;
  acwr += other.acwr;
  acwr_unc += other.acwr_unc;
  ewma_a += other.ewma_a;
  ewma_c += other.ewma_c;
  ewma_r += other.ewma_r;
  monotony += other.monotony;
  strain += other.strain;
}

std::string sum_csv(const LoadSums& sums) {
  std::string out = "rows,days,tonnage,load,acute,chronic,acwr,acwr_unc,ewma_a,ewma_c,ewma_r,monotony,strain\n";
  append_number(out, sums.rows);
  out += ',';
  append_number(out, sums.days);
  append_fields(out, {sums.tonnage, sums.load, sums.acute, sums.chronic, sums.acwr, sums.acwr_unc, sums.ewma_a,
                      sums.ewma_c, sums.ewma_r, sums.monotony, sums.strain});
  out += '\n';
  return out;
}

}  // namespace steelyard::report
