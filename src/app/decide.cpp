#include "steelyard/app/decide.hpp"

#include <fmt/core.h>

#include <algorithm>

#include "app/entry_writer.hpp"
#include "steelyard/app/learn.hpp"
#include "steelyard/app/record.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/decide/call.hpp"
#include "steelyard/domain/vocabulary.hpp"

namespace steelyard::app {
namespace {

struct Called {
  AthleteLog log;
  DayCall call;
};

Result<Called> call_of(Context& context, const Athlete& athlete, Day day) {
  STEELYARD_TRY_ASSIGN(AthleteLog log, log_around(context, athlete.athlete, day));
  STEELYARD_TRY_ASSIGN(const learn::Today learned, learned_today(context, log, day));
  DayCall call = decide::call_for(log, day, context.models, &learned);
  return Called{std::move(log), std::move(call)};
}

/// The calls of that lift, or of all lifts.
Result<std::vector<LiftCall>> chosen(const Models& models, const DayCall& call,
                                     const std::optional<std::string>& lift) {
  std::vector<LiftCall> calls;
  for (const LiftCall& one : call.calls) {
    if (!lift || one.lift == lift_of(models, *lift)) calls.push_back(one);
  }
  if (!calls.empty()) return calls;
  return fail(Errc::no_input,
              fmt::format("there is no call{} on {}", lift ? " for " + *lift : std::string{}, format_day(call.date)));
}

std::optional<PlanRow> planned_row(const AthleteLog& log, Day day, const std::string& lift) {
  const auto row =
      std::find_if(log.plan.begin(), log.plan.end(), [&](const PlanRow& r) { return r.date == day && r.lift == lift; });
  return row == log.plan.end() ? std::nullopt : std::optional(*row);
}

/// Writes plan rows of one lift in one entry.
class PlanChange {
 public:
  PlanChange(EntryWriter& writer, const AthleteLog& log, const std::string& lift)
      : writer_(writer), log_(log), lift_(lift) {}

  [[nodiscard]] std::optional<PlanRow> row(Day day) const { return planned_row(log_, day, lift_); }

  Result<void> write(PlanRow row, Day date) {
    row.date = date;
    row.position = 0;
    STEELYARD_TRY(writer_.entry().put(row));
    written.push_back(std::move(row));
    return {};
  }

  /// The planned day goes to its new date; what it displaces goes where the call says, or drops out.
  Result<void> move(const Move& move, const PlanRow& original) {
    const auto displaced = row(move.to_date);
    PlanRow moved = original;
    if (displaced) moved.minutes = displaced->minutes;
    if (displaced && move.displaced && move.displaced->to_date && *move.displaced->to_date != original.date) {
      STEELYARD_TRY(write(*displaced, *move.displaced->to_date));
    }
    return write(std::move(moved), move.to_date);
  }

  std::vector<PlanRow> written;

