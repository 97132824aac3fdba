#pragma once
/// Random invented histories and mornings for the properties of a call: most of them ordinary, some of them anything.

#include "decide/build_log.hpp"
#include "steelyard/domain/vocabulary.hpp"

namespace steelyard::testing {

class RandomMornings {
 public:
  explicit RandomMornings(unsigned seed) : engine_(seed), builder_(history(seed)) { change_history(); }

  [[nodiscard]] Day today() const { return builder_.today(); }
  /// Everything up to yesterday, and the plan.
  [[nodiscard]] const AthleteLog& before() const { return builder_.log(); }

  /// A morning of this history. Regions of the movers are always named, so that two mornings can be compared.
  [[nodiscard]] Check morning() {
    Check c = builder_.ordinary_morning();
    c.sore_regions = {{"quads", level()}, {"glutes", level()}, {"chest", level()}, {"hamstrings", level()}};
    if (once_in(4)) c.sore_regions.push_back({"low-back", level()});
    if (once_in(5)) c.sleep_hours = uniform(0, 9);
    if (once_in(6)) c.sleep_quality = level();
    if (once_in(5)) c.fatigue = level();
    if (once_in(5)) c.stress = level();
    if (once_in(5)) c.mood = level();
    if (once_in(5)) c.soreness = level();
    if (once_in(5))
      c.pain.push_back({site(), std::round(uniform(0, 4)), once_in(3) ? PainKind::sharp : PainKind::dull});
    if (once_in(5)) c.minutes_available = std::round(uniform(5, 90));
    if (once_in(3)) c.resting_hr = uniform(45, 70);
    if (once_in(3)) c.jump_cm = uniform(30, 42);
    if (once_in(15))
      c.note = one_of<std::string>(
          {"no chest pain", "hay fever again", "slept at the airport", "tight chest", "felt a pop"});
    if (once_in(30))
      c.symptoms.push_back(one_of(std::vector<std::string>(symptom_codes().begin(), symptom_codes().end())));
    if (once_in(12)) c.symptoms.push_back(one_of<std::string>({"runny-nose", "fever", "cough"}));
    return c;
  }

  int below(int n) { return std::uniform_int_distribution<int>(0, n - 1)(engine_); }
  bool once_in(int n) { return below(n) == 0; }
  double uniform(double low, double high) { return std::uniform_real_distribution<double>(low, high)(engine_); }
  template <class T>
  T one_of(const std::vector<T>& all) {
    return all[static_cast<std::size_t>(below(static_cast<int>(all.size())))];
  }
  std::mt19937& engine() { return engine_; }

 private:
  double level() { return once_in(3) ? 1.0 + below(7) : 1.0 + below(3); }
  std::string site() {
    return one_of<std::string>({"knee-left", "low-back", "shoulder-right", "groin", "ankle-left", "elbow-left"});
  }

  LogBuilder history(unsigned seed) {
    using enum DayKind;
    Pattern pattern = once_in(2) ? heavy_speed_volume() : volume_speed_heavy();
    if (once_in(3)) {  // other work than the middle of the ranges, some of it beyond them
      for (PatternDay& day : pattern) {
        for (Work& w : day.work) {
          w.percent = std::round(2 * (w.percent + uniform(-5, 12.5))) / 2;
          w.reps = std::max(1, w.reps + below(4) - 1);
          w.sets = std::max(1, w.sets + below(4) - 1);
        }
      }
    }
    if (once_in(4))
      pattern.push_back({5, 60, 6, {{"front-squat", volume, 3, 8, 60, 7}, {"row", volume, 3, 12, 60, 8}}});
    Usual usual;
    usual.soreness = uniform(1.5, 4.5);
    usual.fatigue = uniform(2, 4);
    usual.spread = once_in(8) ? 0 : uniform(0.3, 1);
    const Day today = k_monday + Days{84 + one_of<int>({0, 2, 4, 0, 2, 4, 5, 6})};
    LogBuilder builder(pattern, today, one_of<int>({1, 3, 6, 12, 20}), seed, usual);
    return builder;
  }

