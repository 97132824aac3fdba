#pragma once
/// What one lifter's strength in one lift follows: training, sleep, the morning check, the bar.
/// observation y = 100 ln(e1RM / reference max), "log points": about per cent of the reference max
/// definition  regressors [1, G - 1, -(H - 1), sleep, fatigue, stress, soreness of this lift's movers, mood, bar speed,
///             (percent - 75)/10, (reps - 5)/5]. G and H are the slow and the fast response (impulse.hpp) to relative
///             dose, as they stand in the morning; the last two belong to the set as prescribed, so that they are known
///             before it and hold the lifter's own rep-max curve. Every pair of time constants is a member of a grid
///             (grid.hpp); each learns with forgetting (engine.hpp)
/// domain      morning items are deviations from the lifter's own usual in own SD, positive = more of the item (more
///             sleep, more stress); nothing = not recorded, which widens the forecast
/// use         every calendar day: step(state, dose of the day before); then forecast before the session, update after
///             it. States may be copied to play the days ahead
/// cost        no allocation in step, forecast and update; a day's step and update take under 20 microseconds for 12
///             members
/// source      Banister et al. 1975; West & Harrison 1997; Raftery et al. 2010; see the model's values for theirs

#include <array>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/base/result.hpp"
#include "steelyard/fit/grid.hpp"
#include "steelyard/params/response.hpp"

namespace steelyard::fit {

/// "level" .. "set-reps", in the order of Cause.
[[nodiscard]] std::span<const std::string_view> cause_words();

/// The set as prescribed, as its two regressors: percent of the training max and repetitions, from a middle set and in
/// units of these.
inline constexpr double k_points_a_unit = 10;
inline constexpr double k_reps_a_unit = 5;
struct SetTerms {
  double percent = 0;
  double reps = 0;
};
[[nodiscard]] constexpr SetTerms set_terms(double percent, double reps) {
  return {.percent = (percent - 75) / k_points_a_unit, .reps = (reps - 5) / k_reps_a_unit};
}

/// What is known on the morning of a session, before it.
struct ResponseInputs {
  std::optional<double> sleep;
  std::optional<double> fatigue;
  std::optional<double> stress;
  std::optional<double> soreness;
  std::optional<double> mood;
  std::optional<double> bar_speed;  ///< of the first warm-up
  double percent = 75;              ///< of the set as prescribed, of the training max
  double reps = 5;
  /// SD (%) of the estimate that this very set will give (RepMax::e1rm at the target RIR); nothing = that of a single.
  std::optional<double> sd_percent;
};

struct StrengthObservation {
  double log_points = 0;  ///< 100 ln(e1RM / reference max)
  double sd_percent = 0;  ///< of the estimate: RepMax::session_e1rm
};

struct StrengthForecast {
  Mixture distribution;  ///< of the observation, in log points
  Range80 log_points;
  PerCause share{};  ///< of the mean, in log points; they add up to it

  /// The same in % of the reference max.
  [[nodiscard]] Range80 percent() const;
};

struct ResponseState {
  GridState grid;
  std::array<double, k_max_members> fitness{};    ///< G, per time constant
  std::array<double, k_max_members> tiredness{};  ///< H
};

/// Usual dose of a calendar day: the mean of the first 28 known days, which never changes again. Nothing under 28 known
/// days, or where nothing was done on them.
[[nodiscard]] std::optional<double> usual_dose(std::span<const std::optional<double>> days);

class StrengthResponse {
 public:
  /// errors  usage: time constants not positive or not 1 to 12 pairs; SDs or discounts outside of their range
  [[nodiscard]] static Result<StrengthResponse> make(const ResponseModel& model);

  /// As after long unchanged training: G = H = 1.
  [[nodiscard]] ResponseState start() const;
  /// One calendar day on. dose_of_yesterday: relative to usual_dose; nothing = not known, taken as usual.
  void step(ResponseState& state, std::optional<double> dose_of_yesterday) const;
  /// Of what the set as prescribed will say, in log points: with cdf, the chance that strength is less than a plan
  /// needs.
  [[nodiscard]] Mixture distribution(const ResponseState& state, const ResponseInputs& inputs) const;
  /// Of the mean of that distribution, in log points, what each cause adds.
  [[nodiscard]] PerCause shares(const ResponseState& state, const ResponseInputs& inputs) const;
  /// Both with the interval; costs up to 60 times as much (bisection).
  [[nodiscard]] StrengthForecast forecast(const ResponseState& state, const ResponseInputs& inputs) const;
  /// domain  sd_percent > 0
  void update(ResponseState& state, const ResponseInputs& inputs, const StrengthObservation& seen) const;

  /// Means of what one unit of each cause is worth to this lifter so far.
  [[nodiscard]] PerCause effects(const ResponseState& state) const;
  /// One of them as it is known, and its interval.
  [[nodiscard]] Mixture coefficient(const ResponseState& state, Cause cause) const;
  [[nodiscard]] Range80 effect(const ResponseState& state, Cause cause) const;

  /// errors of load  bad_data: damaged, or of another model
  [[nodiscard]] std::string save(const ResponseState& state) const;
  [[nodiscard]] Result<ResponseState> load(std::string_view bytes) const;

 private:
  StrengthResponse(const ResponseModel& model, const Grid& grid);
  [[nodiscard]] std::array<Row, k_max_members> rows(const ResponseState& state, const ResponseInputs& inputs,
                                                    std::optional<double> sd_percent) const;

  Grid grid_;
  double single_sd_;
  std::vector<double> kept_fitness_;
  std::vector<double> kept_tiredness_;
};

}  // namespace steelyard::fit
