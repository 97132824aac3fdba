/// What holds for every call, whatever was entered: tried on random invented histories and mornings. The rules are
/// those of the program itself and of common coaching practice; the cases come from seeds.
#include <gtest/gtest.h>

#include <set>

#include "decide/random_mornings.hpp"
#include "decide/scene.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/cells.hpp"

namespace steelyard::decide {
namespace {

using testing::RandomMornings;
using testing::shipped_models;

// The fast form runs with every change, the long one under the label "slow".
#ifdef STEELYARD_LONG_PROPERTIES
constexpr unsigned k_times = 25;
#else
constexpr unsigned k_times = 1;
#endif
constexpr unsigned k_histories = 80 * k_times;
constexpr int k_mornings = 3;

std::string picture(const Check& check) {
  return print_json_line(Record(check));
}

AthleteLog with(AthleteLog log, const Check& morning) {
  log.checks.push_back(morning);
  return log;
}

/// Runs `test` on mornings of many histories; stops at the first failure.
template <class Test>
void on_random_mornings(Test test, unsigned histories = k_histories, int mornings = k_mornings) {
  for (unsigned seed = 1; seed <= histories; ++seed) {
    RandomMornings random(seed);
    for (int i = 0; i < mornings; ++i) {
      const Check morning = random.morning();
      SCOPED_TRACE("history " + std::to_string(seed) + ", morning " + picture(morning));
      test(random, morning);
      if (::testing::Test::HasFatalFailure() || ::testing::Test::HasNonfatalFailure()) return;
    }
  }
}

TEST(Call, IsTheNearestCandidateThatHoldsEveryLimit) {
  on_random_mornings([](RandomMornings& random, const Check& morning) {
    const auto log = with(random.before(), morning);
    const DayCall day = call_for(log, random.today(), shipped_models());
    const Scene scene(log, random.today());
    ASSERT_EQ(day.calls.size(), scene.lifts.size());
    for (std::size_t i = 0; i < day.calls.size(); ++i) {
      const LiftScene& s = scene.lifts[i];
      const LiftCall& call = day.calls[i];
      if (s.closed || s.plan.kind == DayKind::rest) continue;
      const auto chosen = std::find_if(s.all.begin(), s.all.end(), [&](const Candidate& c) {
        return c.work == call.call && c.actions == call.actions;
      });
      ASSERT_NE(chosen, s.all.end()) << "the call is one of the candidates";
      EXPECT_TRUE(admissible(s.bounds, chosen->work)) << call.lift;
      const bool wish_met = wishes_hold(s.bounds, chosen->work);
      for (const Candidate& c : s.all) {
        if (c.distance >= chosen->distance && wish_met) continue;
        const bool better = admissible(s.bounds, c.work) && (!wish_met || wishes_hold(s.bounds, c.work)) &&
                            (c.distance < chosen->distance || wishes_hold(s.bounds, c.work));
        EXPECT_FALSE(better) << call.lift << ": a nearer one holds every limit, distance " << c.distance << " against "
                             << chosen->distance;
      }
    }
  });
}

/// One thing of the morning, or of the work done, worse by a random step. empty = it is as bad as it gets.
struct Worse {
  std::string what;
  AthleteLog log;
};

std::vector<Worse> worse_versions(RandomMornings& random, const Check& morning) {
  std::vector<Worse> all;
  const auto change = [&](const std::string& what, auto edit) {
    Check worse = morning;
    edit(worse);
    all.push_back({what, with(random.before(), worse)});
  };
  const auto up = [&](double x) { return std::min(7.0, x + 1 + random.below(4)); };
  const auto down = [&](double x) { return std::max(1.0, x - 1 - random.below(4)); };
  const std::size_t region = static_cast<std::size_t>(random.below(4));
  change("more sore in " + morning.sore_regions[region].region,
         [&](Check& c) { c.sore_regions[region].level = up(c.sore_regions[region].level); });
  change("more sore overall", [&](Check& c) { c.soreness = up(*c.soreness); });
  change("less sleep", [&](Check& c) { c.sleep_hours = std::max(0.0, *c.sleep_hours - random.uniform(0.3, 8)); });
  change("worse sleep", [&](Check& c) { c.sleep_quality = down(*c.sleep_quality); });
  change("more tired", [&](Check& c) { c.fatigue = up(*c.fatigue); });
  change("more stress", [&](Check& c) { c.stress = up(*c.stress); });
  change("lower mood", [&](Check& c) { c.mood = down(*c.mood); });
  // Beside a sign without a place ("felt a pop") the first place named says which lifts it concerns: not only more
  // pain.
  const bool hurts =
      std::any_of(morning.pain.begin(), morning.pain.end(), [](const PainEntry& p) { return p.level > 0; });
  if (hurts || (morning.note.empty() && morning.symptoms.empty())) {
    change("more pain", [&](Check& c) {
      if (c.pain.empty()) c.pain.push_back({"knee-left", 0, PainKind::dull});
      c.pain.front().level = std::min(10.0, c.pain.front().level + 1 + random.below(4));
    });
  }
  change("fewer minutes", [&](Check& c) {
    c.minutes_available = std::max(1.0, c.minutes_available.value_or(90) - 5 - random.below(40));
  });
  if (morning.resting_hr)
    change("faster heart", [&](Check& c) { c.resting_hr = *c.resting_hr + random.uniform(1, 20); });
  if (morning.jump_cm) change("lower jump", [&](Check& c) { c.jump_cm = *c.jump_cm - random.uniform(1, 8); });

  AthleteLog harder = with(random.before(), morning);
  const double factor = random.uniform(1.05, 2.5);
  for (Session& s : harder.sessions) {
    if (s.date >= random.today() - Days{7} && s.minutes) s.minutes = *s.minutes * factor;
  }
  all.push_back({"more load in the last seven days", std::move(harder)});
  return all;
}

TEST(Call, WorseInputNeverAllowsMore) {
  on_random_mornings(
      [](RandomMornings& random, const Check& morning) {
        const auto log = with(random.before(), morning);
        const Scene base(log, random.today());
        for (const Worse& worse : worse_versions(random, morning)) {
          SCOPED_TRACE(worse.what);
          const Scene after(worse.log, random.today());
          for (std::size_t i = 0; i < base.lifts.size(); ++i) {
            const LiftScene& a = base.lifts[i];
            const LiftScene& b = after.lifts[i];
            if (b.closed) continue;
            ASSERT_FALSE(a.closed) << "a closed lift was opened";
            std::set<decltype(key(a.plan))> allowed;
            for (const Candidate& c : a.all) {
              if (admissible(a.bounds, c.work)) allowed.insert(key(c.work));
            }
            for (const Candidate& c : b.all) {
              if (!admissible(b.bounds, c.work)) continue;
              EXPECT_TRUE(allowed.contains(key(c.work)))
                  << a.lift->lift << ": " << c.work.sets << " x " << c.work.reps << " at " << c.work.percent
                  << ", kind " << word(c.work.kind) << " of a plan of kind " << word(a.plan.kind);
            }
          }
        }
      },
      40 * k_times, 2);
}

/// The same for the limit that stands on the learned forecast.
TEST(LearnedCall, WorseInputNeverAllowsMore) {
  const auto learner = learn::Learner::make(shipped_models());
  ASSERT_TRUE(learner);
  int spoke = 0;
  for (unsigned seed = 1; seed <= 6 * k_times; ++seed) {
    RandomMornings random(seed);
    const Check morning = random.morning();
    SCOPED_TRACE("history " + std::to_string(seed) + ", morning " + picture(morning));
    learn::LearnedState state = learner->start();
    learner->walk(random.before(), random.today() - Days{1}, state);
    const auto most_percent = [&](const AthleteLog& log) {
      const learn::Today learned = learner->today(log, random.today(), state);
      Morning m = look_at(log, random.today(), shipped_models());
      m.learned = &learned;
      const Signs signs = signs_of(m);
      std::vector<double> most;
      for (const LiftFacts& f : m.lifts) {
        for (const Bound& b : bounds_of(m, signs, f, signals_of(m, f))) {
          if (b.shown.id == "margin") most.push_back(b.most_percent);
        }
        if (learned.find(f.lift) != nullptr) ++spoke;
      }
      return most;
    };
    const auto before = most_percent(with(random.before(), morning));
    for (const Worse& worse : worse_versions(random, morning)) {
      if (worse.what == "more load in the last seven days") continue;  // the state would have to be walked again
      const auto after = most_percent(worse.log);
      ASSERT_EQ(before.size(), after.size());
      for (std::size_t i = 0; i < before.size(); ++i) EXPECT_LE(after[i], before[i]) << worse.what;
    }
  }
  EXPECT_GT(spoke, 0);
}

/// What a kind of day consists of: heavy 3-5 repetitions at 80-85 %, volume 8-12 at 60-75 %, speed 1-3 at 60-75 %,
/// light at 40-65 % (common practice; models/day-kinds.toml holds the edges).
const KindModel& range_of(DayKind kind) {
  return shipped_models().day_kinds.kinds.at(kind);
}

TEST(Candidates, WrittenByTheProgramStayInsideTheRangeOfTheirKind) {
  int swaps = 0;
  on_random_mornings([&](RandomMornings& random, const Check& morning) {
    const auto log = with(random.before(), morning);
    const Scene scene(log, random.today());
    for (const LiftScene& s : scene.lifts) {
      for (const Candidate& c : s.all) {
        const Action action = c.actions.front();
        if (action == Action::swap_to_heavy && s.lift->missed_heavy && s.lift->missed_heavy->percent) continue;
        if (action != Action::swap_to_heavy && action != Action::swap_to_speed && action != Action::swap_to_volume &&
            action != Action::light_technique)
          continue;
        ++swaps;
        const KindModel& range = range_of(c.work.kind);
        EXPECT_TRUE(range.sets.has(c.work.sets)) << s.lift->lift << " sets " << c.work.sets;
        EXPECT_TRUE(range.reps.has(c.work.reps)) << s.lift->lift << " reps " << c.work.reps;
        EXPECT_TRUE(range.percent.has(c.work.percent)) << s.lift->lift << " percent " << c.work.percent;
      }
    }
  });
  EXPECT_GT(swaps, 1000);
}

TEST(Candidates, WrittenByTheProgramLeaveTheirReserveOnTheRepMaxCurve) {
  const auto curve = fit::RepMax::make(shipped_models().strength);
  ASSERT_TRUE(curve);
  on_random_mornings([&](RandomMornings& random, const Check& morning) {
    const auto log = with(random.before(), morning);
    const Scene scene(log, random.today());
    for (const LiftScene& s : scene.lifts) {
      if (!s.lift->plan.reps && !s.lift->plan.percent && s.plan.percent > 0) {
        const double reserve = 10 - range_of(s.plan.kind).target_rpe;
        EXPECT_LE(s.plan.reps, curve->whole_reps_at(s.plan.percent, reserve)) << "blanks of the plan filled in";
      }
      for (const Candidate& c : s.all) {
        const Action action = c.actions.front();
        if (action != Action::swap_to_speed && action != Action::swap_to_volume && action != Action::light_technique)
          continue;
        if (c.work.percent <= 0) continue;  // an accessory has no percentage
        const double reserve = 10 - range_of(c.work.kind).target_rpe;
        EXPECT_LE(c.work.reps, curve->whole_reps_at(c.work.percent, reserve))
            << s.lift->lift << ": " << c.work.reps << " at " << c.work.percent;
      }
    }
  });
}

TEST(Candidates, ThatTrimStayBelowThePlanAndBelowTheUpperEdges) {
  int beyond = 0;
  on_random_mornings([&](RandomMornings& random, const Check& morning) {
    const auto log = with(random.before(), morning);
    const Scene scene(log, random.today());
    const auto to_meet = scene.morning->days_to_meet;
    for (const LiftScene& s : scene.lifts) {
      if (s.plan.kind == DayKind::rest) continue;
      const KindModel& range = range_of(s.plan.kind);
      const bool near = to_meet && *to_meet >= 0 && *to_meet <= 35;
      const double most = near && s.plan.kind == DayKind::heavy ? 95 : range.percent.high;  // before a meet up to 95 %
      const auto& accessory = shipped_models().day_kinds.accessory;                         // what has no percentage
      const double most_sets = s.plan.percent > 0 ? range.sets.high : accessory.sets.high;
      const double most_reps = s.plan.percent > 0 ? range.reps.high : accessory.reps.high;
      beyond += s.plan.percent > most || s.plan.sets > most_sets || s.plan.reps > most_reps;
      for (const Candidate& c : s.all) {
        const Action action = c.actions.front();
        if (action == Action::run_as_planned) {
          EXPECT_EQ(c.work, s.plan);
        }
        if (action != Action::trim_sets && action != Action::trim_intensity) continue;
        EXPECT_EQ(c.work.kind, s.plan.kind);
        EXPECT_LE(c.work.sets, std::min<double>(s.plan.sets, most_sets));
        EXPECT_LE(c.work.reps, std::min<double>(s.plan.reps, most_reps));
        EXPECT_LE(c.work.percent, std::min(s.plan.percent, most));
        EXPECT_TRUE(c.work.sets < s.plan.sets || c.work.percent < s.plan.percent) << "a trim that trims nothing";
      }
    }
  });
  EXPECT_GT(beyond, 30) << "plans beyond the range are among those tried";
}

}  // namespace
}  // namespace steelyard::decide
