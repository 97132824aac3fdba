#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "week_findings.hpp"
#include "words.hpp"

namespace steelyard::decide {
namespace {

constexpr int k_month = 28;

bool writes_regularly(const WeekFacts& f) {
  return f.entry_days_before >= f.models->limits.week.writes_days;
}

/// Days without entry at the end of the week that are too many for this athlete.
int silent_from(const WeekFacts& f) {
  const auto& week = f.models->limits.week;
  if (f.entry_days_before >= week.daily_days && f.longest_gap_before <= 1) return week.silent_daily_days;
  return std::max(week.silent_days, f.longest_gap_before + 2);
}

bool is_silent(const WeekFacts& f) {
  return writes_regularly(f) && f.unexplained_silent_days >= silent_from(f);
}

void silence(const WeekFacts& f, Findings& out) {
  if (!is_silent(f)) return;
  out.flags.push_back({.rank = week_rank::silent,
                       .kind = "silent",
                       .because = {fmt::format("No entry since {}; wrote on {} of the 28 days before the week.",
                                               spoken_day(*f.last_entry, f.end), f.entry_days_before)},
                       .next_step = "Call; do not read the load as rest."});
}

std::string spoken_load(const LoadWeek& load) {
  std::string text = fmt::format("Load {} AU in seven days", format_number(load.week_au.value_or(0), 0));
  if (const auto share = load.share_of_usual())
    text += fmt::format(", {} % of the usual week ({} AU)", format_number(100 * *share, 0),
                        format_number(*load.usual_au, 0));
  return text;
}

void little_load(const WeekFacts& f, Findings& out) {
  const LoadWeek& load = f.load;
  if (load.low_weeks == 0 || load.low_explained) return;
  const std::string weeks = load.low_weeks > 1 ? fmt::format(", about half for {} weeks", load.low_weeks) : "";
  if (!load.fixture) {
    out.watch.push_back(spoken_load(load) + weeks + "; nobody has said why.");
    return;
  }
  out.flags.push_back(
      {.rank = week_rank::single,
       .kind = "underload",
       .because = {fmt::format("{}{}; {} on {}.", spoken_load(load), weeks,
                               load.fixture_is_meet ? "the meet is" : "a match is", spoken_day(*load.fixture, f.end))},
       .next_step = "Add load in the first days of the coming week, in steps, not all at once."});
}

void planned_load(const WeekFacts& f, Findings& out) {
  const LoadWeek& load = f.load;
  if (load.high && load.explained)
    out.watch.push_back(spoken_load(load) + ", above anything of the eight weeks before, as planned: carry on.");
  if (!load.high && !load.explained && !load.week_au && load.unknown_days > 0 && f.last_entry && !is_silent(f) &&
      f.shared.load && load.unknown_days >= f.models->limits.week.unknown_days)
    out.watch.push_back(
        fmt::format("The load of {} is not known: ask for done or not done.", spoken_days(load.unknown_days)));
}

const LimitsModel::ReturnStep* step_for(const WeekFacts& f, int days) {
  for (const auto& step : f.models->limits.comeback.steps) {
    if (days >= step.from_days && days <= step.to_days) return &step;
  }
  return nullptr;
}

void returned(const WeekFacts& f, Findings& out) {
  const auto& layoff = f.after.layoff;
  if (!f.shared.load || !layoff || !layoff->first_session_after || *layoff->first_session_after < f.monday) return;
  const bool declared = layoff->reason && !layoff->unlogged;
  const std::string because = fmt::format(
      "Trained again on {} after {} days {}", weekday_name(*layoff->first_session_after), layoff->days,
      declared ? fmt::format("off ({})", word(*layoff->reason)) : std::string("without a session on record"));
  if (f.load.explained) {
    out.watch.push_back(because + ", by a plan that builds up: carry on.");
    return;
  }
  const auto* step = step_for(f, layoff->days);
  std::string next =
      step == nullptr ? "Ask how it went." : fill(step->say, {{"days", fmt::format("{}", layoff->days)}});
  if (!declared) next = "Ask whether it was a break. If it was: " + next;
  out.flags.push_back({.rank = week_rank::returned, .kind = "returned", .because = {because + "."}, .next_step = next});
}

void usual_not_known(const WeekFacts& f, Findings& out) {
  if (!f.last_entry) {
    out.watch.push_back("No entries yet.");
    return;
  }
  const int least = f.models->limits.signals.least_checks;
  if (!f.shared.checks || f.checks_before >= least) return;
  const bool is_new = f.after.history_days < k_month;
  out.watch.push_back(is_new ? "New here: own usual is not known yet."
                             : fmt::format("{} morning checks in the four weeks before: own usual is not known, so "
                                           "nothing can be said about sleep, soreness or mood.",
                                           f.checks_before == 0 ? "No" : fmt::format("Only {}", f.checks_before)));
}

}  // namespace

void find_changes(const WeekFacts& f, Findings& out) {
  silence(f, out);
  little_load(f, out);
  planned_load(f, out);
  returned(f, out);
  usual_not_known(f, out);
}

std::vector<std::string> named_sessions(const WeekFacts& f) {
  constexpr std::size_t most = 3;
  std::vector<std::string> names;
  for (const LoadPart& part : f.load.raised) {
    if (names.size() == most) break;
    names.push_back(fmt::format("{} session on {}, {} AU{}", part.kind.empty() ? "A" : capitalized(part.kind),
                                spoken_day(part.date, f.end), format_number(part.load_au, 0),
                                part.estimated ? " (estimated)" : ""));
  }
  return names;
}

std::vector<std::string> not_known(const WeekFacts& f, const Findings& findings) {
  std::vector<std::string> out;
  const int days = days_between(f.monday, f.end) + 1;
  const auto flagged = [&](std::string_view kind) {
    return std::any_of(findings.flags.begin(), findings.flags.end(), [&](const Finding& x) { return x.kind == kind; });
  };
  if (flagged("silent"))
    out.push_back(fmt::format("What was done since {}.", spoken_day(*f.last_entry + Days{1}, f.end)));
  if (!f.shared.checks) {
    out.emplace_back("Morning checks are not shared.");
  } else if (f.checks < days) {
    out.push_back(fmt::format("{} of {} mornings have no check.", days - f.checks, days));
  }
  if (!f.shared.load) {
    out.emplace_back("Load and bar work are not shared.");
  } else {
    if (f.load.unknown_days > 0) out.push_back(fmt::format("The load of {}.", spoken_days(f.load.unknown_days)));
    if (f.bar.empty()) out.emplace_back("No bar speed to compare.");
  }
  if (f.shared.checks && f.items.empty() && f.last_entry) out.emplace_back("Own usual values.");
  if (!f.shared.pain) out.emplace_back("Pain is not shared.");
  if (f.after.layoff && f.after.layoff->reason == OffReason::injury && flagged("returned"))
    out.emplace_back("Whether anyone has cleared the return.");
  if (!f.log->questions.empty())
    out.push_back(f.log->questions.size() == 1
                      ? std::string("1 entry is held aside until somebody answers.")
                      : fmt::format("{} entries are held aside until somebody answers.", f.log->questions.size()));
  return out;
}

}  // namespace steelyard::decide
