#pragma once
/// What can be put on the bar.
/// unit    kg
/// source  discs: IPF rules (25 20 15 10 5 2.5 1.25 kg); an athlete's own bar and plates come first

#include <optional>
#include <span>
#include <vector>

#include "steelyard/domain/call.hpp"
#include "steelyard/domain/log.hpp"
#include "steelyard/params/models.hpp"

namespace steelyard::decide {

struct Gear {
  double bar_kg = 0;
  std::vector<double> plates_kg;  ///< descending; each in enough pairs
};

[[nodiscard]] Gear gear_of(const Athlete& athlete, const LiftsModel& lifts);

/// Plates of one side, heaviest first, that make exactly `total`; none = it cannot be made.
[[nodiscard]] std::optional<std::vector<double>> plates_for(double total_kg, const Gear& gear);

enum class Rounding { nearest, down };
/// The loadable weight nearest to `kg` (of two equally near ones the heavier) or not above it; never below the bar.
[[nodiscard]] double loadable(double kg, const Gear& gear, Rounding rounding);

/// Warm-up sets below a working weight.
[[nodiscard]] std::vector<WarmupSet> warmup_ramp(double working_percent, double training_max_kg, const Gear& gear,
                                                 const LiftsModel& lifts);

}  // namespace steelyard::decide
