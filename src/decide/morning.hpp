#pragma once
/// What is known on the morning of a call, measured once and read by every limit.
/// definition  nothing here looks at a session of today or at anything entered for a later day but plan, days off and
///             meet

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "items.hpp"
#include "steelyard/domain/call.hpp"
#include "steelyard/domain/log.hpp"
#include "steelyard/fit/rep_max.hpp"
#include "steelyard/learn/learner.hpp"
#include "steelyard/params/models.hpp"
#include "steelyard/series/day_series.hpp"
#include "steelyard/series/usual.hpp"

namespace steelyard::decide {

/// A value of today against the lifter's own usual.
struct Measured {
  const ItemSpec* spec = nullptr;  ///< none where it is no item of the check
  double value = 0;
  std::optional<series::Usual> usual;  ///< none = not enough entries to know it
  double worse_by = 0;                 ///< own SDs (floored) on the bad side; negative = better; 0 without a usual
  bool odd = false;
};

struct Signal {
  SignalKind kind = SignalKind::check;
  std::string say;           ///< a clause without a full stop: "you slept 4.6 h, usually 7.4 h"
  bool in_one_lift = false;  ///< of load: the hard sets of this lift, not the week as a whole
};

/// A stretch without barbell work that ended today or lately.
struct Break {
  int days = 0;
  std::optional<OffReason> reason;  ///< none = nobody has said why
  bool unlogged = false;            ///< nothing was entered, so nobody knows whether it was a break
  Day last_session{};
  std::optional<Day> first_session_after;  ///< none = today is the first day back
};

/// One session's estimate of a lift's one-repetition maximum.
struct StrengthPoint {
  Day date{};
  DayKind kind = DayKind::volume;  ///< by its top set: heavy, speed or volume
  double kg = 0;                   ///< not a percent: a training max that is raised is no loss of strength
  double sd_percent = 0;
};

/// Everything about one planned lift.
struct LiftFacts {
  std::string lift;
  const LiftModel* model = nullptr;  ///< none = a lift nobody described: no regions, no limits by region
  PlanRow plan;
  std::optional<double> training_max_kg;
  std::string sorest_mover;
  std::optional<double> mover_soreness;
  std::string odd_mover;  ///< the sorest of the movers that are sorer than this lifter's usual
  std::optional<double> odd_soreness;
  std::optional<double> odd_usual;  ///< none = nobody knows it yet
  std::string sorest_support;
  std::optional<double> support_soreness;
  std::optional<Measured> bar;          ///< m/s at the lifter's fixed warm-up
  double bar_percent = 0;               ///< at which percent of the training max it was measured
  std::vector<StrengthPoint> strength;  ///< oldest first
  std::optional<Measured> performance;  ///< % against own sessions of the same kind
  int hard_sets_week = 0;
  double hard_sets_usual = 0;
  std::optional<Day> last_heavy;        ///< of this very lift
  std::optional<Day> last_heavy_group;  ///< of the lifts that share its spacing group, this one included
  std::string last_heavy_group_lift;
  std::optional<Day> last_hard_work;    ///< volume or heavy work of the spacing group
  std::optional<PlanRow> missed_heavy;  ///< a planned heavy day of this lift in the last seven days that was not done
  int sessions_since_break = 0;
  std::optional<double> former_percent;  ///< usual percent of this kind before the break
  std::optional<int> former_sets;
};

/// A lifter on one morning: what was entered, what it comes to, and each lift that is planned.
struct Morning {
  const AthleteLog* log = nullptr;
  const Models* models = nullptr;
  const learn::Today* learned = nullptr;  ///< null = nothing was learned
  Day today{};
  Unit spoken = Unit::kg;            ///< of weights in sentences
  std::optional<int> age_this_year;  ///< the birthday in it may still come: is_minor, is_master
  std::optional<double> training_years;
  const Check* check = nullptr;  ///< today's
  int checks_before = 0;         ///< of the last 28 days
  bool usual_known = false;
  bool items_vary = true;  ///< false: every item has been the same for weeks
  series::DaySeries series;
  std::vector<DayFigures> figures;  ///< to yesterday
  Coverage coverage;
  int history_days = 0;    ///< since the first entry; 0 or less = nothing was entered before today
  bool sleep_run = false;  ///< several short nights in a row
  double sleep_run_mean = 0;
  std::vector<Measured> items;  ///< what was entered today of item_specs()
  std::optional<Break> layoff;
  std::optional<Intent> period;  ///< declared for today
  bool load_explained = false;   ///< by the plan or a declared period
  bool week_above_high = false;
  bool days_alike = false;
  std::optional<int> days_to_meet;      ///< negative = past
  std::optional<int> days_to_match;     ///< 0 on each day of one
  std::optional<int> days_since_match;  ///< 1 or more
  std::optional<double> minutes_available;
  std::vector<LiftDay> lift_days;  ///< barbell work of the log, a row a lift and day
  std::vector<LiftFacts> lifts;    ///< the main lift first
  std::vector<PlanRow> ahead;      ///< plan_ahead of the days after today

