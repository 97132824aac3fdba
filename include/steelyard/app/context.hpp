#pragma once
/// What every use case works with, and whom it is about.

#include <optional>
#include <string>
#include <string_view>

#include "steelyard/base/result.hpp"
#include "steelyard/base/zone.hpp"
#include "steelyard/params/models.hpp"
#include "steelyard/store/store.hpp"

namespace steelyard::app {

struct Context {
  store::Store& store;
  const Models& models;
  Instant now{};
};

/// Days of entries that a call looks back on, and days of plan that it looks ahead to.
inline constexpr int k_days_back = 200;
inline constexpr int k_days_ahead = 21;

/// Whom a command is about: as asked, else the only athlete of the store, else the one of the settings.
/// errors  no_input (no such athlete, with the nearest code; an empty store), usage (several athletes, none named)
[[nodiscard]] Result<Athlete> find_athlete(Context& context, const std::optional<std::string>& asked,
                                           const std::optional<std::string>& settings);

/// The day as asked, else today where the athlete lives.   errors  those of the time zone
[[nodiscard]] Result<Day> day_for(const Context& context, const Athlete& athlete, std::optional<Day> asked);

/// The code of a lift that a person named: that of the model whose word or alias it is, else the word as a code.
[[nodiscard]] std::string lift_of(const Models& models, std::string_view said);

/// The log that a call of that day needs.
[[nodiscard]] Result<AthleteLog> log_around(Context& context, std::string_view athlete, Day day);

}  // namespace steelyard::app
