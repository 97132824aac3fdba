#include "expected.hpp"

#include <algorithm>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>

namespace steelyard::decide {

bool light_only_break(const Morning& m, const LiftFacts& f) {
  if (!m.layoff) return false;
  const auto& steps = m.models->limits.comeback.steps;
  return std::any_of(steps.begin(), steps.end(), [&](const auto& step) {
    return step.light_only && m.layoff->days >= step.from_days && m.layoff->days <= step.to_days &&
           f.sessions_since_break < step.sessions;
  });
}

std::optional<ExpectedStrength> expected_strength(const Morning& m, const LiftFacts& f) {
  // After such a break nobody knows what the lift will show.
  if (light_only_break(m, f) && !m.layoff->unlogged) return std::nullopt;
  const learn::LiftToday* learned = m.learned == nullptr ? nullptr : m.learned->find(f.lift);
  if (learned != nullptr) return learned->expected;
  if (!f.training_max_kg) return std::nullopt;
  const auto& recent = m.models->strength.recent;
  std::vector<double> logs;
  double error = recent.least_sd;
  for (auto point = f.strength.rbegin(); point != f.strength.rend(); ++point) {
    if (static_cast<int>(logs.size()) >= recent.sessions || point->date < m.today - Days{7 * recent.weeks}) break;
    if (f.plan.kind != DayKind::light && f.plan.kind != DayKind::rest && point->kind != f.plan.kind) continue;
    logs.push_back(100 * std::log(point->kg / *f.training_max_kg));
    error = std::max(error, point->sd_percent);
  }
  if (std::ssize(logs) < recent.least_sessions) return std::nullopt;
  const auto usual = series::moments(logs);
  const auto n = static_cast<double>(logs.size());
  const double sd = std::max(usual->sd, error) * std::sqrt(1 + 1 / n);
  const double t = boost::math::quantile(boost::math::students_t(n - 1), 0.9);
  ExpectedStrength expected;
  expected.percent = 100 * std::exp(usual->mean / 100);
  expected.low80 = 100 * std::exp((usual->mean - t * sd) / 100);
  expected.high80 = 100 * std::exp((usual->mean + t * sd) / 100);
  expected.sessions = static_cast<int>(logs.size());
  return expected;
}

}  // namespace steelyard::decide
