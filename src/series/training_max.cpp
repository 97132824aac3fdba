#include "steelyard/series/training_max.hpp"

namespace steelyard::series {
namespace {

std::optional<double> written(const AthleteLog& log, std::string_view lift, Day day) {
  std::optional<double> kg;
  for (const TrainingMax& max : log.maxes) {  // ascending by date: the last one that fits holds
    if (max.lift == lift && max.from <= day) kg = max.training_max_kg;
  }
  return kg;
}

}  // namespace

std::optional<double> training_max(const AthleteLog& log, std::string_view lift, Day day, const LiftsModel& lifts) {
  if (const auto own = written(log, lift, day)) return own;
  const LiftModel* model = lifts.find(lift);
  if (model == nullptr || model->variant_of.empty()) return std::nullopt;
  const auto parent = written(log, model->variant_of, day);
  if (!parent) return std::nullopt;
  return *parent * model->variant_share;
}

std::optional<double> percent_of(const AthleteLog& log, const SetRow& set, const LiftsModel& lifts) {
  if (set.percent) return set.percent;
  if (!set.weight_kg) return std::nullopt;
  const auto max = training_max(log, set.lift, set.date, lifts);
  if (!max) return std::nullopt;
  return 100 * *set.weight_kg / *max;
}

}  // namespace steelyard::series
