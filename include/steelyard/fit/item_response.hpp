#pragma once
/// What one item of the morning check follows: the load of the days before, its own last value, and its own long run.
/// definition  y = value - usual (mean of the 28 days that end yesterday), regressors [1, H - 1, last value - usual,
///             mean of all values - usual]; H is the fast response (impulse.hpp) to session load over usual daily load,
///             on the morning in question. With effects of zero the forecast is the 28-day mean
/// unit        points of the 1-7 scale (or hours, for sleep)
/// use         every calendar day: step(state, load of the day before); then forecast, and update with what was entered
/// cost        as strength_response.hpp

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/base/result.hpp"
#include "steelyard/fit/grid.hpp"
#include "steelyard/params/response.hpp"

namespace steelyard::fit {

/// What is known on the evening before.
struct ItemInputs {
  double usual = 0;            ///< mean of the 28 days
  std::optional<double> last;  ///< the last recorded value, nothing if there is none in the 28 days
  double long_run = 0;         ///< mean of every value so far
};

struct ItemForecast {
  Mixture distribution;
  Range80 value;  ///< may pass the ends of the scale
};

struct ItemState {
  GridState grid;
  std::array<double, k_max_members> response{};  ///< H, per time constant
};

class ItemResponse {
 public:
  /// errors  usage: as StrengthResponse::make
  [[nodiscard]] static Result<ItemResponse> make(const ItemModel& model);

  [[nodiscard]] ItemState start() const;
  /// One calendar day on. load_of_yesterday: over usual daily load; nothing = not known, taken as usual.
  void step(ItemState& state, std::optional<double> load_of_yesterday) const;
  [[nodiscard]] Mixture distribution(const ItemState& state, const ItemInputs& inputs) const;
  /// The same with its interval; costs some 80 times as much.
  [[nodiscard]] ItemForecast forecast(const ItemState& state, const ItemInputs& inputs) const;
  void update(ItemState& state, const ItemInputs& inputs, double value) const;

  /// Points for twice the usual load, kept up.
  [[nodiscard]] Range80 load_effect(const ItemState& state) const;

  /// errors of load  bad_data
  [[nodiscard]] std::string save(const ItemState& state) const;
  [[nodiscard]] Result<ItemState> load(std::string_view bytes) const;

 private:
  ItemResponse(const ItemModel& model, const Grid& grid);
  [[nodiscard]] std::array<Row, k_max_members> rows(const ItemState& state, const ItemInputs& inputs) const;

  Grid grid_;
  std::vector<double> kept_;
};

}  // namespace steelyard::fit
