#include <fmt/format.h>

#include <algorithm>

#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "steelyard/report/learned.hpp"
#include "steelyard/report/write.hpp"

namespace steelyard::report {
namespace {

constexpr std::size_t k_table_sessions = 8;
constexpr std::string_view k_strength = "strength:";

std::string target_text(std::string_view target) {
  if (target.starts_with(k_strength)) return "strength, " + spoken_lift(target.substr(k_strength.size()));
  return target == "sleep_quality" ? "sleep quality" : std::string(target);
}

void list(Sheet& page, const LiftStrength& lift, const Look& look) {
  Table table{.columns = {{"session", false}, {"expected", true}, {"4 of 5 within", true}, {"came", true}}, .rows = {}};
  const std::size_t from = lift.days.size() > k_table_sessions ? lift.days.size() - k_table_sessions : 0;
  for (std::size_t i = from; i < lift.days.size(); ++i) {
    const StrengthDay& day = lift.days[i];
    table.rows.push_back({weekday_month_day(day.date), whole_text(in_unit(day.expected_kg, look)),
                          range_text(in_unit(day.low80_kg, look), in_unit(day.high80_kg, look)),
                          whole_text(in_unit(day.estimated_kg, look))});
  }
  page.table(table);
}

void write_now(Sheet& page, const LiftStrength& lift, const Look& look) {
  if (!lift.now || !lift.training_max_kg) return;
  const double share = *lift.training_max_kg / 100;
  page.text(fmt::format(
      "Expected today: {} % of the training max, {} on four of five such days ({}).", whole_text(lift.now->percent),
      range_text(lift.now->low80, lift.now->high80),
      unbroken(fmt::format("{} {}", whole_text(in_unit(lift.now->percent * share, look)), unit_name(look)))));
}

}  // namespace

void write_strength(Sheet& page, const StrengthReport& report, const Look& look) {
  if (report.lifts.empty()) {
    page.text("No main lift has sets on record yet, so nothing is known about strength.");
    return;
  }
  for (const LiftStrength& lift : report.lifts) {
    if (&lift != &report.lifts.front()) page.blank();
    page.heading(fmt::format("{}: {} with an estimate", capitalized(spoken_lift(lift.lift)),
                             counted(static_cast<std::size_t>(std::max(lift.sessions, 0)), "session", "sessions")));
    write_now(page, lift, look);
    if (lift.days.empty()) {
      page.text("No session gave an estimate: sets need a weight and an RPE of 6 or more, or a missed repetition.");
      continue;
    }
    page.strength_chart(lift);
    list(page, lift, look);
    for (const Worth& worth : lift.worth) page.bullet(worth.say);
    for (const std::string& sentence : lift.say) page.bullet(sentence);
  }
}

std::string strength_text(const StrengthReport& report, const Look& look) {
  Page page(look);
  write_strength(page, report, look);
  return page.take();
}

std::string marks_text(const Marks& marks, const Look& look) {
  Page page(look);
  page.text(marks.athlete.empty()
                ? fmt::format("Marks of past forecasts, {}.",
                              counted(static_cast<std::size_t>(marks.athletes), "athlete", "athletes"))
                : "Marks of past forecasts.",
            Weight::bold);
  Table table{.columns = {{"forecast", false},
                          {"n", true},
                          {"CRPS", true},
                          {"28-day mean", true},
                          {"last", true},
                          {"EWMA", true},
                          {"gain", true},
                          {"in 80 %", true}},
              .rows = {}};
  for (const TargetMarks& t : marks.targets) {
    if (t.n == 0) continue;
    const auto percent = [](const std::optional<double>& share) {
      return share ? fmt::format("{:.0f} %", 100 * *share) : std::string("-");
    };
    table.rows.push_back({target_text(t.target), fmt::format("{}", t.n), fixed_or_dash(t.crps, 3),
                          fixed_or_dash(t.crps_usual28, 3), fixed_or_dash(t.crps_last, 3),
                          fixed_or_dash(t.crps_ewma, 3), percent(t.skill_vs_usual28), percent(t.cover80)});
  }
  if (!table.rows.empty()) {
    page.table(table);
    page.text(
        "CRPS is the mean miss of the whole forecast, in kg or points; smaller is better. Gain: how much smaller it "
        "is than that of the 28-day mean. In 80 %: how often what came lay within the range, which should be 80 %.");
  }
  for (const std::string& sentence : marks.say) page.bullet(sentence);
  return page.take();
}

std::string learn_text(const LearnReport& report, const Look& look) {
  Page page(look);
  if (!report.athlete.empty()) {
    page.text(report.through ? fmt::format("Learned from entries up to {}.", long_day(*report.through))
                             : std::string("Nothing was entered, so nothing is learned."),
              Weight::bold);
  }
  if (!report.targets.empty()) {
    Table table{.columns = {{"of", false},
                            {"seen", true},
                            {"scored", true},
                            {"usual work a day", true},
                            {"noise SD", true},
                            {"speaks", false}},
                .rows = {}};
    for (const LearnedTarget& t : report.targets) {
      table.rows.push_back({target_text(t.target), fmt::format("{}", t.observations), fmt::format("{}", t.scored),
                            fixed_or_dash(t.usual_work, 1), fixed_or_dash(t.noise_sd, 2),
                            t.steps_back ? "28-day mean" : "learner"});
    }
    page.table(table);
  }
  if (!report.squad.empty()) {
    Table table{.columns = {{"lift", false}, {"effect", false}, {"usual", true}, {"between lifters", true}},
                .rows = {}};
    for (const SquadEffect& e : report.squad) {
      table.rows.push_back({spoken_lift(e.lift), e.cause, fixed_or_dash(e.mean, 2), fixed_or_dash(e.sd, 2)});
    }
    page.table(table);
  }
  for (const std::string& sentence : report.say) page.bullet(sentence);
  return page.take();
}

}  // namespace steelyard::report
