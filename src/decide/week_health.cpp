#include <fmt/core.h>

#include <algorithm>

#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "week_findings.hpp"
#include "words.hpp"

namespace steelyard::decide {
namespace {

bool has(const std::vector<std::string>& words, std::string_view word) {
  return std::find(words.begin(), words.end(), word) != words.end();
}

bool is_pain(const Caution& caution) {
  return caution.id.starts_with("pain-");
}

std::string on_day(const WeekFacts& f, Day day) {
  if (day >= f.monday) return std::string(weekday_name(day));
  return fmt::format("{} {}", weekday_name(day), format_day(day));
}

/// "2 on Monday, 3 on Wednesday and 5 on Sunday"; "4 since Saturday" for an unchanged one
std::string spoken_levels(const PainWeek& pain) {
  const auto& levels = pain.levels;
  const bool same =
      std::all_of(levels.begin(), levels.end(), [&](const auto& l) { return l.second == levels.front().second; });
  if (same) {
    return fmt::format("{} of 10 {} {}", format_number(levels.front().second, 1), levels.size() > 1 ? "since" : "on",
                       weekday_name(levels.front().first));
  }
  constexpr std::size_t many = 4;
  if (!pain.rising && levels.size() > many) {
    const auto [low, high] = std::minmax_element(levels.begin(), levels.end(),
                                                 [](const auto& a, const auto& b) { return a.second < b.second; });
    return fmt::format("{} to {} of 10 on {} days, last {}", format_number(low->second, 1),
                       format_number(high->second, 1), levels.size(), format_number(levels.back().second, 1));
  }
  std::vector<std::string> parts;
  for (std::size_t i = 0; i < levels.size(); ++i) {
    if (i > 0 && i + 1 < levels.size() && levels[i].second == levels[i - 1].second) continue;
    parts.push_back(fmt::format("{} on {}", format_number(levels[i].second, 1), weekday_name(levels[i].first)));
  }
  return join_words(parts) + ", of 10";
}

std::string spoken_pain(const PainWeek& pain) {
  return fmt::format("{} pain in the {}{}: {}.", capitalized(word(pain.kind)), spoken_site(pain.site),
                     pain.rising ? ", rising" : "", spoken_levels(pain));
}

const PainWeek* pain_at(const WeekFacts& f, std::string_view site) {
  const auto found = std::find_if(f.pain.begin(), f.pain.end(), [&](const PainWeek& p) { return p.site == site; });
  return found == f.pain.end() ? nullptr : &*found;
}

std::string with_minors(const WeekFacts& f, std::string step) {
  if (is_minor(f.after)) step += " Under 18: tell a parent or guardian and the supervising adult.";
  return step;
}

void stops(const WeekFacts& f, Findings& out) {
  for (const Caution& caution : f.signs.cautions) {
    if (!is_stop(caution.urgency)) continue;
    const bool now = caution.urgency == Urgency::now;
    Finding finding{.rank = now ? week_rank::now : week_rank::today, .kind = "stop"};
    finding.because.push_back(
        fmt::format("A stop is open since {}. The lifter was told: {}", on_day(f, caution.since), caution.say));
    finding.next_step =
        now ? fmt::format(
                  "Reach {} now; if it is still there, call {}. No training until a licensed practitioner has "
                  "cleared it.",
                  f.code(), f.models->cautions.emergency_number)
            : fmt::format(
                  "No training for {} until a licensed practitioner has cleared it; ask today whether a doctor "
                  "has been spoken to.",
                  f.code());
    finding.next_step = with_minors(f, finding.next_step);
    out.flags.push_back(std::move(finding));
  }
}

/// Whatever leaves lifts out: raised this week it flags, older ones nobody wrote about again are asked about.
void closed_lifts(const WeekFacts& f, Findings& out) {
  std::vector<std::string> closed;
  Finding finding{.rank = week_rank::pain};
  for (const Caution& caution : f.signs.cautions) {
    if (caution.urgency != Urgency::soon || (is_pain(caution) && !f.shared.pain)) continue;
    const bool this_week = std::any_of(f.raised.cautions.begin(), f.raised.cautions.end(),
                                       [&](const Caution& c) { return c.id == caution.id; });
    const PainWeek* pain = is_pain(caution) ? pain_at(f, std::string_view(caution.id).substr(5)) : nullptr;
    if (!this_week && pain == nullptr) {
      out.watch.push_back(fmt::format(
          "{} is open since {} with nothing entered about it this week: ask.",
          is_pain(caution) ? "Pain in the " + spoken_site(caution.id.substr(5)) : capitalized(spoken_lift(caution.id)),
          on_day(f, caution.since)));
      continue;
    }
    if (finding.kind.empty()) finding.kind = is_pain(caution) ? "pain" : "stop";
    if (is_pain(caution)) finding.kind = "pain";
    if (pain != nullptr) finding.because.push_back(spoken_pain(*pain));
    finding.because.push_back("The lifter was told: " + caution.say);
    for (const std::string& lift : caution.lifts) {
      if (!has(closed, lift)) closed.push_back(lift);
    }
  }
  if (finding.because.empty()) return;
  finding.next_step = with_minors(
      f, fmt::format("No loaded {} until it is seen by a physiotherapist or doctor; train what does not hurt.",
                     spoken_closed(f, closed)));
  out.flags.push_back(std::move(finding));
}

/// Pain below the levels that leave a lift out.
void other_pain(const WeekFacts& f, Findings& out) {
  const auto& limits = f.models->limits.pain;
  for (const PainWeek& pain : f.pain) {
    const bool closes = std::any_of(f.signs.cautions.begin(), f.signs.cautions.end(),
                                    [&](const Caution& c) { return c.id == "pain-" + pain.site; });
    if (closes) continue;
    const double level = pain.levels.back().second;
    const bool known = pain.before && level <= *pain.before + f.models->limits.week.pain_as_before;
    const bool flags = (pain.rising && level >= limits.watch_high) || (level > limits.watch_high && !known);
    if (!flags) {
      out.watch.push_back(spoken_pain(pain) + (known ? " As in the weeks before." : " Ask how it is midweek."));
      continue;
    }
    const auto lifts = lifts_of_region(f.models->lifts, region_of(pain.site));
    out.flags.push_back(
        {.rank = week_rank::pain,
         .kind = "pain",
         .because = {spoken_pain(pain)},
         .next_step = with_minors(f, fmt::format("About half the work in {}, lighter, and have it looked at by a "
                                                 "physiotherapist or doctor this week; if it climbs, leave them out.",
                                                 spoken_closed(f, lifts)))});
  }
}

void distress(const WeekFacts& f, Findings& out) {
  const std::string talk =
      caution_text(*f.models, "distress-coach", {{"athlete", f.code()}}) + " Training light or off until then.";
  if (f.distress) {
    std::string wrote = fmt::format("Wrote words on {} that worry", weekday_name(*f.distress));
    wrote += f.distress_note.empty() ? "." : fmt::format(": \"{}\".", f.distress_note);
    out.flags.push_back({.rank = week_rank::distress,
                         .kind = "distress",
                         .because = {std::move(wrote)},
                         .next_step = with_minors(f, talk)});
    return;
  }
  const auto& week = f.models->limits.week;
  const ItemWeek* mood = f.item(&Check::mood);
  if (mood == nullptr || mood->n < week.mood_days || mood->beyond_squad_sd() < week.mood_sd) return;
  out.flags.push_back({.rank = week_rank::mood,
                       .kind = "distress",
                       .because = {spoken_item(*mood) + ", far below for days."},
                       .next_step = with_minors(f, talk)});
}

void illness(const WeekFacts& f, Findings& out) {
  if (f.cold && f.cold != f.last_fever) {
    out.watch.push_back(
        fmt::format("A head cold, last entered on {}: short and easy is allowed.", weekday_name(*f.cold)));
  }
  if (!f.last_fever) return;
  const auto& signs = f.models->cautions.signs;
  const auto sign = std::find_if(signs.begin(), signs.end(), [&](const SignModel& s) { return s.id == f.fever_id; });
  const std::string what = sign == signs.end() ? f.fever_id : sign->what;
  Day last_check = f.monday;
  for (const Check& c : f.log->checks) last_check = std::max(last_check, c.date);
  if (*f.last_fever + Days{1} >= last_check) {
    out.flags.push_back(
        {.rank = week_rank::ill,
         .kind = "stop",
         .because = {fmt::format("Entered {}, last on {}.", what, weekday_name(*f.last_fever))},
         .next_step = with_minors(f,
                                  "No training while it lasts; a doctor if it lasts more than three days or gets "
                                  "worse. Half sessions first once it is gone.")});
    return;
  }
  out.watch.push_back(
      fmt::format("Entered {}, last on {}, not since: half sessions first.", what, weekday_name(*f.last_fever)));
}

}  // namespace

std::string spoken_closed(const WeekFacts& f, const std::vector<std::string>& closed) {
  const Day from = f.monday - Days{28};
  const auto done = [&](const std::string& lift) {
    return std::any_of(f.log->sets.begin(), f.log->sets.end(),
                       [&](const SetRow& s) { return s.lift == lift && s.date >= from; }) ||
           std::any_of(f.log->plan.begin(), f.log->plan.end(),
                       [&](const PlanRow& p) { return p.lift == lift && p.date >= from; });
  };
  std::vector<std::string> names;
  std::vector<std::string> in_general;
  for (const LiftModel& lift : f.models->lifts.lifts) {
    if (!has(closed, lift.lift)) continue;
    if (done(lift.lift)) names.push_back(lift.say);
    if (lift.main && lift.variant_of.empty()) in_general.push_back(lift.say);
  }
  if (names.empty()) names = std::move(in_general);
  const auto& all = f.models->lifts.lifts;
  const bool legs = std::all_of(all.begin(), all.end(),
                                [&](const LiftModel& lift) { return !lift.lower_body || has(closed, lift.lift); });
  if (legs) return "lower-body work";
  return names.empty() ? "lifts that load it" : join_words(names);
}

void find_health(const WeekFacts& f, Findings& out) {
  stops(f, out);
  distress(f, out);
  closed_lifts(f, out);
  other_pain(f, out);
  illness(f, out);
}

}  // namespace steelyard::decide
