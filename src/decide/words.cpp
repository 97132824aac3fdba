#include "words.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "steelyard/base/text.hpp"
#include "steelyard/domain/cells.hpp"
#include "steelyard/domain/vocabulary.hpp"

namespace steelyard::decide {
namespace {

bool has(const LiftCall& call, Action action) {
  return std::find(call.actions.begin(), call.actions.end(), action) != call.actions.end();
}

/// Nothing else stands against the plan.
bool is_closed_by(const LiftCall& call, std::string_view id) {
  const auto of_id = [&](const LimitResult& limit) { return limit.held != (limit.id == id); };
  return std::all_of(call.limits.begin(), call.limits.end(), of_id);
}

}  // namespace

std::string spoken_weight(double kg, Unit unit) {
  if (unit == Unit::lb) return fmt::format("{} lb", format_number(std::round(2 * kg / k_kg_per_lb) / 2, 1));
  return fmt::format("{} kg", format_number(kg, 2));
}

std::string spoken_day(Day day, Day today) {
  if (days_between(today, day) < 7) return std::string(weekday_name(day));
  return fmt::format("{} {}", weekday_name(day), format_day(day));
}

std::string spoken_work(const Prescription& work, std::optional<double> weight_kg, Unit unit) {
  std::string text = fmt::format("{} x {}", work.sets, work.reps);
  if (work.percent > 0) text += fmt::format(" at {} %", format_number(work.percent, 1));
  if (weight_kg) text += ", " + spoken_weight(*weight_kg, unit);
  return text;
}

std::string spoken_plural(const Morning& m, std::string_view lift) {
  return spoken_plural(m.models->lifts, lift);
}

std::string headline(const Morning& m, const LiftCall& call) {
  const std::string lift = spoken_plural(m, call.lift);
  const std::string work = spoken_work(call.call, call.weight_kg, m.spoken);
  const std::string planned = call.planned ? std::string(word(call.planned->kind)) : std::string();
  if (has(call, Action::stop_refer)) return fmt::format("No {} today.", lift);
  if (has(call, Action::rest)) {
    if (call.planned && call.planned->kind == DayKind::rest)
      return fmt::format("Rest from {} today, as planned.", lift);
    if (m.days_to_meet == 0) return k_meet_day;
    const bool no_time = is_closed_by(call, "minutes");
    std::string text = no_time ? fmt::format("No time for {} today.", lift)
                               : fmt::format("No {} today: rest, walking and easy movement are fine.", lift);
    if (call.move)
      text += fmt::format(" Heavy {} {} to {}{}.", lift, no_time ? "move" : "can move",
                          spoken_day(call.move->to_date, m.today), no_time ? "" : " if you are back to usual");
    return text;
  }
  if (has(call, Action::run_as_planned))
    return fmt::format("{} {} as planned: {}.", capitalized(word(call.call.kind)), lift, work);
  if (has(call, Action::light_technique)) {
    std::string text = fmt::format("Light, short {} today: {}, stop well before effort.", lift, work);
    if (call.move)
      text +=
          fmt::format(" Heavy {} move to {} if you are back to usual.", lift, spoken_day(call.move->to_date, m.today));
    return text;
  }
  if (has(call, Action::swap_to_heavy))
    return fmt::format("Heavy {} today instead of the {} day: {}.", lift, planned, work);
  if (has(call, Action::swap_to_speed) || has(call, Action::swap_to_volume)) {
    std::string text = fmt::format("Swap: a short {} session of {} today, {}.", word(call.call.kind), lift, work);
    if (call.call.kind == DayKind::speed) text += " Light enough to move fast.";
    if (call.move)
      text += fmt::format(" Heavy {} move to {}; if {} is no better, trim them rather than move them again.", lift,
                          spoken_day(call.move->to_date, m.today), weekday_name(call.move->to_date));
    return text;
  }
  const Prescription& plan = *call.planned;
  std::string how = has(call, Action::trim_sets) && has(call, Action::trim_intensity) ? "fewer sets and less weight"
                    : has(call, Action::trim_sets)                                    ? "fewer sets"
                                                                                      : "less weight";
  // What is left of a heavy day may be no heavy work any more, and is not called so.
  const bool still = plan.kind != DayKind::heavy || call.call.percent > m.models->limits.spacing.heavy_percent;
  return fmt::format("{} with {} today: {} (planned {}{}).",
                     still ? fmt::format("{} {}", capitalized(word(plan.kind)), lift) : capitalized(lift), how, work,
                     still ? "" : "heavy, ", spoken_work(plan, std::nullopt, m.spoken));
}

std::string at_the_bar(const Morning& m, const LiftFacts& f, const LiftCall& call) {
  if (call.call.kind == DayKind::rest || call.call.sets == 0) return {};
  const double step = m.models->limits.distance.percent_step;
  const auto& bar = m.models->limits.bar;
  const std::string raise =
      call.may_go_up ? fmt::format("the last set may go up one small step, {} points", format_number(step, 1))
                     : std::string("stay with the call");
  std::string speed;
  if (f.bar && f.bar->usual) {
    speed = fmt::format("Your first warm-up at {} % moved at {} m/s, usually {}; that is in this call. ",
                        format_number(f.bar_percent, 1), fmt::format("{:.2f}", f.bar->value),
                        fmt::format("{:.2f}", f.bar->usual->mean));
  }
  if (call.call.kind == DayKind::speed) {
    return speed + fmt::format(
                       "Let the last warm-up set decide: if it does not move fast, take {} to {} % off; end the "
                       "session when the bar "
                       "no longer moves fast.",
                       format_number(step, 1), format_number(2 * step, 1));
  }
  return speed +
         fmt::format(
             "Let the last warm-up set decide: at RPE {} or more it is heavier than usual, take {} to {} % off; at "
             "RPE {} or less {}; between them run it as called. Stop a set that would pass RPE {}.",
             format_number(bar.heavier_rpe, 1), format_number(step, 1), format_number(2 * step, 1),
             format_number(bar.lighter_rpe, 1), raise, format_number(call.rpe_cap.value_or(9), 1));
}

std::string other_lifts(const Morning& m, const std::vector<LiftCall>& calls) {
  std::vector<std::string> as_planned;
  std::vector<std::string> changed;
  bool upper = true;
  for (std::size_t i = 1; i < calls.size(); ++i) {
    const LiftCall& call = calls[i];
    const LiftModel* model = m.models->lifts.find(call.lift);
    if (has(call, Action::run_as_planned)) {
      as_planned.push_back(spoken_plural(m, call.lift));
      upper = upper && model != nullptr && !model->lower_body;
    } else if (has(call, Action::stop_refer) || has(call, Action::rest)) {
      changed.push_back(fmt::format("no {}", spoken_plural(m, call.lift)));
    } else {
      std::string text =
          fmt::format("{} {}", spoken_plural(m, call.lift), spoken_work(call.call, call.weight_kg, m.spoken));
      if (call.move) text += fmt::format(" (heavy ones on {})", spoken_day(call.move->to_date, m.today));
      changed.push_back(std::move(text));
    }
  }
  std::string text;
  if (!as_planned.empty())
    text = fmt::format("{} as planned: {}.", upper ? "Upper body" : "The rest of the day", join_words(as_planned));
  if (!changed.empty()) text += fmt::format("{}Also changed: {}.", text.empty() ? "" : " ", join_words(changed));
  const bool trimmed =
      !calls.empty() && !has(calls.front(), Action::run_as_planned) && !has(calls.front(), Action::swap_to_heavy);
  if (trimmed && text.empty() && !has(calls.front(), Action::rest) && !has(calls.front(), Action::stop_refer))
    text = "Accessories are the first to go today.";
  return text;
}

}  // namespace steelyard::decide
