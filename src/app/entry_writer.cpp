#include "app/entry_writer.hpp"

#include <fmt/core.h>

#include <algorithm>

#include "app/span.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/decide/doubts.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "steelyard/series/lift_codes.hpp"

namespace steelyard::app {
namespace {

std::string spoken(const Session& session) {
  std::string text;
  if (session.kind) text += fmt::format("{} ", word(*session.kind));
  text += session.minutes ? fmt::format("{} minutes", format_number(*session.minutes, 1)) : "minutes not said";
  if (session.rpe) text += fmt::format(" at RPE {}", format_number(*session.rpe, 1));
  return text;
}

/// Dates of a person's past lie in the past, wherever on the globe the person is.
Result<void> check_past(const Athlete& athlete, Instant now) {
  const Day tomorrow = Day{std::chrono::floor<Days>(std::chrono::local_seconds{now.time_since_epoch()})} + Days{1};
  const int year = static_cast<int>(std::chrono::year_month_day{tomorrow}.year());
  if (athlete.birth_year && *athlete.birth_year > year) {
    return fail(Errc::bad_data,
                fmt::format("birth_year {} has not come yet; allowed: a year up to {}", *athlete.birth_year, year));
  }
  if (athlete.training_since && *athlete.training_since > tomorrow) {
    return fail(Errc::bad_data, fmt::format("training_since {} has not come yet; allowed: a month up to this one",
                                            format_day(*athlete.training_since)));
  }
  return {};
}

}  // namespace

Result<EntryWriter> EntryWriter::begin(Context& context, std::string_view source, Postponed* postponed) {
  STEELYARD_TRY_ASSIGN(auto held, HeldRows::load(context.store));
  STEELYARD_TRY_ASSIGN(auto entry, context.store.begin(source, context.now));
  return EntryWriter(context, std::move(entry), std::move(held), postponed);
}

Result<void> EntryWriter::put(Record record) {
  if (const auto* athlete = std::get_if<Athlete>(&record)) STEELYARD_TRY(check_past(*athlete, context_->now));
  kinds_.insert(kind_of(record));
  series::use_lift_codes(record, context_->models.lifts);
  const Record as_came = record;
  STEELYARD_TRY_ASSIGN(auto rows, held_.treat(std::move(record), context_->store));
  for (const Record& row : rows) {
    if (const auto* set = std::get_if<SetRow>(&row)) {
      STEELYARD_TRY_ASSIGN(const bool is_waiting, waits(*set));
      if (is_waiting) continue;
    }
    const auto outcome = entry_->put(row);
    if (!outcome) {
      const auto* session = std::get_if<Session>(&row);
      if (session == nullptr || outcome.error().code != Errc::not_allowed) return tl::make_unexpected(outcome.error());
      STEELYARD_TRY(ask_second(*session));
      continue;
    }
    switch (*outcome) {
      case store::PutOutcome::added:
        ++outcomes_.added;
        break;
      case store::PutOutcome::replaced:
        ++outcomes_.replaced;
        break;
      case store::PutOutcome::unchanged:
        ++outcomes_.unchanged;
        continue;
    }
    for (const auto id : held_.answered_by(as_came)) STEELYARD_TRY(entry_->answer(id, "fixed"));
  }
  return {};
}

Result<store::EntrySummary> EntryWriter::commit() {
  STEELYARD_TRY_ASSIGN(auto summary, entry_->commit());
  summary.removed -= set_aside_;
  summary.added = outcomes_.added;
  summary.replaced = outcomes_.replaced;
  summary.unchanged = outcomes_.unchanged;
  return summary;
}

Result<void> EntryWriter::ask_second(const Session& session) {
  STEELYARD_TRY_ASSIGN(const AthleteLog log, context_->store.log(session.athlete, session.date, session.date));
  const auto earlier =
      std::find_if(log.sessions.begin(), log.sessions.end(), [&](const Session& s) { return s.date == session.date; });
  Question question{
      .athlete = session.athlete,
      .date = session.date,
      .doubt = "second-session",
      .say = fmt::format(
          "{} has a session already ({}), and now another one came ({}): a second session of the day, or "
          "a correction? The first counts until you say: keep = a second one, fix = a correction.",
          format_day(session.date), earlier == log.sessions.end() ? "unknown" : spoken(*earlier), spoken(session)),
      .fields = {},
      .rows = {session}};
  STEELYARD_TRY_ASSIGN(const bool is_new, entry_->ask(question));
  if (is_new) ++asked_;
  if (postponed_ != nullptr) postponed_->second_days.emplace(session.athlete, session.date);
  return {};
}

namespace {

std::vector<SetRow> first_part(const AthleteLog& log, Day day) {
  std::vector<SetRow> sets;
  for (const SetRow& set : log.sets) {
    if (set.date == day && set.part.value_or(1) == 1) sets.push_back(set);
  }
  return sets;
}

bool same_work(const std::vector<SetRow>& a, const std::vector<SetRow>& b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(), [](const SetRow& x, SetRow y) {
    y.part = x.part;
    y.position = x.position;
    return x == y;
  });
}

}  // namespace

