#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "steelyard/base/text.hpp"
#include "week_findings.hpp"

namespace steelyard::decide {
namespace {

using WeekLimits = decltype(LimitsModel::week);

bool most(std::ptrdiff_t count, std::size_t all, const WeekLimits& limits) {
  return static_cast<double>(count) >= limits.squad_share * static_cast<double>(all);
}

/// The median by which an item got worse, if most of the squad share it.
std::optional<double> common_shift(const std::vector<WeekFacts*>& squad, ItemMember member, const WeekLimits& limits) {
  std::vector<double> worse;
  std::vector<double> in_sd;
  for (const WeekFacts* f : squad) {
    if (const ItemWeek* item = f->item(member)) {
      worse.push_back(item->worse());
      in_sd.push_back(item->worse_sd());
    }
  }
  if (std::ssize(worse) < limits.squad_least) return std::nullopt;
  const auto along = std::count_if(in_sd.begin(), in_sd.end(), [&](double x) { return x >= limits.squad_same_sd; });
  if (!most(along, in_sd.size(), limits) || *series::median(in_sd) < limits.squad_sd) return std::nullopt;
  return series::median(worse);
}

std::string spoken_amount(double amount, std::string_view unit) {
  return fmt::format("{} {}", format_number(amount, 1), unit);
}

std::string spoken_shift(const ItemSpec& spec, double shift) {
  if (spec.scale == Scale::hours)
    return fmt::format("slept about {} less a night than usual", spoken_amount(shift, "h"));
  return fmt::format("{} is {} {}", spec.spoken, spec.bad > 0 ? "up" : "down",
                     spoken_amount(shift, shift == 1 ? "point" : "points"));
}

/// Median week over usual week, if most of the squad did clearly more.
std::optional<double> common_rise(const std::vector<WeekFacts*>& squad, const WeekLimits& limits) {
  std::vector<double> shares;
  for (const WeekFacts* f : squad) {
    if (const auto share = f->load.share_of_usual()) shares.push_back(*share);
  }
  if (std::ssize(shares) < limits.squad_least) return std::nullopt;
  const auto along = std::count_if(shares.begin(), shares.end(), [&](double s) { return s >= limits.squad_more; });
  const double median = *series::median(shares);
  if (!most(along, shares.size(), limits) || median < limits.squad_more) return std::nullopt;
  return median;
}

void take_out_rise(const std::vector<WeekFacts*>& squad, double rise, const WeekLimits& limits) {
  for (WeekFacts* f : squad) {
    const auto share = f->load.share_of_usual();
    if (share && *share <= limits.squad_like * rise && !f->load.explained) f->load.high = false;
  }
}

std::vector<std::string> one_squad(const std::vector<WeekFacts*>& squad, const std::string& who) {
  const WeekLimits& limits = squad.front()->models->limits.week;
  std::vector<std::string> parts;
  for (const ItemSpec& spec : item_specs()) {
    if (spec.scale == Scale::measured) continue;
    const auto shift = common_shift(squad, spec.member, limits);
    if (!shift) continue;
    parts.push_back(spoken_shift(spec, *shift));
    for (WeekFacts* f : squad) {
      for (ItemWeek& item : f->items) {
        if (item.spec == &spec) item.common = *shift;
      }
    }
  }
  const bool planned = most(std::count_if(squad.begin(), squad.end(), [](const auto* f) { return f->tired_by_plan; }),
                            squad.size(), limits);
  std::vector<std::string> say;
  if (const auto rise = common_rise(squad, limits)) {
    take_out_rise(squad, *rise, limits);
    say.push_back(fmt::format("{}'s load was about {} % above usual{}.", who, format_number(100 * (*rise - 1), 0),
                              planned ? ", as planned" : ": one common cause, not one for each"));
  }
  if (!parts.empty()) {
    say.push_back(fmt::format("{}: {}. One common cause{}", who, join_words(parts),
                              planned
                                  ? ", the planned hard week; look again once it is over."
                                  : "; ask for it before asking about anyone alone. Consider a lighter week for all."));
  }
  return say;
}

}  // namespace

bool somewhat_below_squad(const WeekFacts& f) {
  double sum = 0;
  int items = 0;
  int values = 0;
  for (const ItemWeek& item : f.items) {
    if (item.common <= 0) continue;
    sum += item.beyond_squad() / item.scatter;
    ++items;
    values += item.n;
  }
  return items > 0 && sum / items >= 1 / std::sqrt(values);
}

std::vector<std::string> take_out_common(std::vector<WeekFacts>& squad) {
  std::map<std::string, std::vector<WeekFacts*>> groups;
  for (WeekFacts& f : squad) groups[f.log->athlete.group].push_back(&f);
  std::vector<std::string> say;
  for (const auto& [name, members] : groups) {
    const std::string who = groups.size() == 1 || name.empty() ? "The whole squad" : "The whole group " + name;
    for (auto& sentence : one_squad(members, who)) say.push_back(std::move(sentence));
  }
  return say;
}

}  // namespace steelyard::decide
