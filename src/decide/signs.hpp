#pragma once
/// Signs that stop or close training, wherever they were entered, and how long they stay open.
/// definition  now, today: no training until a clearance dated on or after the sign; soon: its lifts are left out until
///             the pain there is entered as 0 on two mornings, or cleared; watch: for today
/// source      models/cautions.toml, models/limits.toml [pain]

#include <string>
#include <vector>

#include "morning.hpp"
#include "phrases.hpp"

namespace steelyard::decide {

/// A pain under observation today, below the level that closes a lift.
struct PainWatch {
  std::string site;
  std::string region;
  double level = 0;
  bool rising = false;   ///< over several entries
  bool lighter = false;  ///< cut the load of the lifts concerned
};

struct Signs {
  std::vector<Caution> cautions;  ///< most urgent first
  bool stop = false;              ///< now or today: nothing else is offered
  bool rest_only = false;         ///< fever and the like: no training today
  bool cold = false;              ///< head cold: easy or shortened
  std::vector<PainWatch> watched;
  std::vector<std::string> asks;  ///< questions about words that a note denies
  bool distress = false;          ///< words of distress in the last seven days
  std::optional<Day> last_ill;    ///< last day with an illness sign or an illness day off, before today

  /// The caution that closes this lift; null = none.
  [[nodiscard]] const Caution* closes(std::string_view lift) const;
};

[[nodiscard]] Signs signs_of(const Morning& morning);

/// Levels of one site over the last entries, oldest first: the last ones each above the one before, or a run that never
/// falls and gains clearly.   source  common practice (models/limits.toml [pain])
[[nodiscard]] bool is_rising(const std::vector<double>& levels, const LimitsModel& limits);

/// Lifts that load a region: as mover, support or joint.
[[nodiscard]] std::vector<std::string> lifts_of_region(const LiftsModel& lifts, std::string_view region);
[[nodiscard]] bool loads_region(const LiftModel& lift, std::string_view region);

}  // namespace steelyard::decide
