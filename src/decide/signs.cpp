#include "signs.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <functional>
#include <map>

#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"

namespace steelyard::decide {
namespace {

/// Everything written on one day that may hold a sign.
struct DayNotes {
  const Check* check = nullptr;
  std::vector<std::string_view> notes;
};

std::map<Day, DayNotes> notes_by_day(const Morning& m) {
  std::map<Day, DayNotes> days;
  for (const Check& c : m.log->checks) {
    if (c.date > m.today) continue;
    DayNotes& day = days[c.date];
    day.check = &c;
    if (!c.note.empty()) day.notes.push_back(c.note);
  }
  for (const Session& s : m.log->sessions) {
    if (s.date <= m.today && !s.note.empty()) days[s.date].notes.push_back(s.note);
  }
  return days;
}

bool has(const std::vector<std::string>& words, std::string_view word) {
  return std::find(words.begin(), words.end(), word) != words.end();
}

enum class Raised { no, yes, denied };

/// "nearly passed out" holds "passed out": the longer phrase of another sign speaks alone.
bool covered_by_longer(std::string_view note, const std::string& phrase, const CautionsModel& model) {
  const int alone = find_phrase(note, phrase, model).times;
  int inside = 0;
  for (const SignModel& other : model.signs) {
    for (const std::string& longer : other.words) {
      if (longer.size() > phrase.size() && longer.find(phrase) != std::string::npos)
        inside += find_phrase(note, longer, model).times;
    }
  }
  return inside >= alone;
}

Raised raised(const SignModel& sign, const DayNotes& day, const CautionsModel& model, std::string& denied_words) {
  if (day.check != nullptr) {
    const auto& symptoms = day.check->symptoms;
    const bool any =
        std::any_of(sign.symptoms.begin(), sign.symptoms.end(), [&](const auto& s) { return has(symptoms, s); });
    const bool all =
        std::all_of(sign.together.begin(), sign.together.end(), [&](const auto& s) { return has(symptoms, s); });
    if (any && all) return Raised::yes;
  }
  Raised result = Raised::no;
  for (const auto note : day.notes) {
    for (const std::string& phrase : sign.words) {
      const Phrase found = find_phrase(note, phrase, model);
      if (!found.found || covered_by_longer(note, phrase, model)) continue;
      if (!found.negated) return Raised::yes;
      result = Raised::denied;
      denied_words = phrase;
    }
  }
  return result;
}

/// Strong pain there is no matter of one lift: the name of the sentence that is said instead, or nothing.
std::string_view own_text(std::string_view site) {
  return site == "head" ? "pain-head" : site == "abdomen" ? "pain-abdomen" : "";
}

/// A pain entry that stops: which urgency, or none.
std::optional<Urgency> pain_stops(const PainEntry& pain, const std::vector<std::string>& symptoms,
                                  const LimitsModel& limits) {
  if (pain.level <= 0) return std::nullopt;
  const auto region = region_of(pain.site);
  const auto site = split_side(pain.site).site;
  if ((region == "chest" || site == "jaw") &&
      (pain.kind == PainKind::pressure || pain.kind == PainKind::radiating || pain.kind == PainKind::burning))
    return Urgency::now;
  if (pain.kind == PainKind::numb) return Urgency::today;
  const bool strong =
      pain.level >= limits.pain.any_stop || (pain.kind == PainKind::sharp && pain.level >= limits.pain.sharp_stop);
  if (strong && !own_text(site).empty()) return Urgency::today;
  if (pain.kind == PainKind::radiating || pain.kind == PainKind::pressure || strong) return Urgency::soon;
  const bool changes_the_lift = has(symptoms, "limping") || has(symptoms, "giving-way") || has(symptoms, "locking");
  return changes_the_lift ? std::optional(Urgency::soon) : std::nullopt;
}

std::string spoken_pain(const PainEntry& pain) {
  return fmt::format("{} pain in the {}, {} of 10", word(pain.kind), spoken_site(pain.site),
                     format_number(pain.level, 1));
}

/// Levels of one site over the entries of the last weeks, oldest first.
std::vector<double> recent_levels(const Morning& m, std::string_view site) {
  std::vector<double> levels;
  for (const Check& c : m.log->checks) {
    if (c.date > m.today || c.date <= m.today - Days{m.models->limits.pain.rising_days}) continue;
    for (const PainEntry& p : c.pain) {
      if (p.site == site) levels.push_back(p.level);
    }
  }
  return levels;
}

/// Open stops, by their id.
class Open {
 public:
  Open(const Morning& m, const Models& models) : m_(m), models_(models) {}