  void change_history() {
    AthleteLog& log = builder_.log();
    const Day now = today();
    if (once_in(3)) log.athlete.birth_year = 2026 - (once_in(2) ? 12 + below(6) : 60 + below(15));
    if (once_in(6)) log.athlete.training_since = now - Days{below(700)};
    if (once_in(4)) log.athlete.meet_date = now + Days{below(40) - 8};
    if (once_in(5)) {
      const Day match = now + Days{below(6) - 2};
      log.days_off.push_back({.athlete = "ada", .from = match, .to = match, .reason = OffReason::match});
    }
    if (once_in(3)) break_off(3 + below(40));
    if (once_in(4)) raise_last_week(uniform(1, 3));
    if (once_in(5)) std::erase_if(log.checks, [&](const Check&) { return once_in(3); });
    if (once_in(6))
      log.periods.push_back({.athlete = "ada",
                             .group = "",
                             .from = now - Days{5},
                             .to = now + Days{5},
                             .intent = one_of<Intent>({Intent::hard, Intent::easy, Intent::camp}),
                             .note = ""});
    if (once_in(4)) blank_plan();
    for (PlanRow& row : log.plan) {
      if (row.lift == "row") row.percent.reset();  // an accessory near failure
    }
    if (once_in(3)) bar_speeds();
    for (Check& c : log.checks) {
      if (once_in(40)) c.pain.push_back({site(), std::round(uniform(0, 4)), PainKind::dull});
      c.resting_hr = uniform(50, 60);
      c.jump_cm = uniform(35, 38);
    }
    std::stable_sort(log.days_off.begin(), log.days_off.end(),
                     [](const DaysOff& a, const DaysOff& b) { return a.from < b.from; });
    if (!log.checks.empty() && once_in(8))
      log.checks.back().note = one_of<std::string>({"knee buckled", "cold on my chest"});
  }

  /// Nothing done or entered for some days that end a little while ago; declared or not.
  void break_off(int days) {
    AthleteLog& log = builder_.log();
    const Day last = today() - Days{1 + below(10)};
    const Day first = last - Days{days - 1};
    const auto inside = [&](Day date) { return first <= date && date <= last; };
    std::erase_if(log.sessions, [&](const Session& s) { return inside(s.date); });
    std::erase_if(log.sets, [&](const SetRow& s) { return inside(s.date); });
    if (once_in(3)) std::erase_if(log.checks, [&](const Check& c) { return inside(c.date); });
    if (once_in(2)) {
      log.days_off.push_back(
          {.athlete = "ada",
           .from = first,
           .to = last,
           .reason = one_of<OffReason>({OffReason::holiday, OffReason::illness, OffReason::missed})});
    }
  }

  void raise_last_week(double factor) {
    for (Session& s : builder_.log().sessions) {
      if (s.date >= today() - Days{7}) s.minutes = std::min(1440.0, *s.minutes * factor);
    }
  }

  void blank_plan() {
    for (PlanRow& row : builder_.log().plan) {
      if (row.date < today() && !once_in(3)) continue;
      if (once_in(2)) row.reps = std::nullopt;
      if (once_in(2)) row.sets = std::nullopt;
      if (once_in(2)) row.percent = std::nullopt;
    }
  }

  void bar_speeds() {
    AthleteLog& log = builder_.log();
    for (const SetRow& set : log.sets) {
      if (set.lift == "squat")
        log.bar.push_back(
            {.athlete = "ada", .date = set.date, .lift = "squat", .percent = 60, .speed_m_s = uniform(0.68, 0.72)});
    }
    log.bar.push_back(
        {.athlete = "ada", .date = today(), .lift = "squat", .percent = 60, .speed_m_s = uniform(0.6, 0.75)});
  }

  std::mt19937 engine_;
  LogBuilder builder_;
};

}  // namespace steelyard::testing
