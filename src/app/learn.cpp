#include "steelyard/app/learn.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <thread>
#include <utility>

#include "app/learned.hpp"
#include "app/read_log.hpp"
#include "app/span.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "steelyard/fit/scores.hpp"
#include "steelyard/learn/marks.hpp"
#include "steelyard/learn/squad.hpp"
#include "steelyard/learn/worth.hpp"
#include "steelyard/series/training_max.hpp"

namespace steelyard::app {
namespace {

constexpr std::string_view k_strength = "strength:";

using Key = std::pair<Day, std::string>;
using Kept = std::map<Key, store::StoredForecast>;

/// Forecasts as they were kept before the fact.
Result<Kept> kept_forecasts(store::Store& store, std::string_view athlete) {
  STEELYARD_TRY_ASSIGN(auto all, store.forecasts(athlete));
  Kept kept;
  for (auto& f : all) {
    Key key{f.date, f.target};
    kept[std::move(key)] = std::move(f);
  }
  return kept;
}

/// A forecast that was kept stands in the place of the one that is remade now. Its distribution is gone but for mean
/// and limits, so that it is scored as the normal with these.
void stand(learn::Scored& scored, const Kept& kept) {
  const auto found = kept.find({scored.line.date, scored.line.target});
  if (found == kept.end() || found->second.made_on != scored.line.made_on) return;
  const store::StoredForecast& f = found->second;
  const auto same = [](double a, double b) { return std::abs(a - b) <= 1e-4 * std::abs(b); };
  if (same(f.mean, scored.line.mean) && same(f.low80, scored.line.low80) && same(f.high80, scored.line.high80)) return;
  scored.line.mean = f.mean;
  scored.line.low80 = f.low80;
  scored.line.high80 = f.high80;
  const double sd = (f.high80 - f.low80) / (2 * fit::k_z90);
  if (!scored.line.observed || !(sd > 0)) return;
  scored.crps = fit::crps_normal(f.mean, sd, *scored.line.observed);
  scored.pit = fit::normal_cdf((*scored.line.observed - f.mean) / sd);
}

struct Marked {
  learn::MarkSums sums;
  std::vector<ForecastLine> lines;
};

Marked mark(const learn::Learner& learner, const AthleteLog& log, Day day, const Kept& kept) {
  Marked marked;
  learn::LearnedState state;
  learner.walk(log, day, state, [&](const learn::Scored& made) {
    learn::Scored scored = made;
    scored.line.athlete = log.athlete.athlete;
    stand(scored, kept);
    marked.sums.add(scored);
    marked.lines.push_back(std::move(scored.line));
  });
  marked.sums.finish(state, learner);
  std::sort(marked.lines.begin(), marked.lines.end(), [](const ForecastLine& a, const ForecastLine& b) {
    return std::tie(a.date, a.target) < std::tie(b.date, b.target);
  });
  return marked;
}

/// Runs work(i) for every i on all processors.
template <class Work>
void on_all_processors(std::size_t n, Work work) {
  const std::size_t threads = std::min<std::size_t>(n, std::max(1U, std::thread::hardware_concurrency()));
  std::vector<std::thread> pool;
  for (std::size_t t = 0; t < threads; ++t) {
    pool.emplace_back([&, t] {
      for (std::size_t i = t; i < n; i += threads) work(i);
    });
  }
  for (std::thread& thread : pool) thread.join();
}

struct Lifter {
  AthleteLog log;
  LearnerInForce in_force;
  Day day{};
};

/// Athletes are read and walked in portions, so that a large squad does not fill the memory.
constexpr std::size_t k_portion = 64;

template <class Each>
Result<void> in_portions(Context& context, const std::vector<Athlete>& athletes, std::optional<Day> day, Each each) {
  for (std::size_t from = 0; from < athletes.size(); from += k_portion) {
    const std::size_t to = std::min(athletes.size(), from + k_portion);
    std::vector<Lifter> lifters;
    for (std::size_t i = from; i < to; ++i) {
      STEELYARD_TRY_ASSIGN(const Day today, day_for(context, athletes[i], day));
      STEELYARD_TRY_ASSIGN(AthleteLog log, read_log(context, athletes[i].athlete, k_first_day, today));
      STEELYARD_TRY_ASSIGN(LearnerInForce in_force, learner_for(context, log.first_entry));
      lifters.push_back({std::move(log), std::move(in_force), today});
    }
    STEELYARD_TRY(each(lifters));
  }
  return {};
}

std::vector<LearnedTarget> targets_of(const learn::Learner& learner, const learn::LearnedState& state) {
  std::vector<LearnedTarget> targets;
  for (const learn::LiftState& lift : state.lifts) {
    targets.push_back({.target = std::string(k_strength) + lift.lift,
                       .observations = lift.sessions,
                       .scored = lift.tally.n,
                       .usual_work = lift.work.usual,
                       .noise_sd = learner.noise_sd(lift),
                       .steps_back = learner.steps_back(lift.tally)});
  }
  for (std::size_t i = 0; i < state.items.size(); ++i) {
    const auto& item = state.items[i];
    if (!item.started) continue;
    targets.push_back({.target = std::string(k_item_words[i]),
                       .observations = item.values,
                       .scored = item.tally.n,
                       .usual_work = item.work.usual,
                       .noise_sd = learner.noise_sd(item),
                       .steps_back = learner.steps_back(item.tally)});
  }
  return targets;
}

}  // namespace

Result<learn::Today> learned_today(Context& context, const AthleteLog& log, Day day) {
  STEELYARD_TRY_ASSIGN(Learned learned, learned_before(context, log, day));
  learn::Today today = learned.in_force.learner.today(log, day, std::move(learned.state));
  std::vector<store::StoredForecast> forecasts;
  for (const learn::LiftToday& lift : today.lifts) {
    const bool trained = std::any_of(log.sets.begin(), log.sets.end(),
                                     [&](const SetRow& s) { return s.date == day && s.lift == lift.lift; });
    const auto max = series::training_max(log, lift.lift, day, context.models.lifts);
    if (trained || !max) continue;  // what is known already is not forecast any more
    forecasts.push_back({.athlete = log.athlete.athlete,
                         .date = day,
                         .target = std::string(k_strength) + lift.lift,
                         .made_on = day,
                         .mean = lift.expected.percent / 100 * *max,
                         .low80 = lift.expected.low80 / 100 * *max,
                         .high80 = lift.expected.high80 / 100 * *max,
                         .observed = std::nullopt});
  }
  if (!forecasts.empty()) STEELYARD_TRY(context.store.save_forecasts(forecasts));
  return today;
}

Result<StrengthReport> strength(Context& context, const Athlete& athlete, Day day) {
  STEELYARD_TRY_ASSIGN(const AthleteLog log, read_log(context, athlete.athlete, k_first_day, day + Days{k_days_ahead}));
  STEELYARD_TRY_ASSIGN(const LearnerInForce in_force, learner_for(context, log.first_entry));
  learn::LearnedState state;
  std::map<std::string, std::vector<StrengthDay>> days;
  const auto watch = [&](const learn::Scored& scored) {
    const ForecastLine& line = scored.line;
    if (!line.target.starts_with(k_strength)) return;
    days[line.target.substr(k_strength.size())].push_back({.date = line.date,
                                                           .expected_kg = line.mean,
                                                           .low80_kg = line.low80,
                                                           .high80_kg = line.high80,
                                                           .estimated_kg = line.observed.value_or(0)});
  };
  in_force.learner.walk(log, day - Days{1}, state, watch);
  const learn::Today today = in_force.learner.today(log, day, state);
  in_force.learner.walk(log, day, state, watch);
  StrengthReport report{.athlete = athlete.athlete, .date = day, .lifts = {}};
  for (const learn::LiftState& lift : state.lifts) {
    auto shown = learn::lift_strength(log, day, lift, in_force.learner, std::move(days[lift.lift]));
    if (const auto* now = today.find(lift.lift)) shown.now = now->expected;
    report.lifts.push_back(std::move(shown));
  }
  return report;
}

Result<MarkedForecasts> marks(Context& context, const Athlete& athlete, Day day) {
  STEELYARD_TRY_ASSIGN(const AthleteLog log, read_log(context, athlete.athlete, k_first_day, day));
  STEELYARD_TRY_ASSIGN(const LearnerInForce in_force, learner_for(context, log.first_entry));
  STEELYARD_TRY_ASSIGN(const Kept kept, kept_forecasts(context.store, athlete.athlete));
  Marked marked = mark(in_force.learner, log, day, kept);
  return MarkedForecasts{marked.sums.marks(athlete.athlete), std::move(marked.lines)};
}

Result<MarkedForecasts> marks_of_squad(Context& context, const std::vector<Athlete>& athletes, std::optional<Day> day) {
  if (athletes.empty()) return fail(Errc::no_input, "the store holds no athlete yet");
  std::optional<learn::MarkSums> sums;
  MarkedForecasts all;
  const auto portion = [&](const std::vector<Lifter>& lifters) -> Result<void> {
    std::vector<Kept> kept;
    for (const Lifter& lifter : lifters) {
      STEELYARD_TRY_ASSIGN(kept.emplace_back(), kept_forecasts(context.store, lifter.log.athlete.athlete));
    }
    std::vector<Marked> marked(lifters.size());
    on_all_processors(lifters.size(), [&](std::size_t i) {
      marked[i] = mark(lifters[i].in_force.learner, lifters[i].log, lifters[i].day, kept[i]);
    });
    for (Marked& one : marked) {
      if (sums) {
        sums->join(one.sums);
      } else {
        sums = one.sums;
      }
      std::move(one.lines.begin(), one.lines.end(), std::back_inserter(all.lines));
    }
    return {};
  };
  STEELYARD_TRY(in_portions(context, athletes, day, portion));
  all.marks = sums->marks("");
  return all;
}

Result<LearnReport> learned_state(Context& context, const Athlete& athlete, Day day) {
  STEELYARD_TRY_ASSIGN(const AthleteLog log, log_around(context, athlete.athlete, day));
  STEELYARD_TRY_ASSIGN(const Learned learned, learned_before(context, log, day));
  return LearnReport{.athlete = athlete.athlete,
                     .through = learned.state.through,
                     .targets = targets_of(learned.in_force.learner, learned.state)};
}

Result<std::size_t> learn_all(Context& context, const std::vector<Athlete>& athletes, std::optional<Day> day) {
  const auto portion = [&](const std::vector<Lifter>& lifters) -> Result<void> {
    std::vector<std::vector<store::StoredState>> states(lifters.size());
    on_all_processors(lifters.size(), [&](std::size_t i) {
      learn::LearnedState state;
      states[i] = states_of(lifters[i].in_force, lifters[i].log, state, lifters[i].day - Days{1});
    });
    for (std::size_t i = 0; i < lifters.size(); ++i) {
      STEELYARD_TRY(context.store.drop_states(lifters[i].log.athlete.athlete, k_first_day));
      STEELYARD_TRY(context.store.save_states(states[i]));
    }
    return {};
  };
  STEELYARD_TRY(in_portions(context, athletes, day, portion));
  return athletes.size();
}

Result<LearnReport> learn_squad(Context& context, const std::vector<Athlete>& athletes, std::optional<Day> day) {
  // Each lifter's rows are those of the model's own prior: a squad prior must not be estimated from itself.
  STEELYARD_TRY_ASSIGN(const learn::Learner learner, learn::Learner::make(context.models));
  if (athletes.empty()) return fail(Errc::no_input, "the store holds no athlete yet");
  STEELYARD_TRY_ASSIGN(const Day estimated, day_for(context, athletes.front(), day));
  LearnReport report;
  for (const LiftModel& lift : context.models.lifts.lifts) {
    if (!lift.main) continue;
    std::vector<fit::PersonSums> people;
    const auto portion = [&](const std::vector<Lifter>& lifters) -> Result<void> {
      std::vector<fit::PersonSums> some(lifters.size());
      on_all_processors(lifters.size(), [&](std::size_t i) {
        some[i] = learner.person_sums(lifters[i].log, lift.lift, lifters[i].day);
      });
      people.insert(people.end(), some.begin(), some.end());
      return {};
    };
    STEELYARD_TRY(in_portions(context, athletes, day, portion));
    const auto anybody = std::any_of(people.begin(), people.end(), [](const auto& p) { return p.count > 0; });
    if (!anybody) continue;
    const auto prior = learn::lift_prior(people, context.models.response);
    if (!prior) {
      report.say.push_back(fmt::format("{}: no squad prior, {}. Everybody keeps the general one.",
                                       spoken_lift(lift.lift), prior.error().what));
      continue;
    }
    STEELYARD_TRY(context.store.save_states({{.athlete = "",
                                              .target = "squad:" + lift.lift,
                                              .date = estimated,
                                              .model_digest = context.models.digest,
                                              .bytes = learn::save_prior(*prior)}}));
    for (std::size_t i = 0; i < k_causes; ++i) {
      report.squad.push_back(
          {.lift = lift.lift, .cause = std::string(fit::cause_words()[i]), .mean = prior->mean[i], .sd = prior->sd[i]});
    }
    report.say.push_back(
        fmt::format("{}: who begins after {} starts from the squad.", spoken_lift(lift.lift), format_day(estimated)));
  }
  if (report.say.empty()) report.say.emplace_back("Nobody has sessions of a main lift with rated sets yet.");
  return report;
}

}  // namespace steelyard::app
