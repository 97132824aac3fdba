#pragma once
/// What may break a plan, how far the call then moves from it, and what a coach's week shows, as read from
/// models/limits.toml. Meaning, unit and source of each value stand in that file.
///
/// definition  as models.hpp

#include <array>
#include <map>
#include <string>
#include <vector>

#include "steelyard/params/range.hpp"

namespace steelyard {

struct LimitsModel {
  struct {  ///< how far a change is from the plan; the nearest candidate that holds every limit wins
    double set_step = 0;
    double rep_step = 0;
    double percent_step_distance = 0;
    double exchange = 0;  ///< swap with a day that takes the planned work
    double swap = 0;
    double light = 0;
    double rest = 0;
    double percent_step = 0;     ///< points
    double deepest_percent = 0;  ///< points below the plan
    std::string source;
  } distance;
  struct {  ///< what counts as odd against the lifter's own usual
    double odd_sd = 0;
    int usual_days = 0;
    int least_checks = 0;   ///< fewer: own usual is not known
    int settled_days = 0;   ///< days of checks that a newcomer is asked for
    double item_floor = 0;  ///< points of 1-7
    double sleep_floor_h = 0;
    double short_run_nights = 0;
    double short_run_hours = 0;  ///< mean of the run below usual
    double bar_floor_percent = 0;
    double strength_floor_percent = 0;
    double resting_hr_floor_percent = 0;
    double ln_hrv_floor = 0;
    double jump_floor_percent = 0;
    int bar_days = 0;               ///< days behind the usual bar speed
    int bar_least = 0;              ///< readings at that percent among them; with fewer it is not known
    int strength_days = 0;          ///< days back of the sessions whose estimate is compared
    int strength_before_days = 0;   ///< days back of those it is compared with
    int strength_before_least = 0;  ///< sessions of a kind of day behind its mean
    int strength_sessions = 0;      ///< last sessions that are compared
    int sessions_days = 0;          ///< days behind the usual minutes, sets and percentages of a kind of day
    std::string source;
  } signals;
  struct {  ///< what speaks while the own usual is not known
    double sleep_hours = 0;
    double fatigue = 0;
    double stress = 0;
    double mood = 0;
    double soreness = 0;
    int week_days = 0;  ///< values that a week needs
    std::string source;
  } floors;
  struct {  ///< RPE of the last warm-up set
    double heavier_rpe = 0;
    double much_heavier_rpe = 0;
    double lighter_rpe = 0;
    std::string source;
  } bar;
  struct {
    double two_reps_share = 0;
    double two_heavy_percent = 0;
    double three_reps_share = 0;
    double three_percent = 0;
    double bar_percent = 0;  ///< points less when the bar is one of the signals
    std::string source;
  } agreement;
  struct {
    double extreme = 0;
    double extreme_percent = 0;
    double trim = 0;
    double signal = 0;           ///< a mover at this level counts as a signal if it is odd for the lifter
    double support = 0;          ///< a supporting region: adjust
    double support_percent = 0;  ///< points less
    double reps_share = 0;       ///< of the planned repetitions once it trims
    std::string source;
  } soreness;
  struct {
    double sleepless_hours = 0;
    double light_percent = 0;
    std::string source;
  } sleepless;
  struct {
    double heavy_hours = 0;
    double heavy_percent = 0;  ///< work above this is heavy work
    double masters_hours = 0;  ///< after volume or heavy work, from masters age
    int much_reps = 0;         ///< repetitions of a volume day from which it tires for days
    std::string source;
  } spacing;
  struct {
    int days = 0;
    std::string source;
  } exposure;
  struct {
    double hard_sets_factor = 0;
    int hard_sets_least = 0;
    double jump_factor = 0;  ///< a week this far above the own high is a limit by itself
    double halved_factor = 0;
    double strain_percentile = 0;
    double reps_share = 0;    ///< of the planned repetitions once it trims
    double planned_room = 0;  ///< times the planned minutes of a week that was done as planned
    std::string source;
  } load;
  struct ReturnStep {
    int from_days = 0;  ///< length of the break
    int to_days = 0;    ///< inclusive
    int sets_less = 0;
    double sets_share = 1;
    double percent_less = 0;   ///< points
    double percent_share = 1;  ///< of the planned percent
    bool light_only = false;
    int sessions = 1;  ///< up to which session of the lift after the break it holds
    std::string say;
  };
  struct {
    /// Of the steps for one length of break, the first whose sessions are not used up holds.
    std::vector<ReturnStep> steps;
    int remembered_days = 0;  ///< days since the first session after a break for which it still counts
    double light_percent = 0;
    std::string source;
  } comeback;
  struct {
    double after_reps_share = 0;
    double after_percent = 0;
    int after_days = 0;  ///< after the last day of fever or of illness
    double cold_reps_share = 0;
    double cold_percent = 0;
    std::string source;
  } illness;
  struct {
    double sharp_stop = 0;
    double any_stop = 0;
    double watch_high = 0;
    int rising_days = 0;       ///< days back, the last included, whose entries are compared
    int rising_entries = 0;    ///< entries in a row that make a rise
    double rising_points = 0;  ///< or so many points over a run of at least as many entries that never falls
    double rising_reps_share = 0;
    double rising_percent_less = 0;
    int gone_mornings = 0;  ///< mornings at 0 that close it
    std::string source;
  } pain;
  struct {
    std::map<std::string, std::array<int, 2>> last_heavy_days;  ///< lift -> days before the meet, from, to
    std::map<std::string, double> after_percent;                ///< lift -> percent at most once the heavy work is done
    int light_days = 0;                                         ///< last days: off or very light
    double light_percent = 0;
    int easy_days_after = 0;
    int rest_days_after = 0;
    double easy_percent_after = 0;
    int taper_days = 0;
    double taper_first_share = 0;   ///< of the usual volume in the first half of the taper
    double taper_volume_share = 0;  ///< in the second half
    int match_days = 0;             ///< no heavy or volume work of the legs so near to a match
    std::string source;
  } meet;
  struct {
    double warmup = 0;
    std::string source;
  } minutes;
  struct {
    int youth = 0;
    double youth_percent = 0;
    double youth_trained_percent = 0;
    double youth_trained_years = 0;
    double beginner_years = 0;
    double beginner_percent = 0;
    int masters = 0;
    std::string source;
  } age;
  struct {
    double most_percent = 0;  ///< single that counts as possible at least
    std::string source;
  } possible;
  struct {
    double chance = 0;       ///< % chance of ending above the cap
    double above_usual = 0;  ///< and so many points above the lifter's own median
    double likely = 0;       ///< % chance that breaks the plan whatever is usual
    int least_sessions = 0;
    double most_percent_less = 0;  ///< points of % below the plan at most
    std::string source;
  } margin;
  struct {
    int days = 0;           ///< that are looked back on
    int least = 0;          ///< overrides among them before anything is said
    double share = 0;       ///< share of them in one direction
    double done_share = 0;  ///< of the planned repetitions times percent, from which the plan was done in full
    std::string source;
  } overrides;
  struct {                       ///< the coach's review of a week
    double odd_sd = 0;           ///< own SDs from which the mean of a week is odd
    double standard_errors = 0;  ///< and so many standard errors of that mean
    int late_values = 0;         ///< last values of the week, looked at one by one
    int late_odd = 0;            ///< odd ones among them that count
    int writes_days = 0;         ///< of 28, somebody who writes regularly
    int daily_days = 0;          ///< of 28, somebody who writes every day
    int silent_days = 0;         ///< days without entry that are silence
    int silent_daily_days = 0;   ///< the same for a daily writer
    int unknown_days = 0;        ///< days of unknown load that are mentioned
    double more = 0;             ///< times the usual week: clearly more
    double less = 0;             ///< times the planned minutes before: the plan itself is lower
    double unchanged = 0;        ///< share of the usual week within which the load is called unchanged
    int least_weeks = 0;         ///< known weeks behind the usual one
    int fixture_days = 0;        ///< a match or meet so soon is prepared for by this week
    int peak_from_days = 0;      ///< before a meet, the heaviest weeks
    int peak_to_days = 0;
    double pain_as_before = 0;  ///< points of 0-10 above the weeks before: a known ache
    double mood_sd = 0;         ///< own SDs below own usual and squad
    int mood_days = 0;          ///< mornings that needs
    int strength_sessions = 0;  ///< recent sessions at least
    int squad_least = 0;        ///< lifters with a value, from which there is a squad
    double squad_share = 0;     ///< of them, most
    double squad_sd = 0;        ///< median of the squad in own SDs: a common cause
    double squad_same_sd = 0;   ///< own SDs from which a lifter went the same way
    double squad_more = 0;      ///< times the usual week: the squad did clearly more
    double squad_like = 0;      ///< times the squad's rise: like the others
    int several_ill = 0;        ///< lifters with signs of illness that are mentioned together
    std::string source;
  } week;
  struct {                  ///< entries that are possible but not believable
    double over_max = 0;    ///< share of the training max that no ordinary set lifts
    double under_max = 0;   ///< share of the training max below which a set is warming up
    double work_rpe = 0;    ///< from which a set is work, not warming up
    int all_ten_sets = 0;   ///< sets at RPE 10 without a missed repetition
    double good_sleep = 0;  ///< 1-7: quality that no sleepless night has
    double rested = 0;      ///< 1-7: fatigue up to here speaks of no night without sleep
    double long_minutes = 0;
    double likely_minutes = 0;  ///< a tenth of what was written up to here: a zero too many
    double body_mass_percent = 0;
    Range max_kg;           ///< kg, training maxes that people have
    double max_factor = 0;  ///< times the training max before it, or that part of it
    std::string source;
  } doubts;
};

}  // namespace steelyard
