#pragma once
/// Every limit of a call as a restriction on today's work of one lift.
/// definition  A limit is worked out once from the morning; whether a candidate holds it is then a comparison. Worse
///             input can only tighten the numbers, so it can never widen what is admissible.

#include <limits>
#include <string>
#include <vector>

#include "morning.hpp"
#include "signs.hpp"

namespace steelyard::decide {

inline constexpr const char* k_meet_day =
    "Today is the meet: no training before it. Warm up there as you have practised.";

/// Bit k = DayKind k allowed.
using KindSet = unsigned;
[[nodiscard]] constexpr KindSet bit(DayKind kind) {
  return 1U << static_cast<unsigned>(kind);
}
inline constexpr KindSet k_any_kind = ~0U;
inline constexpr KindSet k_easy_kinds = bit(DayKind::light) | bit(DayKind::rest);

/// Whether heavy work that a limit closes is worth another day.
enum class Moves { no, beside_another, yes, tomorrow };  ///< tomorrow: whoever is stopped by it is not tired

struct Bound {
  LimitResult shown;
  double most_percent = std::numeric_limits<double>::infinity();  ///< says nothing of work without a percentage
  double most_reps = std::numeric_limits<double>::infinity();     ///< sets x repetitions
  int most_sets = std::numeric_limits<int>::max();
  KindSet kinds = k_any_kind;
  KindSet reps_free = 0;               ///< kinds that answer the limit on repetitions by being easier than the plan
  bool points_below_plan = false;      ///< most_percent is reckoned down from the plan, not a fixed value
  bool says_what_would_stand = false;  ///< shown.would_hold_if ends with what would then have held
  bool asks_for_heavy = false;  ///< nothing but heavy work holds it: a wish, the one thing that worse input may end
  Moves moves_heavy = Moves::no;
};

[[nodiscard]] bool holds(const Bound& bound, const Prescription& work);

/// Repetitions of all sets.
[[nodiscard]] constexpr int reps_of(const Prescription& work) {
  return work.sets * work.reps;
}

/// Minutes of the working sets, rest included.
[[nodiscard]] double working_minutes(const Prescription& work, const Models& models);

/// What the day asks for. Blanks of the plan row are filled by usual_work, as far as they are possible beside the rest.
[[nodiscard]] Prescription planned_work(const PlanRow& row, const Morning& morning);

/// The lifter's own usual work of a kind for this lift (last eight weeks of plan), else the middle of the range; always
/// inside the range, and with the kind's planned repetitions left on the rep-max curve.
[[nodiscard]] Prescription usual_work(DayKind kind, std::string_view lift, const Morning& morning);

/// All limits of one lift today, whether the plan holds them or not; `shown.held` speaks of the plan.
[[nodiscard]] std::vector<Bound> bounds_of(const Morning& morning, const Signs& signs, const LiftFacts& lift,
                                           const std::vector<Signal>& signals);

/// Limits that come from the calendar: spacing, days off, meet, match, illness, exposure. Part of bounds_of.
void calendar_bounds(const Morning& morning, const Signs& signs, const LiftFacts& lift, const Prescription& plan,
                     const std::vector<Signal>& signals, std::vector<Bound>& bounds);

/// The plan of today is a call that was followed: it has been cut already.
[[nodiscard]] bool followed_today(const Morning& morning, const LiftFacts& lift);

/// The lift that a meet knows: of a variant the lift it is one of.
[[nodiscard]] std::string meet_lift(const Morning& morning, std::string_view lift);

/// So near to the meet that this lift's heavy work is done.
[[nodiscard]] bool heavy_is_done(const Morning& morning, const LiftFacts& lift);

}  // namespace steelyard::decide
