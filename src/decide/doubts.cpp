#include "steelyard/decide/doubts.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <span>
#include <tuple>

#include "steelyard/base/text.hpp"
#include "steelyard/decide/gear.hpp"
#include "steelyard/domain/fields.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "steelyard/series/training_max.hpp"
#include "steelyard/series/usual.hpp"

namespace steelyard::decide {
namespace {

Question question(const AthleteLog& log, Day date, std::string_view doubt, std::string say,
                  std::vector<std::string> fields, std::vector<Record> rows) {
  return {.athlete = log.athlete.athlete,
          .date = date,
          .doubt = std::string(doubt),
          .say = std::move(say),
          .fields = std::move(fields),
          .rows = std::move(rows)};
}

// ------------------------------------------------------------------------------------------ sets
/// All sets of one part of one day, in their order.
std::vector<std::span<const SetRow>> parts_of(const std::vector<SetRow>& sets) {
  std::vector<std::span<const SetRow>> parts;
  for (std::size_t i = 0; i < sets.size();) {
    std::size_t end = i;
    while (end < sets.size() && sets[end].date == sets[i].date &&
           sets[end].part.value_or(1) == sets[i].part.value_or(1))
      ++end;
    parts.push_back(std::span(sets).subspan(i, end - i));
    i = end;
  }
  return parts;
}

bool below_the_bar(const AthleteLog& log, const SetRow& set, double max, const Models& models) {
  const auto& doubts = models.limits.doubts;
  const double weight = *set.weight_kg;
  if (weight <= 0 || weight >= gear_of(log.athlete, models.lifts).bar_kg) return false;
  if (!set.rpe || *set.rpe < doubts.work_rpe || set.percent) return false;
  if (10 * weight < doubts.under_max * max || 10 * weight > max) return false;
  return std::none_of(log.sets.begin(), log.sets.end(), [&](const SetRow& other) {
    return other.date == set.date && other.lift == set.lift && other.weight_kg && *other.weight_kg > weight;
  });
}

/// What the set weighs "as typed", and what was probably meant; none = nothing strange about it.
std::optional<std::string> slip(const AthleteLog& log, const SetRow& set, const Models& models) {
  if (!set.weight_kg) return std::nullopt;
  const auto max = series::training_max(log, set.lift, set.date, models.lifts);
  if (!max) return std::nullopt;
  const double kg = *set.weight_kg;
  const auto number = [&](double value) { return format_number(value, 1); };
  if (below_the_bar(log, set, *max, models)) {
    return fmt::format("{} kg, less than the empty bar: probably {} kg", number(kg), number(10 * kg));
  }
  if (kg <= models.limits.doubts.over_max * *max) return std::nullopt;
  const auto against = fmt::format("{} kg, above the training max of {} kg", number(kg), number(*max));
  if (set.unit != Unit::lb && kg * k_kg_per_lb <= *max) {
    return fmt::format("{}: probably pounds, {} kg", against, number(kg * k_kg_per_lb));
  }
  if (kg / 10 <= *max) return fmt::format("{}: probably a zero too many, {} kg", against, number(kg / 10));
  return std::nullopt;
}

void weight_slips(const AthleteLog& log, Day from, const Models& models, std::vector<Question>& out) {
  for (const SetRow& set : log.sets) {
    if (set.date < from) continue;
    const auto what = slip(log, set, models);
    if (!what) continue;
    out.push_back(question(log, set.date, "weight-slip",
                           fmt::format("The {} set of {} reps on {} says {}. It is left out until you confirm or "
                                       "correct it.",
                                       spoken_lift(set.lift), set.reps, format_day(set.date), *what),
                           {"weight"}, {set}));
  }
}

void all_tens(const AthleteLog& log, Day from, const Models& models, std::vector<Question>& out) {
  for (const auto part : parts_of(log.sets)) {
    if (part.front().date < from) continue;
    int tens = 0;
    bool other = false;
    std::vector<Record> rows;
    for (const SetRow& set : part) {
      if (set.missed.value_or(0) > 0 || (set.rpe && *set.rpe < 10)) other = true;
      if (!set.rpe) continue;
      tens += set.sets;
      rows.emplace_back(set);
    }
    if (other || tens < models.limits.doubts.all_ten_sets) continue;
    const Day date = part.front().date;
    out.push_back(
        question(log, date, "all-ten",
                 fmt::format("All {} sets on {} say RPE 10 and no repetition was missed: probably the RPE of "
                             "the session, or a habit. The set RPEs are left out until you confirm or correct "
                             "them.",
                             tens, format_day(date)),
                 {"rpe"}, std::move(rows)));
  }
}

// ------------------------------------------------------------------------------------------ sessions
std::vector<SetRow> sets_of(const AthleteLog& log, const Session& session) {
  std::vector<SetRow> sets;
  for (const SetRow& set : log.sets) {
    if (set.date == session.date && set.part.value_or(1) == session.part.value_or(1)) sets.push_back(set);
  }
  return sets;
}

bool same_work(std::vector<SetRow> a, std::vector<SetRow> b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(), [](const SetRow& x, SetRow y) {
    y.part = x.part;
    y.position = x.position;
    return x == y;
  });
}

bool same_session(const Session& a, const Session& b) {
  return a.date == b.date && a.minutes && a.rpe &&
         std::tie(a.kind, a.minutes, a.rpe, a.tonnage_kg) == std::tie(b.kind, b.minutes, b.rpe, b.tonnage_kg);
}

/// A later part is asked about, with its sets, when an earlier part of the day equals it.
void sessions_twice(const AthleteLog& log, Day from, std::vector<Question>& out) {
  for (std::size_t i = 1; i < log.sessions.size(); ++i) {
    const Session& later = log.sessions[i];
    if (later.date < from) continue;
    for (std::size_t k = i; k > 0 && log.sessions[k - 1].date == later.date; --k) {
      const Session& earlier = log.sessions[k - 1];
      const auto sets = sets_of(log, later);
      if (!same_session(earlier, later) || !same_work(sets_of(log, earlier), sets)) continue;
      std::vector<Record> rows{later};
      rows.insert(rows.end(), sets.begin(), sets.end());
      out.push_back(
          question(log, later.date, "session-twice",
                   fmt::format("{} has the same session twice ({} minutes at RPE {}): probably entered twice. "
                               "It counts once until you say that there were two.",
                               format_day(later.date), format_number(*later.minutes, 1), format_number(*later.rpe, 1)),
                   {}, std::move(rows)));
      break;
    }
  }
}

bool match_or_meet(const AthleteLog& log, Day day) {
  return log.athlete.meet_date == day || std::any_of(log.days_off.begin(), log.days_off.end(), [&](const DaysOff& off) {
           return off.reason == OffReason::match && off.from <= day && day <= off.to;
         });
}

void long_minutes(const AthleteLog& log, Day from, const Models& models, std::vector<Question>& out) {
  const auto& doubts = models.limits.doubts;
  for (const Session& session : log.sessions) {
    if (session.date < from || !session.minutes || *session.minutes < doubts.long_minutes) continue;
    if (match_or_meet(log, session.date)) continue;
    const auto weight = [](const Session& s) { return s.minutes ? *s.minutes * s.rpe.value_or(1) : 0; };
    double highest = 0;
    for (const Session& other : log.sessions) {
      if (other.date < session.date && other.date >= session.date - Days{k_doubt_days}) {
        if (other.rpe.has_value() == session.rpe.has_value()) highest = std::max(highest, weight(other));
      }
    }
    if (weight(session) <= highest) continue;
    const bool tenth = *session.minutes / 10 <= doubts.likely_minutes;  // 600 for 60: a zero too many
    out.push_back(question(
        log, session.date, "minutes",
        fmt::format("The session on {} says {} minutes, longer and harder than anything of the weeks "
                    "before{}. The minutes are left out until you confirm or correct them.",
                    format_day(session.date), format_number(*session.minutes, 1),
                    tenth ? fmt::format(": probably {}", format_number(*session.minutes / 10, 1)) : std::string{}),
        {"minutes"}, {session}));
  }
}

// ------------------------------------------------------------------------------------------ checks
void sleep_blanks(const AthleteLog& log, Day from, const Models& models, std::vector<Question>& out) {
  const auto& signals = models.limits.signals;
  const auto& doubts = models.limits.doubts;
  std::vector<series::Dated> fatigue;
  for (const Check& check : log.checks) {
    const auto usual = series::usual(fatigue, check.date, signals.usual_days);
    if (check.fatigue) fatigue.push_back({check.date, *check.fatigue});
    if (check.date < from || !check.sleep_hours || *check.sleep_hours > 0) continue;
    if (!check.sleep_quality || *check.sleep_quality < doubts.good_sleep) continue;
    const bool tired = check.fatigue && *check.fatigue > doubts.rested &&
                       (!usual || usual->deviation(*check.fatigue, signals.item_floor) > 1);
    if (tired) continue;
    out.push_back(
        question(log, check.date, "sleep-blank",
                 fmt::format("Sleep on {} says 0 hours beside a quality of {} of 7: probably left empty. It is "
                             "not counted until you confirm or correct it.",
                             format_day(check.date), format_number(*check.sleep_quality, 1)),
                 {"sleep_hours"}, {check}));
  }
}

void body_masses(const AthleteLog& log, Day from, const Models& models, std::vector<Question>& out) {
  const double doubtful = models.limits.doubts.body_mass_percent;
  std::vector<series::Dated> masses;
  for (const Check& check : log.checks) {
    if (!check.body_mass_kg) continue;
    const double mass = *check.body_mass_kg;
    const auto usual = series::usual(masses, check.date, k_doubt_days);
    const double off = usual ? 100 * (mass / usual->mean - 1) : 0;
    if (off > -doubtful && off < doubtful) {
      masses.push_back({check.date, mass});
      continue;
    }
    if (check.date < from) continue;
    const double as_kg = mass * k_kg_per_lb;
    const bool pounds = 100 * std::abs(as_kg / usual->mean - 1) < doubtful / 2;
    out.push_back(
        question(log, check.date, "body-mass",
                 fmt::format("Body mass on {} says {} kg, usually {} kg{}. It is left out until you confirm or "
                             "correct it.",
                             format_day(check.date), format_number(mass, 1), format_number(usual->mean, 1),
                             pounds ? fmt::format(": probably pounds, {} kg", format_number(as_kg, 1))
                                    : std::string(": probably a slip")),
                 {"body_mass"}, {check}));
  }
}

// ------------------------------------------------------------------------------------------ training maxes
/// A training max outside of what people lift, or far from the one before it.
void max_slips(const AthleteLog& log, Day from, const Models& models, std::vector<Question>& out) {
  const auto& doubts = models.limits.doubts;
  for (const TrainingMax& max : log.maxes) {
    if (max.from < from) continue;
    const TrainingMax* before = nullptr;
    for (const TrainingMax& other : log.maxes) {
      const bool later = before != nullptr && before->from > other.from;
      if (other.lift == max.lift && other.from < max.from && !later) before = &other;
    }
    const double kg = max.training_max_kg;
    const bool outside = kg < doubts.max_kg.low || kg > doubts.max_kg.high;
    const double factor = before == nullptr ? 1 : kg / before->training_max_kg;
    if (!outside && factor < doubts.max_factor && factor > 1 / doubts.max_factor) continue;
    const auto number = [](double value) { return format_number(value, 1); };
    std::string against =
        before == nullptr ? std::string() : fmt::format(", before it {} kg", number(before->training_max_kg));
    const bool pounds = before != nullptr && max.unit != Unit::lb &&
                        kg * k_kg_per_lb <= 1.1 * before->training_max_kg &&
                        kg * k_kg_per_lb >= before->training_max_kg / 1.1;
    if (pounds) against += fmt::format(": probably pounds, {} kg", number(kg * k_kg_per_lb));
    out.push_back(question(log, max.from, "max-slip",
                           fmt::format("The training max of the {} from {} says {} kg{}. It does not count until you "
                                       "confirm or correct it.",
                                       spoken_lift(max.lift), format_day(max.from), number(kg), against),
                           {}, {max}));
  }
}

/// Blanks one member of a row if it may be blank.
struct Blank {
  template <class T>
  void operator()(std::optional<T>& member) const {
    member.reset();
  }
  void operator()(std::string& member) const { member.clear(); }
  template <class T>
  void operator()(std::vector<T>& member) const {
    member.clear();
  }
  template <class T>
  void operator()(T&) const {}
};

}  // namespace

std::vector<Question> doubts(const AthleteLog& log, Day from, const Models& models) {
  std::vector<Question> out;
  weight_slips(log, from, models, out);
  all_tens(log, from, models, out);
  sessions_twice(log, from, out);
  long_minutes(log, from, models, out);
  sleep_blanks(log, from, models, out);
  body_masses(log, from, models, out);
  max_slips(log, from, models, out);
  std::stable_sort(out.begin(), out.end(), [](const Question& a, const Question& b) { return a.date < b.date; });
  return out;
}

Record without_fields(const Record& row, const std::vector<std::string>& fields) {
  Record blanked = row;
  std::visit(
      [&](auto& record) {
        visit_fields(
            [&](const Column& column, auto& member) {
              const bool named = std::find(fields.begin(), fields.end(), column.name) != fields.end();
              if (named && column.role == Role::optional) Blank{}(member);
            },
            record);
      },
      blanked);
  return blanked;
}

}  // namespace steelyard::decide
