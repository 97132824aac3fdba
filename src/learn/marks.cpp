#include "steelyard/learn/marks.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "steelyard/domain/vocabulary.hpp"

namespace steelyard::learn {
namespace {

constexpr std::string_view k_strength = "strength:";

std::string spoken_target(std::string_view target) {
  if (target.starts_with(k_strength)) return "strength in the " + spoken_lift(target.substr(k_strength.size()));
  return target == "sleep_quality" ? "sleep quality" : std::string(target);
}

}  // namespace

void MarkSums::add(const Scored& scored) {
  Sums& s = targets_[scored.line.target];
  ++s.forecasts;
  if (!scored.has_scores || !scored.line.observed) return;
  const double y = *scored.line.observed;
  ++s.n;
  s.crps += scored.crps;
  s.error += std::abs(y - scored.line.mean);
  s.usual28 += scored.crps_usual28;
  s.last += scored.crps_last;
  s.ewma += scored.crps_ewma;
  s.covered += y >= scored.line.low80 && y <= scored.line.high80 ? 1 : 0;
  ++s.pit[static_cast<std::size_t>(std::clamp(static_cast<int>(scored.pit * 10), 0, 9))];
}

void MarkSums::join(const MarkSums& other) {
  for (const auto& [target, o] : other.targets_) {
    Sums& s = targets_[target];
    s.n += o.n;
    s.crps += o.crps;
    s.error += o.error;
    s.usual28 += o.usual28;
    s.last += o.last;
    s.ewma += o.ewma;
    s.covered += o.covered;
    for (std::size_t i = 0; i < s.pit.size(); ++i) s.pit[i] += o.pit[i];
    s.forecasts += o.forecasts;
    s.stepped_back += o.stepped_back;
  }
  athletes_ += other.athletes_;
}

void MarkSums::finish(const LearnedState& state, const Learner& learner) {
  const auto note = [&](const std::string& target, const Tally& tally) {
    const auto found = targets_.find(target);
    if (found != targets_.end()) found->second.stepped_back = learner.steps_back(tally) ? 1 : 0;
  };
  for (const LiftState& lift : state.lifts) note(std::string(k_strength) + lift.lift, lift.tally);
  for (std::size_t i = 0; i < state.items.size(); ++i) note(std::string(k_item_words[i]), state.items[i].tally);
}

Marks MarkSums::marks(std::string athlete) const {
  const bool one = !athlete.empty();
  Marks marks{.athlete = std::move(athlete), .athletes = athletes_};
  std::vector<std::string> unscored;
  for (const auto& [target, s] : targets_) {
    TargetMarks t{.target = target, .n = s.n, .pit = s.pit, .stepped_back = s.stepped_back};
    if (s.n > 0) {
      const double n = s.n;
      t.crps = s.crps / n;
      t.mae = s.error / n;
      t.crps_usual28 = s.usual28 / n;
      t.crps_last = s.last / n;
      t.crps_ewma = s.ewma / n;
      if (s.usual28 > 0) t.skill_vs_usual28 = 1 - s.crps / s.usual28;
      t.cover80 = s.covered / n;
    } else {
      unscored.push_back(spoken_target(target));
    }
    if (s.stepped_back > 0) {
      marks.say.push_back(
          one ? fmt::format("For {} the learner has been worse than your mean of 28 days so far, so that "
                            "mean speaks in its place.",
                            spoken_target(target))
              : fmt::format("For {} the mean of 28 days speaks in the learner's place for {} of {} "
                            "athletes: it has been better so far.",
                            spoken_target(target), s.stepped_back, athletes_));
    }
    marks.targets.push_back(std::move(t));
  }
  if (targets_.empty()) {
    marks.say.emplace_back(
        "There is no forecast to mark yet: it takes seven entries of an item, or sessions with rated sets.");
  }
  for (const std::string& target : unscored) {
    marks.say.push_back(fmt::format("{}: not marked yet; the mean of 28 days needs seven values in 28 days.", target));
  }
  return marks;
}

}  // namespace steelyard::learn
