#pragma once
/// The items of the morning check that are held against the lifter's own usual, described once for the morning's call and
/// the coach's week.

#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "steelyard/domain/log.hpp"
#include "steelyard/params/limits_model.hpp"
#include "steelyard/series/usual.hpp"

namespace steelyard::decide {

/// Independent sources of information about today's state.
enum class SignalKind { sleep, check, soreness, bar, load, performance, heart, jump };

enum class Scale {
  hours,     ///< of sleep
  rating,    ///< 1-7
  measured,  ///< by an instrument
};

using ItemMember = std::optional<double> Check::*;
using SignalLimits = decltype(LimitsModel::signals);
using FloorLimits = decltype(LimitsModel::floors);

struct ItemSpec {
  std::string_view name;    ///< its column
  std::string_view spoken;  ///< in a sentence
  std::string_view unit;    ///< as spoken after the number
  ItemMember member;
  double bad = 1;  ///< +1 where high is bad, -1 where low is bad
  Scale scale = Scale::rating;
  SignalKind kind = SignalKind::check;  ///< those of one kind count as one source
  bool by_work = false;                 ///< a planned hard week raises it
  double SignalLimits::*least_sd = nullptr;
  bool in_percent = false;               ///< least_sd is % of the own mean
  bool logarithm = false;                ///< judged in ln
  double FloorLimits::*level = nullptr;  ///< of beyond_level; none = it says nothing without an own usual
  std::string_view morning_unit = {};    ///< after the number in a clause of the morning; blank = none
  int digits = 1;                        ///< of the number there

  /// As it is entered: out of ln where it is judged there.
  [[nodiscard]] double entered(double judged) const;
};

/// Those of one kind side by side, in the order in which they are named.
[[nodiscard]] std::span<const ItemSpec> item_specs();
/// domain  the member of one of them
[[nodiscard]] const ItemSpec& item_spec(ItemMember member);

/// Sleep, the ratings together, and soreness are told in sentences of their own; every other kind speaks by itself.
[[nodiscard]] bool is_own_source(const ItemSpec& spec);
/// Odd while the own usual is not known: hours below the level, ratings and measured values from it on.
/// domain  spec.level is set
[[nodiscard]] bool beyond_level(const ItemSpec& spec, double value, const LimitsModel& limits);

/// As they are judged: in ln where the item is.
[[nodiscard]] std::vector<series::Dated> values_of(const AthleteLog& log, const ItemSpec& spec);

/// The least SD that an item is judged with, beside that own mean.
[[nodiscard]] double least_sd(const ItemSpec& spec, double mean, const LimitsModel& limits);

}  // namespace steelyard::decide