  void raise(Caution caution, std::string what) {
    auto [found, is_new] = open_.try_emplace(caution.id, caution);
    quiet_mornings_[caution.id] = 0;
    if (!is_new && found->second.urgency < caution.urgency) return;  // a milder entry takes nothing back
    what_[caution.id] = std::move(what);
    if (is_new) return;
    caution.since = found->second.since;
    found->second = std::move(caution);
  }

  /// A morning's check may close what is only left out.
  void morning(Day day, const Check& check) {
    for (auto it = open_.begin(); it != open_.end();) {
      const bool soon = it->second.urgency == Urgency::soon;
      const bool pain = it->first.starts_with("pain-");
      int& quiet = quiet_mornings_[it->first];
      if (soon && it->second.since < day && is_quiet(it->first, pain, check)) ++quiet;
      if (soon && quiet >= models_.limits.pain.gone_mornings) {
        it = open_.erase(it);
      } else {
        ++it;
      }
    }
  }

  void clear(Day day) {
    for (const Clearance& c : m_.log->clearances) {
      if (c.date != day) continue;
      open_.erase(c.caution);
    }
  }

  /// What was entered, in plain words.
  [[nodiscard]] const std::string& what(const std::string& id) const { return what_.at(id); }

  [[nodiscard]] std::vector<Caution> all() const {
    std::vector<Caution> cautions;
    for (const auto& [id, caution] : open_) cautions.push_back(caution);
    return cautions;
  }

 private:
  /// The site entered as 0; for a sign without pain, a morning without the sign and without pain.
  static bool is_quiet(const std::string& id, bool pain, const Check& check) {
    if (!pain) {
      return std::none_of(check.pain.begin(), check.pain.end(), [](const PainEntry& p) { return p.level > 0; });
    }
    const std::string site = id.substr(5);
    return std::any_of(check.pain.begin(), check.pain.end(),
                       [&](const PainEntry& p) { return p.site == site && p.level <= 0; });
  }

