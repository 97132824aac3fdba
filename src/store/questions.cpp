#include "store/questions.hpp"

#include <algorithm>

namespace steelyard::store {
namespace {

constexpr std::string_view k_select = "select id, athlete, date, doubt, say, fields from questions where";
constexpr std::array<std::string_view, 3> k_states{"kept", "fixed", "dropped"};

}  // namespace

Questions::Questions(Database& db)
    : db_(db),
      add_(db,
           "insert into questions (entry, athlete, date, doubt, say, fields) values (?1, ?2, ?3, ?4, ?5, ?6) "
           "returning id"),
      answer_(db, "update questions set state = ?1, answered_by = ?2 where id = ?3 and state is null"),
      by_id_(db, fmt::format("{} id = ?1", k_select)),
      alike_(db, fmt::format("{} athlete = ?1 and date = ?2 and doubt = ?3", k_select)),
      all_(db, fmt::format("{} true order by id", k_select)),
      all_of_(db, fmt::format("{} athlete = ?1 order by id", k_select)),
      athletes_(db, "select distinct athlete from questions order by athlete"),
      all_open_(db, fmt::format("{} state is null order by id", k_select)),
      open_of_(db, fmt::format("{} state is null and athlete = ?1 order by date, id", k_select)) {}

Result<bool> Questions::ask(std::int64_t entry, const Question& question) {
  alike_.with(question.athlete, question.date, question.doubt);
  STEELYARD_TRY_ASSIGN(const auto earlier, collect(alike_));
  const auto same = [&](const Question& q) { return q.rows == question.rows; };
  if (std::any_of(earlier.begin(), earlier.end(), same)) return false;

  const std::string fields = print_list(question.fields);
  add_.with(entry, question.athlete, question.date, question.doubt, question.say, fields);
  STEELYARD_TRY_ASSIGN(const auto id, add_.number());
  int place = 0;
  for (const auto& row : question.rows) STEELYARD_TRY(hold(id, place++, row));
  return true;
}

Result<void> Questions::hold(std::int64_t question, int place, const Record& record) {
  return std::visit(
      [&]<class R>(const R& row) {
        Statement& add = held<R>().add;
        const int next = bind_fields(add.with(question, place), 3, row);
        if constexpr (k_has_position<R>) add.bind(next, row.position);
        return add.run();
      },
      record);
}

Result<void> Questions::answer(std::int64_t entry, std::int64_t id, std::string_view state) {
  if (std::find(k_states.begin(), k_states.end(), state) == k_states.end()) {
    return fail(Errc::usage, fmt::format("\"{}\" is not an answer; allowed are kept, fixed and dropped", state));
  }
  STEELYARD_TRY(answer_.with(state, entry, id).run());
  if (db_.changes() > 0) return {};
  STEELYARD_TRY_ASSIGN(const bool there, by_id_.with(id).exists());
  if (!there) return fail(Errc::no_input, fmt::format("there is no question {}", id));
  return fail(Errc::not_allowed, fmt::format("question {} is answered already; undo the answer first", id));
}

Result<std::optional<Question>> Questions::find(std::int64_t id) {
  by_id_.with(id);
  STEELYARD_TRY_ASSIGN(auto found, collect(by_id_));
  if (found.empty()) return std::nullopt;
  return std::move(found.front());
}

Result<std::vector<Question>> Questions::all() {
  return collect(all_);
}

Result<std::vector<Question>> Questions::all(std::string_view athlete) {
  all_of_.with(athlete);
  return collect(all_of_);
}

Result<std::vector<std::string>> Questions::athletes() {
  std::vector<std::string> codes;
  STEELYARD_TRY(each(athletes_, [&]() -> Result<void> {
    codes.emplace_back(athletes_.text(0));
    return {};
  }));
  return codes;
}

Result<std::vector<Question>> Questions::open() {
  return collect(all_open_);
}

Result<std::vector<Question>> Questions::open(std::string_view athlete) {
  open_of_.with(athlete);
  return collect(open_of_);
}

Result<std::vector<Question>> Questions::collect(Statement& statement) {
  std::vector<Question> questions;
  STEELYARD_TRY(each(statement, [&]() -> Result<void> {
    Question q;
    q.id = statement.integer(0);
    q.athlete = statement.text(1);
    q.date = statement.day(2);
    q.doubt = statement.text(3);
    q.say = statement.text(4);
    for (const auto field : split_words(statement.text(5))) q.fields.emplace_back(field);
    questions.push_back(std::move(q));
    return {};
  }));
  for (auto& q : questions) {
    STEELYARD_TRY_ASSIGN(q.rows, rows_of(q.id));
  }
  return questions;
}

Result<std::vector<Record>> Questions::rows_of(std::int64_t question) {
  std::vector<std::pair<std::int64_t, Record>> placed;
  const auto read_kind = [&]<class R>() -> Result<void> {
    Statement& select = held<R>().of_question;
    return each(select.with(question), [&]() -> Result<void> {
      R row;
      STEELYARD_TRY(read_row(select, 1, row));
      placed.emplace_back(select.integer(0), std::move(row));
      return {};
    });
  };
  STEELYARD_TRY(for_each_kind(read_kind));
  std::sort(placed.begin(), placed.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
  std::vector<Record> rows;
  for (auto& [place, row] : placed) rows.push_back(std::move(row));
  return rows;
}

Result<void> Questions::undo(std::int64_t entry) {
  STEELYARD_TRY(for_each_kind([&]<class R>() {
    Statement remove(
        db_,
        fmt::format("delete from held_{} where question in (select id from questions where entry = ?1)", table<R>()));
    return remove.with(entry).run();
  }));
  Statement remove(db_, "delete from questions where entry = ?1");
  STEELYARD_TRY(remove.with(entry).run());
  Statement reopen(db_, "update questions set state = null, answered_by = null where answered_by = ?1");
  return reopen.with(entry).run();
}

}  // namespace steelyard::store
