#pragma once
/// Barbell work of each lift and day.

#include <map>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "steelyard/domain/figures.hpp"
#include "steelyard/domain/log.hpp"
#include "steelyard/params/models.hpp"

namespace steelyard::load {

/// Repetitions of all sets of the row, those that were missed left out.
[[nodiscard]] int reps_done(const SetRow& set);

/// Weight of a set in the dose by its RPE: linear between the points of models/load.toml, 1 where the RPE is blank.
[[nodiscard]] double effort_factor(std::optional<double> rpe, const LoadModel& model);

/// A set is hard at RPE >= 7, or without an RPE at >= 75 % of the training max (models/load.toml).
[[nodiscard]] bool is_hard(const SetRow& set, std::optional<double> percent, const LoadModel& model);

/// Kind of a day's work of one lift by its top set: above the percent of heavy work heavy, else speed with as few
/// repetitions as speed days have, else volume.   source  models/limits.toml [spacing], models/day-kinds.toml
[[nodiscard]] DayKind kind_of_work(double top_percent, double top_reps, const Models& models);

/// shape       one LiftDay a day and lift with sets, ascending by date, then lift
/// unit        dose: repetitions at 100 % of the training max; a set without weight or training max adds none
/// definition  dose = sum over sets of repetitions done x (percent / 100)^2 x effort(RPE)
/// source      relative volume as reps x share of 1RM is common practice; the square and the effort weight are ours
[[nodiscard]] std::vector<LiftDay> lift_days(const AthleteLog& log, const Models& models);

/// Dose of every day as lift `lift` feels it: each lift's dose times its overlap with that lift, 1 for the lift itself.
[[nodiscard]] std::map<Day, double> dose_felt(const std::vector<LiftDay>& days, std::string_view lift,
                                              const LiftsModel& lifts);

/// Hard sets of a lift and its variants within [from, to].
[[nodiscard]] int hard_sets(const std::vector<LiftDay>& days, std::string_view lift, Day from, Day to,
                            const LiftsModel& lifts);

/// kg: sets x reps x weight of the sets with a weight, repetitions missed left out. source  common practice
[[nodiscard]] double tonnage(std::span<const SetRow> sets);

}  // namespace steelyard::load