  const Morning& m_;
  const Models& models_;
  std::map<std::string, Caution> open_;
  std::map<std::string, std::string> what_;
  std::map<std::string, int> quiet_mornings_;
};

/// Regions of the sites that a note names: "knee gave way on the stairs" is about the knees.
void add_named_regions(std::string_view note, std::vector<std::string>& regions) {
  std::string words = to_lower(note);
  std::replace_if(
      words.begin(), words.end(), [](char c) { return (c < 'a' || c > 'z') && c != '-'; }, ' ');
  for (const std::string_view named : split_words(words)) {
    if (const auto region = region_of(named); !region.empty()) regions.emplace_back(region);
  }
}

/// Lifts that load what the sign is about: its own regions, else those of the day's pain entries and notes; all, also
/// planned ones that nobody described, if nothing says where it is.
std::vector<std::string> closed_lifts(const Morning& m, const SignModel& sign, const DayNotes& day) {
  std::vector<std::string> regions = sign.regions;
  if (regions.empty() && day.check != nullptr) {
    for (const PainEntry& p : day.check->pain) {
      if (p.level > 0) regions.emplace_back(region_of(p.site));
    }
  }
  if (regions.empty()) {
    for (const auto note : day.notes) add_named_regions(note, regions);
  }
  std::vector<std::string> closed;
  for (const LiftModel& lift : m.models->lifts.lifts) {
    const bool loads =
        std::any_of(regions.begin(), regions.end(), [&](const auto& r) { return loads_region(lift, r); });
    if (regions.empty() || loads) closed.push_back(lift.lift);
  }
  if (!regions.empty()) return closed;
  for (const PlanRow& row : m.log->plan) {
    if (!has(closed, row.lift)) closed.push_back(row.lift);
  }
  return closed;
}

/// Names of the planned lifts of today among `closed`, as people say them; else the region's own lifts in general.
std::string spoken_lifts(const Morning& m, const std::vector<std::string>& closed) {
  std::vector<std::string> names;
  for (const PlanRow& row : plan_of(m.log->plan, m.today)) {
    if (has(closed, row.lift)) names.push_back(spoken_plural(m.models->lifts, row.lift));
  }
  if (names.empty()) {
    for (const LiftModel& lift : m.models->lifts.lifts) {
      if (lift.main && lift.variant_of.empty() && has(closed, lift.lift)) names.push_back(lift.say);
    }
  }
  return names.empty() ? "lifts that load it" : join_words(names);
}

void raise_pain(const Morning& m, Day day, const Check& check, Open& open, Signs& signs) {
  const Models& models = *m.models;
  for (const PainEntry& pain : check.pain) {
    const auto region = std::string(region_of(pain.site));
    const auto closed = lifts_of_region(models.lifts, region);
    if (const auto urgency = pain_stops(pain, check.symptoms, models.limits)) {
      Caution caution{.id = "pain-" + pain.site, .urgency = *urgency, .source = models.cautions.source, .since = day};
      if (*urgency == Urgency::soon) {
        caution.lifts = closed;
        caution.say = caution_text(models, "pain-soon",
                                   {{"pain", capitalized(spoken_pain(pain))}, {"lift", spoken_lifts(m, closed)}});
      } else if (const auto text = own_text(split_side(pain.site).site); pain.kind != PainKind::numb && !text.empty()) {
        caution.say = caution_text(models, std::string(text), {{"pain", capitalized(spoken_pain(pain))}});
      } else {
        const auto sign =
            std::find_if(models.cautions.signs.begin(), models.cautions.signs.end(), [&](const SignModel& s) {
              return has(s.symptoms, *urgency == Urgency::now ? "chest-pressure" : "numb-limb");
            });
        if (sign != models.cautions.signs.end()) {
          caution.id = sign->id;  // one caution, whether the sign or the pain was entered
          caution.say = fmt::format("{}. {}", capitalized(spoken_pain(pain)),
                                    fill(sign->say, {{"emergency", models.cautions.emergency_number}}));
        }
      }
      open.raise(std::move(caution), spoken_pain(pain));
      continue;
    }
    if (day != m.today || pain.level <= 0) continue;
    PainWatch watch{.site = pain.site, .region = region, .level = pain.level};
    watch.rising = is_rising(recent_levels(m, pain.site), models.limits);
    watch.lighter = watch.rising || pain.level > models.limits.pain.watch_high || pain.kind == PainKind::sharp;
    signs.cautions.push_back(
        {.id = "pain-" + pain.site,
         .urgency = Urgency::watch,
         .say = caution_text(models,
                             watch.rising    ? "pain-rising"
                             : watch.lighter ? "pain-lighter"
                                             : "pain-watch",
                             {{"pain", capitalized(spoken_pain(pain))}, {"lift", spoken_lifts(m, closed)}}),
         .source = models.cautions.source,
         .since = day});
    signs.watched.push_back(std::move(watch));
  }
}

void raise_signs(const Morning& m, Day day, const DayNotes& notes, Open& open, Signs& signs) {
  const Models& models = *m.models;
  for (const SignModel& sign : models.cautions.signs) {
    std::string denied;
    const Raised answer = raised(sign, notes, models.cautions, denied);
    if (answer == Raised::denied && day == m.today)
      signs.asks.push_back(caution_text(models, "negated", {{"words", denied}}));
    if (answer != Raised::yes) continue;
    const bool ill = sign.urgency == Urgency::watch;
    if (ill && day < m.today && sign.rest_only) signs.last_ill = day;
    if (ill && day != m.today) continue;
    Caution caution{.id = sign.id, .urgency = sign.urgency, .source = sign.source, .since = day};
    caution.say =
        fill(fmt::format("You entered {}. {}", sign.what, sign.say), {{"emergency", models.cautions.emergency_number}});
    if (ill) {
      signs.rest_only = signs.rest_only || sign.rest_only;
      signs.cold = signs.cold || !sign.rest_only;
      signs.cautions.push_back(std::move(caution));
      continue;
    }
    if (sign.urgency == Urgency::soon) caution.lifts = closed_lifts(m, sign, notes);
    open.raise(std::move(caution), sign.what);
  }
}

void find_distress(const Morning& m, const std::map<Day, DayNotes>& days, Signs& signs) {
  const CautionsModel& model = m.models->cautions;
  for (auto it = days.lower_bound(m.today - Days{6}); it != days.end(); ++it) {
    for (const auto note : it->second.notes) {
      signs.distress = signs.distress || speaks_of_distress(note, model);
    }
  }
}

}  // namespace

const Caution* Signs::closes(std::string_view lift) const {
  for (const Caution& c : cautions) {
    if (c.urgency == Urgency::soon && has(c.lifts, lift)) return &c;
  }
  return nullptr;
}

bool is_rising(const std::vector<double>& levels, const LimitsModel& limits) {
  const int entries = limits.pain.rising_entries;
  if (std::ssize(levels) < entries) return false;
  const bool each_above =
      std::adjacent_find(levels.end() - entries, levels.end(), std::greater_equal<>()) == levels.end();
  const auto run_end = std::is_sorted_until(levels.rbegin(), levels.rend(), std::greater<>());
  return each_above ||
         (run_end - levels.rbegin() >= entries && levels.back() - *(run_end - 1) >= limits.pain.rising_points);
}

bool loads_region(const LiftModel& lift, std::string_view region) {
  return has(lift.movers, region) || has(lift.support, region) || has(lift.joints, region);
}

std::vector<std::string> lifts_of_region(const LiftsModel& lifts, std::string_view region) {
  std::vector<std::string> names;
  for (const LiftModel& lift : lifts.lifts) {
    if (loads_region(lift, region)) names.push_back(lift.lift);
  }
  return names;
}

Signs signs_of(const Morning& m) {
  Signs signs;
  Open open(m, *m.models);
  const auto days = notes_by_day(m);
  std::map<Day, DayNotes> with_clearances = days;
  for (const Clearance& c : m.log->clearances) {
    if (c.date <= m.today) with_clearances.try_emplace(c.date);
  }
  for (const auto& [day, notes] : with_clearances) {
    if (notes.check != nullptr) open.morning(day, *notes.check);
    raise_signs(m, day, notes, open, signs);
    if (notes.check != nullptr) raise_pain(m, day, *notes.check, open, signs);
    open.clear(day);
  }
  for (const DaysOff& off : m.log->days_off) {
    if (off.reason == OffReason::illness && off.from < m.today) {
      signs.last_ill = std::max(signs.last_ill.value_or(off.from), std::min(off.to, m.today - Days{1}));
    }
  }
  for (Caution& caution : open.all()) {
    if (caution.since < m.today && caution.urgency != Urgency::soon) {
      caution.say +=
          " " + caution_text(*m.models, "still-open",
                             {{"what", capitalized(open.what(caution.id))}, {"date", format_day(caution.since)}});
    }
    signs.stop = signs.stop || is_stop(caution.urgency);
    signs.cautions.push_back(std::move(caution));
  }
  find_distress(m, days, signs);
  std::stable_sort(signs.cautions.begin(), signs.cautions.end(),
                   [](const Caution& a, const Caution& b) { return a.urgency < b.urgency; });
  return signs;
}

}  // namespace steelyard::decide
