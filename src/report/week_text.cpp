#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <utility>

#include "steelyard/base/text.hpp"
#include "steelyard/report/text.hpp"
#include "steelyard/report/write.hpp"

namespace steelyard::report {
namespace {

std::string spoken_kind(const std::string& kind) {
  constexpr std::array<std::pair<std::string_view, std::string_view>, 10> words{{{"pain", "pain"},
                                                                                 {"stop", "stop sign"},
                                                                                 {"distress", "distress"},
                                                                                 {"signals", "several signs agree"},
                                                                                 {"silent", "gone silent"},
                                                                                 {"load", "load"},
                                                                                 {"strength", "strength"},
                                                                                 {"underload", "little load"},
                                                                                 {"monotony", "days too alike"},
                                                                                 {"returned", "back from days off"}}};
  const auto found = std::find_if(words.begin(), words.end(), [&](const auto& w) { return w.first == kind; });
  return found == words.end() ? kind : std::string(found->second);
}

void write_list(Sheet& page, std::string_view label, const std::vector<std::string>& lines) {
  for (const auto& line : lines) {
    page.labelled(label, line);
    label = "";
  }
}

std::string spoken_verdict(const WeekVerdict& verdict) {
  const std::string what = verdict.decision == "accept"   ? "accepted"
                           : verdict.decision == "change" ? "changed"
                                                          : "ignored";
  std::string text = fmt::format("{} {} on {}", what, verdict.by, verdict.at.substr(0, 10));
  if (!verdict.note.empty()) text += ": " + verdict.note;
  return text;
}

void write_flag(Sheet& page, const WeekFlag& flag) {
  std::vector<std::string> kinds;
  for (const auto& kind : flag.kinds) kinds.push_back(spoken_kind(kind));
  page.blank();
  page.heading(fmt::format("{}. {}: {}", flag.order, flag.athlete, join_words(kinds)));
  write_list(page, "because", flag.because);
  if (!flag.next_step.empty()) page.labelled("next step", flag.next_step);
  if (flag.decided) page.labelled("decided", spoken_verdict(*flag.decided));
  if (flag.caused_by.empty() && flag.unknown.empty()) return;
  page.fold("Caused by, not known");
  write_list(page, "caused by", flag.caused_by);
  write_list(page, "not known", flag.unknown);
  page.unfold();
}

std::string first_sentence(const WeekReview& review) {
  if (review.flags.empty()) return "Nobody needs a look this week.";
  const std::size_t n = review.flags.size();
  const std::size_t all = n + review.watch.size() + review.quiet.size();
  return fmt::format("{} of {} lifters {} a look, most urgent first.", n, all, n == 1 ? "needs" : "need");
}

}  // namespace

void write_week(Sheet& page, const WeekReview& review) {
  page.text(first_sentence(review), Weight::bold);
  for (const auto& sentence : review.squad) page.bullet(sentence);
  for (const WeekFlag& flag : review.flags) write_flag(page, flag);
  if (!review.watch.empty()) {
    page.blank();
    page.heading("Watch, nothing to do yet");
    for (const WatchLine& line : review.watch) page.bullet(line.athlete + ": " + line.because);
  }
  if (!review.quiet.empty()) {
    page.blank();
    page.text("Nothing to say about " + join_words(review.quiet) + ".");
  }
  page.blank();
  const Day monday = monday_of(review.week);
  page.text(fmt::format("Week {}, {} to {}{}.", format_iso_week(review.week), format_day(monday),
                        format_day(monday + Days{6}), review.group.empty() ? "" : ", group " + review.group),
            Weight::dim);
}

std::string week_text(const WeekReview& review, const Look& look) {
  Page page(look);
  write_week(page, review);
  return page.take();
}

}  // namespace steelyard::report
