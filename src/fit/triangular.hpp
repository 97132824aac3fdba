#pragma once
/// Small dense linear algebra on upper roots U (A = U'U), by hand because nothing here may allocate.

#include <array>
#include <cmath>
#include <cstddef>

namespace steelyard::fit {

template <std::size_t N>
using Square = std::array<std::array<double, N>, N>;

/// Rotates the row [x | y] into [root | z] (Givens rotations). Returns what is left of y: the residual that no change
/// of the coefficients explains, in units of its own forecast SD.
template <std::size_t N>
double absorb(Square<N>& root, std::array<double, N>& z, std::size_t size, std::array<double, N> x, double y) {
  for (std::size_t i = 0; i < size; ++i) {
    if (x[i] == 0) continue;
    auto& pivot_row = root[i];
    const double r = std::sqrt(pivot_row[i] * pivot_row[i] + x[i] * x[i]);
    const double inverse = 1 / r;  // one division instead of two: they are half of the cost
    const double c = pivot_row[i] * inverse;
    const double s = x[i] * inverse;
    pivot_row[i] = r;
    for (std::size_t j = i + 1; j < size; ++j) {
      const double above = pivot_row[j];
      pivot_row[j] = c * above + s * x[j];
      x[j] = c * x[j] - s * above;
    }
    const double above = z[i];
    z[i] = c * above + s * y;
    y = c * y - s * above;
  }
  return y;
}

/// Reflects the rows [rows | rhs], an upper triangle as well, into [root | z] (Householder reflections): the same as
/// absorbing them one by one, with one square root a column instead of one an element. domain  pivots of root not
/// negative
template <std::size_t N>
void merge(Square<N>& root, std::array<double, N>& z, std::size_t size, Square<N> rows, std::array<double, N> rhs) {
  for (std::size_t i = 0; i < size; ++i) {
    auto& pivot_row = root[i];
    double below = 0;
    for (std::size_t k = 0; k <= i; ++k) below += rows[k][i] * rows[k][i];
    if (below == 0) continue;
    const double pivot = pivot_row[i];
    const double norm = std::sqrt(pivot * pivot + below);
    const double v = -below / (pivot + norm);  // pivot - norm, without cancellation
    const double scale = 2 / (v * v + below);
    pivot_row[i] = norm;
    for (std::size_t j = i + 1; j < size; ++j) {
      double sum = v * pivot_row[j];
      for (std::size_t k = 0; k <= i; ++k) sum += rows[k][i] * rows[k][j];
      sum *= scale;
      pivot_row[j] -= sum * v;
      for (std::size_t k = 0; k <= i; ++k) rows[k][j] -= sum * rows[k][i];
    }
    double sum = v * z[i];
    for (std::size_t k = 0; k <= i; ++k) sum += rows[k][i] * rhs[k];
    sum *= scale;
    z[i] -= sum * v;
    for (std::size_t k = 0; k <= i; ++k) rhs[k] -= sum * rows[k][i];
  }
}

/// True if a pivot is nothing but rounding beside its column: the coefficient is not determined by what was seen.
template <std::size_t N>
bool is_undetermined(const Square<N>& root, std::size_t i) {
  double column = 0;
  for (std::size_t k = 0; k <= i; ++k) column += root[k][i] * root[k][i];
  return root[i][i] * root[i][i] <= 1e-28 * column;
}

/// Solves U'a = x.
template <std::size_t N>
std::array<double, N> solve_transposed(const Square<N>& root, std::size_t size, const std::array<double, N>& x,
                                       std::size_t first = 0) {
  std::array<double, N> a{};
  for (std::size_t i = first; i < size; ++i) {
    double s = x[i];
    for (std::size_t k = first; k < i; ++k) s -= root[k][i] * a[k];
    a[i] = s / root[i][i];
  }
  return a;
}

/// Solves U a = z.
template <std::size_t N>
std::array<double, N> solve(const Square<N>& root, std::size_t size, const std::array<double, N>& z) {
  std::array<double, N> a{};
  for (std::size_t i = size; i-- > 0;) {
    double s = z[i];
    for (std::size_t j = i + 1; j < size; ++j) s -= root[i][j] * a[j];
    a[i] = s / root[i][i];
  }
  return a;
}

/// Upper root of a symmetric matrix. Pivots at or below `least` (a share of the diagonal) make a zero row if that is
/// allowed, else the answer is false.
template <std::size_t N>
bool factor(const Square<N>& a, std::size_t size, Square<N>& root, double least, bool zero_rows_allowed) {
  root = {};
  for (std::size_t i = 0; i < size; ++i) {
    for (std::size_t j = i; j < size; ++j) {
      double s = a[i][j];
      for (std::size_t k = 0; k < i; ++k) s -= root[k][i] * root[k][j];
      if (j > i) {
        root[i][j] = root[i][i] > 0 ? s / root[i][i] : 0;
      } else if (s > least * a[i][i]) {
        root[i][i] = std::sqrt(s);
      } else if (!zero_rows_allowed || s < -1e-9 * std::abs(a[i][i])) {
        return false;
      }
    }
  }
  return true;
}

}  // namespace steelyard::fit