  [[nodiscard]] const DayFigures* yesterday() const { return figures.empty() ? nullptr : &figures.back(); }
  [[nodiscard]] bool available(Day day) const;
  /// null = not entered
  [[nodiscard]] const Measured* item(ItemMember member) const;
};

[[nodiscard]] Morning look_at(const AthleteLog& log, Day today, const Models& models);

/// Only the year of birth is known: whoever may still be under age counts as a minor, whoever may already be as old as
/// the masters' rules say as one of them.
[[nodiscard]] bool is_minor(const Morning& morning);
[[nodiscard]] bool is_master(const Morning& morning);

/// A call of that day was followed which took weight off or put another kind of day in the plan's place.
[[nodiscard]] bool called_lighter(const Morning& morning, std::string_view lift, Day day);

/// A declared period that explains a high load.
[[nodiscard]] constexpr bool asks_for_hard(Intent intent) {
  return intent != Intent::easy && intent != Intent::taper;
}

/// Minutes planned from one day to another, both included.
[[nodiscard]] double planned_minutes(const AthleteLog& log, Day from, Day to);

/// A match on this day, or fewer days before or after it than the legs need.
[[nodiscard]] bool near_match(const Morning& morning, Day day);

/// Two lifts whose heavy work keeps its distance: the same one, or two of one spacing group.
[[nodiscard]] bool share_spacing(const Models& models, std::string_view a, std::string_view b);

/// Fills what concerns one lift. `plan` = its row of today.
[[nodiscard]] LiftFacts lift_facts(const Morning& morning, const PlanRow& plan);

/// The last heavy work of a lift that was done before today.
[[nodiscard]] std::optional<Day> last_heavy_of(const Morning& morning, std::string_view lift);

/// The written plan of the calendar weeks that hold the next 14 days; a week without any row takes the rows of the last
/// written one.
[[nodiscard]] std::vector<PlanRow> plan_ahead(const AthleteLog& log, Day today);

/// The last heavy day of a lift on the plan of the last seven days that was not trained and not made up for.
[[nodiscard]] std::optional<PlanRow> missed_heavy(const Morning& morning, std::string_view lift);

/// Estimates of a lift per session before `before`, oldest first.
[[nodiscard]] std::vector<StrengthPoint> strength_points(const AthleteLog& log, std::string_view lift, Day before,
                                                         const Models& models);

/// Signals that speak for less of this lift today, each source at most once.
[[nodiscard]] std::vector<Signal> signals_of(const Morning& morning, const LiftFacts& lift);

/// Plan rows of one day, planned rest too, the main lift first.
[[nodiscard]] std::vector<PlanRow> plan_of(const std::vector<PlanRow>& plan, Day day);

/// Work of a plan row that counts as heavy for spacing.
[[nodiscard]] bool is_heavy(const PlanRow& row, const Models& models);
/// The same of what was done.
[[nodiscard]] bool is_heavy(const LiftDay& day, const Models& models);

}  // namespace steelyard::decide
