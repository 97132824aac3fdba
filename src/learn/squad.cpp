#include "steelyard/learn/squad.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "steelyard/fit/bytes.hpp"

namespace steelyard::learn {

namespace {

constexpr std::uint8_t k_prior_version = 1;

Result<fit::SquadPrior> prior_of(const std::vector<std::size_t>& causes, std::vector<fit::PersonSums> people) {
  for (fit::PersonSums& person : people) {
    const fit::PersonSums all = person;
    for (std::size_t i = 0; i < causes.size(); ++i) {
      person.xy[i] = all.xy[causes[i]];
      for (std::size_t j = 0; j < causes.size(); ++j) person.xx[i][j] = all.xx[causes[i]][causes[j]];
    }
  }
  // A variance that runs towards nothing never settles; the floor below makes its last digits worthless.
  return fit::squad_prior(static_cast<int>(causes.size()), people,
                          {.correlated = false, .most_iterations = 400, .tolerance = 1e-6});
}

}  // namespace

Result<LiftPrior> lift_prior(std::span<const fit::PersonSums> people, const LearnModel& model) {
  const auto lifters = static_cast<int>(std::count_if(
      people.begin(), people.end(), [&](const auto& p) { return p.count >= model.evidence.squad_sessions; }));
  if (lifters < model.evidence.squad_lifters) {
    return fail(Errc::failed, fmt::format("{} lifters have {} or more sessions of it; {} are needed", lifters,
                                          model.evidence.squad_sessions, model.evidence.squad_lifters));
  }
  std::vector<fit::PersonSums> enough;
  for (const auto& person : people) {
    if (person.count >= model.evidence.squad_sessions) enough.push_back(person);
  }
  // An item that hardly anybody enters stays as the model has it.
  std::vector<std::size_t> causes;
  for (std::size_t i = 0; i < k_causes; ++i) {
    const auto entered = std::count_if(enough.begin(), enough.end(), [&](const auto& p) { return p.xx[i][i] > 0; });
    if (entered >= model.evidence.squad_lifters) causes.push_back(i);
  }
  auto found = prior_of(causes, enough);
  // Where the sets that count are of two kinds only, weight and repetitions go together: the one that says less is
  // left.
  for (const Cause cause : {Cause::set_reps, Cause::set_percent}) {
    if (found) break;
    std::erase(causes, static_cast<std::size_t>(cause));
    found = prior_of(causes, enough);
  }
  if (!found) return tl::make_unexpected(found.error());
  LiftPrior prior{.mean = model.strength.mean, .sd = model.strength.sd};
  for (std::size_t i = 0; i < causes.size(); ++i) {
    const std::size_t cause = causes[i];
    prior.mean[cause] = found->mean[i];
    // A spread estimated from few people may come out near nothing; nobody is nailed to the squad's mean. The mean
    // itself is known no better than n people tell it.
    const double spread = std::sqrt(found->covariance[i][i] * (1 + 1.0 / static_cast<double>(enough.size())));
    prior.sd[cause] = std::max(spread, model.strength.sd[cause] / 2);
  }
  return prior;
}

std::string save_prior(const LiftPrior& prior) {
  fit::ByteWriter out;
  out.byte(k_prior_version);
  for (const double x : prior.mean) out.number(x);
  for (const double x : prior.sd) out.number(x);
  return std::move(out).bytes();
}

Result<LiftPrior> load_prior(std::string_view bytes) {
  fit::ByteReader in(bytes);
  if (bytes.size() != 1 + 16 * k_causes || in.byte() != k_prior_version) {
    return fail(Errc::bad_data,
                "the stored squad prior is damaged or from another version; 'steelyard learn --squad' "
                "estimates it anew");
  }
  LiftPrior prior;
  for (double& x : prior.mean) x = in.number();
  for (double& x : prior.sd) x = in.number();
  return prior;
}

}  // namespace steelyard::learn
