#pragma once
/// The values the program runs on, as read from models/*.toml. Meaning, unit and source of each stand in those files.
///
/// definition  The files are the one place of the values; the initialisers here only keep memory defined.
///             Every table of a file names its source. Names of members are the keys of the files; the unit is in the
///             name or beside the key.
/// domain      ranges are checked when a file is read (see load_models); an unknown key is an error

#include <array>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/base/result.hpp"
#include "steelyard/domain/call.hpp"
#include "steelyard/domain/records.hpp"
#include "steelyard/params/limits_model.hpp"
#include "steelyard/params/range.hpp"
#include "steelyard/params/response.hpp"

namespace steelyard {

// ---------------------------------------------------------------------------------------------- load.toml
enum class Sd { sample, population };
enum class EwmaStart { mean_of_first_28, first_load };

struct LoadModel {
  struct {
    Sd sd = Sd::sample;
    double alike = 0;  ///< monotony from which days count as alike
    std::string source;
  } monotony;
  struct {
    EwmaStart start = EwmaStart::mean_of_first_28;
    int acute_days = 0;
    int chronic_days = 0;
    std::string source;
  } ewma;
  struct {
    double band_high = 0;       ///< coupled ratio above which a week counts as out of the ordinary
    double band_low = 0;        ///< and below which
    int known_days_needed = 0;  ///< of 28
    std::string source;
  } ratio;
  struct {
    int rest_gap_days = 0;  ///< longest run without entry, between two entries, that counts as rest
    int usual_weeks = 0;    ///< for usual loads, own highs
    int percentile_weeks = 0;
    double minutes_per_set = 0;  ///< a session known only by its sets
    double rpe_unknown = 0;      ///< CR-10, the same
    std::string source;
  } series;
  struct {
    double rpe = 0;      ///< a set at this RPE or more is hard
    double percent = 0;  ///< or, without an RPE, at this percent or more
    std::string source;
  } hard_set;
  struct {
    std::vector<double> rpe;     ///< ascending
    std::vector<double> factor;  ///< weight of a set's dose at that RPE, linear between
    std::string source;
  } effort;
};

// ---------------------------------------------------------------------------------------------- strength.toml
enum class RepMaxCurve { epley, brzycki, lombardi, oconner, wathan, mayhew, lander, handbook };
/// As the file names them, in the order of the values.
inline constexpr auto k_rep_max_curves = std::to_array<std::string_view>(
    {"epley", "brzycki", "lombardi", "oconner", "wathan", "mayhew", "lander", "handbook"});
static_assert(k_rep_max_curves.size() == static_cast<std::size_t>(RepMaxCurve::handbook) + 1);

struct StrengthModel {
  struct {
    RepMaxCurve curve = RepMaxCurve::epley;
    double most_reps = 0;  ///< reps + RIR beyond which a set says nothing
    double least_rpe = 0;
    std::string source;
  } rep_max;
  struct {
    std::vector<double> reps;
    std::vector<double> percent;
    std::string source;
  } handbook;
  struct {
    double s0 = 0;  ///< % SD of a single at RIR 0-1
    double s1 = 0;  ///< % for each repetition in reserve above 1
    double s2 = 0;  ///< % for each repetition above 3
    std::string source;
  } error;
  struct {
    int sessions = 0;        ///< recent estimates behind the expected strength without a learned response
    int least_sessions = 0;  ///< with fewer nothing is expected
    int weeks = 0;
    double least_sd = 0;  ///< %
    std::string source;
  } recent;
  struct {
    double low = 0;   ///< % of the expected strength below which a written training max is said to be low
    double high = 0;  ///< above which it is said to be high
    std::string source;
  } training_max;
};

// ---------------------------------------------------------------------------------------------- day-kinds.toml
struct KindModel {
  Range sets;
  Range reps;
  Range percent;
  int usual_sets = 0;  ///< what is written where nothing else decides
  int usual_reps = 0;
  double usual_percent = 0;
  double target_rpe = 0;
  double rpe_cap = 0;
  double minutes_per_set = 0;
  std::string source;
};

struct DayKindsModel {
  std::map<DayKind, KindModel> kinds;  ///< heavy, volume, speed, light
  struct {
    Range percent;  ///< of heavy days
    int weeks = 0;  ///< before a meet
    std::string source;
  } before_meet;
  struct {
    std::vector<DayKind> three;  ///< order of kinds over a week with three or more days
    std::vector<DayKind> two;
    std::vector<DayKind> one;
    std::string source;
  } rotation;
  struct {
    Range sets;
    Range reps;
    double rpe = 0;
    std::string source;
  } accessory;
  struct {
    int weeks = 0;
    std::map<DayKind, double> percent_step;  ///< points of % a week, by kind of day
    int easy_week = 0;                       ///< 0 = none
    double easy_sets_share = 0;
    double easy_percent_change = 0;
    std::string source;
  } block;
};

// ---------------------------------------------------------------------------------------------- lifts.toml
struct LiftModel {
  std::string lift;
  std::string say;                   ///< "squats", "deadlifts", "bench presses"
  std::vector<std::string> aliases;  ///< read as this lift, wherever it is written
  std::vector<std::string> movers;
  std::vector<std::string> support;
  std::vector<std::string> joints;  ///< pain there closes the lift too
  std::string spacing_group;        ///< heavy work of lifts of one group keeps its distance; empty = own
  bool main = false;                ///< takes the place of a day's main lift
  bool lower_body = false;
  std::string variant_of;           ///< percentages are of this lift's training max
  double variant_share = 1;         ///< of the parent's training max
  std::vector<std::string> warmup;  ///< suggestions
};

struct LiftsModel {
  std::vector<LiftModel> lifts;
  struct {
    double bar_kg = 0;
    std::vector<double> plates_kg;
    std::vector<double> warmup_percent;  ///< of the training max, ascending
    std::vector<double> warmup_reps;
    double least_gap = 0;  ///< points of percent that a warm-up set stays below the work
    double bar_reps = 0;
    std::string source;
  } gear;
  struct {
    double bar_lb = 0;
    std::vector<double> plates_lb;  ///< heaviest first
    std::string source;
  } gear_lb;  ///< of a lifter who reckons in pounds
  struct {
    double mover = 0;
    double support = 0;
    std::string source;
  } weight;                                     ///< of regions in the overlap between lifts
  std::map<std::string, std::string> mobility;  ///< region -> what to do when it is stiff or sore
  std::string source;

