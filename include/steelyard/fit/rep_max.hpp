#pragma once
/// Rep-max curves: what a set says about the one-repetition maximum (1RM), and what a share of the 1RM allows.
/// definition  1RM = kg x c(r), r = repetitions to failure = repetitions done + repetitions in reserve (RIR, which
///             is 10 - RPE). The published formulas do not agree at r = 1; the program's own factor is 1 at r <= 1, a
///             straight line from 1 to c(2) up to r = 2, and the published c(r) above
/// unit        kg, repetitions, %
/// source      Epley 1985; Brzycki 1993, J Phys Educ Recreat Dance 64(1):88-90 (the form 36/(37 - r)); Lombardi 1989;
///             O'Conner, Simmons, O'Shea 1989; Wathan 1994; Mayhew et al. 1992, J Appl Sport Sci Res 6:200-206; Lander
///             1985, NSCA J 6(6):60-61; table: Haff & Triplett (eds) 2016, Essentials of Strength Training and
///             Conditioning, 4th ed., ch. 17, whose rows are parameters (models/strength.toml)

#include <optional>
#include <span>
#include <vector>

#include "steelyard/base/result.hpp"
#include "steelyard/params/models.hpp"

namespace steelyard::fit {

/// One repetition maximum as one source of information sees it.
struct Estimate {
  double kg = 0;
  double sd_percent = 0;  ///< standard deviation of 100 ln(kg)
};

/// Sets of one lift of one session that were alike.
struct SetResult {
  double kg = 0;
  int reps = 0;  ///< attempted, in each
  int sets = 1;
  std::optional<double> rpe = std::nullopt;  ///< of the set, 1-10
  int missed = 0;  ///< of the last set's repetitions, not done: it ended at failure (RIR 0); more than those are of the
                   ///< sets before it
};

/// The chosen curve with its error model. Immutable; any thread may use it.
class RepMax {
 public:
  /// errors  bad_data: a table whose repetitions do not ascend from 1 or whose percentages do not descend from 100 (only
  ///         checked where the table is the curve)
  [[nodiscard]] static Result<RepMax> make(const StrengthModel& model);

  /// c(r) as published, also at r = 1.
  /// domain  1 <= r <= most_reps()     errors  usage: outside of it
  [[nodiscard]] Result<double> raw_factor(double reps) const;
  /// The program's own c(r), continuous and never below 1.   domain  0 < r <= most_reps()   errors  usage: outside of
  /// it
  [[nodiscard]] Result<double> factor(double reps) const;
  /// 30 for a formula (all of them are finite and ascending up to there), the last row for the table.
  [[nodiscard]] double most_reps() const { return most_reps_; }

  /// 100 / factor(reps to failure): the heaviest percentage that allows them.    domain, errors  as factor
  [[nodiscard]] Result<double> percent_for(double reps_to_failure) const;
  /// The inverse: repetitions to failure at a percentage of the 1RM, as a real number; 0 above 100 %, at most
  /// most_reps() however light the bar.    domain  percent > 0      accuracy  1e-12 (bisection)
  [[nodiscard]] double reps_at(double percent) const;
  /// Whole repetitions that leave `rir` in reserve; 0 if none do. reps_at may fall short of a whole number by a
  /// rounding error (30 (1/0.75 - 1) is 9.999999999999998 in doubles), so it counts as reached within 1e-9.
  [[nodiscard]] int whole_reps_at(double percent, double rir) const;

  /// 1RM by one set; SD = s0 + s1 max(0, RIR - 1) + s2 max(0, reps - 3).
  /// domain  kg > 0, reps >= 1, rir >= 0, reps + rir <= most_reps()    errors  usage: outside of it
  [[nodiscard]] Result<Estimate> e1rm(double kg, int reps, double rir) const;

  /// 1RM by the sets of one session, in logarithms and weighted by precision. A set counts if it was missed or rated at
  /// the least RPE or more, with at least one repetition done and no more repetitions to failure than allowed
  /// (model.rep_max). The SD never falls below s0: the sets of one session share their day and their lifter's way of
  /// rating. Nothing where no set counts.
  [[nodiscard]] std::optional<Estimate> session_e1rm(std::span<const SetResult> sets) const;

 private:
  RepMax() = default;
  double most_reps_ = 30;
  StrengthModel model_;
};

}  // namespace steelyard::fit