 private:
  EntryWriter& writer_;
  const AthleteLog& log_;
  const std::string& lift_;
};

bool is_stop(const LiftCall& call) {
  return std::find(call.actions.begin(), call.actions.end(), Action::stop_refer) != call.actions.end();
}

bool is_as_planned(const LiftCall& call) {
  return call.planned && *call.planned == call.call && !call.move;
}

PlanRow as_called(const LiftCall& call, const std::optional<PlanRow>& planned, const DayCall& day) {
  PlanRow row = planned.value_or(PlanRow{.athlete = day.athlete, .date = day.date, .lift = call.lift});
  row.kind = call.call.kind;
  row.sets.reset();
  row.reps.reset();
  row.percent.reset();
  if (row.kind != DayKind::rest) {
    row.sets = call.call.sets;
    row.reps = call.call.reps;
    row.percent = call.call.percent;
  }
  return row;
}

std::string codes_of(const std::vector<Action>& actions) {
  std::string text;
  for (const Action action : actions) text += (text.empty() ? "" : " ") + std::string(action_code(action));
  return text;
}

/// A stop is not a call that could be followed or overridden.
Result<void> refuse_stop(const DayCall& call, const std::vector<LiftCall>& calls) {
  const auto stopped = std::find_if(calls.begin(), calls.end(), is_stop);
  if (stopped == calls.end()) return {};
  std::string ids;
  for (const Caution& c : call.cautions) {
    if (c.urgency != Urgency::watch) ids += (ids.empty() ? "" : ", ") + c.id;
  }
  return fail(
      Errc::not_allowed,
      fmt::format("{} is stopped ({}), which is neither followed nor overridden: it ends with 'decide --cleared "
                  "CAUTION --by practitioner', or '--by mistake' if it was entered wrongly",
                  spoken_lift(stopped->lift), ids));
}

Result<void> keep_decisions(Context& context, const DayCall& call, const std::vector<LiftCall>& calls,
                            const Decision& pattern, std::vector<Decision>* kept = nullptr) {
  for (const LiftCall& one : calls) {
    Decision decision = pattern;
    decision.athlete = call.athlete;
    decision.date = call.date;
    decision.lift = one.lift;
    decision.called = codes_of(one.actions);
    STEELYARD_TRY(context.store.save_decision(decision, context.now));
    if (kept != nullptr) kept->push_back(std::move(decision));
  }
  return {};
}

/// Sets in gym shorthand become the day's session, unless the day has one already; other words stay words.
Result<void> log_what_was_done(Context& context, const Athlete& athlete, Day day, const AthleteLog& log,
                               std::string_view done) {
  const bool known = std::any_of(log.sets.begin(), log.sets.end(), [&](const SetRow& s) { return s.date == day; });
  if (done.empty() || known) return {};
  auto parsed = understand(context, athlete, day, done, std::nullopt);
  if (!parsed || parsed->sets.empty()) return {};
  STEELYARD_TRY(log_session(context, *std::move(parsed), std::nullopt));
  return {};
}

}  // namespace

Result<std::vector<PlanRow>> follow(Context& context, const Athlete& athlete, Day day,
                                    const std::optional<std::string>& lift) {
  STEELYARD_TRY_ASSIGN(const Called called, call_of(context, athlete, day));
  STEELYARD_TRY_ASSIGN(auto calls, chosen(context.models, called.call, lift));
  if (lift || is_stopped(called.call)) STEELYARD_TRY(refuse_stop(called.call, calls));
  std::erase_if(calls, is_stop);
  STEELYARD_TRY_ASSIGN(auto writer, EntryWriter::begin(context, "decide --follow"));
  std::vector<PlanRow> written;
  for (const LiftCall& call : calls) {
    if (is_as_planned(call)) continue;
    PlanChange change(writer, called.log, call.lift);
    const auto planned = change.row(day);
    if (call.move && planned) STEELYARD_TRY(change.move(*call.move, *planned));
    STEELYARD_TRY(change.write(as_called(call, planned, called.call), day));
    written.insert(written.end(), change.written.begin(), change.written.end());
  }
  // Inside the entry: a plan that was cut without a decision beside it would be cut twice.
  STEELYARD_TRY(keep_decisions(context, called.call, calls, Decision{.follows = true}));
  STEELYARD_TRY(writer.commit());
  return written;
}

Result<std::vector<Decision>> override_call(Context& context, const Athlete& athlete, Day day,
                                            const std::optional<std::string>& lift, std::string_view reason,
                                            std::string_view done) {
  STEELYARD_TRY_ASSIGN(const Called called, call_of(context, athlete, day));
  STEELYARD_TRY_ASSIGN(auto calls, chosen(context.models, called.call, lift));
  if (lift || is_stopped(called.call)) STEELYARD_TRY(refuse_stop(called.call, calls));
  std::erase_if(calls, is_stop);
  const bool changed = !std::all_of(calls.begin(), calls.end(), is_as_planned);
  if (!lift && changed) std::erase_if(calls, is_as_planned);  // who names no lift speaks of what the call changed
  std::vector<Decision> kept;
  STEELYARD_TRY(log_what_was_done(context, athlete, day, called.log, done));
  STEELYARD_TRY(keep_decisions(context, called.call, calls,
                               {.follows = false, .reason = std::string(reason), .done = std::string(done)}, &kept));
  return kept;
}

Result<Clearance> clear_caution(Context& context, const Athlete& athlete, Day day, const std::string& caution,
                                ClearedBy by, std::string_view note) {
  STEELYARD_TRY_ASSIGN(const Called called, call_of(context, athlete, day));
  std::vector<std::string_view> open;
  for (const Caution& c : called.call.cautions) open.emplace_back(c.id);
  if (std::find(open.begin(), open.end(), caution) == open.end()) {
    std::string what = fmt::format("no caution {} is open on {}", in_quotes(caution), format_day(day));
    std::string names;
    for (const auto id : open) names += (names.empty() ? "" : ", ") + std::string(id);
    return fail(Errc::no_input, what + (names.empty() ? "; there is none" : "; open: " + names));
  }
  Clearance clearance{.athlete = athlete.athlete, .date = day, .caution = caution, .by = by, .note = std::string(note)};
  STEELYARD_TRY_ASSIGN(auto writer, EntryWriter::begin(context, "decide --cleared"));
  STEELYARD_TRY(writer.put(clearance));
  STEELYARD_TRY(writer.commit());
  return clearance;
}

}  // namespace steelyard::app
