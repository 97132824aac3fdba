#include "steelyard/app/questions.hpp"

#include <fmt/core.h>

#include <algorithm>

#include "app/restore.hpp"
#include "app/span.hpp"
#include "steelyard/domain/cells.hpp"

namespace steelyard::app {
namespace {

constexpr std::string_view k_second = "second-session";

Result<Question> open_question(Context& context, std::int64_t id) {
  STEELYARD_TRY_ASSIGN(auto open, context.store.open_questions(std::nullopt));
  for (Question& question : open) {
    if (question.id == id) return std::move(question);
  }
  STEELYARD_TRY_ASSIGN(const auto answered, context.store.question(id));
  if (answered) {
    return fail(Errc::not_allowed, fmt::format("question {} was answered before; 'steelyard undo' takes the last entry "
                                               "back",
                                               id));
  }
  return fail(Errc::no_input, fmt::format("there is no question {}; 'steelyard questions' shows the open ones", id));
}

/// Puts the columns in doubt of one row back into what is stored.
Result<void> restore_row(store::Entry& entry, const Record& entered, const std::vector<std::string>& fields) {
  if (const auto* set = std::get_if<SetRow>(&entered)) {
    return rewrite_part(entry, *set, [&](const SetRow& stored) {
      SetRow changed = stored;
      if (stored.position == set->position) restore(changed, *set, fields);
      return changed;
    });
  }
  const auto put_restored = [&]<class R>(const R& row, const std::vector<R>& stored) -> Result<void> {
    for (R one : stored) {
      if (!same_place(one, row)) continue;
      restore(one, row, fields);
      STEELYARD_TRY(entry.put(one));
      return {};
    }
    STEELYARD_TRY(entry.put(row));  // somebody removed it meanwhile: the answer speaks of the whole row
    return {};
  };
  if (const auto* session = std::get_if<Session>(&entered)) {
    STEELYARD_TRY_ASSIGN(const AthleteLog log, entry.log(session->athlete, session->date, session->date));
    return put_restored(*session, log.sessions);
  }
  const auto& check = std::get<Check>(entered);
  STEELYARD_TRY_ASSIGN(const AthleteLog log, entry.log(check.athlete, check.date, check.date));
  return put_restored(check, log.checks);
}

/// The first part of the day that no session has.
Result<int> free_part(store::Entry& entry, const std::string& athlete, Day day) {
  STEELYARD_TRY_ASSIGN(const AthleteLog log, entry.log(athlete, day, day));
  int part = 1;
  for (const Session& session : log.sessions) {
    if (session.date == day) part = std::max(part, session.part.value_or(1) + 1);
  }
  return part;
}

/// Stores the rows of a question as entered, or as corrected.
Result<void> put_rows(store::Entry& entry, const Question& question, const std::vector<Record>& rows, bool correction) {
  if (!question.fields.empty()) {
    std::vector<std::string> fields = question.fields;
    if (correction) {  // what was corrected may be more than what was in doubt
      fields.clear();
      for (const Cell& cell : cells_of(rows.front(), std::nullopt)) {
        if (cell.column != "part") fields.emplace_back(cell.column);
      }
    }
    for (const Record& row : rows) STEELYARD_TRY(restore_row(entry, row, fields));
    return {};
  }
  for (Record row : rows) {
    if (question.doubt == k_second) {
      auto& session = std::get<Session>(row);
      int part = 1;
      if (!correction) {
        STEELYARD_TRY_ASSIGN(part, free_part(entry, question.athlete, question.date));
      }
      session.part = part;
    }
    STEELYARD_TRY(entry.put(row));
  }
  return {};
}

Result<Question> answer(Context& context, Question question, std::string_view state,
                        const std::optional<std::vector<Record>>& rows) {
  STEELYARD_TRY_ASSIGN(auto entry,
                       context.store.begin(fmt::format("questions: {} {}", question.id, state), context.now));
  if (rows) STEELYARD_TRY(put_rows(*entry, question, *rows, state == "fixed"));
  STEELYARD_TRY(entry->answer(question.id, state));
  STEELYARD_TRY(entry->commit());
  return question;
}

bool has_column(const Record& row, std::string_view name) {
  const auto cells = cells_of(row, std::nullopt);
  return std::any_of(cells.begin(), cells.end(), [&](const Cell& cell) { return cell.column == name; });
}

}  // namespace

Result<std::vector<Question>> list_questions(Context& context, const std::optional<std::string>& athlete) {
  return context.store.open_questions(athlete);
}

Result<Question> keep(Context& context, std::int64_t id) {
  STEELYARD_TRY_ASSIGN(Question question, open_question(context, id));
  const auto rows = question.rows;
  return answer(context, std::move(question), "kept", rows);
}

Result<Question> fix(Context& context, std::int64_t id, std::span<const ColumnText> typed) {
  STEELYARD_TRY_ASSIGN(Question question, open_question(context, id));
  if (typed.empty() && question.doubt != k_second) {
    return fail(Errc::usage, fmt::format("say what is right, such as: steelyard questions --fix {} {}=VALUE", id,
                                         question.fields.empty() ? "minutes" : question.fields.front()));
  }
  std::vector<Record> rows;
  for (const Record& row : question.rows) {
    std::vector<ColumnText> mine;
    for (const ColumnText& text : typed) {
      if (has_column(row, text.first)) mine.push_back(text);
    }
    if (mine.empty()) {
      rows.push_back(row);
      continue;
    }
    STEELYARD_TRY_ASSIGN(Record fixed, row_of(context, kind_of(row), mine, row));
    if (auto* set = std::get_if<SetRow>(&fixed)) set->position = std::get<SetRow>(row).position;
    rows.push_back(std::move(fixed));
  }
  for (const ColumnText& text : typed) {
    const bool somewhere = std::any_of(question.rows.begin(), question.rows.end(),
                                       [&](const Record& row) { return has_column(row, text.first); });
    if (somewhere) continue;
    STEELYARD_TRY(row_of(context, kind_of(question.rows.front()), std::span(&text, 1), question.rows.front()));
  }
  return answer(context, std::move(question), "fixed", rows);
}

Result<Question> drop(Context& context, std::int64_t id) {
  STEELYARD_TRY_ASSIGN(Question question, open_question(context, id));
  return answer(context, std::move(question), "dropped", std::nullopt);
}

}  // namespace steelyard::app
