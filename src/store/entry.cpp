#include "store/entry.hpp"

#include <algorithm>

namespace steelyard::store {
namespace {

constexpr Day k_everything = Day::min();
/// From this many rows on, an entry to a server looks for rows that can be sent in bulk.
constexpr std::int64_t k_rows_for_bulk = 100;
/// From this many rows on, an entry is a large one.
constexpr std::int64_t k_many_rows = 10'000;

void lower(std::map<std::string, Day>::iterator at, Day day) {
  at->second = std::min(at->second, day);
}

/// The day from which on a row matters.
template <class R>
Day day_of(const R& row) {
  if constexpr (requires { row.date; }) {
    return row.date;
  } else if constexpr (requires { row.to; }) {
    return row.from;
  } else {
    return k_everything;
  }
}

/// Kinds whose rows carry a mark of the last entry that named them.
template <class R>
constexpr bool k_is_marked = k_has_part<R> || k_has_position<R>;

}  // namespace

void TouchedDays::add(const std::string& athlete, Day day) {
  if (last_ == athletes_.end() || last_->first != athlete) last_ = athletes_.try_emplace(athlete, day).first;
  lower(last_, day);
}

void TouchedDays::add_group(const std::string& group, Day day) {
  lower(groups_.try_emplace(group, day).first, day);
}

Result<std::vector<Touched>> TouchedDays::list(Reader& reader) const {
  auto days = athletes_;
  if (!groups_.empty()) {
    STEELYARD_TRY_ASSIGN(const auto all, reader.athletes());
    for (const auto& a : all) {
      const auto group = groups_.find(a.group);
      if (group != groups_.end()) lower(days.try_emplace(a.athlete, group->second).first, group->second);
    }
  }
  std::vector<Touched> list;
  for (const auto& [athlete, day] : days) list.push_back({athlete, day == k_everything ? Day{} : day});
  return list;
}

StoredEntry::~StoredEntry() {
  if (!is_open_) return;
  // After a failure the transaction is taken back when the connection closes.
  if (c_.db.in_transaction()) static_cast<void>(c_.db.run(give_up()));
  end();
}

Result<void> StoredEntry::begin(std::string_view source, Instant at) {
  if (c_.entry_is_open) return fail(Errc::failed, "an entry is open already; commit it or give it up first");
  is_part_ = c_.db.in_transaction();
  STEELYARD_TRY(is_part_ ? c_.db.run("savepoint entry") : c_.db.begin_writing(false));
  is_open_ = true;
  c_.entry_is_open = true;
  c_.saved_in_entry = false;
  Statement add(c_.db, "insert into entries (at, source) values (?1, ?2) returning id");
  STEELYARD_TRY_ASSIGN(id_, add.with(at, source).number());
  return {};
}

const char* StoredEntry::give_up() const {
  return is_part_ ? "rollback to entry; release entry" : "rollback";
}

void StoredEntry::end() {
  if (rows_ >= k_many_rows) static_cast<void>(c_.db.set_large_work(false));
  is_open_ = false;
  c_.entry_is_open = false;
}

Result<void> StoredEntry::usable() const {
  if (broken_) return tl::make_unexpected(*broken_);
  if (!is_open_) return fail(Errc::failed, "the entry is closed");
  // SQLite itself gives a transaction up when the disk is full, and a connection may break; going on would write
  // outside of it.
  if (!c_.db.in_transaction()) return fail(Errc::failed, "the entry was taken back after an error");
  return {};
}

/// An error of the store leaves a row half-written, so nothing of the entry may stay. Answers to the caller's own
/// mistakes come before anything is written.
template <class T>
Result<T> StoredEntry::checked(Result<T> result) {
  if (result) return result;
  const Errc code = result.error().code;
  if (code != Errc::not_allowed && code != Errc::usage && code != Errc::no_input) broken_ = result.error();
  return result;
}

Result<PutOutcome> StoredEntry::put(const Record& record) {
  STEELYARD_TRY(usable());
  if (++rows_ == k_many_rows) STEELYARD_TRY(c_.db.set_large_work(true));
  STEELYARD_TRY(checked(lock(record)));
  auto outcome = checked(std::visit([&](const auto& row) { return put_row(row); }, record));
  if (outcome && *outcome == PutOutcome::unchanged) ++summary_.unchanged;
  return outcome;
}

template <class R>
Result<PutOutcome> StoredEntry::put_row(const R& row) {
  return put_at(row, place_of(row));
}

Result<PutOutcome> StoredEntry::put_row(const Session& session) {
  if (session.part) return put_at(session, place_of(session));
  STEELYARD_TRY_ASSIGN(const bool is_new, is_new_day(session));
  if (is_new) return put_new(session, {.part = 1});
  auto& rows = c_.rows_of<Session>();
  STEELYARD_TRY_ASSIGN(bool added, rows.add(session, {.part = 1}, id_));
  int part = 1;
  if (!added) {
    STEELYARD_TRY_ASSIGN(part, next_part(session));
    if (part > 1) {
      STEELYARD_TRY_ASSIGN(added, rows.add(session, {.part = part}, id_));
    }
  }
  if (!added) return meet(session, {.part = part}, false);
  touch(session);
  ++summary_.added;
  return PutOutcome::added;
}

/// 1, or behind the parts that this entry has named on that day.
Result<int> StoredEntry::next_part(const Session& session) {
  bool first_is_named = false;
  int highest = 0;
  session_parts_.with(session.athlete, session.date, id_);
  STEELYARD_TRY(each(session_parts_, [&]() -> Result<void> {
    const int part = static_cast<int>(session_parts_.integer(0));
    first_is_named = first_is_named || part == 1;
    highest = std::max(highest, part);
    return {};
  }));
  return first_is_named ? highest + 1 : 1;
}

/// Sets are compared one by one with the stored ones of the part, in order; a later one takes the place of the one that
/// it differs from, and what is left over at the end goes (see settle).
Result<PutOutcome> StoredEntry::put_row(const SetRow& set) {
  STEELYARD_TRY(open_part(set));
  if (part_.behind == 0) return put_new(set, {.part = part_.part, .position = ++part_.position});
  next_set_.with(set.athlete, set.date, part_.part, part_.position);
  STEELYARD_TRY_ASSIGN(const bool found, next_set_.step());
  if (!found) return fail(Errc::failed, "the sets of a part changed while they were written");
  part_.position = static_cast<int>(next_set_.integer(0));
  next_set_.reset();
  --part_.behind;
  return meet(set, {.part = part_.part, .position = part_.position}, true);
}

Result<void> StoredEntry::open_part(const SetRow& set) {
  const int part = set.part.value_or(1);
  if (part == part_.part && set.date == part_.date && set.athlete == part_.athlete) return {};
  STEELYARD_TRY(leave_part());
  OpenPart opened{.athlete = set.athlete, .date = set.date, .part = part};
  STEELYARD_TRY_ASSIGN(const bool is_new, is_new_day(set));
  if (is_new) {
    part_ = std::move(opened);
    return {};
  }
  part_rows_.with(set.athlete, set.date, part);
  STEELYARD_TRY(each(part_rows_, [&]() -> Result<void> {
    ++opened.behind;
    if (part_rows_.integer(1) == id_) {
      opened.position = static_cast<int>(part_rows_.integer(0));
      opened.behind = 0;
    }
    return {};
  }));
  part_ = std::move(opened);
  return {};
}

/// A part whose stored sets were not all named is remembered in a table, not in memory: in a file that is sorted by
/// lift every part is left many times.
Result<void> StoredEntry::leave_part() {
  if (part_.behind > 0) {
    Statement add(c_.db, "insert into loose_parts (athlete, date, part) values (?1, ?2, ?3) on conflict do nothing");
    STEELYARD_TRY(add.with(part_.athlete, part_.date, part_.part).run());
    loose_ends_ = true;
  }
  part_ = {};
  return {};
}

/// A row takes the place of the first row of its lift that this entry has not named yet. It keeps that position if this
/// leaves the entry's rows in their order, and goes to the end of the day if not.
Result<PutOutcome> StoredEntry::put_row(const PlanRow& row) {
  int highest = 0;  // position on that day, of all rows
  int named = 0;    // highest position that this entry has named
  int match = 0;
  int matches = 0;
  day_plan_.with(row.athlete, row.date);
  STEELYARD_TRY(each(day_plan_, [&]() -> Result<void> {
    const int position = static_cast<int>(day_plan_.integer(1));
    highest = std::max(highest, position);
    if (day_plan_.integer(2) == id_) {
      named = std::max(named, position);
    } else if (day_plan_.text(0) == row.lift) {
      match = match == 0 ? position : std::min(match, position);
      ++matches;
    }
    return {};
  }));
  if (matches > 1) {
    Statement add(c_.db, "insert into loose_lifts (athlete, date, lift) values (?1, ?2, ?3) on conflict do nothing");
    STEELYARD_TRY(add.with(row.athlete, row.date, row.lift).run());
    loose_ends_ = true;
  }
  if (match == 0) return put_at(row, {.position = highest + 1});
  if (match > named) return meet(row, {.position = match}, true);
  STEELYARD_TRY(keep(row, {.position = match}));
  STEELYARD_TRY(c_.rows_of<PlanRow>().remove(row, {.position = match}));
  STEELYARD_TRY(c_.rows_of<PlanRow>().add(row, {.position = highest + 1}, id_));
  touch(row);
  ++summary_.replaced;
  return PutOutcome::replaced;
}

/// There is certainly no row with this key.
template <class R>
Result<PutOutcome> StoredEntry::put_new(const R& row, Place at) {
  if (is_bulk()) {
    STEELYARD_TRY(c_.rows_of<R>().add_new(row, at, id_));
  } else {
    STEELYARD_TRY_ASSIGN(const bool added, c_.rows_of<R>().add(row, at, id_));
    if (!added) return fail(Errc::failed, "the sets of a part changed while they were written");
  }
  touch(row);
  ++summary_.added;
  return PutOutcome::added;
}

bool StoredEntry::is_bulk() const {
  return rows_ >= k_rows_for_bulk && c_.db.dialect().is_server;
}

template <class R>
Result<bool> StoredEntry::is_new_day(const R& row) {
  if (!is_bulk()) return false;
  return std::get<NewestDays<R>>(newest_).is_newer(row.athlete, row.date);
}

template <class R>
Result<PutOutcome> StoredEntry::put_at(const R& row, Place at) {
  if constexpr (std::is_same_v<R, Session> || std::is_same_v<R, Check>) {
    STEELYARD_TRY_ASSIGN(const bool is_new, is_new_day(row));
    if (is_new) return put_new(row, at);
  }
  STEELYARD_TRY_ASSIGN(const bool added, c_.rows_of<R>().add(row, at, id_));
  if (!added) return meet(row, at, true);
  touch(row);
  ++summary_.added;
  return PutOutcome::added;
}

/// There is a row with this key.
template <class R>
Result<PutOutcome> StoredEntry::meet(const R& row, Place at, bool may_replace) {
  auto& rows = c_.rows_of<R>();
  STEELYARD_TRY_ASSIGN(auto found, rows.find(row, at));
  if (!found) return fail(Errc::failed, "a row vanished while it was compared");
  const bool same = same_entry(std::move(found->row), row);
  if (same || !may_replace) {
    // A session that is held aside counts as named too: the next one of the day is the second in its file.
    if (k_is_marked<R> && found->seen != id_) STEELYARD_TRY(rows.mark(row, at, id_));
    if (!same) return fail(Errc::not_allowed, "conflict");
    return PutOutcome::unchanged;
  }
  STEELYARD_TRY(keep(row, at));
  STEELYARD_TRY(rows.overwrite(row, at, id_));
  touch(row);
  ++summary_.replaced;
  return PutOutcome::replaced;
}

template <class R>
Result<void> StoredEntry::keep(const R& row, Place at) {
  STEELYARD_TRY(c_.rows_of<R>().keep(id_, ++changes_, row, at));
  return {};
}

template <class R>
Result<bool> StoredEntry::take_away(const R& row, Place at) {
  STEELYARD_TRY_ASSIGN(const bool kept, c_.rows_of<R>().keep(id_, ++changes_, row, at));
  if (!kept) return false;
  STEELYARD_TRY(c_.rows_of<R>().remove(row, at));
  touch(row);
  ++summary_.removed;
  return true;
}

template <class R>
void StoredEntry::touch(const R& row) {
  if constexpr (std::is_same_v<R, Period>) {
    if (row.athlete.empty()) return touched_.add_group(row.group, day_of(row));
  }
  touched_.add(row.athlete, day_of(row));
}

/// Until the entry is finished, nobody else changes what is stored of that athlete.
Result<void> StoredEntry::lock(const Record& record) {
  return std::visit([&](const auto& row) { return c_.db.lock_athlete(row.athlete); }, record);
}

Result<void> StoredEntry::remove(const Record& record) {
  STEELYARD_TRY(usable());
  STEELYARD_TRY(checked(lock(record)));
  STEELYARD_TRY(checked(leave_part()));
  STEELYARD_TRY(checked(std::visit([&](const auto& row) { return take_away(row, place_of(row)); }, record)));
  return {};
}

Result<bool> StoredEntry::ask(const Question& question) {
  STEELYARD_TRY(usable());
  STEELYARD_TRY(checked(c_.db.lock_athlete(question.athlete)));
  auto asked = checked(c_.questions.ask(id_, question));
  if (asked && *asked) ++answers_;
  return asked;
}

Result<void> StoredEntry::answer(std::int64_t question, std::string_view state) {
  STEELYARD_TRY(usable());
  STEELYARD_TRY(checked(c_.questions.answer(id_, question, state)));
  ++answers_;
  return {};
}

Result<std::vector<Touched>> StoredEntry::touched() {
  STEELYARD_TRY(usable());
  STEELYARD_TRY(checked(settle()));
  return checked(touched_.list(c_.reader));
}

Result<AthleteLog> StoredEntry::log(std::string_view athlete, Day from, Day to) {
  STEELYARD_TRY(usable());
  STEELYARD_TRY(checked(c_.db.lock_athlete(athlete)));
  STEELYARD_TRY(checked(settle()));
  return checked(c_.reader.log(athlete, from, to));
}

Result<std::optional<Athlete>> StoredEntry::athlete(std::string_view code) {
  STEELYARD_TRY(usable());
  return checked(c_.reader.athlete(code));
}

/// Removes what the entry left out of the parts and planned lifts that it named.
Result<void> StoredEntry::settle() {
  STEELYARD_TRY(leave_part());
  if (!loose_ends_) return {};
  STEELYARD_TRY(settle_sets());
  STEELYARD_TRY(settle_plan());
  loose_ends_ = false;
  return c_.db.run("delete from loose_parts; delete from loose_lifts");
}

Result<void> StoredEntry::settle_sets() {
  Statement surplus(
      c_.db,
      "select s.athlete, s.date, s.part, s.position from loose_parts p join sets s on s.athlete = p.athlete "
      "and s.date = p.date and s.part = p.part where s.seen <> ?1");
  return each(surplus.with(id_), [&]() -> Result<void> {
    SetRow row;
    row.athlete = surplus.text(0);
    row.date = surplus.day(1);
    row.part = static_cast<int>(surplus.integer(2));
    row.position = static_cast<int>(surplus.integer(3));
    STEELYARD_TRY(take_away(row, place_of(row)));
    return {};
  });
}

Result<void> StoredEntry::settle_plan() {
  Statement surplus(
      c_.db,
      "select s.athlete, s.date, s.lift, s.position from loose_lifts l join plan s on s.athlete = l.athlete "
      "and s.date = l.date and s.lift = l.lift where s.seen <> ?1");
  return each(surplus.with(id_), [&]() -> Result<void> {
    PlanRow row;
    row.athlete = surplus.text(0);
    row.date = surplus.day(1);
    row.lift = surplus.text(2);
    row.position = static_cast<int>(surplus.integer(3));
    STEELYARD_TRY(take_away(row, place_of(row)));
    return {};
  });
}

Result<EntrySummary> StoredEntry::commit() {
  STEELYARD_TRY(usable());
  STEELYARD_TRY(checked(settle()));
  summary_.id = id_;
  if (summary_.added + summary_.replaced + summary_.removed + answers_ == 0) {
    summary_.id = 0;
    Statement forget(c_.db, "delete from entries where id = ?1");
    STEELYARD_TRY(checked(forget.with(id_).run()));
  } else {
    STEELYARD_TRY_ASSIGN(const auto touched, checked(touched_.list(c_.reader)));
    STEELYARD_TRY(checked(record(touched)));
  }
  const bool nothing = summary_.id == 0 && !c_.saved_in_entry;
  STEELYARD_TRY(checked(nothing ? c_.db.run(give_up()) : is_part_ ? c_.db.run("release entry") : c_.db.commit()));
  end();
  return summary_;
}

/// Notes whom the entry concerns and when it was finished, and drops the model states that no longer follow from the
/// rows.
Result<void> StoredEntry::record(const std::vector<Touched>& touched) {
  Statement finish(c_.db, fmt::format("update entries set done = {} where id = ?1", c_.db.dialect().entry_order));
  STEELYARD_TRY(finish.with(id_).run());
  Statement add(c_.db,
                "insert into touches (entry, athlete, first, done) select ?1, ?2, ?3, done from entries where id = ?1");
  Statement drop(c_.db, "delete from states where athlete = ?1 and date >= ?2");
  for (const auto& t : touched) {
    const bool all = t.from == Day{};
    add.with(id_, t.athlete, t.from);
    if (all) add.bind(3, nullptr);
    STEELYARD_TRY(add.run());
    STEELYARD_TRY(drop.with(t.athlete, all ? std::numeric_limits<int>::min() : day_number(t.from)).run());
  }
  return {};
}

}  // namespace steelyard::store