  /// By its code or an alias of it; null for a lift that is not known.
  [[nodiscard]] const LiftModel* find(std::string_view lift) const;
  /// Cosine of the two lifts' region vectors, 0..1; 0 for a lift that is not known.
  [[nodiscard]] double overlap(std::string_view a, std::string_view b) const;
};

// ---------------------------------------------------------------------------------------------- cautions.toml
/// A sign and what it asks for, however it was entered. now, today: no training, stays open until cleared; soon: lifts
/// are left out; watch: with rest_only no training today, else an easy or short session is allowed (head cold).
struct SignModel {
  std::string id;  ///< also the name with which it is cleared
  Urgency urgency = Urgency::today;
  std::vector<std::string> symptoms;  ///< any of these codes raises it
  std::vector<std::string> together;  ///< if not empty, all of these codes are needed as well
  std::vector<std::string> words;     ///< any of these phrases in a note, as whole words, lower case; inside a longer
                                      ///< phrase of another sign it does not count ("nearly passed out")
  std::string what;                   ///< what was entered, in plain words: "You entered {what}."
  std::string say;                    ///< the sentences after it: what to do, whom to ask, how soon; {emergency}
  bool rest_only = false;             ///< closes today's training without referral (fever, stomach illness)
  std::vector<std::string> regions;   ///< soon: lifts that load these are left out; empty = those of today's painful
                                      ///< sites, else all
  std::string source;
};

/// The sentences that CautionsModel::texts must hold, all of them and no others, and what is filled in.
inline constexpr std::array<std::string_view, 21> k_caution_texts{
    "pain-soon",        // {pain} {lift}: that lift is left out
    "pain-head",        // {pain} {emergency}: no training, a doctor today
    "pain-abdomen",     // {pain}: the same
    "pain-watch",       // {pain} {lift}: as planned, under the pain rule
    "pain-lighter",     // {pain} {lift}: lighter, under the pain rule
    "pain-rising",      // {pain} {lift}: over several entries
    "illness-return",   // {days}: the first sessions afterwards
    "long-layoff",      // {days}: days off; dark urine
    "soreness",         // one-sided, in a joint or sharp
    "soreness-spine",   // down a leg, numb
    "sleepless",        // driving
    "distress",         // {emergency}: to the person
    "distress-coach",   // {athlete}: the coach's next step
    "minors",           // added under 18
    "clearance",        // until whom a stop stays
    "still-open",       // {what} {date}: a stop of an earlier day
    "exits",            // the two ways out of a stop
    "negated",          // {words}: a sign that the note denies
    "nothing-against",  // no sign, nothing out of the ordinary
    "ratio",            // beside every load ratio
    "hierarchy",        // ends every caution
};

struct CautionsModel {
  std::vector<SignModel> signs;
  std::map<std::string, std::string> texts;  ///< sentences by the names of k_caution_texts; {name}s are filled in
  std::vector<std::string> negations;        ///< "no", "not", "without": ask instead of stopping
  std::vector<std::string> distress_words;   ///< phrases in a note, lower case
  std::vector<std::string> harmless;  ///< everyday phrases that hide the phrase of a sign inside them ("hay fever")
  std::string emergency_number;       ///< "your local emergency number" unless set for the place; fills {emergency}
  std::string source;
};

// ---------------------------------------------------------------------------------------------- all
struct Models {
  LoadModel load;
  StrengthModel strength;
  DayKindsModel day_kinds;
  LimitsModel limits;
  LiftsModel lifts;
  CautionsModel cautions;
  LearnModel response;
  std::string version;  ///< of the files in force
  std::string digest;   ///< of their contents
};

namespace params {
struct TreeView;
}

/// Text of one model file under its name ("load.toml"); `shown` is what messages show.
struct ModelFile {
  std::string file;
  std::string shown;
  std::string text;
  const params::TreeView* known = nullptr;  ///< what parsing the text would give, if that is known already
};

/// The shipped files, in this order.
inline constexpr std::array<std::string_view, 7> k_model_files{
    "load.toml", "strength.toml", "day-kinds.toml", "limits.toml", "lifts.toml", "cautions.toml", "response.toml"};

/// `shipped` must hold every file of k_model_files, complete; `overrides` may hold some of them, and of each only the
/// keys that differ: a list or a [[table]] replaces the shipped one as a whole, [[lift]] and [[sign]] entries replace
/// the entry of the same name as a whole and new ones are added. A source of a table that was changed says so.
///
/// errors  bad_data with where = "file:line:column": syntax, an unknown key (with the nearest known one), a value of
///         the wrong type or outside its range, a table without its source, a missing key; no_input: a shipped file is
///         not there
///
/// `known_digest`: of the values, if it is known already; empty = to be made.
///
/// cost    some milliseconds for the seven files, a fifth of it if they are known
[[nodiscard]] Result<Models> load_models(const std::vector<ModelFile>& shipped, const std::vector<ModelFile>& overrides,
                                         std::string_view known_digest = {});

}  // namespace steelyard
