#pragma once
/// Load figures as lines of CSV (RFC 4180 with LF). Absent = an empty field; numbers are the shortest exact text.
/// definition  Functions append to a string, so that a caller can write it out in chunks.

#include <cstdint>
#include <string>
#include <string_view>

#include "steelyard/domain/figures.hpp"

namespace steelyard::report {

/// Quoted where the text needs it.
void append_csv_text(std::string& out, std::string_view text);

/// `loads --csv`: every day with the keys of the JSON answer as columns.
[[nodiscard]] std::string_view loads_csv_header();
void append_loads_csv(std::string& out, std::string_view athlete, const DayFigures& day);

/// `last.csv`: the last day of each athlete.
[[nodiscard]] std::string_view last_csv_header();
void append_last_csv(std::string& out, std::string_view athlete, const DayFigures& day);

/// Sums of each column over all days of all athletes; absent figures are left out.
/// unit  as in DayFigures; rows = session rows read, tonnage in kg
struct LoadSums {
  std::int64_t rows = 0;
  std::int64_t days = 0;
  double tonnage = 0;
  double load = 0;
  double acute = 0;
  double chronic = 0;
  double acwr = 0;
  double acwr_unc = 0;
  double ewma_a = 0;
  double ewma_c = 0;
  double ewma_r = 0;
  double monotony = 0;
  double strain = 0;

  void add(const DayFigures& day);
  void add(const LoadSums& other);
};

/// `sum.csv`, whole.
[[nodiscard]] std::string sum_csv(const LoadSums& sums);

}  // namespace steelyard::report
