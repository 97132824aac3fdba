#pragma once
/// What one lifter's strength in one lift follows: training, sleep, the morning check, the bar.
/// observation y = 100 ln(e1RM / reference max), "log points": about per cent of the reference max
/// definition  regressors [1, G - 1, -(H - 1), sleep, fatigue, stress, soreness of this lift's movers, mood, bar speed,
///             (percent - 75)/10, (reps - 5)/5]. G and H are the slow and the fast response (impulse.hpp) to relative
///             dose, as they stand in the morning; the last two belong to the set as prescribed, so that they are known
///             before it and hold the lifter's own rep-max curve. Every pair of time constants is a member of a grid
///             (grid.hpp); each learns with forgetting (engine.hpp)
/// domain      morning items are deviations from the lifter's own usual in own SD, positive = more of the item (more
/// sleep, more
///             stress); nothing = not recorded, which widens the forecast
/// use         every calendar day: step(state, dose of the day before); then forecast before the session, update after
/// it.
///             States may be copied to play the days ahead
/// cost        no allocation in step, forecast and update; a day's step and update take under 20 microseconds for 12
/// members
/// source      Banister et al. 1975; West & Harrison 1997; Raftery et al. 2010; see the model's values for theirs

#include <array>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/base/result.hpp"
#include "steelyard/fit/grid.hpp"

namespace steelyard::fit {

/// Terms of the regression, in order. `tiredness` is -(H - 1): positive when less was done lately than usual.
enum class Cause {
  level,
  fitness,
  tiredness,
  sleep,
  fatigue,
  stress,
  soreness,
  mood,
  bar_speed,
  set_percent,
  set_reps,
};
inline constexpr std::size_t k_causes = 11;
using PerCause = std::array<double, k_causes>;
[[nodiscard]] std::span<const std::string_view> cause_words();

/// Parameters. Effects in log points (%): of level; of G - 1 and H - 1, so of twice the usual dose for ever; of one own
/// SD of an item; of 10 points of percent; of 5 repetitions. source  All wide, so that some twenty sessions outweigh
/// them. Day-to-day noise: median retest CV of the 1RM 4.2 % (0.5-12.1;
///         Grgic et al. 2020), less in drilled lifters, so 3. Level: rep-max formulas spread by 6 % at five repetitions
///         and training maxima are written by hand, so SD 8. Fitness: two responses, both costs positive, fast below
///         slow (Banister); jump and force back within 24-72 h (Gonzalez-Badillo et al. 2016, Moran-Navarro et al.
///         2017), so fast constants of 1-8 days, slow ones of 15-50 (endurance: 38-50, Morton et al. 1990; 17-59,
///         Hellard et al. 2006). Sleep: short nights cost strength about 3 % (Craven et al. 2022 for performance in
///         general: 7.6 %), at some two SD. Other items: small, since ratings and performance agree poorly within a
///         person (Helland et al. 2020). Own rep-max curve: 6-26 repetitions at 70 % (Zourdos et al. 2021). Discounts:
///         common practice, 0.95-0.999.
struct ResponseModel {
  std::vector<double> tau_fitness{15, 30, 50};    ///< days
  std::vector<double> tau_tiredness{1, 2, 4, 8};  ///< days; the product of both counts is at most 12
  PerCause mean{0, 2, 1.5, 0.4, -0.3, -0.1, -0.4, 0.1, 0.5, 0, 0};
  PerCause sd{8, 3, 1.5, 0.7, 0.6, 0.5, 0.6, 0.5, 0.7, 3, 3};
  PerCause discount{0.985, 0.998, 0.998, 0.998, 0.998, 0.998, 0.998, 0.998, 0.998, 0.999, 0.999};  ///< a day
  double noise_sd = 3;            ///< of an observation with the SD of a single
  double noise_weight = 6;        ///< observations which that is worth
  double noise_discount = 0.998;  ///< a day
  double single_sd = 2.5;  ///< s0: SD (%) of the estimate from a single at RIR 0-1; noise never falls below half of it
  double weight_memory = 0.99;  ///< per observation
  double least_weight = 0.002;
};

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
  /// The same with its interval and shares; costs some 80 times as much.
  [[nodiscard]] StrengthForecast forecast(const ResponseState& state, const ResponseInputs& inputs) const;
  /// domain  sd_percent > 0
  void update(ResponseState& state, const ResponseInputs& inputs, const StrengthObservation& seen) const;

  /// What one unit of a cause is worth to this lifter so far.
  [[nodiscard]] Range80 effect(const ResponseState& state, Cause cause) const;

  /// errors of load  bad_data: damaged, or of another model
  [[nodiscard]] std::string save(const ResponseState& state) const;
  [[nodiscard]] Result<ResponseState> load(std::string_view bytes) const;

 private:
  StrengthResponse(const ResponseModel& model, Grid grid);
  [[nodiscard]] std::array<Row, k_max_members> rows(const ResponseState& state, const ResponseInputs& inputs,
                                                    std::optional<double> sd_percent) const;

  Grid grid_;
  double single_sd_;
  std::vector<double> kept_fitness_;
  std::vector<double> kept_tiredness_;
};

}  // namespace steelyard::fit