Result<bool> EntryWriter::waits(const SetRow& set) {
  if (set.part || postponed_ == nullptr || !postponed_->second_days.contains({set.athlete, set.date})) return false;
  const std::pair day{set.athlete, set.date};
  auto found = waiting_.find(day);
  if (found == waiting_.end()) {
    STEELYARD_TRY_ASSIGN(const AthleteLog log, context_->store.log(set.athlete, set.date, set.date));
    if (!postponed_->one_session &&
        first_part(log, set.date).empty()) {  // the first session's own sets, as far as anybody can know
      postponed_->second_days.erase(day);
      return false;
    }
    found = waiting_.try_emplace(day).first;
  }
  found->second.push_back(set);
  return true;
}

/// The question about the second session takes its sets in.
Result<void> EntryWriter::hold_waiting() {
  for (auto& [day, sets] : waiting_) {
    STEELYARD_TRY_ASSIGN(const AthleteLog log, entry_->log(day.first, day.second, day.second));
    if (same_work(first_part(log, day.second), sets)) continue;
    const auto asked = std::find_if(log.questions.begin(), log.questions.end(), [&](const Question& q) {
      return q.doubt == "second-session" && q.date == day.second && q.athlete == day.first;
    });
    if (asked == log.questions.end()) continue;
    Question whole = *asked;
    for (SetRow& set : sets) whole.rows.emplace_back(std::move(set));
    STEELYARD_TRY(entry_->answer(asked->id, "dropped"));
    STEELYARD_TRY(entry_->ask(whole));
  }
  waiting_.clear();
  return {};
}

Result<void> EntryWriter::ask_doubts() {
  STEELYARD_TRY(hold_waiting());
  const auto brought = [&](RecordKind kind) { return kinds_.contains(kind); };
  const bool doubtful = brought(RecordKind::maxes) || brought(RecordKind::sessions) || brought(RecordKind::sets) ||
                        brought(RecordKind::checks);
  if (!doubtful) return {};
  STEELYARD_TRY_ASSIGN(const auto touched, entry_->touched());
  std::map<std::string, Day> from;
  for (const auto& t : touched) from.emplace(t.athlete, t.from);
  const bool sets_to_come = postponed_ != nullptr && postponed_->sets_to_come;
  if (postponed_ != nullptr) {
    if (sets_to_come && brought(RecordKind::sessions)) postponed_->touched.insert(from.begin(), from.end());
    if (!sets_to_come) {
      for (const auto& [athlete, day] : postponed_->touched) {
        auto& first = from.try_emplace(athlete, day).first->second;
        first = std::min(first, day);
      }
      postponed_->touched.clear();
    }
  }
  for (const auto& [athlete, day] : from) STEELYARD_TRY(judge(athlete, day, sets_to_come));
  return {};
}

/// One row may raise two doubts, so what is set aside for one is read again before the next.
Result<void> EntryWriter::judge(const std::string& athlete, Day from, bool sets_to_come) {
  for (bool changed = true; changed;) {
    changed = false;
    STEELYARD_TRY_ASSIGN(const AthleteLog log, entry_->log(athlete, from - Days{decide::k_doubt_days}, k_last_day));
    for (const Question& question : decide::doubts(log, from, context_->models)) {
      if (sets_to_come && question.doubt == "session-twice") continue;
      STEELYARD_TRY_ASSIGN(const bool is_new, entry_->ask(question));
      if (!is_new) continue;  // answered before: what was answered stands
      ++asked_;
      STEELYARD_TRY(set_aside(question));
      changed = true;
      break;
    }
  }
  return {};
}

Result<void> EntryWriter::set_aside(const Question& question) {
  if (question.fields.empty()) {
    for (auto row = question.rows.rbegin(); row != question.rows.rend(); ++row) STEELYARD_TRY(entry_->remove(*row));
    set_aside_ += static_cast<std::int64_t>(question.rows.size());
    return {};
  }
  const auto* first = std::get_if<SetRow>(&question.rows.front());
  if (first == nullptr) {
    for (const Record& row : question.rows) {
      STEELYARD_TRY(entry_->put(decide::without_fields(row, question.fields)));
    }
    return {};
  }
  return rewrite_part(*entry_, *first, [&](std::vector<SetRow>& part) {
    set_aside_ += static_cast<std::int64_t>(part.size());
    for (SetRow& set : part) {
      const bool questioned = std::find(question.rows.begin(), question.rows.end(), Record(set)) != question.rows.end();
      if (questioned) set = std::get<SetRow>(decide::without_fields(set, question.fields));
    }
  });
}

}  // namespace steelyard::app
