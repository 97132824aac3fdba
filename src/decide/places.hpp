#pragma once
/// Where heavy work could go: the one place that knows which day has room for it.

#include <optional>

#include "bounds.hpp"
#include "morning.hpp"
#include "signs.hpp"

namespace steelyard::decide {

/// Days between heavy work of lifts of one spacing group: whole days that hold the hours of the models. What is written
/// keeps the common distance; what the program moves, that of the lifter's age.
[[nodiscard]] int days_apart_written(const Morning& morning);
[[nodiscard]] int days_apart_moved(const Morning& morning);

/// Heavy work of this lift on that day would stand nearer to other heavy work of its spacing group than it may, done or
/// planned; today's own row of the lift is what would move. `apart`: days; for the lift's own planned work `apart_own`.
[[nodiscard]] bool clashes(const Morning& morning, std::string_view lift, Day day, int apart, int apart_own);

/// Where today's heavy work of this lift could go within the coming days, `earliest` days from now: an available day
/// with the spacing on both sides, not beside a match or too near to the meet. First a day whose easier work changes
/// places with it, then a free one, then one whose volume drops out. none = nowhere.
[[nodiscard]] std::optional<Move> find_place(const Morning& morning, std::string_view lift, int earliest);

/// The same for a heavy day that was missed, today included with `earliest` 0. Only where the last heavy work of the
/// lift is long past; in a later week, which has heavy days of its own, with a day more between. What gives way drops
/// out.
[[nodiscard]] std::optional<Move> catch_up_place(const Morning& morning, const Signs& signs, const PlanRow& missed,
                                                 int earliest);

/// Nothing known this morning speaks against heavy work of the lift on that day beyond what is written: no stop, closed
/// lift or pain that is cut, no illness or break just over, no easy period, and not the lift of the young or of
/// beginners.
[[nodiscard]] bool bears_more(const Morning& morning, const Signs& signs, std::string_view lift, Day day);

}  // namespace steelyard::decide
