#include "steelyard/fit/rep_max.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <limits>

namespace steelyard::fit {

namespace {

double table_percent(const StrengthModel& model, double reps) {
  const auto& rows = model.handbook.reps;
  const auto& percent = model.handbook.percent;
  const auto above = std::lower_bound(rows.begin(), rows.end(), reps);
  const auto i = static_cast<std::size_t>(above - rows.begin());
  if (*above == reps) return percent[i];
  const double share = (reps - rows[i - 1]) / (rows[i] - rows[i - 1]);
  return percent[i - 1] + share * (percent[i] - percent[i - 1]);
}

double published(const StrengthModel& model, double r) {
  switch (model.rep_max.curve) {
    case RepMaxCurve::epley:
      return 1 + r / 30;
    case RepMaxCurve::brzycki:
      return 36 / (37 - r);
    case RepMaxCurve::lombardi:
      return std::pow(r, 0.10);
    case RepMaxCurve::oconner:
      return 1 + 0.025 * r;
    case RepMaxCurve::wathan:
      return 100 / (48.8 + 53.8 * std::exp(-0.075 * r));
    case RepMaxCurve::mayhew:
      return 100 / (52.2 + 41.9 * std::exp(-0.055 * r));
    case RepMaxCurve::lander:
      return 100 / (101.3 - 2.67123 * r);
    case RepMaxCurve::handbook:
      return 100 / table_percent(model, r);
  }
  return std::numeric_limits<double>::quiet_NaN();
}

double continuous(const StrengthModel& model, double r) {
  if (r <= 1) return 1;
  if (r < 2) return 1 + (r - 1) * (published(model, 2) - 1);
  return published(model, r);
}

bool descends_from_100(const StrengthModel& model) {
  const auto& reps = model.handbook.reps;
  const auto& percent = model.handbook.percent;
  if (reps.size() < 2 || reps.size() != percent.size() || reps.back() < 2) return false;
  if (reps.front() != 1 || percent.front() != 100 || !(percent.back() > 0)) return false;
  for (std::size_t i = 1; i < reps.size(); ++i) {
    if (!(reps[i] > reps[i - 1]) || !(percent[i] < percent[i - 1])) return false;
  }
  return true;
}

}  // namespace

Result<RepMax> RepMax::make(const StrengthModel& model) {
  RepMax made;
  if (model.rep_max.curve == RepMaxCurve::handbook) {
    if (!descends_from_100(model)) {
      return fail(Errc::bad_data,
                  "the rep-max table needs one percentage for each number of repetitions: repetitions "
                  "ascending from 1 to 2 or more, percentages descending from 100");
    }
    made.most_reps_ = model.handbook.reps.back();
  }
  made.model_ = model;
  return made;
}

Result<double> RepMax::raw_factor(double reps) const {
  if (!(reps >= 1 && reps <= most_reps_)) {
    return fail(Errc::usage,
                fmt::format("{} repetitions are outside the rep-max curve, which goes from 1 to {}", reps, most_reps_));
  }
  return published(model_, reps);
}

Result<double> RepMax::factor(double reps) const {
  if (!(reps > 0 && reps <= most_reps_)) {
    return fail(Errc::usage,
                fmt::format("{} repetitions are outside the rep-max curve, which goes up to {}", reps, most_reps_));
  }
  return continuous(model_, reps);
}

Result<double> RepMax::percent_for(double reps_to_failure) const {
  STEELYARD_TRY_ASSIGN(const double c, factor(reps_to_failure));
  return 100 / c;
}

double RepMax::reps_at(double percent) const {
  const double wanted = 100 / percent;
  if (!(wanted >= 1)) return 0;
  if (wanted >= continuous(model_, most_reps_)) return most_reps_;
  double low = 1;
  double high = most_reps_;
  // 60 halvings of an interval of 30 leave less than the spacing of doubles near 30.
  for (int i = 0; i < 60; ++i) {
    const double middle = low + (high - low) / 2;
    (continuous(model_, middle) <= wanted ? low : high) = middle;
  }
  return low;
}

int RepMax::whole_reps_at(double percent, double rir) const {
  return std::max(0, static_cast<int>(std::floor(reps_at(percent) - rir + 1e-9)));
}

Result<Estimate> RepMax::e1rm(double kg, int reps, double rir) const {
  if (!(kg > 0) || !std::isfinite(kg) || reps < 1 || !(rir >= 0)) {
    return fail(
        Errc::usage,
        fmt::format("a set of {} repetitions with {} kg and {} in reserve says nothing about strength", reps, kg, rir));
  }
  STEELYARD_TRY_ASSIGN(const double c, factor(reps + rir));
  const auto& error = model_.error;
  return Estimate{.kg = kg * c,
                  .sd_percent = error.s0 + error.s1 * std::max(0.0, rir - 1) + error.s2 * std::max(0, reps - 3)};
}

std::optional<Estimate> RepMax::session_e1rm(std::span<const SetResult> sets) const {
  double weights = 0;
  double sum = 0;
  const auto add = [&](double kg, int reps, double rir, int times) {
    if (times < 1 || reps < 1 || reps + rir > model_.rep_max.most_reps) return;
    const auto one = e1rm(kg, reps, rir);
    if (!one || !(one->sd_percent > 0)) return;
    const double weight = times / (one->sd_percent * one->sd_percent);
    weights += weight;
    sum += weight * std::log(one->kg);
  };
  for (const auto& set : sets) {
    if (set.sets < 1 || set.reps < 1) continue;
    const int failed = (set.missed + set.reps - 1) / set.reps;  // sets; all but the first of them without a repetition
    if (failed > 0) add(set.kg, failed * set.reps - set.missed, 0, 1);
    if (set.rpe && *set.rpe >= model_.rep_max.least_rpe) add(set.kg, set.reps, 10 - *set.rpe, set.sets - failed);
  }
  if (weights == 0) return std::nullopt;
  return Estimate{.kg = std::exp(sum / weights), .sd_percent = std::max(1 / std::sqrt(weights), model_.error.s0)};
}

}  // namespace steelyard::fit
