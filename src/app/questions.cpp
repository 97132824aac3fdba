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

auto changed_since() {
  return fail(Errc::failed, "the entry was changed since it was held aside: enter it again, and drop the question");
}

/// Puts columns of one row, as `answered` has them, into what is stored for the row that was held.
Result<void> put_answer(store::Entry& entry, const Question& question, const Record& held, const Record& answered,
                        const std::vector<std::string>& columns) {
  return std::visit(
      [&]<class R>(const R& row) -> Result<void> {
        const auto& new_row = std::get<R>(answered);
        if constexpr (std::is_same_v<R, SetRow>) {
          bool found = false;
          STEELYARD_TRY(rewrite_part(entry, row, [&](std::vector<SetRow>& part) {
            SetRow* stored = stored_for(part, row, question.fields);
            found = stored != nullptr;
            if (found) restore(*stored, new_row, columns);
          }));
          return found ? Result<void>{} : changed_since();
        } else if constexpr (std::is_same_v<R, Session> || std::is_same_v<R, Check>) {
          STEELYARD_TRY_ASSIGN(AthleteLog log, entry.log(row.athlete, row.date, row.date));
          R* stored = nullptr;
          if constexpr (std::is_same_v<R, Session>) stored = stored_for(log.sessions, row, question.fields);
          if constexpr (std::is_same_v<R, Check>) stored = stored_for(log.checks, row, question.fields);
          if (stored == nullptr) return changed_since();
          restore(*stored, new_row, columns);
          STEELYARD_TRY(entry.put(*stored));
          return {};
        } else {
          return fail(Errc::failed, "no question is ever asked about such a row");
        }
      },
      held);
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

/// What a person said: the rows as they count from now on, and the columns that were corrected.
struct Answer {
  std::string_view state;
  std::vector<Record> rows;
  std::vector<std::string> corrected;
};

Result<void> put_rows(store::Entry& entry, const Question& question, const Answer& answer) {
  if (!question.fields.empty()) {
    std::vector<std::string> columns = question.fields;
    columns.insert(columns.end(), answer.corrected.begin(), answer.corrected.end());
    for (std::size_t i = 0; i < answer.rows.size(); ++i) {
      STEELYARD_TRY(put_answer(entry, question, question.rows[i], answer.rows[i], columns));
    }
    return {};
  }
  if (question.doubt != k_second) {
    for (const Record& row : answer.rows) STEELYARD_TRY(entry.put(row));
    return {};
  }
  int part = 1;
  if (answer.state == "kept") {
    STEELYARD_TRY_ASSIGN(part, free_part(entry, question.athlete, question.date));
  }
  for (Record row : answer.rows) {
    if (auto* session = std::get_if<Session>(&row)) session->part = part;
    if (auto* set = std::get_if<SetRow>(&row)) set->part = part;
    STEELYARD_TRY(entry.put(row));
  }
  return {};
}

Result<Question> store_answer(Context& context, Question question, const Answer& answer) {
  STEELYARD_TRY_ASSIGN(auto entry,
                       context.store.begin(fmt::format("questions: {} {}", question.id, answer.state), context.now));
  STEELYARD_TRY(put_rows(*entry, question, answer));
  STEELYARD_TRY(entry->answer(question.id, answer.state));
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
  const Answer answer{.state = "kept", .rows = question.rows, .corrected = {}};
  return store_answer(context, std::move(question), answer);
}

Result<Question> fix(Context& context, std::int64_t id, std::span<const ColumnText> typed) {
  STEELYARD_TRY_ASSIGN(Question question, open_question(context, id));
  if (typed.empty() && question.doubt != k_second) {
    return fail(Errc::usage, fmt::format("say what is right, such as: steelyard questions --fix {} {}=VALUE", id,
                                         question.fields.empty() ? "minutes" : question.fields.front()));
  }
  for (const auto& [column, value] : typed) {
    if (column != "athlete" && column != "date" && column != "part") continue;
    return fail(Errc::usage, "a correction stays where the entry is: drop the question and enter it anew", column);
  }
  Answer answer{.state = "fixed", .rows = {}, .corrected = {}};
  for (const ColumnText& text : typed) answer.corrected.push_back(text.first);
  for (const Record& row : question.rows) {
    std::vector<ColumnText> mine;
    for (const ColumnText& text : typed) {
      if (has_column(row, text.first)) mine.push_back(text);
    }
    if (mine.empty()) {
      answer.rows.push_back(row);
      continue;
    }
    STEELYARD_TRY_ASSIGN(Record fixed, row_of(context, kind_of(row), mine, row));
    answer.rows.push_back(std::move(fixed));
  }
  for (const ColumnText& text : typed) {
    const bool somewhere = std::any_of(question.rows.begin(), question.rows.end(),
                                       [&](const Record& row) { return has_column(row, text.first); });
    if (somewhere) continue;
    STEELYARD_TRY(row_of(context, kind_of(question.rows.front()), std::span(&text, 1), question.rows.front()));
  }
  return store_answer(context, std::move(question), answer);
}

Result<Question> drop(Context& context, std::int64_t id) {
  STEELYARD_TRY_ASSIGN(Question question, open_question(context, id));
  return store_answer(context, std::move(question), {.state = "dropped", .rows = {}, .corrected = {}});
}

}  // namespace steelyard::app
