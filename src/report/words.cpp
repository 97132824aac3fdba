#include <fmt/format.h>

#include <cmath>

#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "steelyard/report/look.hpp"

namespace steelyard::report {
namespace {

/// Kilogram plates come in steps of 0.25 kg; no common pound plate falls on one.
bool is_kg_plate(double kg) {
  return std::fabs(kg * 4 - std::round(kg * 4)) < 1e-6;
}

std::string plate_number(double kg) {
  return is_kg_plate(kg) ? format_number(kg, 2) : format_number(std::round(kg / k_kg_per_lb * 4) / 4, 2);
}

}  // namespace

std::string times(const Look& look) {
  return look.unicode ? "\xC3\x97" : "x";
}

double in_unit(double kg, const Look& look) {
  return look.units == Unit::lb ? kg / k_kg_per_lb : kg;
}

std::string_view unit_name(const Look& look) {
  return look.units == Unit::lb ? "lb" : "kg";
}

std::string weight_text(double kg, const Look& look) {
  if (look.units == Unit::lb) return unbroken(format_number(std::round(kg / k_kg_per_lb * 2) / 2, 1) + " lb");
  return unbroken(format_number(kg, 2) + " kg");
}

std::string plates_text(const std::vector<double>& plates_kg, const Look& look) {
  if (plates_kg.empty()) return "the bar alone";
  std::string text;
  for (std::size_t i = 0; i < plates_kg.size();) {
    std::size_t same = i;
    while (same < plates_kg.size() && std::fabs(plates_kg[same] - plates_kg[i]) < 1e-9) ++same;
    if (!text.empty()) text += " + ";
    if (same - i > 1) text += fmt::format("{} {} ", same - i, times(look));
    text += plate_number(plates_kg[i]);
    const bool kg = is_kg_plate(plates_kg[i]);
    if (same == plates_kg.size() || is_kg_plate(plates_kg[same]) != kg) text += kg ? " kg" : " lb";
    i = same;
  }
  return unbroken(text);
}

std::string prescription_text(const Prescription& p, const Look& look) {
  if (p.sets == 0) return std::string(word(p.kind));
  return fmt::format("{} {}", word(p.kind),
                     unbroken(fmt::format("{} {} {}", p.sets, times(look), p.reps)) +
                         (p.percent > 0 ? unbroken(" at " + format_number(p.percent, 1) + " %") : ""));
}

std::string short_day(Day day) {
  return unbroken(capitalized(weekday_code(weekday_index(day))) + " " + format_day(day));
}

std::string weekday_month_day(Day day) {
  return capitalized(weekday_code(weekday_index(day))) + " " + format_day(day).substr(5);
}

std::string long_day(Day day) {
  return unbroken(fmt::format("{} {}", weekday_name(day), format_day(day)));
}

std::string whole_text(double x) {
  return format_number(std::round(x), 0);
}

std::string range_text(double low, double high) {
  return unbroken(whole_text(low) + " to " + whole_text(high));
}

std::string counted(std::size_t n, std::string_view one, std::string_view many) {
  return unbroken(fmt::format("{} {}", n, n == 1 ? one : many));
}

std::string fixed_or_dash(const std::optional<double>& value, int decimals) {
  return value ? fmt::format("{:.{}f}", *value, decimals) : "-";
}

}  // namespace steelyard::report
