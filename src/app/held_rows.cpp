#include "app/held_rows.hpp"

#include <algorithm>

namespace steelyard::app {
namespace {

bool same_content(Session a, const Session& b) {
  a.part = b.part;
  return a == b;
}

bool same_content(SetRow a, const SetRow& b) {
  a.part = b.part;
  a.position = b.position;
  return a == b;
}

/// The held row of that kind for which `test` holds.
template <class R, class Test>
const R* find_row(const Question& question, Test test) {
  for (const Record& record : question.rows) {
    const R* row = std::get_if<R>(&record);
    if (row != nullptr && test(*row)) return row;
  }
  return nullptr;
}

/// The held sets of a question, in their order.
std::vector<const SetRow*> held_sets(const Question& question) {
  std::vector<const SetRow*> sets;
  for (const Record& record : question.rows) {
    if (const auto* set = std::get_if<SetRow>(&record)) sets.push_back(set);
  }
  return sets;
}

/// The stored set that stands at the same place of its part, counted from 1: positions may have gaps.
std::optional<SetRow> nth_set(const AthleteLog& log, const SetRow& like, int nth) {
  for (const SetRow& set : log.sets) {
    if (set.date != like.date || set.part.value_or(1) != like.part.value_or(1) || --nth > 0) continue;
    SetRow found = set;
    found.part = like.part;
    return found;
  }
  return std::nullopt;
}

}  // namespace

Result<HeldRows> HeldRows::load(store::Store& store) {
  HeldRows held;
  STEELYARD_TRY_ASSIGN(const auto athletes, store.questioned_athletes());
  held.unread_.insert(athletes.begin(), athletes.end());
  return held;
}

Result<void> HeldRows::read(const std::string& athlete, store::Store& store) {
  if (unread_.erase(athlete) == 0) return {};
  STEELYARD_TRY_ASSIGN(const auto open, store.open_questions(athlete));
  const auto is_open = [&](std::int64_t id) {
    return std::any_of(open.begin(), open.end(), [&](const Question& q) { return q.id == id; });
  };
  STEELYARD_TRY_ASSIGN(auto all, store.questions(athlete));
  for (Question& question : all) {
    const AthleteDay day{question.athlete, question.date};
    const bool open_still = is_open(question.id);
    asked_[day].push_back({.question = std::move(question), .is_open = open_still});
  }
  return {};
}

std::vector<HeldRows::Asked>* HeldRows::of(const std::string& athlete, Day day) {
  if (asked_.empty()) return nullptr;
  const auto found = asked_.find({athlete, day});
  return found == asked_.end() ? nullptr : &found->second;
}

Result<std::vector<Record>> HeldRows::treat(Record record, store::Store& store) {
  if (!unread_.empty()) {
    STEELYARD_TRY(read(std::visit([](const auto& row) -> const std::string& { return row.athlete; }, record), store));
  }
  if (auto* session = std::get_if<Session>(&record)) {
    if (of(session->athlete, session->date) != nullptr) return treat_row(std::move(*session), store);
  } else if (auto* set = std::get_if<SetRow>(&record)) {
    if (of(set->athlete, set->date) != nullptr) return treat_row(std::move(*set), store);
  } else if (auto* check = std::get_if<Check>(&record)) {
    if (of(check->athlete, check->date) != nullptr) return treat_row(std::move(*check), store);
  }
  std::vector<Record> rows;
  rows.push_back(std::move(record));
  return rows;
}

Result<std::vector<Record>> HeldRows::treat_row(Session session, store::Store& store) {
  const AthleteDay day{session.athlete, session.date};
  const int part = session.part ? *session.part : ++blank_parts_[day];
  for (const Asked& asked : *of(session.athlete, session.date)) {
    const auto* held = find_row<Session>(
        asked.question, [&](const Session& row) { return row.part.value_or(1) == part && same_content(row, session); });
    if (held == nullptr) continue;
    if (!asked.question.fields.empty()) {
      STEELYARD_TRY_ASSIGN(const AthleteLog log, store.log(session.athlete, session.date, session.date));
      for (Session stored : log.sessions) {
        if (stored.date != session.date || stored.part.value_or(1) != part) continue;
        stored.part = session.part;
        return std::vector<Record>{std::move(stored)};
      }
    }
    ++skipped_;
    if (!session.part) shifted_.insert(day);
    return std::vector<Record>{};
  }
  // The store counts the parts that it is given; one that was left out before this one must count too.
  if (!session.part && shifted_.contains(day)) session.part = part;
  return std::vector<Record>{std::move(session)};
}

Result<std::vector<Record>> HeldRows::treat_row(SetRow set, store::Store& store) {
  const int part = set.part.value_or(1);
  const int nth = ++sets_[{set.athlete, set.date, part}];
  for (Asked& asked : *of(set.athlete, set.date)) {
    if (!asked.question.fields.empty()) {
      const auto* held = find_row<SetRow>(
          asked.question, [&](const SetRow& row) { return row.part.value_or(1) == part && same_content(row, set); });
      if (held == nullptr) continue;
      STEELYARD_TRY_ASSIGN(const AthleteLog log, store.log(set.athlete, set.date, set.date));
      auto stored = nth_set(log, set, nth);
      if (stored) return std::vector<Record>{*std::move(stored)};
      ++skipped_;
      return std::vector<Record>{};
    }
    // A whole part is held: its sets are left out as long as they come as they were; a part that differs comes whole.
    const auto sets = held_sets(asked.question);
    if (sets.empty() || sets.front()->part.value_or(1) != part) continue;
    const auto before = static_cast<std::size_t>(nth - 1);
    if (asked.next_set != before) continue;
    if (before < sets.size() && same_content(*sets[before], set)) {
      ++asked.next_set;
      ++skipped_;
      return std::vector<Record>{};
    }
    std::vector<Record> rows;
    for (std::size_t i = 0; i < before; ++i) rows.emplace_back(*sets[i]);
    skipped_ -= before;
    asked.next_set = sets.size() + 1;
    rows.emplace_back(std::move(set));
    return rows;
  }
  return std::vector<Record>{std::move(set)};
}

Result<std::vector<Record>> HeldRows::treat_row(Check check, store::Store& store) {
  for (const Asked& asked : *of(check.athlete, check.date)) {
    if (find_row<Check>(asked.question, [&](const Check& row) { return row == check; }) == nullptr) continue;
    STEELYARD_TRY_ASSIGN(const AthleteLog log, store.log(check.athlete, check.date, check.date));
    for (const Check& stored : log.checks) {
      if (stored.date == check.date) return std::vector<Record>{stored};
    }
    ++skipped_;
    return std::vector<Record>{};
  }
  return std::vector<Record>{std::move(check)};
}

std::vector<std::int64_t> HeldRows::answered_by(const Record& record) {
  std::vector<std::int64_t> ids;
  const auto close = [&](const std::string& athlete, Day day, auto concerns) {
    auto* asked = of(athlete, day);
    if (asked == nullptr) return;
    for (Asked& a : *asked) {
      if (!a.is_open || !concerns(a.question)) continue;
      a.is_open = false;
      ids.push_back(a.question.id);
    }
  };
  if (const auto* session = std::get_if<Session>(&record)) {
    const int part = session->part ? *session->part : blank_parts_[{session->athlete, session->date}];
    close(session->athlete, session->date, [&](const Question& q) {
      return q.doubt != "second-session" &&
             find_row<Session>(q, [&](const Session& row) { return row.part.value_or(1) == part; }) != nullptr;
    });
  } else if (const auto* set = std::get_if<SetRow>(&record)) {
    const int part = set->part.value_or(1);
    const int nth = sets_[{set->athlete, set->date, part}];
    close(set->athlete, set->date, [&](const Question& q) {
      return !q.fields.empty() && find_row<SetRow>(q, [&](const SetRow& row) {
                                    return row.part.value_or(1) == part && row.position == nth;
                                  }) != nullptr;
    });
  } else if (const auto* check = std::get_if<Check>(&record)) {
    close(check->athlete, check->date,
          [](const Question& q) { return find_row<Check>(q, [](const Check&) { return true; }) != nullptr; });
  }
  return ids;
}

}  // namespace steelyard::app
