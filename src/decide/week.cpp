#include "steelyard/decide/week.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "steelyard/base/text.hpp"
#include "week_findings.hpp"

namespace steelyard::decide {
namespace {

struct Reviewed {
  const WeekFacts* facts = nullptr;
  Findings findings;
  [[nodiscard]] int rank() const { return findings.flags.front().rank; }
};

Reviewed review(const WeekFacts& f) {
  Reviewed r{.facts = &f, .findings = {}};
  find_health(f, r.findings);
  find_signals(f, r.findings);
  find_changes(f, r.findings);
  std::stable_sort(r.findings.flags.begin(), r.findings.flags.end(),
                   [](const Finding& a, const Finding& b) { return a.rank < b.rank; });
  return r;
}

template <class T>
void add_once(std::vector<T>& to, const T& value) {
  if (std::find(to.begin(), to.end(), value) == to.end()) to.push_back(value);
}

/// A reader of pain wants to know at once whether the load did it.
void beside_pain(const WeekFacts& f, WeekFlag& flag) {
  const auto share = f.load.share_of_usual();
  if (flag.kinds.front() != "pain" || !share || std::abs(*share - 1) > f.models->limits.week.unchanged) return;
  flag.because.push_back(fmt::format("At unchanged load: {} AU, usually {} AU.", format_number(*f.load.week_au, 0),
                                     format_number(*f.load.usual_au, 0)));
}

WeekFlag flag_of(const Reviewed& r, int order) {
  WeekFlag flag;
  flag.athlete = r.facts->code();
  flag.order = order;
  for (const Finding& finding : r.findings.flags) {
    add_once(flag.kinds, finding.kind);
    for (const std::string& sentence : finding.because) add_once(flag.because, sentence);
  }
  beside_pain(*r.facts, flag);
  flag.caused_by = named_sessions(*r.facts);
  flag.next_step = r.findings.flags.front().next_step;
  flag.unknown = not_known(*r.facts, r.findings);
  return flag;
}

void several_ill(const std::vector<WeekFacts>& squad, const Models& models, WeekReview& review) {
  const auto ill = std::count_if(squad.begin(), squad.end(), [](const WeekFacts& f) { return f.last_fever || f.cold; });
  if (ill < models.limits.week.several_ill) return;
  review.squad.push_back(
      fmt::format("{} of {} entered signs of illness this week: one common cause is possible. Whoever is ill trains "
                  "apart or not at all, and own bottles and towels for everybody.",
                  ill, squad.size()));
}

}  // namespace

WeekReview review_week(std::span<const AthleteLog> logs, IsoWeek week, Day last_known, std::string_view group,
                       const Models& models) {
  WeekReview result{.week = week, .group = std::string(group), .flags = {}, .watch = {}, .quiet = {}, .squad = {}};
  const Day monday = monday_of(week);
  const Day end = std::min(last_known, monday + Days{6});
  if (end < monday) return result;
  std::vector<WeekFacts> squad;
  for (const AthleteLog& log : logs) squad.push_back(week_facts(log, monday, end, models));
  std::sort(squad.begin(), squad.end(), [](const auto& a, const auto& b) { return a.code() < b.code(); });
  result.squad = take_out_common(squad);
  several_ill(squad, models, result);

  std::vector<Reviewed> flagged;
  for (const WeekFacts& f : squad) {
    Reviewed r = review(f);
    if (!r.findings.flags.empty()) {
      flagged.push_back(std::move(r));
    } else if (!r.findings.watch.empty()) {
      result.watch.push_back({.athlete = f.code(), .because = fmt::format("{}", fmt::join(r.findings.watch, " "))});
    } else {
      result.quiet.push_back(f.code());
    }
  }
  std::stable_sort(flagged.begin(), flagged.end(),
                   [](const Reviewed& a, const Reviewed& b) { return a.rank() < b.rank(); });
  for (const Reviewed& r : flagged) result.flags.push_back(flag_of(r, static_cast<int>(result.flags.size()) + 1));
  return result;
}

}  // namespace steelyard::decide
