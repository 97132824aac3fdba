#include "steelyard/learn/squad.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "fit/bytes.hpp"

namespace steelyard::learn {

namespace {
constexpr std::uint8_t k_prior_version = 1;
}

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
  STEELYARD_TRY_ASSIGN(const auto found,
                       fit::squad_prior(static_cast<int>(k_causes), enough, {.correlated = false, .tolerance = 1e-6}));
  LiftPrior prior;
  for (std::size_t i = 0; i < k_causes; ++i) {
    prior.mean[i] = found.mean[i];
    // A spread estimated from few people may come out near nothing; nobody is nailed to the squad's mean.
    prior.sd[i] = std::max(std::sqrt(found.covariance[i][i]), model.strength.sd[i] / 4);
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
