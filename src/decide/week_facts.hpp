#pragma once
/// What one athlete's week looks like beside the athlete's own usual, measured once and read by every rule of the
/// review.
/// definition  only what was entered to the end of the week, and only what the athlete shares; what stops training is
///             always shared

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "morning.hpp"
#include "signs.hpp"

namespace steelyard::decide {

/// Odd ones among the last three values of the week.
struct Late {
  int odd = 0;
  int of = 0;
  double mean = 0;      ///< of the odd ones
  bool counts = false;  ///< enough of them are odd
};

/// One item over the week.
struct ItemWeek {
  const ItemSpec* spec = nullptr;
  double mean = 0;  ///< of the week; in ln where the item is judged in ln
  double usual = 0;
  double sd = 1;           ///< own, floored
  double scatter = 1;      ///< own, floored at half of that: for what is compared, not judged
  int n = 0;               ///< values this week
  double odd_from_sd = 0;  ///< own SDs from which the mean of so many values is odd
  double common = 0;       ///< what the whole squad moved in the bad direction, same unit
  Late late;

  [[nodiscard]] double worse() const { return spec->bad * (mean - usual); }
  [[nodiscard]] double worse_sd() const { return worse() / sd; }
  [[nodiscard]] double beyond_squad() const { return worse() - common; }
  [[nodiscard]] double beyond_squad_sd() const { return beyond_squad() / sd; }
  [[nodiscard]] bool odd() const;
};

/// Bar speed of one lift at its fixed warm-up over the week.
struct BarWeek {
  std::string lift;
  double percent = 0;  ///< of the training max, of the warm-up
  double mean = 0;     ///< m/s
  double usual = 0;
  int n = 0;
  Late late;
  bool odd = false;
  bool clearly = false;  ///< slow enough to be said without another sign

  [[nodiscard]] double told() const { return late.counts ? late.mean : mean; }  ///< m/s, what decided
};

/// Estimated strength of one lift over two weeks against own sessions of the same kind before them.
struct StrengthWeek {
  std::string lift;
  double change_percent = 0;
  int sessions = 0;
  bool odd = false;
};

struct LoadWeek {
  std::optional<double> week_au;   ///< sum of the last seven days; none = some day is not known
  std::optional<double> usual_au;  ///< median of the eight weeks before
  std::optional<double> high_au;   ///< highest seven days in a row of them
  std::optional<double> monotony;
  bool high = false;             ///< above the own high and the band, data complete
  bool explained = false;        ///< the plan or a declared period asks for a hard week
  bool low_explained = false;    ///< the plan, a declared period, days off or a taper ask for an easy one
  bool alike = false;            ///< one day like the other
  int low_weeks = 0;             ///< weeks in a row, this one included, of about half the usual load
  int unknown_days = 0;          ///< of the week
  std::vector<LoadPart> raised;  ///< sessions that lifted the week
  std::optional<Day> fixture;    ///< match or meet soon after the week
  bool fixture_is_meet = false;

  [[nodiscard]] std::optional<double> share_of_usual() const;
};

/// One painful site over the week.
struct PainWeek {
  std::string site;
  PainKind kind = PainKind::dull;              ///< of the last entry
  std::vector<std::pair<Day, double>> levels;  ///< of the week, ascending; the last one is above 0
  std::optional<double> before;                ///< mean level of the four weeks before
  bool rising = false;
};

struct Shared {
  bool load = false;
  bool checks = false;
  bool pain = false;
  bool distress = false;
  bool notes = false;
};

struct WeekFacts {
  std::unique_ptr<AthleteLog> log;  ///< to the end of the week; its own, because `after` points into it
  const Models* models = nullptr;
  Day monday{};
  Day end{};  ///< last day that is known
  Shared shared;
  Morning after;                  ///< the morning after `end`
  Signs signs;                    ///< open on that morning
  Signs raised;                   ///< raised by the entries of this week alone
  std::optional<Day> last_fever;  ///< last day of the week with a sign that closes training without referral
  std::string fever_id;
  std::optional<Day> cold;      ///< last day with a head cold
  std::optional<Day> distress;  ///< last day with words of distress
  std::string distress_note;    ///< the note, only if it is shared
  std::vector<ItemWeek> items;
  std::vector<BarWeek> bar;
  std::vector<StrengthWeek> strength;
  LoadWeek load;
  std::vector<PainWeek> pain;
  int checks = 0;              ///< days of the week with a check
  int checks_before = 0;       ///< of the 28 days before
  int entry_days_before = 0;   ///< days of the 28 before with any entry
  int longest_gap_before = 0;  ///< days without entry in a row, within those 28
  std::optional<Day> last_entry;
  int unexplained_silent_days = 0;  ///< days without entry at the end of the week that no day off covers
  bool tired_by_plan = false;       ///< a hard period, a planned high week, or a meet two to three weeks away

  [[nodiscard]] const std::string& code() const { return log->athlete.athlete; }
  [[nodiscard]] const ItemWeek* item(ItemMember member) const;
};

/// domain  monday <= end <= monday + 6
[[nodiscard]] WeekFacts week_facts(const AthleteLog& log, Day monday, Day end, const Models& models);

/// Parts of week_facts, in files of their own.
[[nodiscard]] std::vector<ItemWeek> items_of_week(const AthleteLog& log, Day monday, Day end,
                                                  const LimitsModel& limits);
[[nodiscard]] std::vector<BarWeek> bar_of_week(const AthleteLog& log, Day monday, Day end, const LimitsModel& limits);
[[nodiscard]] std::vector<StrengthWeek> strength_of_week(const AthleteLog& log, Day monday, Day end,
                                                         const Models& models);
[[nodiscard]] LoadWeek load_of_week(const Morning& after, Day monday, Day end);
[[nodiscard]] std::vector<PainWeek> pain_of_week(const AthleteLog& log, Day monday, Day end, const LimitsModel& limits);

}  // namespace steelyard::decide
